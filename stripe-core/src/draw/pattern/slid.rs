//! The picture of pieces slid apart on a stripe: at the left their places in the motif, at the
//! right where they lie on the stripe.

use super::apart::{Move, SlidApart};
use crate::draw::lettering::{CAPITAL, width_mm, wrap};
use crate::draw::scene::{
    Anchor, Dash, Fill, GREY, Group, Item, PAPER, Path, Scene, Stroke, Text, rings_of,
};
use crate::draw::view::{View, laid};
use crate::length::Length;
use crate::plan::{PlacedPiece, Plan};
use crate::shape::room::find_room;
use crate::shape::{Point, Rigid, corners_of, point};
use crate::wording::listed;

/// Width of the picture (mm).
const WIDTH_MM: f64 = 178.0;
/// The motif is fitted into this width, the stripe into that, and both into this height (mm).
const MOTIF_MM: f64 = 50.0;
const STRIPE_MM: f64 = 108.0;
const HIGH_MM: f64 = 78.0;
/// Above the pieces, for the names of lines, and below, for the repeat's measure (mm).
const ABOVE_MM: f64 = 12.0;
const BELOW_MM: f64 = 12.0;
/// Where the arrow along the stripe stands, and where the stripe begins (mm).
const ARROW_MM: f64 = 60.0;
const LEFT_MM: f64 = 68.0;
/// From one line of the list to the next (mm).
const ROW_MM: f64 = 3.7;
/// Size of words, and of the pieces' letters (mm): 7 and 10 points.
const WORDS_MM: f64 = 2.5;
const LETTER_MM: f64 = 3.5;

/// The picture of one motif and fabric.
pub fn slid_picture(plan: &Plan, apart: &SlidApart) -> Scene {
    let pieces: Vec<(&Move, &PlacedPiece)> = apart
        .moves
        .iter()
        .filter_map(|one| {
            let mut all = plan.fabrics.iter().flat_map(|fabric| &fabric.placements);
            Some((one, all.find(|piece| piece.id == one.id)?))
        })
        .collect();
    let mut items = Vec::new();
    let on_stripe: Vec<Vec<Vec<Point>>> = pieces
        .iter()
        .map(|(one, piece)| laid(&piece.cut_region(), &one.on_stripe))
        .collect();
    let [low, high] = corners_of(on_stripe.iter().flatten().flatten());
    let (wide, tall) = ((high.x - low.x).max(1.0), (high.y - low.y).max(1.0));
    let scale = (STRIPE_MM / wide).min(HIGH_MM / tall).min(1.0);
    let view = View {
        scale,
        at: point(LEFT_MM + (STRIPE_MM - wide * scale) / 2.0, ABOVE_MM),
        origin: point(low.x, high.y),
    };
    let bottom = ABOVE_MM + tall * scale;
    items.extend(lines(apart, &view, [low.x, high.x], bottom));
    for ((one, piece), cut) in pieces.iter().zip(&on_stripe) {
        items.extend(outline(one, piece, cut, &view));
    }
    items.extend(names(plan, &pieces, &view));
    items.extend(along_arrow(bottom));
    items.extend(measure(apart, &view, [low.x, high.x], bottom));
    let listed = moved_list(plan, &pieces);
    let (drawn, below) = in_motif(&pieces);
    items.extend(drawn);
    for (i, words) in listed.iter().enumerate() {
        let at = point(1.0, below + 6.0 + ROW_MM * i as f64);
        items.push(Text::new(at, WORDS_MM, words.clone()).into());
    }
    let low = (bottom + BELOW_MM).max(below + 7.0 + ROW_MM * listed.len() as f64);
    Scene {
        width_mm: WIDTH_MM,
        height_mm: low,
        title: format!(
            "{}, fabric {}: slid apart on the stripe",
            apart.motif, apart.fabric
        ),
        about: format!("{} pieces, drawn at 1 to {:.1}.", pieces.len(), 1.0 / scale),
        items,
    }
}

