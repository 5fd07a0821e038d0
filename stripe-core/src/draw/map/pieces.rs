//! The pieces on a map: their lines, names and crosses.

use super::Laid;
use super::hatch::hatch;
use crate::draw::lettering::{CAPITAL, width_mm};
use crate::draw::scene::{Anchor, Dash, Fill, GREY, Group, Item, PAPER, Path, Stroke, Text};
use crate::draw::view::View;
use crate::shape::{Point, point};

/// Half the length of a cross's arms (mm).
const ARM_MM: f64 = 1.1;
/// Length of the arm that points to the motif's top (mm).
const LONG_ARM_MM: f64 = 3.0;

/// The look of the cut line.
pub(super) fn cut_stroke() -> Stroke {
    Stroke::ink(0.32)
}

/// The same where pieces are as small as a line is wide.
fn fine_stroke() -> Stroke {
    Stroke::ink(0.12)
}

/// The look of the finished line.
pub(super) fn finished_stroke() -> Stroke {
    Stroke::ink(0.18).broken(Dash::Dashed)
}

/// The look of clips.
pub(super) fn clip_stroke() -> Stroke {
    Stroke::ink(0.2)
}

/// Pale beneath dark: seen over a band of any colour.
fn haloed(rings: &[Vec<Point>], stroke: Stroke, halo_mm: f64) -> [Item; 2] {
    let pale = Stroke::ink(stroke.width_mm + halo_mm).coloured(PAPER);
    [
        Path::rings(rings.to_vec(), None, Some(pale)).into(),
        Path::rings(rings.to_vec(), None, Some(stroke)).into(),
    ]
}

/// What is cut already, its outline on the page: gone from the fabric.
pub(super) fn cut_already(rings: Vec<Vec<Point>>) -> Vec<Item> {
    let gone = Fill {
        colour: PAPER,
        opacity: 0.85,
    };
    let edge = Stroke::ink(0.25).coloured(GREY);
    vec![Path::rings(rings, Some(gone), Some(edge)).into()]
}

/// The cut line of one piece; with `details`, its finished line and clips too.
pub(super) fn lines(laid: &Laid<'_>, view: &View, details: bool) -> Item {
    if laid.piece.is_cut {
        return Group {
            items: cut_already(view.rings(&laid.cut)),
            ..Group::default()
        }
        .into();
    }
    let mut items = Vec::new();
    if laid.piece.to_fabric.mirror {
        items.extend(hatch(&view.rings(&laid.cut)));
    }
    if !details {
        items.push(Path::rings(view.rings(&laid.cut), None, Some(fine_stroke())).into());
        return Group {
            items,
            ..Group::default()
        }
        .into();
    }
    items.extend(haloed(&view.rings(&laid.finished), finished_stroke(), 0.3));
    items.extend(haloed(&view.rings(&laid.cut), cut_stroke(), 0.45));
    let clips: Vec<[Point; 2]> = laid
        .piece
        .clips
        .iter()
        .map(|clip| clip.map(|[x, y]| view.apply(laid.map.apply(point(x, y)))))
        .collect();
    if !clips.is_empty() {
        let pale = Stroke::ink(0.5).coloured(PAPER);
        items.push(Path::segments(clips.iter().copied(), pale).into());
        items.push(Path::segments(clips, clip_stroke()).into());
    }
    Group {
        items,
        ..Group::default()
    }
    .into()
}

/// The look of where a piece lay before.
pub(super) fn before_stroke() -> Stroke {
    Stroke::ink(0.3).coloured(GREY).broken(Dash::DashDot)
}

