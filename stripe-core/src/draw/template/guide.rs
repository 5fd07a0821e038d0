//! A motif as a whole at true size: to lay above the work, or to trace behind the background.

use super::clear::{Taken, about, upright};
use super::face::{Face, stroke_of};
use super::kind::Kind;
use super::mark::{self, Arrow};
use super::method::Method;
use super::pose::Pose;
use crate::draw::lettering::{CAPITAL, width_mm};
use crate::draw::scene::{Anchor, Fill, GREY, Group, Item, Line, PAPER, Path, Stroke, Text};
use crate::motif::Role;
use crate::plan::{MotifNote, Plan};
use crate::shape::room::find_room;
use crate::shape::{Point, point};

const NAME_MM: f64 = 2.8;

/// One motif, its pieces in place, bottom layer first.
pub(super) struct Guide<'a> {
    pub motif: &'a MotifNote,
    pub outlines: Vec<Vec<Point>>,
    method: Method,
    pub faces: Vec<Face<'a>>,
}

/// The look of the edge that counts: nothing is cut by a whole motif.
pub(super) fn edge_stroke() -> Stroke {
    Stroke::ink(0.35)
}

/// Every motif of a plan that has pieces.
pub(super) fn guides(plan: &Plan, method: Method, blank: bool) -> Vec<Guide<'_>> {
    let motifs = plan.motifs.iter();
    motifs
        .filter_map(|motif| Guide::new(plan, motif, method, blank))
        .collect()
}

impl<'a> Guide<'a> {
    fn new(plan: &'a Plan, motif: &'a MotifNote, method: Method, blank: bool) -> Option<Self> {
        let pieces = plan.fabrics.iter().flat_map(|fabric| {
            let placed = fabric.placements.iter();
            placed.map(move |piece| (fabric, piece))
        });
        let mut pieces: Vec<_> = pieces.filter(|(_, p)| p.motif == motif.name).collect();
        let first = pieces.iter().map(|(_, p)| p.copy).min()?;
        pieces.retain(|(_, p)| p.copy == first);
        let rank = |name: &str| {
            let at = motif.pieces.iter().position(|note| note.piece == name);
            (at.map(|at| motif.pieces[at].layer), at)
        };
        pieces.sort_by_key(|(_, p)| rank(&p.piece));
        let faces: Vec<Face<'a>> = pieces
            .into_iter()
            .map(|(fabric, piece)| Face::new(Kind::new(plan, fabric, piece, blank), method))
            .collect();
        Some(Self {
            motif,
            outlines: faces.iter().map(|f| f.finished[0].clone()).collect(),
            method,
            faces,
        })
    }

    pub(super) fn drawn_from(&self) -> &'a str {
        &self.faces[0].kind.piece.id
    }

    pub(super) fn caption(&self) -> String {
        let made = match (self.method, self.motif.copies) {
            (Method::TracedBehind, 1) => "Trace it onto the background.".to_owned(),
            (Method::TracedBehind, copies) => {
                format!("Trace it onto each of the {copies} backgrounds.")
            }
            (_, 1) => "Make 1.".to_owned(),
            (_, copies) => format!("Make 1: it serves all {copies} copies."),
        };
        format!(
            "{}: {}, the whole motif without allowances. The arrow is its top. {made}",
            self.motif.letter, self.motif.name
        )
    }

    /// Finished lines by what is done with them, stripes where they meet the edges, the
    /// pieces' names, and a cross at the motif's centre.
    pub(super) fn draw(&self, pose: &Pose) -> Vec<Item> {
        let mut items = Vec::new();
        let mut taken = Taken::default();
        for face in &self.faces {
            for role in [Role::Covered, Role::Lapped, Role::Seamed, Role::Turned] {
                let lines: Vec<Line> = pose
                    .rings(&face.finished_of(role))
                    .into_iter()
                    .map(|points| Line {
                        points,
                        closed: false,
                    })
                    .collect();
                if !lines.is_empty() {
                    let stroke = match role {
                        Role::Turned => edge_stroke(),
                        other => stroke_of(other),
                    };
                    let path = Path {
                        lines,
                        fill: None,
                        stroke: Some(stroke),
                    };
                    items.push(path.into());
                }
            }
            // From the finished line inwards: no allowance is drawn here.
            let ticks: Vec<[Point; 2]> = face
                .edge_ticks()
                .iter()
                .map(|tick| [tick.at, tick.end].map(|p| pose.apply(p)))
                .collect();
            for [a, b] in &ticks {
                taken.add(about(*a, *b, 0.4));
            }
            items.push(Path::segments(ticks, Stroke::ink(0.2).coloured(GREY)).into());
        }
        let up = pose.turn(point(0.0, 1.0));
        let centre = pose.apply(point(0.0, 0.0));
        taken.add(about(centre, centre, mark::HALF_MM));
        taken.add(about(centre, centre + up * mark::REACH_MM, 1.3));
        for face in &self.faces {
            items.push(self.name(face, pose, &mut taken));
        }
        items.push(mark::sign(centre, Some(Arrow::ahead(up)), 1.0));
        items
    }

    fn name(&self, face: &Face<'_>, pose: &Pose, taken: &mut Taken) -> Item {
        let top = std::ptr::eq(face, &raw const self.faces[0]);
        let mut words = vec![face.kind.short.clone()];
        if top {
            words.push(self.method.faces()[0].to_owned());
        }
        let wide = words
            .iter()
            .map(|line| width_mm(line, NAME_MM, true))
            .fold(0.0, f64::max)
            + 1.2;
        let line = NAME_MM * 1.3;
        let high = line * words.len() as f64;
        let keep_off = taken.points(1.0);
        let middle = find_room(&pose.rings(&face.finished), wide, high, &keep_off).middle;
        let corner = point(middle.x - wide / 2.0, middle.y - high / 2.0);
        taken.add(upright([corner, corner + point(wide, high)]));
        let plate = Some(Fill::solid(PAPER));
        let mut items = vec![Path::rect(corner, wide, high, plate, None).into()];
        for (i, words) in words.into_iter().enumerate() {
            let down = corner.y + line * (i as f64 + 0.5) + NAME_MM * CAPITAL / 2.0;
            let text = Text::new(point(middle.x, down), NAME_MM, words);
            items.push(text.anchored(Anchor::Middle).bold().into());
        }
        Group {
            items,
            ..Group::default()
        }
        .into()
    }
}
