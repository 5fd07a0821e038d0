//! What is drawn of one template: its lines by kind, the stripes at its edges, its
//! words. Page frame, true size.

use super::grain::grain;
use super::kind::Kind;
use super::method::Method;
use super::pose::Pose;
use super::ticks::{BandRun, Tick, Weave, band_runs, ticks};
use crate::colour::Colour;
use crate::draw::crossing::crossing;
use crate::draw::label::find_room;
use crate::draw::lettering::{CAPITAL, width_mm};
use crate::draw::scene::{
    Anchor, Dash, Fill, Group, INK, Item, PAPER, Path, Stroke, Text, rings_of,
};
use crate::plan::{BandNote, RoleNote};
use crate::shape::{Point, cross, dot, point};

/// Size of band names (mm).
const BAND_MM: f64 = 2.1;
/// How far the inside of a template is washed out, so that words can be read.
const WASH: f64 = 0.72;
/// Edges within this of a diagonal between the grains stretch (degrees).
const BIAS_DEG: f64 = 22.5;

/// A template with everything worked out that does not depend on where it stands.
#[derive(Clone)]
pub(super) struct Face<'a> {
    pub kind: Kind<'a>,
    pub method: Method,
    pub cut: Vec<Vec<Point>>,
    pub finished: Vec<Vec<Point>>,
    pub ticks: Vec<Tick>,
    runs: Vec<BandRun>,
}

/// The look of each kind of line.
pub(super) fn stroke_of(role: RoleNote) -> Stroke {
    let thin = Stroke::ink(0.22);
    match role {
        RoleNote::Turned => thin.broken(Dash::Dashed),
        RoleNote::Seamed => thin.broken(Dash::DashDot),
        RoleNote::Covered | RoleNote::Lapped => Stroke::ink(0.35).broken(Dash::Dotted),
    }
}

/// The look of the cut line.
pub(super) fn cut_stroke() -> Stroke {
    Stroke::ink(0.35)
}

