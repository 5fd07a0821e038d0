//! Templates at true size, on sheets of paper or for a cutting machine.
//!
//! Pieces of one shape with one fall of the stripes share a template, wherever in their
//! motifs they lie. Where bands cross its edges it has ticks and the bands' names, so that
//! it is laid on the real stripe by eye; it is drawn without them on demand.

mod clear;
mod congruent;
mod face;
mod figure;
mod frame;
mod grain;
mod guide;
mod index;
mod kind;
mod legend;
mod machine;
mod mark;
mod method;
mod nest;
mod pose;
mod sheet;
mod stripe_line;
#[cfg(test)]
mod tests;
mod ticks;
mod tile;
mod words;

pub(super) use legend::ALL as LEGEND;
pub use machine::{MachineTemplate, machine_templates};
pub use method::Method;
pub use ticks::{Tick, Weave};

use super::error::DrawError;
use super::paper::Paper;
use super::scene::Scene;
use super::validate::validate;
use crate::plan::Plan;
use face::Face;
use figure::Figure;
use frame::{Frame, room, shared_room};
use guide::guides;
use index::Index;
use kind::kinds;
use nest::{Cover, nest};
use sheet::Ready;

/// Whether templates show how the stripes fall.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Stripes {
    /// With ticks and the bands' names; only pieces with one fall of the stripes share one.
    #[default]
    Shown,
    /// Blank: all pieces of one shape share one.
    Left,
    /// A line along the stripe, measured from the maker's centre line, in place of ticks and
    /// measured points: for a plan as [`any_stripe`](super::any_stripe) makes it.
    Line,
}

/// More templates than this are not drawn: nobody would print them.
pub const MAX_TEMPLATES: usize = 1000;
/// More sheets than this are not drawn.
pub const MAX_SHEETS: usize = 1500;

/// All template sheets of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Templates {
    /// The sheets in order; the first ones are the index.
    pub sheets: Vec<Scene>,
    /// What there is.
    pub entries: Vec<TemplateEntry>,
}

/// A template in the index.
#[derive(Debug, Clone, PartialEq)]
pub struct TemplateEntry {
    /// Its short name: the motif's letter and the piece's; of several, the first and last.
    pub name: String,
    /// The motif.
    pub motif: String,
    /// The piece; of several, their part.
    pub piece: String,
    /// All pieces that are cut by it, by the names that the map has.
    pub labels: String,
    /// The fabric.
    pub fabric: String,
    /// How many are cut by it; by a whole motif nothing is cut.
    pub count: usize,
    /// How many of these wrong side up.
    pub face_down: usize,
    /// The sheets that it is on, counted from 1.
    pub sheets: Vec<usize>,
    /// Where borders of bands cross its cut line (motif frame).
    pub ticks: Vec<Tick>,
    /// The placement that it is drawn from, by id.
    pub drawn_from: String,
}

impl TemplateEntry {
    /// Motif and piece in words.
    pub fn what(&self) -> String {
        words::named(&self.motif, &self.piece)
    }
}

