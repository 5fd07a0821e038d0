//! Which templates a plan needs: pieces of one shape with one fall of the stripes
//! share one, however often they are cut.

use crate::draw::bands::Fall;
use crate::plan::{FabricPlan, Placement, Plan};
use crate::shape::{Point, Rigid, point};

/// One template, and the pieces that are cut by it.
#[derive(Clone)]
pub(super) struct Kind<'a> {
    pub fabric: &'a FabricPlan,
    /// The piece that it is drawn from.
    pub piece: &'a Placement,
    pub fall: Option<Fall<'a>>,
    /// The bands that cross it, on a plaid.
    pub crossing: Option<Fall<'a>>,
    /// The short name: the motif's letter and the piece's, as in `Ha`.
    pub short: String,
    /// Names of all pieces that are cut by it.
    pub names: Vec<&'a str>,
    /// Names of those that are cut wrong side up.
    pub face_down: Vec<&'a str>,
}

impl<'a> Kind<'a> {
    pub(super) fn new(plan: &Plan, fabric: &'a FabricPlan, piece: &'a Placement) -> Self {
        let motif = plan.motifs.iter().find(|m| m.name == piece.motif);
        let note = motif.and_then(|m| m.pieces.iter().find(|n| n.piece == piece.piece));
        let short = match (motif, note) {
            (Some(motif), Some(note)) => format!("{}{}", motif.letter, note.mark),
            _ => piece.label.clone(),
        };
        let map = piece.to_fabric.to_rigid();
        let stripe = fabric.stripe.as_ref();
        let mut kind = Self {
            fabric,
            piece,
            fall: stripe.map(|s| Fall::on_piece(s, map)),
            crossing: stripe.and_then(|s| Fall::crossing_on_piece(s, map)),
            short,
            names: Vec::new(),
            face_down: Vec::new(),
        };
        kind.take(piece);
        kind
    }

    fn take(&mut self, piece: &'a Placement) {
        self.names.push(&piece.label);
        if piece.to_fabric.mirror {
            self.face_down.push(&piece.label);
        }
    }

    /// How many pieces are cut by it.
    pub(super) fn count(&self) -> usize {
        self.names.len()
    }

    /// The direction of the lengthwise grain in the motif frame.
    pub(super) fn grain(&self) -> Point {
        self.piece.to_fabric.to_rigid().unturn(point(0.0, 1.0))
    }

    /// Whether that piece is cut by this template too.
    fn suits(&self, fabric: &FabricPlan, piece: &Placement) -> bool {
        let same_shape = self.fabric.name == fabric.name
            && self.piece.motif == piece.motif
            && self.piece.piece == piece.piece
            && self.piece.cut == piece.cut
            && self.piece.finished == piece.finished;
        if !same_shape {
            return false;
        }
        match (&self.fall, &fabric.stripe) {
            (Some(fall), Some(stripe)) => {
                let map = piece.to_fabric.to_rigid();
                let crossing = match (&self.crossing, Fall::crossing_on_piece(stripe, map)) {
                    (Some(one), Some(other)) => one.looks_like(&other),
                    _ => true,
                };
                crossing && fall.looks_like(&Fall::on_piece(stripe, map))
            }
            _ => is_turned_about(self.piece.to_fabric.to_rigid(), piece.to_fabric.to_rigid()),
        }
    }
}

/// Whether two pieces of plain fabric have their grain along the same line.
fn is_turned_about(a: Rigid, b: Rigid) -> bool {
    let (a, b) = (a.unturn(point(0.0, 1.0)), b.unturn(point(0.0, 1.0)));
    crate::shape::cross(a, b).abs() < 1e-3
}

/// All templates of a plan, in the order of its fabrics and pieces.
pub(super) fn kinds(plan: &Plan) -> Vec<Kind<'_>> {
    let mut kinds: Vec<Kind<'_>> = Vec::new();
    for fabric in &plan.fabrics {
        let mut order: Vec<&Placement> = fabric.placements.iter().collect();
        let rank = |piece: &Placement| {
            let motif = plan.motifs.iter().position(|m| m.name == piece.motif);
            let note = motif.and_then(|m| {
                let pieces = &plan.motifs[m].pieces;
                pieces.iter().position(|note| note.piece == piece.piece)
            });
            (motif, note, piece.copy)
        };
        order.sort_by_key(|piece| rank(piece));
        let first = kinds.len();
        for piece in order {
            match kinds[first..].iter_mut().find(|k| k.suits(fabric, piece)) {
                Some(kind) => kind.take(piece),
                None => kinds.push(Kind::new(plan, fabric, piece)),
            }
        }
    }
    kinds
}
