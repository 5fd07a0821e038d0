//! Rescue: some pieces are cut, some are spoilt, and the rest is laid anew on what is left.
//!
//! Everything is read from the plan alone. What is cut stays, and keeps the offset of its motif;
//! spoilt fabric is lost. First only the spoilt pieces are laid, beside all others: that changes
//! least. Where it does not suffice, everything uncut is laid anew. What still has no place is
//! to be bought, and the plan says how much, or which motifs to give up.

mod compose;
mod measured;
pub(super) mod rest;
mod select;

use crate::check::{Finding, check};
use crate::lay::{Control, Effort, LayError};
use crate::plan::likely;
use crate::plan::spares::spares;
use crate::record::{Plan, RecutNote};
use compose::compose;
pub use measured::Measured;
use measured::measure;
use rest::{Rest, lay_all, lay_rest};
use select::{pieces, select};
use std::collections::BTreeSet;

/// What happened to a plan on the way.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Happened {
    /// Codes, or patterns like `W2*`, of pieces that are cut.
    pub cut: Vec<String>,
    /// Those of pieces that are spoilt: they are cut anew.
    pub spoilt: Vec<String>,
    /// More fabric: the name of the fabric (where the spoilt pieces are of one, it may be left
    /// empty), and a piece of it.
    pub more: Vec<(String, crate::fabric::InHand)>,
    /// Fabrics that were measured again: everything uncut is laid anew on them.
    pub measured: Vec<Measured>,
    /// Whether all other pieces stay where they are, even if that takes more fabric; on fabric
    /// that was measured again none does.
    pub keep: bool,
}

/// What keeps a plan from being rescued.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum RecutError {
    /// A code that no piece has.
    #[error("no piece has the code {code:?}: did you mean {near}?")]
    NoCode {
        /// As it was given.
        code: String,
        /// The nearest one there is.
        near: String,
    },
    /// Cut and spoilt at once.
    #[error("{code} is given as cut and as spoilt: it is one of the two")]
    Both {
        /// The piece.
        code: String,
    },
    /// Nothing is spoilt.
    #[error("no piece is given as spoilt and no fabric as measured again, so nothing changes")]
    NothingSpoilt,
    /// More fabric of a name that the plan does not have.
    #[error("no fabric of the spoilt pieces is called `{name}`: there is {known}")]
    NoFabric {
        /// As it was given.
        name: String,
        /// The names there are.
        known: String,
    },
    /// A measure that cannot be.
    #[error("`{fabric}`: {what}")]
    NotMeasured {
        /// The fabric's name.
        fabric: String,
        /// What is wrong.
        what: String,
    },
    /// Nothing of a fabric is uncut.
    #[error("every piece of `{fabric}` is cut already, so nothing of it is left to lay")]
    AllCut {
        /// The fabric's name.
        fabric: String,
    },
    /// A plan that was at fault before.
    #[error("the plan is at fault before anything is changed: {}", .0[0])]
    Unsound(Vec<Finding>),
    /// The engine could not lay the rest.
    #[error(transparent)]
    Layout(#[from] LayError),
    /// The new plan does not pass its check: a fault of the program.
    #[error("the new plan does not pass its own check: {}", .0[0])]
    Unverified(Vec<Finding>),
}

/// The plan as it goes on after what happened. `parent` says which plan that was, as a digest
/// of its file.
///
/// # Errors
/// See [`RecutError`].
pub fn recut(
    plan: &Plan,
    happened: &Happened,
    parent: &str,
    effort: &Effort,
    control: &Control<'_>,
) -> Result<Plan, RecutError> {
    let findings = check(plan);
    if !findings.is_empty() {
        return Err(RecutError::Unsound(findings));
    }
    let mut cut = select(plan, &happened.cut)?;
    let spoilt = select(plan, &happened.spoilt)?;
    if let Some(code) = cut.intersection(&spoilt).next() {
        return Err(RecutError::Both { code: code.clone() });
    }
    if spoilt.is_empty() && happened.measured.is_empty() {
        return Err(RecutError::NothingSpoilt);
    }
    let before = pieces(plan).filter(|piece| piece.is_cut && !spoilt.contains(&piece.label));
    cut.extend(before.map(|piece| piece.label.clone()));
    let is_measured = |name: &str| happened.measured.iter().any(|one| one.fabric == name);
    let names: BTreeSet<&str> = plan
        .fabrics
        .iter()
        .filter(|fabric| {
            let mut here = fabric.placements.iter();
            here.any(|p| spoilt.contains(&p.label)) || is_measured(fabric.fabric())
        })
        .map(|fabric| fabric.fabric())
        .collect();
    let mut more = happened.more.clone();
    for (name, _) in &mut more {
        if name.is_empty() && names.len() == 1 {
            name.clone_from(
                &names
                    .iter()
                    .next()
                    .map_or_else(String::new, |&n| n.to_owned()),
            );
        }
        if !names.contains(name.as_str()) {
            return Err(RecutError::NoFabric {
                name: name.clone(),
                known: names.iter().copied().collect::<Vec<_>>().join(", "),
            });
        }
    }
    let mut changed = plan.clone();
    for piece in changed
        .fabrics
        .iter_mut()
        .flat_map(|fabric| &mut fabric.placements)
    {
        piece.is_cut = cut.contains(&piece.label);
        piece.was = None;
    }
    for measured in &happened.measured {
        measure(&mut changed, measured)?;
    }
    // What was cut by older figures stays cut by them, however often the plan goes on.
    let older = plan.recut.iter().flat_map(|note| note.measured.clone());
    let newer = happened.measured.iter().map(|one| one.fabric.clone());
    let measured: BTreeSet<String> = older.chain(newer).collect();
    let mut note = RecutNote {
        measured: measured.into_iter().collect(),
        parent: parent.to_owned(),
        spoilt: spoilt.iter().cloned().collect(),
        moved: vec![],
        lacking: vec![],
    };
    for name in names {
        let here = more
            .iter()
            .filter(|(of, _)| of == name)
            .map(|(_, piece)| piece.clone());
        let rest = Rest::new(&changed, name, &spoilt, here.collect());
        if rest.open.is_empty() {
            return Err(RecutError::AllCut {
                fabric: name.to_owned(),
            });
        }
        let laid = if is_measured(name) {
            lay_all(&rest, effort, control)
        } else {
            lay_rest(&rest, happened.keep, effort, control)
        }?;
        compose(&mut changed, &rest, &laid, &mut note);
    }
    changed.recut = Some(note);
    compose::rejoin(&mut changed);
    changed.likely = likely(&changed);
    changed.spares = spares(&changed);
    let findings = check(&changed);
    if findings.is_empty() {
        Ok(changed)
    } else {
        Err(RecutError::Unverified(findings))
    }
}