/// The centre line, and the same line in the repeats beside it.
fn lines(apart: &SlidApart, view: &View, [low, high]: [f64; 2], bottom: f64) -> Vec<Item> {
    let repeat = apart.repeat_mm;
    let (first, last) = ((low / repeat).ceil(), (high / repeat).floor());
    let mut items = Vec::new();
    // So many that they could be counted; finer stripes have the centre line alone.
    let all = (last - first).abs() < 24.0 && repeat * view.scale > 3.0;
    let numbers: Vec<i64> = if all {
        (first as i64..=last as i64).collect()
    } else {
        vec![0]
    };
    let roomy = repeat * view.scale > width_mm("centre line", WORDS_MM, true) + 2.0;
    for number in numbers {
        let x = view.apply(point(number as f64 * repeat, 0.0)).x;
        let stroke = match number {
            0 => Stroke::ink(0.4).broken(Dash::DashDot),
            _ => Stroke::ink(0.25).broken(Dash::DashDot).coloured(GREY),
        };
        items.push(
            Path::segments([[point(x, ABOVE_MM - 3.0), point(x, bottom + 3.0)]], stroke).into(),
        );
        let words = match number {
            0 => "centre line".to_owned(),
            _ if !roomy => String::new(),
            1 | -1 => "1 repeat on".to_owned(),
            more => format!("{} repeats on", more.abs()),
        };
        let mut text =
            Text::new(point(x, ABOVE_MM - 4.5), WORDS_MM, words).anchored(Anchor::Middle);
        text.bold = number == 0;
        items.push(text.into());
    }
    items
}

/// Cut line and finished line of a piece, and the centre line where it crosses it.
fn outline(one: &Move, piece: &PlacedPiece, cut: &[Vec<Point>], view: &View) -> Vec<Item> {
    let shown = view.rings(cut);
    let finished = view.rings(&laid(&piece.finished_region(), &one.on_stripe));
    let veil = Fill {
        colour: PAPER,
        opacity: 0.75,
    };
    vec![
        Path::rings(shown, Some(veil), Some(Stroke::ink(0.35))).into(),
        Path::rings(finished, None, Some(Stroke::ink(0.15).broken(Dash::Dashed))).into(),
    ]
}

/// The letter of each piece and how far it is moved, where there is room for it.
fn names(plan: &Plan, pieces: &[(&Move, &PlacedPiece)], view: &View) -> Vec<Item> {
    let mut items = Vec::new();
    for (one, piece) in pieces {
        let rings = view.rings(&laid(&piece.finished_region(), &one.on_stripe));
        let mut words = vec![one.mark.clone()];
        words.extend(moved_words(one, |mm| Length::from_mm(mm).shown(plan.unit)));
        let tries = [&words[..], &words[..1]];
        let fits = tries.iter().find_map(|lines| {
            let wide = lines.iter().enumerate().map(|(i, words)| {
                let size = if i == 0 { LETTER_MM } else { WORDS_MM };
                width_mm(words, size, i == 0)
            });
            let size = [wide.fold(0.0, f64::max) + 1.0, high(lines.len())];
            let room = find_room(&rings, size[0], size[1], &[]);
            (room.factor >= 1.0).then_some((room.middle, *lines))
        });
        // Too small even for its letter: it stands on the middle.
        let (middle, lines) =
            fits.unwrap_or_else(|| (find_room(&rings, 1.0, 1.0, &[]).middle, &words[..1]));
        let mut down = middle.y - high(lines.len()) / 2.0;
        for (i, words) in lines.iter().enumerate() {
            let size = if i == 0 { LETTER_MM } else { WORDS_MM };
            let base = point(middle.x, down + size * (0.1 + CAPITAL) + 0.3);
            let wide = width_mm(words, size, i == 0) + 0.6;
            let corner = point(middle.x - wide / 2.0, base.y - size * 0.85);
            let plate = Fill::solid(PAPER);
            items.push(Path::rect(corner, wide, size * 1.1, Some(plate), None).into());
            let text = Text::new(base, size, words.clone()).anchored(Anchor::Middle);
            items.push(if i == 0 { text.bold() } else { text }.into());
            down += size * 1.25;
        }
    }
    items
}

