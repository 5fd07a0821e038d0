//! What is drawn of one template: its lines by kind, the stripes at its edges, its
//! words. Page frame, true size.

use super::clear::{Taken, about, upright};
use super::grain::grain;
use super::kind::Kind;
use super::method::Method;
use super::pose::Pose;
use super::stripe_line::StripeLine;
use super::ticks::{BandRun, Tick, Weave, band_runs, ticks};
use super::words::{cut_shortly, plate_words};
use crate::colour::Colour;
use crate::draw::crossing::crossing;
use crate::draw::lettering::{CAPITAL, width_mm};
use crate::draw::scene::{
    Anchor, Dash, Fill, Group, INK, Item, Line, PAPER, Path, Stroke, Text, rings_of,
};
use crate::fabric::Band;
use crate::length::Unit;
use crate::motif::Role;
use crate::shape::room::find_room;
use crate::shape::{Point, cross, dot, point};

/// Size of the smallest letters, and of band names (mm): 7 points.
const LEAST_MM: f64 = 2.47;
const BAND_MM: f64 = LEAST_MM;
/// How far the inside of a template is washed out, so that words can be read.
const WASH: f64 = 0.72;
/// Edges within this of a diagonal between the grains stretch (degrees).
const BIAS_DEG: f64 = 22.5;
/// Along a bias edge a short stroke stands every so often (mm).
const BIAS_STEP_MM: f64 = 2.4;

/// A template with everything worked out that does not depend on where it stands.
#[derive(Clone)]
pub(super) struct Face<'a> {
    pub kind: Kind<'a>,
    pub method: Method,
    pub cut: Vec<Vec<Point>>,
    pub finished: Vec<Vec<Point>>,
    pub ticks: Vec<Tick>,
    /// Whether it does not show its stripes.
    pub blank: bool,
    /// For any stripe: the unit of its line, and the line where its fabric is striped.
    pub line: Option<(Unit, Option<StripeLine>)>,
    runs: Vec<BandRun>,
}

/// All roles, in the order in which their lines are drawn.
pub(super) const ROLES: [Role; 4] = [Role::Turned, Role::Seamed, Role::Covered, Role::Lapped];

/// The look of each kind of line.
pub(super) fn stroke_of(role: Role) -> Stroke {
    let thin = Stroke::ink(0.22);
    match role {
        Role::Turned => thin.broken(Dash::Dashed),
        Role::Seamed => thin.broken(Dash::DashDot),
        Role::Covered | Role::Lapped => Stroke::ink(0.35).broken(Dash::Dotted),
    }
}

/// The look of the cut line.
pub(super) fn cut_stroke() -> Stroke {
    Stroke::ink(0.35)
}

/// The look of the short strokes along bias edges.
pub(super) fn bias_stroke() -> Stroke {
    Stroke::ink(0.25).coloured(Colour::new(0x44, 0x44, 0x44))
}

/// The look of clips and snips.
pub(super) fn clip_stroke() -> Stroke {
    Stroke::ink(0.3)
}

/// The look of ticks.
pub(super) fn tick_stroke() -> Stroke {
    Stroke::ink(0.28)
}

impl<'a> Face<'a> {
    pub(super) fn new(kind: Kind<'a>, method: Method) -> Self {
        let cut = rings_of(&kind.piece.cut_region());
        let finished = rings_of(&kind.piece.finished_region());
        let (mut all_ticks, mut runs) = (Vec::new(), Vec::new());
        let falls = [
            (Weave::Stripe, &kind.fall),
            (Weave::Crossing, &kind.crossing),
        ];
        for (weave, fall) in falls {
            if let Some(fall) = fall {
                all_ticks.extend(ticks(weave, fall, &cut, &finished));
                runs.extend(band_runs(weave, fall, &finished));
            }
        }
        let kind_is_blank = kind.fall.is_none();
        Self {
            kind,
            method,
            cut,
            finished,
            ticks: all_ticks,
            blank: kind_is_blank,
            line: None,
            runs,
        }
    }

