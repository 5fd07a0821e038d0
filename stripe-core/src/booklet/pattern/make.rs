//! From pieces to the quilt: motifs, straight cuts, the layout, the order of work, cautions, notes.

use super::content::{Block, Chapter, Grid, Picture};
use super::fabrics::{called, striped};
use crate::booklet::cautions::CAUTIONS;
use crate::booklet::order::steps;
use crate::booklet::quilt::straight_gives;
use crate::buy::straight::{ON_MAP, START_OF_MAP};
use crate::draw::{DrawError, assembly_diagram, quilt_lines};
use crate::plan::{MotifNote, Plan};
use crate::wording::{CUT_BY_MAPS, CUT_BY_STRIPE, side_by_side};

/// Cautions that speak of the designer's own map and project.
const NOT_FOR_PATTERNS: [&str; 2] = ["True stripes", "How much to buy"];
/// What is said in their place.
const FOR_PATTERNS: [[&str; 2]; 3] = [
    [
        "True stripes",
        "Unfold the fabric and cut one layer at a time, following the stripe: it is seldom exactly square to the selvage.",
    ],
    [
        "How much to buy",
        "Buy a little more of any fabric that you could not get again. Where this pattern and a product's own label differ, follow the label.",
    ],
    [
        "From the wrong side",
        "The templates look as the motif does. If your way of working lays or traces them on the wrong side of the fabric, flip them first, and measure R to the left and L to the right.",
    ],
];
/// The layout and the quilt to colour in are fitted into these heights (mm): with its heading
/// and words each takes one page of Letter or A4.
const LAYOUT_MM: f64 = 204.0;
const COLOURS_MM: f64 = 212.0;
/// Lines on the page for notes.
const NOTE_LINES: usize = 16;

/// Every motif in lines, its pieces lettered, and what is cut for it.
pub(super) fn motifs(plan: &Plan, lain: &Plan, letters: &[(String, String, bool)]) -> Chapter {
    let mut blocks = vec![Block::Words(
        "Pieces lie in layers: in the table, the bottom layer of each motif comes first. The edge of a piece that another one covers is left flat."
            .to_owned(),
    )];
    let pictures = plan.motifs.iter().filter_map(|motif| {
        Some(Picture {
            scene: assembly_diagram(lain, motif)?,
            caption: format!("{} ({}): make {}", motif.name, motif.letter, motif.copies),
        })
    });
    let pictures: Vec<Picture> = pictures.collect();
    blocks.extend(pictures.chunks(2).map(|row| Block::Pictures(row.to_vec())));
    blocks.push(Block::Table(Grid {
        heads: vec!["motif", "part", "pieces", "fabric", "cut for all copies"],
        shares: vec![3.0, 4.0, 4.0, 3.0, 2.5],
        rows: plan
            .motifs
            .iter()
            .flat_map(|motif| parts(motif, letters))
            .collect(),
    }));
    Chapter {
        id: "motifs",
        heading: "The motifs".to_owned(),
        on_new_page: true,
        blocks,
    }
}

/// The parts of a motif, bottom layer first.
fn parts(motif: &MotifNote, letters: &[(String, String, bool)]) -> Vec<Vec<String>> {
    let same = motif
        .pieces
        .chunk_by(|a, b| a.part == b.part && a.fabric == b.fabric);
    same.map(|pieces| {
        let marks: Vec<&str> = pieces.iter().map(|piece| piece.mark.as_str()).collect();
        vec![
            format!("{} ({})", motif.name, motif.letter),
            pieces[0].part.clone(),
            marks.join(", "),
            called(letters, &pieces[0].fabric),
            (pieces.len() * motif.copies).to_string(),
        ]
    })
    .collect()
}

/// Strip cutting, fabric by fabric.
pub(super) fn straight(plan: &Plan, letters: &[(String, String, bool)]) -> Option<Chapter> {
    let note = plan.quilt.as_ref().filter(|note| !note.cuts.is_empty())?;
    let mut blocks = vec![Block::Words(
        "All sizes here are cut sizes; seam allowances are included. Strips are cut across the whole width of the fabric unless it says otherwise."
            .to_owned(),
    )];
    for cuts in &note.cuts {
        blocks.push(Block::Heading(format!(
            "Fabric {}",
            called(letters, &cuts.fabric)
        )));
        blocks.push(Block::Words(side_by_side(&straight_gives(plan, cuts))));
        let lay = plan.fabrics.iter().find(|lay| lay.name == cuts.fabric);
        if lay.is_some_and(|lay| lay.beside.is_some()) {
            blocks.push(Block::Words(
                "Some of its motif pieces lie beside these strips in the designer's layout. On your own stripe cut the motif pieces where you find room for them."
                    .to_owned(),
            ));
        }
        blocks.push(Block::Steps(
            cuts.steps.iter().map(|step| without_map(step)).collect(),
        ));
    }
    for size in &note.other_sizes {
        for cuts in &size.cuts {
            blocks.push(Block::Heading(format!(
                "Size {}, fabric {}",
                size.name,
                called(letters, &cuts.fabric)
            )));
            blocks.push(Block::Words(side_by_side(&straight_gives(plan, cuts))));
            blocks.push(Block::Steps(
                cuts.steps.iter().map(|step| without_map(step)).collect(),
            ));
        }
    }
    Some(Chapter {
        id: "straight",
        heading: "Strip cutting".to_owned(),
        on_new_page: true,
        blocks,
    })
}

