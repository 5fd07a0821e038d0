//! One sheet of a map: title, fabric, rulers, legend and listing.

use super::listing::{height_mm, listing};
use super::split::Stretch;
use super::{Laid, fabric, leftover, pieces, stretch};
use crate::draw::lettering::{CAPITAL, fit, width_mm, wrap};
use crate::draw::measure::{length, length_up};
use crate::draw::paper::{MARGIN_MM, Paper};
use crate::draw::ruler::{Side, ruler};
use crate::draw::scene::{Anchor, Dash, GREY, Group, Item, PAPER, Path, Scene, Stroke, Text};
use crate::draw::view::{View, corners_of};
use crate::plan::{FabricPlan, Plan, UnitNote};
use crate::shape::{Point, point};

/// Left of the fabric: the word for the selvage and a ruler (mm).
const LEFT_MM: f64 = 15.0;
/// Right of it: the other selvage and the grain (mm).
const RIGHT_MM: f64 = 8.0;
/// Further right on an overview: which sheet shows what (mm).
const BRACKETS_MM: f64 = 26.0;
/// Below it: a ruler and the word for the cut end (mm).
const BELOW_MM: f64 = 10.0;
/// Title and what there is to know (mm).
const HEAD_MM: f64 = 24.0;
/// The legend (mm).
const LEGEND_MM: f64 = 6.0;
/// Fabric shown beyond the last piece of a stretch (mm of paper).
const BEYOND_MM: f64 = 5.0;

/// What a sheet is for.
pub(super) enum Wanted<'a> {
    /// The places of a stretch's pieces, on the sheet of that number.
    Places {
        /// Counted from 1.
        number: usize,
    },
    /// The whole fabric, with what is on the other sheets.
    Overview(&'a [Stretch]),
}

/// What all sheets of one map share.
pub(super) struct Sheet<'a> {
    pub plan: &'a Plan,
    pub fabric: &'a FabricPlan,
    pub laid: &'a [Laid<'a>],
    pub paper: Paper,
    /// The number of the sheet on which each piece is listed.
    pub homes: &'a [usize],
    /// How many sheets there are.
    pub sheets: usize,
}

