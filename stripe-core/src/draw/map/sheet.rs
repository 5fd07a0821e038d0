//! One sheet of a map: title, fabric, rulers, legend and listing.

use super::edges::edge_words;
use super::head::{code_words, lie_words, stripe_words};
use super::labels::{NOBODY, Room, SMALL_MM};
use super::legend::Legend;
use super::listing::Listing;
use super::mirror::mirrored;
use super::named_bands::Named;
use super::split::{Stretch, pieces_word};
use super::{Laid, fabric, leftover, outline, pieces, stretch};
use crate::draw::lettering::{fit, wrap};
use crate::draw::measure::{length, length_up};
use crate::draw::paper::{MARGIN_MM, Paper};
use crate::draw::scene::{Dash, Group, Item, PAPER, Path, Scene, Stroke, Text};
use crate::draw::view::View;
use crate::draw::woven::Woven;
use crate::plan::{FabricPlan, Plan};
use crate::shape::{Point, corners_of, point};
use std::sync::OnceLock;

/// Left of the fabric: what its ruler measures, and the ruler (mm).
const LEFT_MM: f64 = 15.5;
/// Right of it: the grain (mm).
const RIGHT_MM: f64 = 7.0;
/// Further right on an overview: which sheet shows what (mm).
pub(super) const BRACKETS_MM: f64 = 26.0;
/// Below it: a ruler and the words for it (mm).
const BELOW_MM: f64 = 11.0;
/// Above it: the words for the selvages (mm).
const ABOVE_MM: f64 = 5.0;
/// Title and facts (mm).
const HEAD_MM: f64 = 11.0;
/// Sizes of the facts and of what there is to know (mm), and from line to line.
const FACTS_MM: f64 = 2.9;
const HOW_MM: f64 = 2.6;
const HOW_LINE_MM: f64 = 3.5;
/// Fabric shown beyond the last piece of a stretch (mm of paper).
const BEYOND_MM: f64 = 5.0;
/// So much more of it beyond the last piece of all (mm of paper).
const MORE_MM: f64 = 8.0;

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
    /// What it looks like.
    pub woven: Woven<'a>,
    pub laid: &'a [Laid<'a>],
    pub paper: Paper,
    /// The number of the sheet on which each piece is listed.
    pub homes: &'a [usize],
    /// How many sheets there are.
    pub sheets: usize,
    /// Whether the fabric lies wrong side up.
    pub wrong_side_up: bool,
    /// The bands by name.
    pub named: Named<'a>,
    /// How places are listed.
    pub listing: Listing,
    /// What [`Sheet::room`] has found: it is asked for with every piece.
    pub room: OnceLock<[f64; 2]>,
}

/// Of an overview that is this many times smaller than the fabric, allowances and clips are no
/// wider than the lines that would show them.
const FINE: f64 = 20.0;

/// Of more pieces on a sheet it is not shown where they lay before.
const MOST_BEFORE: usize = 12;

