//! What the quilt is, and what it needs.

use super::PatternWords;
use super::content::{Block, Chapter, Grid, Picture};
use crate::buy::straight::plural;
use crate::draw::{DrawError, assembly_diagram, offset_pictures, quilt_lines};
use crate::fabric::{Run, Stripe};
use crate::length::{Length, Unit};
use crate::plan::{FabricPlan, Plan};
use crate::wording::{listed, side_by_side};

/// Metres are asked for in tenths.
const TENTH_OF_A_METRE_MM: f64 = 100.0;
/// On the first page motifs stand in rows of so many.
const IN_A_ROW: usize = 3;
/// The quilt on the first page is fitted into this height (mm).
const FRONT_MM: f64 = 92.0;

/// What it is, how large, and what is in it.
pub(super) fn quilt(plan: &Plan, lain: &Plan) -> Result<Chapter, DrawError> {
    let mut blocks = Vec::new();
    let pictures = plan.motifs.iter().filter_map(|motif| {
        let first = offset_pictures(plan, motif).into_iter().next();
        let scene = first
            .map(|one| one.scene)
            .or_else(|| assembly_diagram(lain, motif));
        Some(Picture {
            scene: scene?,
            caption: motif.name.clone(),
        })
    });
    let pictures: Vec<Picture> = pictures.take(2 * IN_A_ROW).collect();
    for row in pictures.chunks(IN_A_ROW) {
        blocks.push(Block::Pictures(row.to_vec()));
    }
    if let Some(quilt) = &plan.quilt {
        blocks.push(Block::Pictures(vec![Picture {
            scene: quilt_lines(plan, &[], FRONT_MM)?,
            caption: String::new(),
        }]));
        let count = |name: &str| quilt.spots.iter().filter(|spot| spot.motif == name).count();
        let here = plan
            .motifs
            .iter()
            .map(|motif| (motif.name.clone(), count(&motif.name)));
        let mut rows = vec![size_row(
            &quilt.name,
            quilt.size_mm,
            &here.collect::<Vec<_>>(),
            plan.unit,
        )];
        let others = quilt.other_sizes.iter();
        rows.extend(others.map(|one| size_row(&one.name, one.size_mm, &one.motifs, plan.unit)));
        blocks.push(Block::Table(Grid {
            heads: vec!["size", "finished", "motifs"],
            shares: vec![22.0, 50.0, 50.0],
            rows,
        }));
        if !quilt.other_sizes.is_empty() {
            blocks.push(Block::Words(format!(
                "Everything below is for the size {}, unless it says otherwise.",
                quilt.name
            )));
        }
    } else {
        let motifs = plan
            .motifs
            .iter()
            .map(|motif| so_many(motif.copies, &motif.name));
        blocks.push(Block::Words(format!(
            "The motifs alone, without a quilt: {}.",
            listed(&motifs.collect::<Vec<_>>())
        )));
    }
    blocks.push(Block::Words(
        "Sizes are finished sizes unless marked cut. Work in inches or in centimetres throughout: each is \
         rounded separately, and the two differ by up to 1/16 in."
            .to_owned(),
    ));
    let heading = match plan.quilt {
        Some(_) => "The quilt",
        None => "The motifs of this pattern",
    };
    Ok(Chapter {
        id: "whole",
        heading: heading.to_owned(),
        on_new_page: false,
        blocks,
    })
}

fn size_row(name: &str, size_mm: [f64; 2], motifs: &[(String, usize)], unit: Unit) -> Vec<String> {
    let [wide, tall] = size_mm.map(|mm| Length::from_mm(mm).shown_both(unit));
    let used = motifs.iter().filter(|(_, count)| *count > 0);
    let used = used.map(|(motif, count)| so_many(*count, motif));
    vec![
        name.to_owned(),
        format!("{wide} by {tall}"),
        listed(&used.collect::<Vec<_>>()),
    ]
}

/// `6 wheels`.
fn so_many(count: usize, motif: &str) -> String {
    format!("{count} {}", plural(motif, count))
}

/// `A (deck)`, or the name alone where it has no letter.
pub(super) fn called(letters: &[(String, String, bool)], name: &str) -> String {
    let known = letters.iter().find(|(_, known, _)| known == name);
    known.map_or(name.to_owned(), |(letter, ..)| format!("{letter} ({name})"))
}

/// The first placed fabric of that name.
pub(super) fn striped<'a>(plan: &'a Plan, name: &str) -> Option<(&'a FabricPlan, &'a Stripe)> {
    let mut fabrics = plan.fabrics.iter();
    let fabric = fabrics.find(|fabric| fabric.fabric() == name)?;
    Some((fabric, fabric.stripe.as_ref()?))
}