impl Sheet<'_> {
    fn room(&self) -> [f64; 2] {
        let [width, height] = self.paper.room_mm();
        [
            width - LEFT_MM - RIGHT_MM,
            height - HEAD_MM - BELOW_MM - LEGEND_MM,
        ]
    }

    /// How many times smaller than the fabric the map is drawn: halves, from 1 on;
    /// `less_mm` of the width are wanted for something else.
    fn reduction(&self, less_mm: f64) -> f64 {
        let width = self.room()[0] - less_mm;
        ((self.fabric.width / width * 2.0).ceil() / 2.0).max(1.0)
    }

    /// Whether a stretch of that length, with that many pieces listed, has room.
    pub(super) fn fits(&self, length_mm: f64, pieces: usize) -> bool {
        let [_, height] = self.room();
        length_mm / self.reduction(0.0) + 2.0 * BEYOND_MM + height_mm(pieces) <= height
    }

    /// The sheet for a stretch.
    pub(super) fn draw(&self, stretch: &Stretch, wanted: Wanted<'_>) -> Scene {
        let [page_width, page_height] = self.paper.size_mm();
        let [_, room] = self.room();
        let listed = match wanted {
            Wanted::Places { .. } => stretch.pieces.len(),
            Wanted::Overview(_) => 0,
        };
        let from_end = stretch.low_mm <= 0.0;
        let to_end = stretch.high_mm >= self.fabric.length;
        let beyond = 2.0 * BEYOND_MM;
        let space = (room - height_mm(listed) - beyond).max(20.0);
        let stretch_mm = stretch.high_mm - stretch.low_mm;
        let brackets = match wanted {
            Wanted::Places { .. } => 0.0,
            Wanted::Overview(_) => BRACKETS_MM,
        };
        let reduction = self
            .reduction(brackets)
            .max((stretch_mm / space * 2.0).ceil() / 2.0);
        let scale = 1.0 / reduction;
        let low = if from_end {
            stretch.low_mm.min(0.0)
        } else {
            stretch.low_mm - BEYOND_MM * reduction
        };
        let low = if from_end { low } else { low.max(0.0) };
        // What is left over may end where the fabric does.
        let beyond_mm = if stretch.high_mm > self.fabric.length {
            0.0
        } else {
            BEYOND_MM * reduction
        };
        let high = stretch.high_mm + beyond_mm;
        let left =
            MARGIN_MM + LEFT_MM + (self.room()[0] - brackets - self.fabric.width * scale) / 2.0;
        let top = MARGIN_MM + HEAD_MM;
        let bottom = top + (high - low) * scale;
        let view = View {
            scale,
            at: point(left, bottom),
            origin: point(0.0, low),
        };
        let corners = [point(0.0, low), point(self.fabric.width, high)];

        let shown: Vec<usize> = (0..self.laid.len())
            .filter(|&i| {
                let reach = self.laid[i].reach();
                reach.high_mm > low && reach.low_mm < high
            })
            .collect();
        let (full, faint): (Vec<usize>, Vec<usize>) = match wanted {
            Wanted::Overview(_) => (shown, Vec::new()),
            Wanted::Places { .. } => {
                let mine = |i: &usize| stretch.pieces.contains(i);
                shown.into_iter().partition(mine)
            }
        };

        let mut items = self.title(&wanted, reduction);
        items.push(fabric::fabric(
            self.fabric,
            corners,
            self.laid,
            &full,
            &view,
        ));
        items.extend(stretch::stretch(self.plan, self.fabric, [low, high], &view));
        items.extend(self.frame(&view, [low, high], from_end, to_end));
        items.push(self.neighbours(&faint, corners, &view));
        let lines: Vec<Item> = full
            .iter()
            .map(|&i| pieces::lines(&self.laid[i], &view))
            .collect();
        items.push(Group::named("pieces", lines).into());
        if low <= self.fabric.length && self.fabric.length < high {
            items.extend(self.used_line(&view));
        }
        items.extend(leftover::leftover(
            self.plan,
            self.fabric,
            [low, high],
            &view,
        ));
        let names = full.iter().map(|&i| self.name(i, &wanted, &view)).collect();
        items.push(Group::named("names", names).into());
        let legend_top = bottom + BELOW_MM;
        match wanted {
            Wanted::Overview(stretches) => {
                items.extend(self.brackets(stretches, &view));
            }
            Wanted::Places { .. } => {
                let crosses = full
                    .iter()
                    .map(|&i| pieces::cross(&self.laid[i], &view))
                    .collect();
                items.push(Group::named("marks", crosses).into());
                let corner = point(MARGIN_MM, legend_top + LEGEND_MM);
                let mut order = stretch.pieces.clone();
                order.sort_by(|&a, &b| {
                    let (a, b) = (self.laid[a].mark, self.laid[b].mark);
                    a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x))
                });
                let unit = self.plan.unit;
                items.extend(listing(
                    corner,
                    self.paper.room_mm()[0],
                    self.laid,
                    &order,
                    unit,
                ));
            }
        }
        let crosses = matches!(wanted, Wanted::Places { .. });
        let corner = point(MARGIN_MM, legend_top + 2.2);
        items.extend(legend(corner, crosses, self.sheets > 1));
        let unit = self.plan.unit;
        Scene {
            width_mm: page_width,
            height_mm: page_height,
            title: format!(
                "Cutting map of {}{}",
                self.fabric.name,
                self.sheet_words(&wanted)
            ),
            about: format!(
                "{} on fabric {} wide, {} long; distances are measured from the left selvage and from the cut end.",
                pieces_word(full.len()),
                length(self.fabric.width, unit),
                length_up(self.fabric.length, unit)
            ),
            items,
        }
    }

    fn sheet_words(&self, wanted: &Wanted<'_>) -> String {
        match wanted {
            Wanted::Places { .. } if self.sheets == 1 => String::new(),
            Wanted::Places { number } => format!(", sheet {number} of {}", self.sheets),
            Wanted::Overview(_) => format!(", sheet 1 of {}: the whole fabric", self.sheets),
        }
    }

    fn title(&self, wanted: &Wanted<'_>, reduction: f64) -> Vec<Item> {
        let width = self.paper.room_mm()[0];
        let unit = self.plan.unit;
        let line = |down: f64, size: f64, words: &str, bold: bool| -> Item {
            let words = fit(words, size, bold, width);
            let mut text = Text::new(point(MARGIN_MM, MARGIN_MM + down), size, words);
            text.bold = bold;
            text.into()
        };
        let heading = format!(
            "Cutting map: {}{}",
            self.fabric.name,
            self.sheet_words(wanted)
        );
        let left = self.fabric.leftover.map_or_else(String::new, |left| {
            let (wide, long) = (length(left.width, unit), length(left.length, unit));
            format!(" · left over {wide} by {long}")
        });
        let facts = format!(
            "{} · {} usable width, {} of it used · buy {}{left}",
            self.plan.title,
            length(self.fabric.width, unit),
            length_up(self.fabric.length, unit),
            self.fabric.buy.shown,
        );
        let how = match wanted {
            Wanted::Overview(_) => {
                "Right side of the fabric up, cut end nearest to you. The sheets that follow tell where each piece lies."
            }
            Wanted::Places { .. } if self.fabric.stripe.is_none() => {
                "Right side of the fabric up, cut end nearest to you. Measure out each cross from the left selvage and from the cut end; its long arm points to the top of the motif. Lay the template on it, and cut on the unbroken line."
            }
            Wanted::Places { .. } => {
                "Right side of the fabric up, cut end nearest to you. Measure out each cross from the left selvage and from the cut end; its long arm points to the top of the motif. Lay the template on it so that its stripe ticks meet the stripes, and cut on the unbroken line."
            }
        };
        let how = format!("{how} Drawn at 1 to {reduction}.");
        let mut items = vec![
            line(4.6, 5.0, &heading, true),
            line(9.4, 2.9, &facts, false),
        ];
        for (i, words) in wrap(&how, 2.5, false, width).iter().enumerate() {
            items.push(line(13.6 + 3.3 * i as f64, 2.5, words, false));
        }
        items
    }

    /// Edges of the fabric, rulers, and the words for them.
    fn frame(&self, view: &View, [low, high]: [f64; 2], from_end: bool, to_end: bool) -> Vec<Item> {
        let width = self.fabric.width;
        let at = |x: f64, y: f64| view.apply(point(x, y));
        let selvage = Stroke::ink(0.5);
        let mut items: Vec<Item> = vec![
            Path::segments(
                [
                    [at(0.0, low), at(0.0, high)],
                    [at(width, low), at(width, high)],
                ],
                selvage,
            )
            .into(),
        ];
        let edge = |y: f64, is_end: bool| -> Item {
            let stroke = if is_end {
                selvage
            } else {
                selvage.broken(Dash::DashDot).coloured(GREY)
            };
            Path::open(vec![at(0.0, y), at(width, y)], stroke).into()
        };
        items.push(edge(low, from_end));
        items.push(edge(high, false));
        let unit = self.plan.unit;
        items.extend(ruler(Side::Below, [0.0, width], unit, view.scale, |x| {
            let p = at(x, low);
            point(p.x, p.y + 0.5)
        }));
        items.extend(ruler(
            Side::Left,
            [low.max(0.0), high],
            unit,
            view.scale,
            |y| {
                let p = at(0.0, y);
                point(p.x - 0.5, p.y)
            },
        ));
        let middle = at(width / 2.0, low);
        let end_words = if from_end {
            format!("cut end; {} from the left selvage", unit_plural(unit))
        } else {
            format!(
                "the fabric goes on towards the cut end; {} from the left selvage",
                unit_plural(unit)
            )
        };
        let small = 2.2;
        items.push(
            Text::new(point(middle.x, middle.y + 8.6), small, end_words)
                .anchored(Anchor::Middle)
                .into(),
        );
        if !to_end {
            let words = "the fabric goes on";
            let top = at(width / 2.0, high);
            items.push(
                Text::new(point(top.x, top.y - 0.9), small, words)
                    .anchored(Anchor::Middle)
                    .coloured(GREY)
                    .into(),
            );
        }
        // The fullest words that have room.
        let side = |x: f64, words: &[&str], turn: f64| -> Option<Item> {
            let p = at(0.0, (low + high) / 2.0);
            let room = (high - low) * view.scale;
            let words = words
                .iter()
                .find(|words| width_mm(words, small, false) <= room)?;
            let text = Text::new(point(x, p.y), small, *words);
            Some(text.anchored(Anchor::Middle).turned(turn).into())
        };
        let (left, right) = (at(0.0, low).x, at(width, low).x);
        let plural = unit_plural(unit);
        let from_end = format!("{plural} from the cut end");
        let words = [&format!("left selvage; {from_end}"), &from_end, plural];
        items.extend(side(left - LEFT_MM + 2.2, &words, -90.0));
        items.extend(side(right + 3.0, &["right selvage", "selvage"], -90.0));
        items.extend(grain(
            point(right + 6.0, 0.0),
            at(0.0, high).y,
            at(0.0, low).y,
        ));
        items
    }

    /// Pieces of other sheets as far as they reach into this one.
    fn neighbours(&self, faint: &[usize], [low, high]: [Point; 2], view: &View) -> Item {
        let corners = [low, point(high.x, low.y), high, point(low.x, high.y)];
        let window: Vec<Point> = corners.iter().map(|&p| view.apply(p)).collect();
        let [window_low, window_high] = corners_of(&window);
        let mut items = Vec::new();
        let mut names = Vec::new();
        for &index in faint {
            let laid = &self.laid[index];
            items.push(pieces::faint_outline(laid, view));
            // A box is enough to find the part that is seen.
            let rings: Vec<Vec<Point>> = view
                .rings(&laid.cut)
                .into_iter()
                .map(|ring| clip_to_rows(&ring, window_low.y, window_high.y))
                .filter(|ring| ring.len() > 2)
                .collect();
            let [seen_low, seen_high] = corners_of(rings.iter().flatten());
            if seen_high.y - seen_low.y > 4.0 {
                let words = [
                    laid.piece.label.clone(),
                    format!("sheet {}", self.homes[index]),
                ];
                let words: Vec<&str> = words.iter().map(String::as_str).collect();
                names.push(pieces::name(&rings, &words, &[], true));
            }
        }
        items.extend(names);
        Group::clipped(vec![window], items).into()
    }

    fn name(&self, index: usize, wanted: &Wanted<'_>, view: &View) -> Item {
        let laid = &self.laid[index];
        let rings = view.rings(&laid.cut);
        let label = laid.piece.label.as_str();
        let words: Vec<&str> = match wanted {
            Wanted::Places { .. } if laid.piece.to_fabric.mirror => vec![label, "wrong side up"],
            _ => vec![label],
        };
        let at = view.apply(laid.mark);
        let up = view.turn(laid.map.turn(point(0.0, 1.0)));
        let length = up.x.hypot(up.y);
        let head = point(at.x + 2.0 * up.x / length, at.y + 2.0 * up.y / length);
        let keep_off: &[Point] = match wanted {
            Wanted::Places { .. } => &[at, head],
            Wanted::Overview(_) => &[],
        };
        pieces::name(&rings, &words, keep_off, false)
    }

    fn used_line(&self, view: &View) -> Vec<Item> {
        let ends = leftover::used_across(self.fabric);
        let ends = ends.map(|x| view.apply(point(x, self.fabric.length)));
        let stroke = Stroke::ink(0.4).broken(Dash::Dashed);
        let words = format!(
            "used to here: {}",
            length_up(self.fabric.length, self.plan.unit)
        );
        let size = 2.4;
        let middle = point(
            ends[1].x - width_mm(&words, size, true) / 2.0 - 2.0,
            ends[1].y - 2.2,
        );
        vec![
            Path::open(ends.to_vec(), Stroke::ink(0.9).coloured(PAPER)).into(),
            Path::open(ends.to_vec(), stroke).into(),
            pieces::plate(middle, &[&words], size, false),
        ]
    }

    /// On the overview: which sheet shows which stretch.
    fn brackets(&self, stretches: &[Stretch], view: &View) -> Vec<Item> {
        let mut items = Vec::new();
        let edge = view.apply(point(self.fabric.width, 0.0)).x + RIGHT_MM;
        for (i, stretch) in stretches.iter().enumerate() {
            // Stretches overlap: brackets stand further in and out by turns.
            let x = edge + if i % 2 == 0 { 2.5 } else { 5.0 };
            let high = stretch.high_mm.min(self.fabric.length);
            let (top, bottom) = (
                view.apply(point(0.0, high)).y,
                view.apply(point(0.0, stretch.low_mm)).y,
            );
            let line = [(-1.2, top), (0.0, top), (0.0, bottom), (-1.2, bottom)]
                .map(|(out, y)| point(x + out, y));
            items.push(Path::open(line.to_vec(), Stroke::ink(0.35)).into());
            let at = point(edge + 6.5, (top + bottom) / 2.0 + 0.9);
            let room = BRACKETS_MM - 6.5;
            let words = [
                format!("sheet {}", i + 2),
                pieces_word(stretch.pieces.len()),
            ];
            for (line, words) in words.iter().enumerate() {
                let words = fit(words, 2.3, line == 0, room);
                let mut text = Text::new(point(at.x, at.y + 3.0 * line as f64), 2.3, words);
                text.bold = line == 0;
                items.push(text.into());
            }
        }
        items
    }
}

