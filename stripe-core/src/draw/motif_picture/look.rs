//! Which copies of a motif will look alike once sewn.

use crate::draw::bands::Fall;
use crate::draw::crossing::crossing;
use crate::draw::nap::look_alike;
use crate::draw::scene::Item;
use crate::plan::{FabricPlan, MotifNote, PlacedPiece};
use crate::shape::Point;
use crate::shape::ring::extent;

/// A piece with the fabric that it is cut from.
#[derive(Clone, Copy)]
pub(in crate::draw) struct Cut<'a> {
    pub fabric: &'a FabricPlan,
    pub piece: &'a PlacedPiece,
}

impl<'a> Cut<'a> {
    /// How the stripe falls in the sewn motif, in this plan.
    pub(super) fn fall(&self) -> Option<Fall<'a>> {
        let stripe = self.fabric.stripe.as_ref()?;
        Some(Fall::on_piece(stripe, self.piece.to_fabric.to_rigid()))
    }

    /// The crossing bands or figures that the piece brings along, to be cut off at its
    /// outline `rings` (motif frame).
    pub(super) fn crossing(
        &self,
        rings: &[Vec<Point>],
        to_page: impl Fn(Point) -> Point,
    ) -> Vec<Item> {
        let map = self.piece.to_fabric.to_rigid();
        let (low, high) = extent(rings.iter().flatten().map(|&q| map.apply(q)));
        match &self.fabric.stripe {
            Some(stripe) => crossing(stripe, [low, high], |p| to_page(map.unapply(p))),
            None => vec![],
        }
    }

    fn is_like(&self, other: &Self) -> bool {
        if self.piece.piece != other.piece.piece || self.fabric.fabric() != other.fabric.fabric() {
            return false;
        }
        match (self.fall(), other.fall()) {
            (Some(a), Some(b)) => a.looks_like(&b),
            _ => look_alike(self.fabric, self.piece, other.piece),
        }
    }
}

/// One look of a motif: its pieces, bottom layer first, and the copies that have it.
pub(in crate::draw) struct Look<'a> {
    pub cuts: Vec<Cut<'a>>,
    pub copies: Vec<usize>,
    /// Whether any piece of any of them lies wrong side up.
    pub turned: bool,
}

/// The looks of a motif, in the order of their first copies; at most `most` of them,
/// and how many copies have yet another one.
pub(in crate::draw) fn looks<'a>(
    fabrics: &'a [FabricPlan],
    motif: &MotifNote,
    most: usize,
) -> (Vec<Look<'a>>, usize) {
    let rank = |piece: &str| {
        let known = motif.pieces.iter().position(|note| note.piece == piece);
        known.map_or((usize::MAX, usize::MAX), |at| (motif.pieces[at].layer, at))
    };
    let mut cuts: Vec<Cut<'a>> = fabrics
        .iter()
        .flat_map(|fabric| {
            fabric
                .placements
                .iter()
                .map(move |piece| Cut { fabric, piece })
        })
        .filter(|cut| cut.piece.motif == motif.name)
        .collect();
    cuts.sort_by_key(|cut| (cut.piece.copy, rank(&cut.piece.piece)));

    let mut looks: Vec<Look<'a>> = Vec::new();
    let mut left_out = 0;
    for copy in cuts.chunk_by(|a, b| a.piece.copy == b.piece.copy) {
        let number = copy[0].piece.copy;
        let known = looks.iter().position(|look| {
            look.cuts.len() == copy.len() && look.cuts.iter().zip(copy).all(|(a, b)| a.is_like(b))
        });
        let turned = copy.iter().any(|cut| cut.piece.to_fabric.mirror);
        match known {
            Some(at) => {
                looks[at].copies.push(number);
                looks[at].turned |= turned;
            }
            None if looks.len() < most => looks.push(Look {
                cuts: copy.to_vec(),
                copies: vec![number],
                turned,
            }),
            None => left_out += 1,
        }
    }
    (looks, left_out)
}

/// Numbers as people say them: `1, 3 and 5 to 8`.
pub(in crate::draw) fn ranges(numbers: &[usize]) -> String {
    let runs: Vec<String> = numbers
        .chunk_by(|a, b| a + 1 == *b)
        .flat_map(|run| match run {
            [first, .., last] if run.len() > 2 => vec![format!("{first} to {last}")],
            _ => run.iter().map(usize::to_string).collect(),
        })
        .collect();
    match runs.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_said_shortly() {
        assert_eq!(ranges(&[1]), "1");
        assert_eq!(ranges(&[1, 2]), "1 and 2");
        assert_eq!(ranges(&[1, 3, 5, 6, 7, 8]), "1, 3 and 5 to 8");
    }
}