/// The look of the row of dots along bias edges.
pub(super) fn bias_stroke() -> Stroke {
    Stroke::ink(0.7)
        .broken(Dash::Dotted)
        .coloured(Colour::new(0x55, 0x55, 0x55))
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
        Self {
            kind,
            method,
            cut,
            finished,
            ticks: all_ticks,
            runs,
        }
    }

    fn bands(&self, weave: Weave) -> &'a [BandNote] {
        let fall = match weave {
            Weave::Stripe => self.kind.fall,
            Weave::Crossing => self.kind.crossing,
        };
        fall.map_or(&[], |fall| fall.bands())
    }

    /// The stripes and what crosses them, as they fall in the piece, washed out.
    fn paint(&self, pose: &Pose) -> Vec<Item> {
        let (Some(fall), Some(stripe)) = (&self.kind.fall, &self.kind.fabric.stripe) else {
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
    pub(super) fn edges(&self) -> impl Iterator<Item = ([Point; 2], RoleNote)> {
        let edges = self
            .finished
            .iter()
            .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
        edges.enumerate().map(|(i, (&a, &b))| {
            let roles = &self.kind.piece.roles;
            ([a, b], roles.get(i).copied().unwrap_or(RoleNote::Turned))
        })
    }

    /// The finished line of one role, as unbroken runs of points.
    pub(super) fn finished_of(&self, role: RoleNote) -> Vec<Vec<Point>> {
        join(self.edges().filter(|(_, r)| *r == role).map(|(e, _)| e))
    }

    /// Edges that run across both grains, a little inside of the finished line.
    pub(super) fn bias(&self) -> Vec<Vec<Point>> {
        let grain = self.kind.grain();
        let inset = 1.3;
        let edges = self.edges().filter_map(|([a, b], role)| {
            let along = b - a;
            let length = along.x.hypot(along.y);
            if matches!(role, RoleNote::Covered | RoleNote::Lapped) || length < 1e-6 {
                return None;
            }
            let off = cross(grain, along).atan2(dot(grain, along)).to_degrees();
            let from_diagonal = (off.rem_euclid(90.0) - 45.0).abs();
            // The inside is on the left of every edge.
            let inward = point(-along.y / length * inset, along.x / length * inset);
            (from_diagonal < BIAS_DEG).then_some([a + inward, b + inward])
        });
        join(edges)
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
        items.push(self.tick_lines(pose));
        let lines = |points: Vec<Vec<Point>>, stroke: Stroke| -> Item {
            let lines = pose.rings(&points).into_iter();
            Path {
                lines: lines
                    .map(|points| crate::draw::scene::Line {
                        points,
                        closed: false,
                    })
                    .collect(),
                fill: None,
                stroke: Some(stroke),
            }
            .into()
        };
        items.push(lines(self.bias(), bias_stroke()));
        for role in [
            RoleNote::Turned,
            RoleNote::Seamed,
            RoleNote::Covered,
            RoleNote::Lapped,
        ] {
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
            .map(|clip| clip.map(|p| pose.apply(p)))
            .collect();
        if !clips.is_empty() {
            items.push(Path::segments(clips.clone(), Stroke::ink(0.7).coloured(PAPER)).into());
            items.push(Path::segments(clips, Stroke::ink(0.3)).into());
        }
        let [x, y] = self.kind.piece.mark;
        let mark = pose.apply(point(x, y));
        let (names, taken) = self.band_names(pose);
        items.extend(names);
        let (words, plate) = self.words(pose, mark);
        items.push(grain(self, pose, plate, mark, &taken));
        items.push(words);
        items.push(crate::draw::map::cross_at(mark, pose.turn(point(0.0, 1.0))));
        items
    }

    fn tick_lines(&self, pose: &Pose) -> Item {
        let ends: Vec<[Point; 2]> = self
            .ticks
            .iter()
            .map(|tick| [pose.apply(tick.at), pose.apply(tick.end)])
            .collect();
        let pale = Stroke::ink(0.75).coloured(PAPER);
        let items = vec![
            Path::segments(ends.iter().copied(), pale).into(),
            Path::segments(ends, Stroke::ink(0.28)).into(),
        ];
        Group {
            items,
            ..Group::default()
        }
        .into()
    }

    /// The name of every band at both its ends, along the stripe, with its colour; and
    /// points along their middles.
    fn band_names(&self, pose: &Pose) -> (Vec<Item>, Vec<Point>) {
        let mut items = Vec::new();
        let mut taken = Vec::new();
        let (chip, gap, start) = (1.7, 0.7, 2.3);
        for run in &self.runs {
            let [a, b] = run.ends.map(|p| pose.apply(p));
            let length = (b.x - a.x).hypot(b.y - a.y);
            let Some(band) = self.bands(run.weave).get(run.band) else {
                continue;
            };
            let name = if band.name.is_empty() {
                format!("band {}", run.band + 1)
            } else {
                band.name.clone()
            };
            let width = chip + gap + width_mm(&name, BAND_MM, false);
            if run.width_mm < BAND_MM * 0.95 || length < width + start + 0.5 {
                continue;
            }
            let both = length > 2.0 * (width + start) + 6.0;
            let starts = if both {
                vec![(a, b, start), (b, a, start)]
            } else {
                vec![(a, b, (length - width) / 2.0)]
            };
            for (from, to, start) in starts {
                let along = point((to.x - from.x) / length, (to.y - from.y) / length);
                let at = |mm: f64| point(from.x + along.x * mm, from.y + along.y * mm);
                // Names of crossing bands make room for those that stand already.
                let places = (0..).map(|i| start + 4.0 * f64::from(i));
                let room = if both { length / 2.0 } else { length };
                let free = places
                    .take_while(|&start| start + width < room)
                    .map(|start| (start, steps(at(start), at(start + width))))
                    .find(|(_, row)| run.weave == Weave::Stripe || are_apart(row, &taken));
                let Some((start, row)) = free else { continue };
                taken.extend(row);
                items.extend(name_along(
                    at(start),
                    at(start + width),
                    &name,
                    band.colour,
                    chip,
                    gap,
                ));
            }
        }
        (items, taken)
    }

    /// The words inside: what it is, how many of which fabric, which way round.
    fn words(&self, pose: &Pose, mark: Point) -> (Item, [Point; 2]) {
        let kind = &self.kind;
        let lines = [
            format!("{}, {}", kind.piece.motif, kind.piece.piece),
            format!("cut {} of {}", kind.count(), kind.fabric.name),
            self.method.face_words().to_owned(),
        ];
        let room_for = |lines: &[String], size: f64| {
            let width = lines
                .iter()
                .map(|l| width_mm(l, size, true))
                .fold(0.0, f64::max);
            [width + 2.0, size * 1.3 * lines.len() as f64 + 0.8]
        };
        let rings = pose.rings(&self.finished);
        let up = pose.turn(point(0.0, 1.0));
        let keep_off = [mark, point(mark.x + 2.0 * up.x, mark.y + 2.0 * up.y)];
        let full = 3.0;
        // Where there is no room for all of it: the short name and the way round.
        let short = [kind.short.clone(), self.method.face_words().to_owned()];
        for (lines, least) in [(&lines[..], 1.9), (&short[..], 1.7), (&short[..1], 1.2)] {
            let [width, height] = room_for(lines, full);
            let room = find_room(&rings, width, height, &keep_off);
            if room.factor * full >= least || lines.len() == 1 {
                let size = full * room.factor.clamp(1.2 / full, 1.0);
                return plate(room.middle, lines, size);
            }
        }
        (Group::default().into(), [mark, mark])
    }
}

/// Points every millimetre or so from one to the other.
fn steps(from: Point, to: Point) -> Vec<Point> {
    let count = (to.x - from.x).hypot(to.y - from.y).ceil().max(1.0);
    (0..=count as usize)
        .map(|i| from + (to - from) * (i as f64 / count))
        .collect()
}

/// Whether names whose middles run through these points do not touch.
fn are_apart(name: &[Point], others: &[Point]) -> bool {
    let mut pairs = name
        .iter()
        .flat_map(|a| others.iter().map(move |b| *a - *b));
    pairs.all(|gap| gap.x.hypot(gap.y) > BAND_MM * 1.15)
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

/// A colour chip and a name from `from` to `to`, turned so that it can be read.
fn name_along(
    from: Point,
    to: Point,
    name: &str,
    colour: Colour,
    chip: f64,
    gap: f64,
) -> Vec<Item> {
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

/// Lines of words on a pale plate, the first one bold; and the plate's corners.
fn plate(middle: Point, lines: &[String], size: f64) -> (Item, [Point; 2]) {
    let width = lines
        .iter()
        .map(|l| width_mm(l, size, true))
        .fold(0.0, f64::max)
        + size * 0.6;
    let line = size * 1.3;
    let height = line * lines.len() as f64 + size * 0.2;
    let corner = point(middle.x - width / 2.0, middle.y - height / 2.0);
    let pale = Fill {
        colour: PAPER,
        opacity: 0.9,
    };
    let mut items = vec![Path::rect(corner, width, height, Some(pale), None).into()];
    for (i, words) in lines.iter().enumerate() {
        let centre = corner.y + 0.1 * size + line * (i as f64 + 0.5);
        let mut text = Text::new(point(middle.x, centre + size * CAPITAL / 2.0), size, words)
            .anchored(Anchor::Middle)
            .coloured(INK);
        text.bold = i == 0;
        items.push(text.into());
    }
    let group = Group {
        items,
        ..Group::default()
    };
    (
        group.into(),
        [corner, point(corner.x + width, corner.y + height)],
    )
}
