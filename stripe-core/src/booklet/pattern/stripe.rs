//! The maker's own stripe: which line of it lies on the centre, and how the templates lie on it.

use super::content::{Block, Chapter, Picture};
use super::fabrics::{called, striped};
use crate::draw::{DrawError, SlidApart, offset_pictures, slid_apart, slid_picture};
use crate::length::Length;
use crate::num::nearest_multiple_gap;
use crate::plan::{FabricPlan, MotifNote, Plan, StripesRun};
use crate::wording::listed;

/// Which band lies on the centre, and what that does.
pub(super) fn centre(plan: &Plan, letters: &[(String, String, bool)]) -> Option<Chapter> {
    if plan
        .motifs
        .iter()
        .all(|motif| offset_pictures(plan, motif).is_empty())
    {
        return of_prints(plan);
    }
    let mut blocks = vec![
        Block::Words(
            "Before you cut, choose the line in your stripe that is to lie on the centre of the motif: your centre line. It may be the \
             middle of a wide band, of a narrow one, or a line where two bands meet. It changes the look of the motif more \
             than anything else you do."
                .to_owned(),
        ),
        Block::Words(
            "The pictures are in greys, with bands as wide as the designer's. To see yours, fold a piece of your fabric along the line you \
             are thinking of and hold a small mirror to the fold, or lay two mirrors on the fabric."
                .to_owned(),
        ),
    ];
    let before = blocks.len();
    for motif in &plan.motifs {
        let pictures = offset_pictures(plan, motif);
        if pictures.is_empty() {
            continue;
        }
        blocks.push(Block::Heading(format!("{} ({})", motif.name, motif.letter)));
        let where_ = place_of_line(plan, motif);
        let row = pictures.into_iter().map(|one| {
            let look = match (&one.mirrored[..], &one.unlike[..]) {
                (_, []) => "both sides of it mirror each other".to_owned(),
                ([], _) => "the two sides of it differ".to_owned(),
                (mirrored, unlike) => format!(
                    "both sides mirror each other in fabric {}, not in {}",
                    letters_of(letters, mirrored),
                    letters_of(letters, unlike)
                ),
            };
            Picture {
                scene: one.scene,
                caption: format!("{} {where_}: {look}.", capital(one.on_centre)),
            }
        });
        blocks.push(Block::Pictures(row.collect()));
    }
    (blocks.len() > before).then(|| Chapter {
        id: "centre",
        heading: "Choose your centre line".to_owned(),
        on_new_page: true,
        blocks,
    })
}

/// The same where figures are printed on a background: no band is seen.
fn of_prints(plan: &Plan) -> Option<Chapter> {
    let printed = plan.fabrics.iter().any(|fabric| fabric.stripe.is_some());
    printed.then(|| Chapter {
        id: "centre",
        heading: "Choose your centre line".to_owned(),
        on_new_page: true,
        blocks: vec![Block::Words(
            "Before you cut, choose the figure of your print that is to lie on the centre of the motif. The line through its middle, \
             along the fabric, is your centre line. A window of the finished size, cut from card and moved over the fabric, shows you the motif."
                .to_owned(),
        )],
    })
}

/// The letters of fabrics, listed.
fn letters_of(letters: &[(String, String, bool)], names: &[String]) -> String {
    let known = letters.iter().filter(|(_, name, _)| names.contains(name));
    listed(
        &known
            .map(|(letter, ..)| letter.as_str())
            .collect::<Vec<_>>(),
    )
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// Where the centre line lies in a motif.
fn place_of_line(plan: &Plan, motif: &MotifNote) -> &'static str {
    let runs = runs_of(plan, motif);
    match runs[..] {
        [StripesRun::Rays] => "on the middle of each wedge",
        [StripesRun::Rings] => "across each wedge",
        _ => "on the centre",
    }
}