/// The templates of a plan on sheets of that paper, drawn for that method.
///
/// # Errors
/// A plan that cannot be drawn, or one with more templates or sheets than the limits.
pub fn templates(
    plan: &Plan,
    paper: Paper,
    method: Method,
    stripes: Stripes,
) -> Result<Templates, DrawError> {
    validate(plan)?;
    let space = room(paper);
    let ready = ready(plan, paper, method, stripes)?;
    // Whole motifs and pieces share no sheet: a solid line is the edge of one and the cut
    // line of the other.
    let small = |whole: bool| -> Vec<(usize, Vec<Cover>)> {
        let all = ready.iter().enumerate();
        all.filter(|(_, one)| !one.ways.is_empty() && one.figure.is_whole() == whole)
            .map(|(i, one)| (i, one.covers()))
            .collect()
    };
    let mut shared = nest(&small(true), shared_room(paper));
    shared.extend(nest(&small(false), shared_room(paper)));
    let large: Vec<(usize, Vec<[usize; 2]>)> = ready
        .iter()
        .enumerate()
        .filter(|(_, one)| one.ways.is_empty())
        .map(|(i, one)| (i, one.tiles(space)))
        .collect();

    let index = Index {
        ready: &ready,
        stripes,
        paper,
        method,
    };
    let begins = index.begins();
    let tiles: usize = large.iter().map(|(_, tiles)| tiles.len()).sum();
    let sheets = begins.len() + shared.len() + tiles;
    if sheets > MAX_SHEETS {
        return Err(DrawError::TooManySheets {
            sheets,
            most: MAX_SHEETS,
        });
    }

    let frame = |number: usize| Frame {
        paper,
        title: &plan.title,
        method: method.words(),
        number,
        sheets,
    };
    let mut sheets_of: Vec<Vec<usize>> = vec![Vec::new(); ready.len()];
    let mut drawn = Vec::new();
    let mut number = begins.len();
    for spots in &shared {
        number += 1;
        for spot in spots {
            sheets_of[spot.index].push(number);
        }
        drawn.push(sheet::shared(&frame(number), &ready, spots));
    }
    for (at, tiles) in &large {
        let numbers: Vec<([usize; 2], usize)> = tiles
            .iter()
            .enumerate()
            .map(|(i, tile)| (*tile, number + 1 + i))
            .collect();
        for (i, tile) in tiles.iter().enumerate() {
            number += 1;
            sheets_of[*at].push(number);
            let part = [i + 1, tiles.len()];
            drawn.push(sheet::tiled(
                &frame(number),
                &ready[*at],
                *tile,
                part,
                &numbers,
            ));
        }
    }
    let ends = begins.iter().skip(1).copied().chain([ready.len()]);
    let mut scenes: Vec<Scene> = begins
        .iter()
        .zip(ends)
        .enumerate()
        .map(|(i, (&first, end))| index.sheet(&frame(i + 1), &sheets_of, [first, end]))
        .collect();
    scenes.extend(drawn);
    let entries = ready
        .iter()
        .zip(sheets_of)
        .map(|(one, sheets)| entry(&one.figure, sheets))
        .collect();
    Ok(Templates {
        sheets: scenes,
        entries,
    })
}

/// All that stands on the sheets: whole motifs where the method wants them, then pieces.
fn ready(
    plan: &Plan,
    paper: Paper,
    method: Method,
    stripes: Stripes,
) -> Result<Vec<Ready<'_>>, DrawError> {
    let mut figures: Vec<Figure<'_>> = Vec::new();
    if method.wants_whole_motifs() {
        let blank = stripes == Stripes::Left;
        figures.extend(guides(plan, method, blank).into_iter().map(Figure::Motif));
    }
    let faces = faces(plan, method, stripes)?.into_iter();
    figures.extend(faces.map(|face| Figure::Piece(Box::new(face))));
    let room = shared_room(paper);
    let stand = |figure| Ready::new(figure, method.is_mirrored(), room);
    Ok(figures.into_iter().map(stand).collect())
}

/// All templates of a plan, worked out.
fn faces(plan: &Plan, method: Method, stripes: Stripes) -> Result<Vec<Face<'_>>, DrawError> {
    let kinds = kinds(plan, stripes == Stripes::Left);
    if kinds.len() > MAX_TEMPLATES {
        return Err(DrawError::TooManyTemplates {
            templates: kinds.len(),
            most: MAX_TEMPLATES,
        });
    }
    Ok(kinds
        .into_iter()
        .map(|kind| match stripes {
            Stripes::Line => Face::with_line(kind, method, plan.unit),
            Stripes::Shown | Stripes::Left => Face::new(kind, method),
        })
        .collect())
}

fn entry(figure: &Figure<'_>, sheets: Vec<usize>) -> TemplateEntry {
    TemplateEntry {
        name: figure.name().to_owned(),
        motif: figure.motif().to_owned(),
        piece: figure.piece().to_owned(),
        labels: figure.labels(),
        fabric: figure.fabric().to_owned(),
        count: figure.count(),
        face_down: figure.face_down(),
        sheets,
        ticks: figure.ticks().to_vec(),
        drawn_from: figure.drawn_from().to_owned(),
    }
}