    /// One for any stripe: with a line along it in place of what the designer's shows.
    pub(super) fn with_line(kind: Kind<'a>, method: Method, unit: Unit) -> Self {
        let face = Self::new(kind, method);
        let striped = face.kind.fall.is_some();
        let line = striped.then(|| StripeLine::of(face.kind.piece, &face.finished, unit));
        Self {
            ticks: Vec::new(),
            runs: Vec::new(),
            blank: true,
            line: Some((unit, line.flatten())),
            ..face
        }
    }

    fn bands(&self, weave: Weave) -> &'a [Band] {
        let fall = match weave {
            Weave::Stripe => self.kind.fall,
            Weave::Crossing => self.kind.crossing,
        };
        fall.map_or(&[], |fall| fall.bands())
    }

    /// The stripes and what crosses them, as they fall in the piece, washed out.
    fn paint(&self, pose: &Pose) -> Vec<Item> {
        let (Some(fall), Some(stripe), None) =
            (&self.kind.fall, &self.kind.fabric.stripe, self.line)
        else {
            return Vec::new();
        };
        let corners = super::ticks::box_of(&self.cut);
        let mut paint = fall.areas(corners, |p| pose.apply(p), 1.0);
        let map = self.kind.piece.to_fabric.to_rigid();
        let on_fabric: Vec<Point> = self.cut.iter().flatten().map(|&q| map.apply(q)).collect();
        paint.extend(crossing(stripe, super::ticks::box_of(&[on_fabric]), |p| {
            pose.apply(map.unapply(p))
        }));
        let veil = Fill {
            colour: PAPER,
            opacity: WASH,
        };
        paint.push(Path::rings(pose.rings(&self.finished), Some(veil), None).into());
        paint
    }

    /// Edges of the finished line with their roles, ring by ring.
    pub(super) fn edges(&self) -> impl Iterator<Item = ([Point; 2], Role)> {
        let edges = self
            .finished
            .iter()
            .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
        edges.enumerate().map(|(i, (&a, &b))| {
            let roles = &self.kind.piece.roles;
            ([a, b], roles.get(i).copied().unwrap_or(Role::Turned))
        })
    }

    /// The finished line of one role, as unbroken runs of points.
    pub(super) fn finished_of(&self, role: Role) -> Vec<Vec<Point>> {
        join(self.edges().filter(|(_, r)| *r == role).map(|(e, _)| e))
    }

    /// Short slanting strokes along the edges that run across both grains, a little inside
    /// of the finished line; none where its pieces have no one grain.
    pub(super) fn bias(&self) -> Vec<[Point; 2]> {
        let Some(grain) = self.kind.grain() else {
            return Vec::new();
        };
        let edges = self.edges().filter_map(|([a, b], role)| {
            let along = b - a;
            let length = along.x.hypot(along.y);
            if matches!(role, Role::Covered | Role::Lapped) || length < 1e-6 {
                return None;
            }
            let off = cross(grain, along).atan2(dot(grain, along)).to_degrees();
            let from_diagonal = (off.rem_euclid(90.0) - 45.0).abs();
            (from_diagonal < BIAS_DEG).then_some([a, b])
        });
        join(edges).iter().flat_map(|run| strokes(run)).collect()
    }

    /// Clips and snips.
    pub(super) fn clips(&self) -> Vec<[Point; 2]> {
        let clips = self.kind.piece.clips.iter();
        clips.map(|c| c.map(|[x, y]| point(x, y))).collect()
    }

    /// Everything, as it is printed.
    pub(super) fn draw(&self, pose: &Pose) -> Vec<Item> {
        let cut = pose.rings(&self.cut);
        let mut items = Vec::new();
        let paint = self.paint(pose);
        if !paint.is_empty() {
            items.push(Group::clipped(cut.clone(), paint).into());
        }
        let ticks: Vec<[Point; 2]> = self
            .ticks
            .iter()
            .map(|t| on_page(pose, [t.at, t.end]))
            .collect();
        items.push(haloed(&ticks, tick_stroke()));
        let bias: Vec<[Point; 2]> = self
            .bias()
            .into_iter()
            .map(|ends| on_page(pose, ends))
            .collect();
        items.push(Path::segments(bias, bias_stroke()).into());
        let lines = |points: Vec<Vec<Point>>, stroke: Stroke| -> Item {
            let lines = pose.rings(&points).into_iter();
            Path {
                lines: lines
                    .map(|points| Line {
                        points,
                        closed: false,
                    })
                    .collect(),
                fill: None,
                stroke: Some(stroke),
            }
            .into()
        };
        for role in ROLES {
            let runs = self.finished_of(role);
            if !runs.is_empty() {
                let stroke = stroke_of(role);
                let pale = Stroke::ink(stroke.width_mm + 0.35).coloured(PAPER);
                items.push(lines(runs.clone(), pale));
                items.push(lines(runs, stroke));
            }
        }
        let pale = Stroke::ink(0.9).coloured(PAPER);
        items.push(Path::rings(cut.clone(), None, Some(pale)).into());
        items.push(Path::rings(cut.clone(), None, Some(cut_stroke())).into());
        let clips: Vec<[Point; 2]> = self
            .clips()
            .into_iter()
            .map(|clip| on_page(pose, clip))
            .collect();
        if !clips.is_empty() {
            items.push(haloed(&clips, clip_stroke()));
        }
        items.extend(self.words_and_marks(pose, &ticks));
        items
    }

    /// Marks, words, the grain's arrow and the bands' names: each finds its place clear of
    /// the ticks and of those before it.
    fn words_and_marks(&self, pose: &Pose, ticks: &[[Point; 2]]) -> Vec<Item> {
        let mut taken = Taken::default();
        for [a, b] in ticks {
            taken.add(about(*a, *b, 0.4));
        }
        if let Some((unit, line)) = self.line {
            let mut items = Vec::new();
            match line {
                Some(line) => items.extend(line.draw(unit, pose, &self.cut, &mut taken)),
                None => items.push(grain(self.kind.grain(), &self.finished, pose, &mut taken)),
            }
            items.push(self.words(pose, &mut taken));
            return items;
        }
        let marks = self.marks(pose, &mut taken);
        let words = self.words(pose, &mut taken);
        let grain = grain(self.kind.grain(), &self.finished, pose, &mut taken);
        let mut items = self.band_names(pose, &mut taken);
        items.extend([grain, words]);
        items.extend(marks);
        items
    }

    /// Where stripes meet the finished line, which is the edge of a whole motif.
    pub(super) fn edge_ticks(&self) -> Vec<Tick> {
        let falls = [
            (Weave::Stripe, &self.kind.fall),
            (Weave::Crossing, &self.kind.crossing),
        ];
        let there = falls
            .into_iter()
            .filter_map(|(weave, fall)| Some((weave, fall.as_ref()?)));
        there
            .flat_map(|(weave, fall)| ticks(weave, fall, &self.finished, &self.finished))
            .collect()
    }

    /// The name of every band at both its ends, along the stripe, with its colour.
    fn band_names(&self, pose: &Pose, taken: &mut Taken) -> Vec<Item> {
        let mut items = Vec::new();
        for run in &self.runs {
            let Some(band) = self.bands(run.weave).get(run.band) else {
                continue;
            };
            let name = if band.name.is_empty() {
                format!("band {}", run.band + 1)
            } else {
                band.name.clone()
            };
            let [a, b] = on_page(pose, run.ends);
            let length = (b.x - a.x).hypot(b.y - a.y);
            let width = CHIP_MM + CHIP_GAP_MM + width_mm(&name, BAND_MM, false);
            let start = 2.3;
            if run.width_mm < BAND_MM * 0.95 || length < width + start + 0.5 {
                continue;
            }
            let both = length > 2.0 * (width + start) + 6.0;
            let starts = if both {
                vec![(a, b, start, length / 2.0)]
            } else {
                vec![(a, b, ((length - width) / 2.0).min(start), length)]
            };
            let ends = starts.into_iter().flat_map(|(a, b, start, room)| {
                let back = both.then_some((b, a, start, room));
                [Some((a, b, start, room)), back].into_iter().flatten()
            });
            for (from, to, start, room) in ends {
                let along = (to - from) / length;
                let at = |mm: f64| from + along * mm;
                let places = (0..).map(|i| start + f64::from(i));
                let free = places
                    .take_while(|&start| {
                        start + width <= room.max(start + width + 0.1) && start + width < length
                    })
                    .take_while(|&first| first + width < room || first == start)
                    .map(|first| (first, about(at(first), at(first + width), BAND_MM * 0.58)))
                    .find(|(_, corners)| taken.is_clear(corners));
                let Some((first, corners)) = free else {
                    continue;
                };
                taken.add(corners);
                items.extend(name_along(at(first), at(first + width), &name, band.colour));
            }
        }
        items
    }

    /// The words inside: what it is, how many of which fabric, which way round.
    fn words(&self, pose: &Pose, taken: &mut Taken) -> Item {
        let kind = &self.kind;
        let (count, reversed) = (kind.count(), kind.reversed());
        let mut lines = vec![kind.title()];
        lines.extend(plate_words(
            self.method,
            count,
            reversed,
            kind.fabric.fabric(),
        ));
        // Where there is no room for all of it: the short name, and how many.
        let short = [kind.short.clone(), cut_shortly(count, reversed)];
        let (finished, cut) = (pose.rings(&self.finished), pose.rings(&self.cut));
        let keep_off = taken.points(1.0);
        let full = 3.0;
        // The name of a small piece may stand on its allowance; no letters are below 7 points.
        for (lines, rings) in [
            (&lines[..], &finished),
            (&short[..], &finished),
            (&short[..1], &finished),
            (&short[..1], &cut),
        ] {
            let width = lines
                .iter()
                .map(|l| width_mm(l, full, true))
                .fold(0.0, f64::max);
            let (width, height) = (width + 2.0, full * 1.3 * lines.len() as f64 + 0.8);
            let room = find_room(rings, width, height, &keep_off);
            let mut size = (full * room.factor).min(full);
            while size >= LEAST_MM {
                let plate = plate_corners(room.middle, lines, size);
                if taken.is_clear(&upright(plate)) {
                    taken.add(upright(plate));
                    return plated(plate, lines, size);
                }
                size *= 0.94;
            }
        }
        Group::default().into()
    }
}