/// How high so many lines stand: the letter and words below it.
fn high(lines: usize) -> f64 {
    1.25 * (LETTER_MM + WORDS_MM * (lines - 1) as f64)
}

/// `1 repeat left`, `7/16 in down`; nothing for what stays in its place.
fn moved_words(one: &Move, shown: impl Fn(f64) -> String) -> Vec<String> {
    let mut words = Vec::new();
    let plural = |n: u64| if n == 1 { "repeat" } else { "repeats" };
    match (one.repeats.unsigned_abs(), one.repeats > 0) {
        (0, _) => {}
        (n, true) => words.push(format!("{n} {} right", plural(n))),
        (n, false) => words.push(format!("{n} {} left", plural(n))),
    }
    if one.along_mm > 0.0 {
        words.push(format!("{} up", shown(one.along_mm)));
    } else if one.along_mm < 0.0 {
        words.push(format!("{} down", shown(-one.along_mm)));
    }
    words
}

/// The way along the stripe, beside it.
fn along_arrow(bottom: f64) -> Vec<Item> {
    let (top, foot) = (ABOVE_MM, bottom.clamp(ABOVE_MM + 34.0, ABOVE_MM + 60.0));
    let mut strokes = vec![[point(ARROW_MM, foot), point(ARROW_MM, top)]];
    strokes
        .extend([-1.2, 1.2].map(|side| [point(ARROW_MM, top), point(ARROW_MM + side, top + 2.4)]));
    let middle = f64::midpoint(top, foot);
    let text = Text::new(
        point(ARROW_MM - 1.4, middle),
        WORDS_MM,
        "along the stripe, up",
    );
    vec![
        Path::segments(strokes, Stroke::ink(0.3)).into(),
        text.anchored(Anchor::Middle).turned(-90.0).into(),
    ]
}

/// How wide the repeat is that is drawn, between two of its lines.
fn measure(apart: &SlidApart, view: &View, [low, high]: [f64; 2], bottom: f64) -> Vec<Item> {
    let repeat = apart.repeat_mm;
    let first = (low / repeat).ceil();
    if (first + 1.0) * repeat > high {
        return Vec::new();
    }
    let y = bottom + 5.0;
    let ends = [first, first + 1.0].map(|n| point(view.apply(point(n * repeat, 0.0)).x, y));
    let words = "1 repeat";
    let mut strokes = vec![ends];
    for (tip, way) in [(ends[0], 1.0), (ends[1], -1.0)] {
        strokes.extend([-0.8, 0.8].map(|side| [tip, point(tip.x + way * 1.6, tip.y + side)]));
    }
    let base = point(f64::midpoint(ends[0].x, ends[1].x), y + 4.0);
    vec![
        Path::segments(strokes, Stroke::ink(0.25)).into(),
        Text::new(base, WORDS_MM, words)
            .anchored(Anchor::Middle)
            .into(),
    ]
}