fn pieces_word(count: usize) -> String {
    match count {
        1 => "1 piece".to_owned(),
        _ => format!("{count} pieces"),
    }
}

fn unit_plural(unit: UnitNote) -> &'static str {
    match unit {
        UnitNote::In => "inches",
        UnitNote::Cm => "centimetres",
        UnitNote::Mm => "millimetres",
    }
}

/// The part of a ring between two heights of the page.
fn clip_to_rows(ring: &[Point], top: f64, bottom: f64) -> Vec<Point> {
    let cut = |ring: Vec<Point>, at: f64, keep_below: bool| -> Vec<Point> {
        let inside = |p: &Point| if keep_below { p.y >= at } else { p.y <= at };
        let mut kept = Vec::new();
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            if inside(a) {
                kept.push(*a);
            }
            if inside(a) != inside(b) {
                let share = (at - a.y) / (b.y - a.y);
                kept.push(point(a.x + share * (b.x - a.x), at));
            }
        }
        kept
    };
    cut(cut(ring.to_vec(), top, true), bottom, false)
}

/// A double arrow along the lengthwise grain.
fn grain(at: Point, top: f64, bottom: f64) -> Vec<Item> {
    let middle = (top + bottom) / 2.0;
    let words = "grain";
    let half = ((bottom - top) / 2.0 - 1.0).clamp(4.0, 18.0);
    let gap = width_mm(words, 2.2, false) / 2.0 + 0.8;
    let stroke = Stroke::ink(0.25);
    let mut ends = Vec::new();
    for sign in [-1.0, 1.0] {
        let tip = point(at.x, middle + sign * half);
        ends.push([point(at.x, middle + sign * gap.min(half)), tip]);
        for side in [-0.9, 0.9] {
            ends.push([point(tip.x + side, tip.y - sign * 1.6), tip]);
        }
    }
    vec![
        Path::segments(ends, stroke).into(),
        Text::new(point(at.x + 2.2 * CAPITAL / 2.0, middle), 2.2, words)
            .anchored(Anchor::Middle)
            .turned(-90.0)
            .into(),
    ]
}