/// Whether a point lies within rings (even-odd).
pub(super) fn holds(rings: &[Vec<Point>], p: Point) -> bool {
    let sides = rings
        .iter()
        .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
    let right = sides.filter(|(a, b)| {
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
    });
    right.count() % 2 == 1
}

fn on_page(pose: &Pose, ends: [Point; 2]) -> [Point; 2] {
    ends.map(|p| pose.apply(p))
}

/// Lines on a pale ground, so that they are seen on any stripe.
pub(super) fn haloed(ends: &[[Point; 2]], stroke: Stroke) -> Item {
    let pale = Stroke::ink(stroke.width_mm + 0.45).coloured(PAPER);
    let items = vec![
        Path::segments(ends.iter().copied(), pale).into(),
        Path::segments(ends.iter().copied(), stroke).into(),
    ];
    Group {
        items,
        ..Group::default()
    }
    .into()
}

/// Short slanting strokes beside a run of edges, on its left, where the piece is.
fn strokes(run: &[Point]) -> Vec<[Point; 2]> {
    let mut strokes = Vec::new();
    let mut next = BIAS_STEP_MM / 2.0;
    for ends in run.windows(2) {
        let side = ends[1] - ends[0];
        let length = side.x.hypot(side.y);
        let along = side / length.max(1e-9);
        let inward = point(-along.y, along.x);
        while next < length {
            let foot = ends[0] + along * next + inward * 0.7;
            strokes.push([foot, foot + (along + inward) * 0.85]);
            next += BIAS_STEP_MM;
        }
        next -= length;
    }
    strokes
}