/// How the stripes run in a motif's parts, each way once.
fn runs_of(plan: &Plan, motif: &MotifNote) -> Vec<StripesRun> {
    let mut runs: Vec<StripesRun> = Vec::new();
    let pieces = plan.fabrics.iter().flat_map(|fabric| &fabric.placements);
    for run in pieces
        .filter(|p| p.motif == motif.name)
        .filter_map(|p| p.stripes)
    {
        if !runs.contains(&run) {
            runs.push(run);
        }
    }
    runs
}

/// How to lay the templates on the maker's own stripe.
pub(super) fn on_your_own(
    plan: &Plan,
    letters: &[(String, String, bool)],
    sheets: usize,
) -> Result<Option<Chapter>, DrawError> {
    let all = slid_apart(plan)?;
    if all.is_empty() {
        return Ok(None);
    }
    let mut blocks = vec![Block::Words(
        "Two wedges that meet in the motif cannot lie side by side on the fabric, because each needs its own allowance. So they are slid \
         apart: along the stripe as far as you like, and across it by whole repeats only. The stripes then run on from one to the other as if \
         they had never been cut."
            .to_owned(),
    )];
    blocks.push(Block::Steps(steps(plan, sheets)));
    blocks.push(Block::Words(
        "In the pictures the solid line is the cut line and the dashed one the finished edge."
            .to_owned(),
    ));
    for apart in &all {
        blocks.push(Block::Heading(format!(
            "{}, fabric {}",
            apart.motif,
            called(letters, &apart.fabric)
        )));
        blocks.push(Block::Pictures(vec![Picture {
            scene: slid_picture(plan, apart),
            caption: how_far(plan, apart),
        }]));
    }
    Ok(Some(Chapter {
        id: "stripe",
        heading: "On your own stripe".to_owned(),
        on_new_page: true,
        blocks,
    }))
}

fn steps(plan: &Plan, sheets: usize) -> Vec<String> {
    let runs: Vec<StripesRun> = plan
        .motifs
        .iter()
        .flat_map(|motif| runs_of(plan, motif))
        .collect();
    let mut steps = vec![
        "Chalk your centre line on the right side of the fabric, or mark it with masking tape, all along the stripe. Mark the same line in every \
         repeat that you will use."
            .to_owned(),
        format!(
            "Print the template sheets ({sheets} of them, at the end of the PDF) at actual size and cut the templates out. Each has a stripe line with an \
             arrow, and beside it R or L and a distance, or \"centre line\"."
        ),
        "Turn the template until its stripe line runs along the stripe, its arrow up, away from you. Up is the same way for all pieces of a motif; \
         where every other wedge is turned end for end, its arrow shows it."
            .to_owned(),
        "Measure the distance from a centre line, R to the right of it, L to the left, and lay the stripe line there. Any of your centre lines will do, \
         since the stripe repeats."
            .to_owned(),
        "Slide the template along the stripe to where there is room, leave a gap for your scissors, and chalk around it. The pictures show the \
         least that pieces must be slid apart; more is as good."
            .to_owned(),
        "If your stripe reads the same to both sides of the centre line, and the fabric has no up and down, you may also turn a template upside \
         down (by 180 degrees): then measure R to the left and L to the right."
            .to_owned(),
    ];
    let repeats_along = plan.fabrics.iter().any(|fabric| {
        fabric
            .stripe
            .as_ref()
            .is_some_and(|stripe| stripe.along().is_some())
    });
    if repeats_along {
        steps.push(
            "A plaid, or a print of figures, repeats along the fabric too, and the templates have no line for that. Lay the first piece of a motif \
             so that the motif's centre, which the pictures show, comes to lie where you want it: on the middle of a figure, or of a crossing band. \
             Slide all others of that motif from there by whole repeats along only."
                .to_owned(),
        );
    }
    for motif in &plan.motifs {
        steps.extend(of_rays(plan, motif));
    }
    if runs.contains(&StripesRun::Rings) {
        steps.push(
            "Where the stripes run across the wedges, as in rings, all wedges are laid at one distance from a centre line. It need not be the one that the template says, \
             as long as it is the same for all of them."
                .to_owned(),
        );
    }
    steps
}