/// What to buy, by the fabrics' letters.
pub(super) fn needs(
    plan: &Plan,
    letters: &[(String, String, bool)],
    words: &PatternWords,
) -> Chapter {
    let mut blocks = vec![Block::Words(
        "Fabrics go by letters that no motif has. The words in brackets are the designer's own, and the colours are yours to choose."
            .to_owned(),
    )];
    let kind = |name: &str| match letters.iter().find(|(_, known, _)| known == name) {
        Some((_, _, true)) => striped(plan, name).map_or("striped", |(_, stripe)| kind_of(stripe)),
        Some(_) => "plain",
        None => "",
    };
    let row = |name: &str, width_mm: Option<f64>, length_mm: f64, buy_mm: f64, what: String| {
        vec![
            called(letters, name),
            kind(name).to_owned(),
            width_mm.map_or_else(String::new, |mm| Length::from_mm(mm).shown_both(plan.unit)),
            Length::from_mm(length_mm).shown_both_up(plan.unit),
            ask(buy_mm, plan.unit),
            what,
        ]
    };
    let mut rows: Vec<Vec<String>> = match &plan.quilt {
        Some(quilt) => quilt
            .shopping
            .iter()
            .map(|line| {
                let what = used_for(plan, &line.name);
                row(&line.name, line.width_mm, line.length_mm, line.buy_mm, what)
            })
            .collect(),
        None => plan
            .fabrics
            .iter()
            .filter(|fabric| fabric.in_hand.is_none())
            .map(|one| {
                let what = used_for(plan, one.fabric());
                row(
                    one.fabric(),
                    Some(one.width_mm),
                    one.shortest(),
                    one.buy.length_mm,
                    what,
                )
            })
            .collect(),
    };
    // What the designer had already was not bought, but is needed all the same.
    for (_, name, _) in letters {
        if rows.iter().all(|row| row[0] != called(letters, name)) {
            let [width, length, ask] = [const { String::new() }; 3];
            let (kind, what) = (kind(name).to_owned(), used_for(plan, name));
            rows.push(vec![called(letters, name), kind, width, length, ask, what]);
        }
    }
    // By letter; what has none, as batting, comes last.
    rows.sort_by_key(|row| {
        let mut known = letters.iter();
        let at = known.position(|(_, name, _)| called(letters, name) == row[0]);
        at.unwrap_or(usize::MAX)
    });
    blocks.push(Block::Table(Grid {
        heads: vec![
            "fabric",
            "",
            "usable width",
            "length needed",
            "ask for",
            "for",
        ],
        shares: vec![27.0, 14.0, 33.0, 35.0, 35.0, 36.0],
        rows,
    }));
    blocks.push(Block::Words(
        "Where your fabric is narrower than the usable width given here, more length is needed. Selvages do not count."
            .to_owned(),
    ));
    let striped_ones = letters
        .iter()
        .filter(|(_, name, _)| striped(plan, name).is_some());
    for (_, name, _) in striped_ones {
        let Some((fabric, stripe)) = striped(plan, name) else {
            continue;
        };
        let kind = match kind_of(stripe) {
            "printed" => "Printed",
            _ => "Striped",
        };
        blocks.push(Block::Heading(format!(
            "{kind} fabric {}",
            called(letters, name)
        )));
        blocks.push(Block::Words(of_stripe(plan, fabric, stripe)));
        match words.ask_for.iter().find(|(known, _)| known == name) {
            Some((_, sentence)) => {
                blocks.push(Block::Lead(
                    "For your own stripe:".to_owned(),
                    side_by_side(sentence),
                ));
            }
            None if kind == "Printed" => {
                blocks.push(Block::Ask("For any other print, ask for:".to_owned()));
            }
            None => blocks.push(Block::Ask("For any other stripe, ask for:".to_owned())),
        }
    }
    blocks.extend(other_sizes(plan, letters));
    blocks.push(Block::Lead(
        "You also need".to_owned(),
        "thread to match, a rotary cutter with mat and ruler, scissors for fabric and others for paper, chalk or a washable \
         pen, paper for the templates, and what your own way of appliqué asks for."
            .to_owned(),
    ));
    Chapter {
        id: "needs",
        heading: "What you need".to_owned(),
        on_new_page: true,
        blocks,
    }
}

/// `1 5/8 yd or 1.5 m`: each as a shop cuts it.
fn ask(buy_mm: f64, unit: Unit) -> String {
    let yards = Length::from_mm(buy_mm).shown_to_buy(Unit::Inch);
    let tenths = (buy_mm / TENTH_OF_A_METRE_MM - 1e-6).ceil();
    let metres = Length::from_mm(tenths * TENTH_OF_A_METRE_MM).shown_to_buy(Unit::Centimetre);
    match unit {
        Unit::Inch => format!("{yards} or {metres}"),
        Unit::Centimetre | Unit::Millimetre => {
            // Yards are cut in eighths.
            let eighth_mm = Length::from_yards(0.125).to_mm();
            let eighths = (buy_mm / eighth_mm - 1e-6).ceil();
            let yards = Length::from_mm(eighths * eighth_mm).shown_to_buy(Unit::Inch);
            format!("{metres} or {yards}")
        }
    }
}