/// Edges joined into runs where one begins as the last one ended.
fn join(edges: impl Iterator<Item = [Point; 2]>) -> Vec<Vec<Point>> {
    let mut runs: Vec<Vec<Point>> = Vec::new();
    for [a, b] in edges {
        match runs.last_mut() {
            Some(run)
                if run
                    .last()
                    .is_some_and(|e| (e.x - a.x).hypot(e.y - a.y) < 0.5) =>
            {
                run.push(b);
            }
            _ => runs.push(vec![a, b]),
        }
    }
    runs
}

/// The chip of colour before a band's name, and the gap after it (mm).
const CHIP_MM: f64 = 1.9;
const CHIP_GAP_MM: f64 = 0.7;

/// A colour chip and a name from `from` to `to`, turned so that it can be read.
fn name_along(from: Point, to: Point, name: &str, colour: Colour) -> Vec<Item> {
    let (chip, gap) = (CHIP_MM, CHIP_GAP_MM);
    let backwards = to.x < from.x - 1e-9 || (to.x - from.x).abs() <= 1e-9 && to.y > from.y;
    let (start, end) = if backwards { (to, from) } else { (from, to) };
    let along = {
        let (dx, dy) = (end.x - start.x, end.y - start.y);
        let length = dx.hypot(dy).max(1e-9);
        point(dx / length, dy / length)
    };
    let down = point(-along.y, along.x);
    let at = |u: f64, v: f64| {
        point(
            start.x + u * along.x + v * down.x,
            start.y + u * along.y + v * down.y,
        )
    };
    let half = chip / 2.0;
    let square = [(0.0, -half), (chip, -half), (chip, half), (0.0, half)].map(|(u, v)| at(u, v));
    let rotate_deg = along.y.atan2(along.x).to_degrees();
    vec![
        Path::rings(
            vec![square.to_vec()],
            Some(Fill::solid(colour)),
            Some(Stroke::ink(0.12)),
        )
        .into(),
        Text::new(at(chip + gap, BAND_MM * CAPITAL / 2.0), BAND_MM, name)
            .turned(rotate_deg)
            .into(),
    ]
}