/// The pieces in their places in the motif, the centre line through them.
/// How far down it reaches (mm).
fn in_motif(pieces: &[(&Move, &PlacedPiece)]) -> (Vec<Item>, f64) {
    let finished: Vec<Vec<Vec<Point>>> = pieces
        .iter()
        .map(|(_, piece)| rings_of(&piece.finished_region()))
        .collect();
    let [low, high] = corners_of(finished.iter().flatten().flatten());
    let (wide, tall) = ((high.x - low.x).max(1.0), (high.y - low.y).max(1.0));
    let scale = (MOTIF_MM / wide).min(MOTIF_MM / tall).min(1.0);
    let view = View {
        scale,
        at: point((MOTIF_MM - wide * scale) / 2.0 + 1.0, ABOVE_MM),
        origin: point(low.x, high.y),
    };
    let mut items: Vec<Item> = vec![
        Text::new(
            point(MOTIF_MM / 2.0 + 1.0, ABOVE_MM - 4.5),
            WORDS_MM,
            "in the motif",
        )
        .anchored(Anchor::Middle)
        .bold()
        .into(),
    ];
    let reach = wide.max(tall);
    for ((one, _), region) in pieces.iter().zip(&finished) {
        let rings = view.rings(region);
        let line = centre_line(&one.in_place, reach).map(|p| view.apply(p));
        let stroke = Stroke::ink(0.3).broken(Dash::DashDot);
        let across = Path::segments([line], stroke);
        items.push(Path::rings(rings.clone(), None, Some(Stroke::ink(0.25))).into());
        items.push(Group::clipped(rings, vec![across.into()]).into());
    }
    // Where all share one line it runs through the gaps between them too.
    let shared = pieces
        .windows(2)
        .all(|two| same(&two[0].0.in_place, &two[1].0.in_place));
    if let (true, Some((first, _))) = (shared, pieces.first()) {
        let over = 2.0 / scale;
        let box_of = [low - point(over, over), high + point(over, over)];
        let ring = [
            box_of[0],
            point(box_of[1].x, box_of[0].y),
            box_of[1],
            point(box_of[0].x, box_of[1].y),
        ];
        let line = centre_line(&first.in_place, 2.0 * reach).map(|p| view.apply(p));
        let across = Path::segments([line], Stroke::ink(0.3).broken(Dash::DashDot));
        let ring = ring.map(|p| view.apply(p)).to_vec();
        items.push(Group::clipped(vec![ring], vec![across.into()]).into());
    }
    for ((one, _), region) in pieces.iter().zip(&finished) {
        let rings = view.rings(region);
        let wide = width_mm(&one.mark, LETTER_MM, true) + 0.6;
        let room = find_room(&rings, wide, LETTER_MM, &[]);
        let base = point(room.middle.x, room.middle.y + LETTER_MM * CAPITAL / 2.0);
        let corner = point(room.middle.x - wide / 2.0, room.middle.y - LETTER_MM * 0.55);
        let plate = Path::rect(
            corner,
            wide,
            LETTER_MM * 1.1,
            Some(Fill::solid(PAPER)),
            None,
        );
        items.push(plate.into());
        let text = Text::new(base, LETTER_MM, one.mark.clone()).bold();
        items.push(text.anchored(Anchor::Middle).into());
    }
    (items, ABOVE_MM + tall * scale)
}

/// What is done with each piece, in lines that fit below the motif: those that stay first.
fn moved_list(plan: &Plan, pieces: &[(&Move, &PlacedPiece)]) -> Vec<String> {
    let stays = |one: &Move| one.repeats == 0 && one.along_mm == 0.0;
    let still: Vec<&str> = pieces
        .iter()
        .filter(|(one, _)| stays(one))
        .map(|(one, _)| one.mark.as_str())
        .collect();
    let mut lines = Vec::new();
    if !still.is_empty() {
        let verb = if still.len() == 1 { "stays" } else { "stay" };
        lines.extend(wrap(
            &format!("{} {verb}", listed(&still)),
            WORDS_MM,
            false,
            MOTIF_MM + 4.0,
        ));
    }
    for (one, _) in pieces.iter().filter(|(one, _)| !stays(one)) {
        let words = moved_words(one, |mm| Length::from_mm(mm).shown_both(plan.unit));
        let all = format!("{}: {}", one.mark, words.join(", "));
        lines.extend(wrap(&all, WORDS_MM, false, MOTIF_MM + 4.0));
    }
    lines
}

fn same(a: &Rigid, b: &Rigid) -> bool {
    let gap = a.shift - b.shift;
    let turn = (a.rotate_rad - b.rotate_rad).sin().abs();
    turn < 1e-6 && gap.x.hypot(gap.y) < 1e-6 && (a.rotate_rad - b.rotate_rad).cos() > 0.0
}

/// Two points of a piece's centre line, motif frame.
fn centre_line(in_place: &Rigid, reach: f64) -> [Point; 2] {
    [-reach, reach].map(|v| in_place.unapply(point(0.0, v)))
}