/// The parts of motifs and of the top that a fabric is for.
fn used_for(plan: &Plan, name: &str) -> String {
    let mut uses: Vec<String> = Vec::new();
    for motif in &plan.motifs {
        let mut parts: Vec<&str> = Vec::new();
        for piece in motif.pieces.iter().filter(|piece| piece.fabric == name) {
            if !parts.contains(&piece.part.as_str()) {
                parts.push(&piece.part);
            }
        }
        uses.extend(parts.into_iter().map(str::to_owned));
    }
    if let Some(quilt) = &plan.quilt {
        let cuts = quilt.cuts.iter().filter(|cuts| cuts.fabric == name);
        uses.extend(
            cuts.flat_map(|cuts| &cuts.pieces)
                .map(|piece| piece.name.clone()),
        );
    }
    uses.join(", ")
}

/// Whether bands are seen, or figures printed on a background.
pub(super) fn kind_of(stripe: &Stripe) -> &'static str {
    match (stripe.bands(), stripe.along()) {
        ([_], Some(_)) => "printed",
        _ => "striped",
    }
}

/// What the length in the table was worked out for.
fn of_stripe(plan: &Plan, fabric: &FabricPlan, stripe: &Stripe) -> String {
    let both = |mm: f64| Length::from_mm(mm).shown_both(plan.unit);
    let run = match stripe.run() {
        Run::Lengthwise => "along the selvages",
        Run::Crosswise => "from selvage to selvage",
    };
    let mirror = if stripe.is_balanced() {
        "it reads the same from left and from right"
    } else {
        "its bands come in one order only, and it does not read the same from left and from right"
    };
    let faces = if fabric.both_faces {
        "either side of the fabric may show"
    } else {
        "only the right side shows"
    };
    let turned = if fabric.one_way {
        "; no piece is turned upside down"
    } else {
        ""
    };
    let repeat = both(stripe.repeat_mm());
    let bought = plan
        .fabrics
        .iter()
        .any(|one| one.fabric() == fabric.fabric() && one.in_hand.is_none());
    let of = |what: &str| match bought {
        true => format!("The length in the table is for the designer's {what}: "),
        false => format!(
            "The designer cut it from pieces in hand, so the table gives no length. The designer's {what}: "
        ),
    };
    match stripe.along() {
        Some(along) if kind_of(stripe) == "printed" => format!(
            "{}its figures stand {repeat} apart across the fabric and {} apart along it, {faces}{turned}. \
             Another print may take more or less; figures further apart usually take more.",
            of("print"),
            both(along.repeat_mm)
        ),
        along => {
            let along = along.map_or(String::new(), |along| {
                format!(
                    " It also repeats along the stripe, every {}, and must match that way too.",
                    both(along.repeat_mm)
                )
            });
            format!(
                "{}its repeat is {repeat} wide, it runs {run}, {mirror}, and {faces}{turned}.{along} \
                 Another stripe may take more or less; a wider repeat usually takes more.",
                of("stripe")
            )
        }
    }
}

/// What the straight pieces of the other sizes take.
fn other_sizes(plan: &Plan, letters: &[(String, String, bool)]) -> Vec<Block> {
    let Some(quilt) = &plan.quilt else {
        return Vec::new();
    };
    let mut blocks = Vec::new();
    for size in &quilt.other_sizes {
        blocks.push(Block::Heading(format!("Another size: {}", size.name)));
        let rows = size.cuts.iter().map(|cuts| {
            vec![
                called(letters, &cuts.fabric),
                format!(
                    "{} wide",
                    Length::from_mm(cuts.width_mm).shown_both(plan.unit)
                ),
                Length::from_mm(cuts.length_mm).shown_both_up(plan.unit),
            ]
        });
        blocks.push(Block::Table(Grid {
            heads: vec!["fabric", "usable width", "length for its straight pieces"],
            shares: vec![1.0, 1.0, 1.0],
            rows: rows.collect(),
        }));
        let motifs = size
            .motifs
            .iter()
            .map(|(motif, count)| so_many(*count, motif));
        blocks.push(Block::Words(format!(
            "For its motifs ({}) allow fabric beside that, in proportion to their number.",
            listed(&motifs.collect::<Vec<_>>())
        )));
    }
    blocks
}