/// What a stripe must be like where it runs out along the wedges: it meets at their joints if it
/// reads the same to both sides of the centre line, or if every other wedge is turned about
/// ([`part_frames`](crate::matching::part_frames)).
fn of_rays(plan: &Plan, motif: &MotifNote) -> Option<String> {
    let pieces = plan.fabrics.iter().flat_map(|fabric| &fabric.placements);
    let rays: Vec<f64> = pieces
        .filter(|piece| piece.motif == motif.name && piece.stripes == Some(StripesRun::Rays))
        .filter_map(|piece| Some(piece.normal_deg? - piece.axis_deg))
        .collect();
    let first = rays.first()?;
    let turned = rays
        .iter()
        .any(|deg| nearest_multiple_gap(deg - first, 360.0).abs() > 1.0);
    Some(if turned {
        format!(
            "{}: the stripes run out along the wedges, and every other wedge is turned end for end, as the arrow on its template shows. Choose a fabric without an up and a down.",
            capital(&motif.name)
        )
    } else {
        format!(
            "{}: the stripes run out along the wedges. They meet from wedge to wedge only if your stripe reads the same to both sides of your centre line.",
            capital(&motif.name)
        )
    })
}

/// For which repeats the picture holds.
fn how_far(plan: &Plan, apart: &SlidApart) -> String {
    let shown = |mm: f64| Length::from_mm(mm).shown_both(plan.unit);
    let up = |mm: f64| Length::from_mm(mm).shown_both_up(plan.unit);
    let mut words = format!("Drawn for a repeat of {}.", shown(apart.repeat_mm));
    if apart.moves.iter().all(|one| one.repeats == 0) {
        words.push_str(" It holds for every stripe: nothing is moved across.");
    } else {
        match apart.to_mm {
            None if apart.from_mm < apart.repeat_mm => words.push_str(&format!(
                " The same moves do for any repeat of {} or more; with a narrower one, move over by more repeats, until nothing overlaps.",
                up(apart.from_mm)
            )),
            None => words.push_str(" The same moves do for any wider repeat; with a narrower one, slide further along the stripe."),
            Some(to_mm) => words.push_str(&format!(
                " The same moves do for repeats of {} to {}; otherwise slide further along the stripe.",
                up(apart.from_mm),
                shown(to_mm)
            )),
        }
    }
    if let Some(along_mm) = apart.along_repeat_mm {
        words.push_str(&format!(
            " This fabric must match along the stripe too: move along by whole repeats of {} only.",
            shown(along_mm)
        ));
    }
    match apart.left_out {
        0 => {}
        1 => words.push_str(" One more piece is laid in the same way."),
        more => words.push_str(&format!(" {more} more pieces are laid in the same way.")),
    }
    words
}

/// The project file that goes with the pattern.
pub(super) fn project_file(plan: &Plan, file: &str) -> Chapter {
    let mut names = plan.fabrics.iter().map(FabricPlan::fabric);
    let one = names
        .find(|name| striped(plan, name).is_some())
        .unwrap_or("NAME");
    Chapter {
        id: "file",
        heading: "Planned for your own stripe".to_owned(),
        on_new_page: false,
        blocks: vec![
            Block::Words(format!(
                "With this pattern comes the file {file}. It lets the program stripelay work out, for your stripe and your width, how much to buy and where \
                 every piece lies, with a map to cut from."
            )),
            Block::Steps(vec![
                format!(
                    "Open {file} in a text editor and look for the lines marked YOUR STRIPE, YOUR WIDTH, YOUR COLOUR and YOUR PRICE."
                ),
                format!(
                    "Measure one repeat of your fabric, band by band, and put the widths in place of those of the designer; or let a photograph be read: \
                     stripelay swatch photo.jpg --shows 12in --into {file} --fabric {one}"
                ),
                format!("Plan it: stripelay lay {file} --out my-plan"),
            ]),
        ],
    }
}