impl Sheet<'_> {
    /// How many pieces of the fabric lay elsewhere before.
    fn moved(&self) -> usize {
        let was = self.laid.iter().filter(|one| one.piece.was.is_some());
        was.count()
    }

    /// What stands to the right of the fabric (mm).
    pub(super) fn right_mm(&self) -> f64 {
        RIGHT_MM + self.named.right_mm()
    }

    /// Whether the fabric shows which way up a piece lies, so that crosses have an arrow.
    fn way_matters(&self) -> bool {
        self.fabric.shows_direction()
    }

    fn legend(&self, wanted: &Wanted<'_>) -> Legend {
        let places = matches!(wanted, Wanted::Places { .. });
        Legend {
            details: true,
            clips: self
                .laid
                .iter()
                .any(|one| !one.piece.clips.is_empty() && !one.piece.is_cut),
            crosses: places,
            arrows: self.way_matters(),
            others: self.sheets > 1,
            hatched: self
                .laid
                .iter()
                .any(|one| one.piece.to_fabric.mirror && !one.piece.is_cut),
            avoided: !self.fabric.avoid.is_empty(),
            moved: places && (1..=MOST_BEFORE).contains(&self.moved()),
            cut_already: self.laid.iter().any(|one| one.piece.is_cut),
        }
    }

    /// Room for the fabric and the listing below it; a sheet of places has most to say.
    fn room(&self) -> [f64; 2] {
        *self.room.get_or_init(|| self.measure_room())
    }

    fn measure_room(&self) -> [f64; 2] {
        let [width, height] = self.paper.room_mm();
        let wanted = Wanted::Places { number: 1 };
        let mut legend = self.legend(&wanted);
        legend.others = true;
        [
            width - LEFT_MM - self.right_mm(),
            height
                - self.head_mm(&wanted)
                - BELOW_MM
                - self.named.below_mm()
                - legend.height_mm(width)
                - 2.0,
        ]
    }

    /// How many times smaller than the fabric the map is drawn: halves, from 1 on;
    /// `less_mm` of the width are wanted for something else.
    fn reduction(&self, less_mm: f64) -> f64 {
        let width = self.room()[0] - less_mm;
        ((self.fabric.width_mm / width * 2.0).ceil() / 2.0).max(1.0)
    }

    /// Whether a stretch of that length, with that many pieces listed, has room.
    pub(super) fn fits(&self, length_mm: f64, pieces: usize) -> bool {
        let [_, height] = self.room();
        length_mm / self.reduction(0.0) + 2.0 * BEYOND_MM + self.listing.height_mm(pieces) <= height
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
        let to_end = stretch.high_mm >= self.fabric.length_mm;
        let beyond = 2.0 * BEYOND_MM;
        let space = (room - self.listing.height_mm(listed) - beyond).max(20.0);
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
        let ends_here = self.fabric.in_hand.is_some() && to_end;
        let beyond_mm = if ends_here || stretch.high_mm > self.fabric.length_mm {
            0.0
        } else {
            // Where the sheet has room: waste in which the codes of small pieces can stand.
            let spare = space - stretch_mm * scale;
            (BEYOND_MM
                + if to_end {
                    spare.clamp(0.0, MORE_MM)
                } else {
                    0.0
                })
                * reduction
        };
        let high = stretch.high_mm + beyond_mm;
        let left =
            MARGIN_MM + LEFT_MM + (self.room()[0] - brackets - self.fabric.width_mm * scale) / 2.0;
        let top = MARGIN_MM + self.head_mm(&wanted);
        let bottom = top + (high - low) * scale;
        let view = View {
            scale,
            at: point(left, bottom),
            origin: point(0.0, low),
        };
        let corners = [point(0.0, low), point(self.fabric.width_mm, high)];

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

        let mut drawn = vec![fabric::fabric(
            self.fabric,
            corners,
            self.laid,
            &full,
            &view,
            &self.woven,
        )];
        if self.fabric.in_hand.is_some() || !self.fabric.avoid.is_empty() {
            drawn.push(outline::outline(self.fabric, corners, &view));
        }
        let mut room = Room::new(corners_of(&corners.map(|p| view.apply(p))));
        let straight = stretch::stretch(self.plan, self.fabric, [low, high], &view, &mut room);
        drawn.extend(straight);
        drawn.extend(self.frame(&view, [low, high], from_end, to_end));
        drawn.extend(self.named.items(&view, [low, high], self.fabric.width_mm));
        drawn.extend(self.pieces(&full, &faint, corners, &wanted, &view, room));
        if let Wanted::Overview(stretches) = wanted {
            drawn.extend(self.brackets(stretches, &view));
        }
        if self.wrong_side_up {
            drawn = mirrored(drawn, page_width);
        }
        let mut items = self.title(&wanted, Some(reduction));
        items.extend(drawn);
        let down = bottom + BELOW_MM + self.named.below_mm() + 2.2;
        let room = self.paper.room_mm()[0];
        let mut legend = self.legend(&wanted);
        legend.details = has_details(&wanted, &view);
        let (legend, legend_mm) = legend.draw(point(MARGIN_MM, down), room);
        items.extend(legend);
        if matches!(wanted, Wanted::Places { .. }) {
            let corner = point(MARGIN_MM, down + legend_mm - 2.2);
            let mut order = stretch.pieces.clone();
            order.retain(|&i| !self.laid[i].piece.is_cut);
            order.sort_by(|&a, &b| {
                let (a, b) = (self.laid[a].mark, self.laid[b].mark);
                a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x))
            });
            items.extend(
                self.listing
                    .draw(corner, self.fabric, self.laid, &order, self.plan.unit),
            );
        }
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
                "{} on fabric {} wide, {} long; distances are measured from the {} and from the {}.",
                pieces_word(full.len()),
                length(self.fabric.width_mm, unit),
                length_up(self.fabric.length_mm, unit),
                edge_words(self.fabric).left,
                edge_words(self.fabric).lower
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

    /// What there is to know, line by line.
    fn how(&self, wanted: &Wanted<'_>, reduction: Option<f64>) -> Vec<String> {
        let edges = edge_words(self.fabric);
        let mut words = vec![lie_words(
            self.wrong_side_up,
            self.way_matters(),
            self.fabric,
        )];
        words.extend(stripe_words(self.plan, self.fabric));
        words.push(match wanted {
            Wanted::Overview(_) => {
                "The next sheets show where each piece lies.".to_owned()
            }
            Wanted::Places { .. } => {
                let lay = match &self.fabric.stripe {
                    Some(stripe) if stripe.bands().len() < 2 => {
                        ". Lay the template's cross on it, its arrow pointing as drawn and the marks on the print."
                    }
                    Some(_) => {
                        ". Lay the template's cross on it, its arrow pointing as drawn and the ticks on the stripes: where ruler and stripes disagree, follow the stripes."
                    }
                    None => ". Lay the template on it, turned as drawn.",
                };
                format!("{}{lay} Cut on the unbroken line.", edges.measure)
            }
        });
        words.push(code_words(self.plan, self.fabric));
        // Room is reckoned before the scale is known.
        words.push(format!("Scale 1:{}.", reduction.unwrap_or(1000.5)));
        wrap(&words.join(" "), HOW_MM, false, self.paper.room_mm()[0])
    }

    /// Title, facts, what there is to know, and the words above the fabric (mm).
    fn head_mm(&self, wanted: &Wanted<'_>) -> f64 {
        HEAD_MM + self.how(wanted, None).len() as f64 * HOW_LINE_MM + ABOVE_MM
    }

    fn title(&self, wanted: &Wanted<'_>, reduction: Option<f64>) -> Vec<Item> {
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
            let (wide, long) = (length(left.width_mm, unit), length(left.length_mm, unit));
            format!(" · left over {wide} by {long}")
        });
        let (wide, long) = (
            length(self.fabric.width_mm, unit),
            length_up(self.fabric.length_mm, unit),
        );
        let facts = match &self.fabric.in_hand {
            Some(one) => format!(
                "{} · a piece of {} in hand, {wide} across and {long} along the lengthwise grain",
                self.plan.title, one.fabric
            ),
            // In a rescue it is bought.
            None if self.plan.recut.is_some() => format!(
                "{} · {wide} usable width, uses {long} of length{left}",
                self.plan.title
            ),
            None => format!(
                "{} · {wide} usable width, uses {long} of length · buy {}{left}",
                self.plan.title, self.fabric.buy.shown,
            ),
        };
        let mut items = vec![
            line(4.6, 5.0, &heading, true),
            line(9.4, FACTS_MM, &facts, false),
        ];
        for (i, words) in self.how(wanted, reduction).iter().enumerate() {
            let down = HEAD_MM + 2.7 + HOW_LINE_MM * i as f64;
            items.push(line(down, HOW_MM, words, false));
        }
        items
    }

    /// Lines of pieces, their crosses and codes, what is used and what is left over.
    fn pieces(
        &self,
        full: &[usize],
        faint: &[usize],
        corners: [Point; 2],
        wanted: &Wanted<'_>,
        view: &View,
        mut room: Room,
    ) -> Vec<Item> {
        let [low, high] = [corners[0].y, corners[1].y];
        let window = corners_of(&corners.map(|p| view.apply(p)));
        let places = matches!(wanted, Wanted::Places { .. });
        for &i in full {
            room.rings(i, &view.rings(&self.laid[i].cut));
            if places {
                for line in pieces::cross_lines(&self.laid[i], view, self.way_matters()) {
                    room.line(NOBODY, line);
                }
            }
        }
        let mut items = Vec::new();
        let used = (self.fabric.in_hand.is_none() && (low..high).contains(&self.fabric.length_mm))
            .then(|| self.used_ends(view));
        if let Some(ends) = used {
            items.extend(used_line(ends));
            room.line(NOBODY, ends);
        }
        let left = leftover::leftover(self.plan, self.fabric, [low, high], view, &mut room);
        // Where many have moved, lines of all of them would hide the map.
        let is_told = places && self.moved() <= MOST_BEFORE;
        let before = full
            .iter()
            .filter(|_| is_told)
            .filter_map(|&i| pieces::before(&self.laid[i], view));
        let outlines = faint
            .iter()
            .map(|&i| pieces::faint_outline(&self.laid[i], view))
            .chain(before);
        let ring = [
            window[0],
            point(window[1].x, window[0].y),
            window[1],
            point(window[0].x, window[1].y),
        ];
        items.push(Group::clipped(vec![ring.to_vec()], outlines.collect()).into());
        let lines: Vec<Item> = full
            .iter()
            .map(|&i| pieces::lines(&self.laid[i], view, has_details(wanted, view)))
            .collect();
        items.push(Group::named("pieces", lines).into());
        items.extend(left);
        if places {
            let uncut = full.iter().filter(|&&i| !self.laid[i].piece.is_cut);
            let crosses = uncut.map(|&i| {
                pieces::cross(pieces::cross_lines(&self.laid[i], view, self.way_matters()))
            });
            items.push(Group::named("marks", crosses.collect()).into());
        }
        let (mut names, mut plates, mut crowded) = (Vec::new(), Vec::new(), Vec::new());
        let rings = |i: usize| view.rings(&self.laid[i].cut);
        let label = |i: usize| self.laid[i].piece.label.as_str();
        for &i in full {
            match room.label(i, &rings(i), &[label(i)], false) {
                Some(plate) => plates.push(plate),
                None => crowded.push(i),
            }
        }
        // The overview leaves out what has no room: the sheets that follow have it.
        for i in crowded.into_iter().filter(|_| places) {
            let (leader, plate) = room.label_beside(&rings(i), &[label(i)]);
            names.extend(leader);
            plates.push(plate);
        }
        names.append(&mut plates);
        names.extend(used.and_then(|ends| self.used_words(ends, &mut room)));
        items.push(Group::named("names", names).into());
        items.push(self.neighbours(faint, window, view, &mut room));
        items
    }

    /// The codes of other sheets' pieces, where they have room.
    fn neighbours(
        &self,
        faint: &[usize],
        [low, high]: [Point; 2],
        view: &View,
        room: &mut Room,
    ) -> Item {
        let mut names = Vec::new();
        for &index in faint {
            let laid = &self.laid[index];
            // A box is enough to find the part that is seen.
            let rings: Vec<Vec<Point>> = view
                .rings(&laid.cut)
                .into_iter()
                .map(|ring| clip_to_rows(&ring, low.y, high.y))
                .filter(|ring| ring.len() > 2)
                .collect();
            let [seen_low, seen_high] = corners_of(rings.iter().flatten());
            if seen_high.y - seen_low.y > 4.0 {
                let words = [
                    laid.piece.label.clone(),
                    format!("sheet {}", self.homes[index]),
                ];
                let words: Vec<&str> = words.iter().map(String::as_str).collect();
                names.extend(room.label(NOBODY - 1, &rings, &words, true));
            }
        }
        Group::named("neighbours", names).into()
    }

    /// The ends of the line to which the fabric is used.
    fn used_ends(&self, view: &View) -> [Point; 2] {
        leftover::used_across(self.fabric).map(|x| view.apply(point(x, self.fabric.length_mm)))
    }

    /// How far that is, as far to the right as nothing is covered. The heading tells it as
    /// well: words that have no room are left out.
    fn used_words(&self, ends: [Point; 2], room: &mut Room) -> Option<Item> {
        let words = format!(
            "used to here: {}",
            length_up(self.fabric.length_mm, self.plan.unit)
        );
        let [width, height] = pieces::plate_mm(&[&words], SMALL_MM);
        let middle = (0..)
            .map(|step| ends[1].x - width / 2.0 - 1.5 - f64::from(step))
            .take_while(|x| x - width / 2.0 - 1.5 >= ends[0].x)
            .map(|x| point(x, ends[1].y - height / 2.0 - 0.5))
            .find(|&middle| room.take(middle, [width, height]))?;
        Some(pieces::plate(middle, &[&words], SMALL_MM, false))
    }
}

/// Whether finished lines and clips are drawn.
fn has_details(wanted: &Wanted<'_>, view: &View) -> bool {
    matches!(wanted, Wanted::Places { .. }) || view.scale * FINE > 1.0
}

/// Dashed, dark on pale.
fn used_line(ends: [Point; 2]) -> [Item; 2] {
    let line = |stroke| Path::open(ends.to_vec(), stroke).into();
    [
        line(Stroke::ink(0.9).coloured(PAPER)),
        line(Stroke::ink(0.4).broken(Dash::Dashed)),
    ]
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