/// A step of strip cutting in both units, for makers who have no map.
fn without_map(step: &str) -> String {
    side_by_side(
        &step
            .replace(START_OF_MAP, "")
            .replace(ON_MAP, "motif pieces"),
    )
}

/// Where everything goes.
pub(super) fn layout(
    plan: &Plan,
    letters: &[(String, String, bool)],
) -> Result<Option<Chapter>, DrawError> {
    let Some(note) = &plan.quilt else {
        return Ok(None);
    };
    let named: Vec<(String, String)> = letters
        .iter()
        .map(|(letter, name, _)| (letter.clone(), name.clone()))
        .collect();
    let mut blocks = vec![
        Block::Words(
            "Motifs by their letter and number; single letters are the fabrics of the background."
                .to_owned(),
        ),
        Block::Pictures(vec![Picture {
            scene: quilt_lines(plan, &named, LAYOUT_MM)?,
            caption: String::new(),
        }]),
    ];
    if !note.creases.is_empty() {
        blocks.push(Block::Heading("Creases".to_owned()));
        blocks.push(Block::Words(
            "Fold and press the creases in this order. Motifs are measured from them and from the seams.".to_owned(),
        ));
        let creases = note.creases.iter();
        blocks.push(Block::Steps(
            creases
                .map(|one| format!("{}: {}.", one.name, side_by_side(&one.fold)))
                .collect(),
        ));
    }
    if !note.spots.is_empty() {
        blocks.push(Block::Heading("Where each motif's centre goes".to_owned()));
        let rows = note.spots.iter().map(|spot| {
            let what = format!("{} {}", spot.motif, spot.copy);
            vec![spot.label.clone(), what, side_by_side(&spot.guide)]
        });
        blocks.push(Block::Table(Grid {
            heads: vec!["motif", "", "its centre"],
            shares: vec![14.0, 28.0, 138.0],
            rows: rows.collect(),
        }));
    }
    Ok(Some(Chapter {
        id: "layout",
        heading: "Layout and placement guide".to_owned(),
        on_new_page: true,
        blocks,
    }))
}

/// What is done in which order, without the designer's maps.
pub(super) fn order(plan: &Plan) -> Chapter {
    let told = steps(plan).into_iter().map(|step| {
        let step = if step == CUT_BY_MAPS {
            CUT_BY_STRIPE
        } else {
            step.as_str()
        };
        side_by_side(step)
    });
    Chapter {
        id: "order",
        heading: "Order of work".to_owned(),
        on_new_page: true,
        blocks: vec![Block::Steps(told.collect())],
    }
}

/// What spoils fabric and fingers.
pub(super) fn cautions() -> Chapter {
    let shared = CAUTIONS
        .iter()
        .filter(|[heading, _]| !NOT_FOR_PATTERNS.contains(heading));
    let all = shared.chain(&FOR_PATTERNS);
    Chapter {
        id: "before",
        heading: "Before you cut".to_owned(),
        on_new_page: true,
        blocks: all
            .map(|[heading, advice]| Block::Lead(format!("{heading}."), (*advice).to_owned()))
            .collect(),
    }
}

/// The quilt in lines, nothing written in it.
pub(super) fn to_colour_in(plan: &Plan) -> Result<Option<Chapter>, DrawError> {
    if plan.quilt.is_none() {
        return Ok(None);
    }
    Ok(Some(Chapter {
        id: "colours",
        heading: "To colour in".to_owned(),
        on_new_page: true,
        blocks: vec![Block::Pictures(vec![Picture {
            scene: quilt_lines(plan, &[], COLOURS_MM)?,
            caption: String::new(),
        }])],
    }))
}

/// A page for what the maker decided.
pub(super) fn notes(plan: &Plan, letters: &[(String, String, bool)]) -> Chapter {
    let mut blocks = Vec::new();
    let striped_ones = letters
        .iter()
        .filter(|(_, name, _)| striped(plan, name).is_some());
    for (_, name, _) in striped_ones {
        blocks.push(Block::Heading(format!(
            "My fabric {}",
            called(letters, name)
        )));
        blocks.push(Block::Ask("Repeat, usable width, bought:".to_owned()));
        blocks.push(Block::Ask("My centre line lies on:".to_owned()));
    }
    blocks.push(Block::Heading("Notes".to_owned()));
    blocks.push(Block::Lines(NOTE_LINES));
    Chapter {
        id: "notes",
        heading: "My quilt".to_owned(),
        on_new_page: true,
        blocks,
    }
}