/// The corners of a plate for lines of words, the first one bold.
fn plate_corners(middle: Point, lines: &[String], size: f64) -> [Point; 2] {
    let width = lines
        .iter()
        .map(|l| width_mm(l, size, true))
        .fold(0.0, f64::max);
    let half = point(
        (width + size * 0.6) / 2.0,
        (size * 1.3 * lines.len() as f64 + size * 0.2) / 2.0,
    );
    [middle - half, middle + half]
}

/// Lines of words on a pale plate, the first one bold.
fn plated([low, high]: [Point; 2], lines: &[String], size: f64) -> Item {
    let pale = Fill {
        colour: PAPER,
        opacity: 0.9,
    };
    let plate = Path::rect(low, high.x - low.x, high.y - low.y, Some(pale), None);
    let mut items = vec![plate.into()];
    for (i, words) in lines.iter().enumerate() {
        let centre = low.y + 0.1 * size + size * 1.3 * (i as f64 + 0.5);
        let base = point((low.x + high.x) / 2.0, centre + size * CAPITAL / 2.0);
        let mut text = Text::new(base, size, words)
            .anchored(Anchor::Middle)
            .coloured(INK);
        text.bold = i == 0;
        items.push(text.into());
    }
    Group {
        items,
        ..Group::default()
    }
    .into()
}