/// What the lines mean, each with a sample.
fn legend(at: Point, crosses: bool, others: bool) -> Vec<Item> {
    let size = 2.3;
    let mut x = at.x;
    let mut items = Vec::new();
    let baseline = at.y + size * CAPITAL / 2.0;
    let mut entry = |sample: &dyn Fn(f64) -> Vec<Item>, sample_mm: f64, words: &str| {
        items.extend(sample(x));
        x += sample_mm + 1.2;
        items.push(Text::new(point(x, baseline), size, words).into());
        x += width_mm(words, size, false) + 4.0;
    };
    let line = |stroke: Stroke| {
        move |x: f64| vec![Path::open(vec![point(x, at.y), point(x + 8.0, at.y)], stroke).into()]
    };
    entry(&line(pieces::cut_stroke()), 8.0, "cut here");
    entry(&line(pieces::finished_stroke()), 8.0, "finished edge");
    entry(
        &|x| {
            let ends = [point(x, at.y + 1.0), point(x + 1.0, at.y - 1.0)];
            vec![Path::open(ends.to_vec(), pieces::clip_stroke()).into()]
        },
        1.4,
        "clip",
    );
    if crosses {
        entry(
            &|x| vec![pieces::cross_at(point(x + 1.2, at.y), point(1.0, 0.0))],
            4.4,
            "measured point; the arrow is the motif's top",
        );
    }
    if crosses && others {
        entry(
            &|x| {
                let stroke = Stroke::ink(0.2).coloured(GREY).broken(Dash::Dotted);
                vec![Path::open(vec![point(x, at.y), point(x + 8.0, at.y)], stroke).into()]
            },
            8.0,
            "piece of another sheet",
        );
    }
    items
}
