//! Places to spare: how many more of each piece the fabric has room for, once all are laid. What
//! has none is cut first, as long as others could still make room.

use super::recut::rest::Rest;
use crate::lay::{self, Item};
use crate::record::{PlacedPiece, Plan, SpareNote};
use std::collections::{BTreeMap, BTreeSet};

/// More spare places than this are not counted.
const MOST: usize = 6;
/// On fabric with more pieces nothing is counted: it would take as long as a quick search.
const MOST_PIECES: usize = 300;

/// The spare places of every kind of piece, fabric by fabric; of each kind as the plan's own
/// motif shows the stripe, one beside the other. Found by the first layout, so there may be more.
pub(super) fn spares(plan: &Plan) -> Vec<SpareNote> {
    let mut found = Vec::new();
    let names: BTreeSet<&str> = plan.fabrics.iter().map(|fabric| fabric.fabric()).collect();
    for name in names {
        let here = plan.fabrics.iter().filter(|fabric| fabric.fabric() == name);
        if here.map(|fabric| fabric.placements.len()).sum::<usize>() > MOST_PIECES {
            continue;
        }
        let rest = Rest::new(plan, name, &BTreeSet::new(), vec![]);
        let mut kinds: BTreeMap<(&str, &str), (usize, &PlacedPiece)> = BTreeMap::new();
        for (i, (piece, ..)) in rest.open.iter().enumerate() {
            kinds
                .entry((&piece.motif, &piece.piece))
                .or_insert((i, piece));
        }
        for (i, piece) in kinds.into_values() {
            found.push(SpareNote {
                fabric: name.to_owned(),
                motif: piece.motif.clone(),
                piece: piece.piece.clone(),
                places: places(&rest, i),
            });
        }
    }
    found
}

/// How many more of an open piece fit beside all that lies.
fn places(rest: &Rest, model: usize) -> usize {
    let Some((made, spread)) = rest.job_of(
        |_| false,
        |build, fabric| {
            let kind = rest.add_kind(build, fabric, model);
            for block in 0..MOST {
                let item = Item {
                    kind,
                    group: None,
                    block,
                };
                build.add_item(item, Rest::origin(model));
            }
        },
    ) else {
        return 0;
    };
    let Ok(layout) = lay::first(&made.job) else {
        return 0;
    };
    made.middles_mm(&layout)
        .filter(|&y| spread.home(&rest.fabric, y).0.is_some())
        .count()
}