/// Where a piece lay in the plan before this one.
pub(super) fn before(laid: &Laid<'_>, view: &View) -> Option<Item> {
    let map = laid.piece.was?.to_rigid();
    let ring = laid
        .piece
        .cut
        .iter()
        .map(|&[x, y]| view.apply(map.apply(point(x, y))));
    let rings = vec![ring.collect()];
    let pale = Stroke::ink(0.7).coloured(PAPER);
    let items = vec![
        Path::rings(rings.clone(), None, Some(pale)).into(),
        Path::rings(rings, None, Some(before_stroke())).into(),
    ];
    Some(
        Group {
            items,
            ..Group::default()
        }
        .into(),
    )
}

/// The outline alone of a piece that another sheet is for.
pub(super) fn faint_outline(laid: &Laid<'_>, view: &View) -> Item {
    let stroke = Stroke::ink(0.2).coloured(GREY).broken(Dash::Dotted);
    Path::rings(view.rings(&laid.cut), None, Some(stroke)).into()
}

/// Width and height of the plate under words of that size.
pub(in crate::draw) fn plate_mm(words: &[&str], size: f64) -> [f64; 2] {
    let width = words
        .iter()
        .map(|line| width_mm(line, size, true))
        .fold(0.0, f64::max)
        + 0.3 * size;
    [width, size * (1.2 * words.len() as f64 - 0.15)]
}

/// Words on a pale plate about a point.
pub(in crate::draw) fn plate(middle: Point, words: &[&str], size: f64, grey: bool) -> Item {
    let [width, height] = plate_mm(words, size);
    let line = size * 1.2;
    let corner = point(middle.x - width / 2.0, middle.y - height / 2.0);
    let pale = Fill {
        colour: PAPER,
        opacity: if grey { 0.75 } else { 0.92 },
    };
    let mut items = vec![Path::rect(corner, width, height, Some(pale), None).into()];
    for (i, words) in words.iter().enumerate() {
        let centre = corner.y + line * (i as f64 + 0.5) - 0.075 * size;
        let at = point(middle.x, centre + size * CAPITAL / 2.0);
        let mut text = Text::new(at, size, *words).anchored(Anchor::Middle).bold();
        if grey {
            text = text.coloured(GREY);
        }
        items.push(text.into());
    }
    Group {
        items,
        ..Group::default()
    }
    .into()
}

/// Where a piece's cross stands on the page, and the unit vector along its long arm.
fn cross_place(laid: &Laid<'_>, view: &View) -> (Point, Point) {
    let up = view.turn(laid.map.turn(point(0.0, 1.0)));
    let length = up.x.hypot(up.y);
    (view.apply(laid.mark), point(up.x / length, up.y / length))
}

/// The strokes of the cross at a piece's mark. Where the way a piece lies matters, the long
/// arm points to the motif's top; on plain fabric the outline alone tells it, and codes need
/// the room.
pub(super) fn cross_lines(laid: &Laid<'_>, view: &View, arrow: bool) -> Vec<[Point; 2]> {
    let (at, up) = cross_place(laid, view);
    strokes(at, up, arrow)
}

pub(super) fn strokes(at: Point, up: Point, arrow: bool) -> Vec<[Point; 2]> {
    let side = point(-up.y, up.x);
    let along = |s: f64, u: f64| point(at.x + s * side.x + u * up.x, at.y + s * side.y + u * up.y);
    let top = if arrow { LONG_ARM_MM } else { ARM_MM };
    let mut strokes = vec![
        [along(-ARM_MM, 0.0), along(ARM_MM, 0.0)],
        [along(0.0, -ARM_MM), along(0.0, top)],
    ];
    if arrow {
        strokes.extend([-0.55, 0.55].map(|s| [along(s, top - 0.8), along(0.0, top)]));
    }
    strokes
}

/// A cross of such strokes.
pub(super) fn cross(strokes: Vec<[Point; 2]>) -> Item {
    let pale = Stroke::ink(0.75).coloured(PAPER);
    Group {
        items: vec![
            Path::segments(strokes.iter().copied(), pale).into(),
            Path::segments(strokes, Stroke::ink(0.25)).into(),
        ],
        ..Group::default()
    }
    .into()
}
