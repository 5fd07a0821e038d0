//! The pattern: a booklet for makers who are not the designer and have another stripe. One text,
//! made into HTML and into pages of paper.

mod content;
mod fabrics;
mod html;
mod make;
mod pages;
mod stripe;

use crate::draw::{
    DrawError, Method, Paper, Scene, Stripes, any_stripe, fabric_letters, templates,
};
use crate::plan::Plan;
use content::Chapter;

/// What is said below the title.
fn about(plan: &Plan) -> &'static str {
    let stripes = || {
        plan.fabrics
            .iter()
            .filter_map(|fabric| fabric.stripe.as_ref())
    };
    if stripes().count() > 0 && stripes().all(|stripe| fabrics::kind_of(stripe) == "printed") {
        "A pattern for printed fabric. You choose the print; the pieces are laid so that its figures run on from wedge to wedge."
    } else {
        "A pattern for striped fabric. You choose the stripe; the pieces are laid so that it runs on from wedge to wedge."
    }
}

/// What the designer adds to what the plan knows.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PatternWords {
    /// What to ask for of a striped fabric, whatever its stripe: the fabric's name, and the
    /// sentence. Where nothing is said, room is left to write it in.
    pub ask_for: Vec<(String, String)>,
    /// The name of the project file that goes with the pattern, if one does.
    pub project_file: Option<String>,
}

/// A pattern, finished.
#[derive(Debug, Clone, PartialEq)]
pub struct PatternBooklet {
    /// The booklet as one HTML file.
    pub html: String,
    /// The same booklet page by page, and after it the template sheets at true size.
    pub sheets: Vec<Scene>,
    /// How many of the sheets are the booklet.
    pub pages: usize,
}

/// The pattern of a plan, on that paper. Its templates are drawn as the motif is seen.
///
/// # Errors
/// A plan that cannot be drawn, or one with more templates or sheets than the limits.
pub fn pattern(
    plan: &Plan,
    paper: Paper,
    words: &PatternWords,
) -> Result<PatternBooklet, DrawError> {
    let lain = any_stripe(plan)?;
    let made = templates(&lain, paper, Method::PaperOnRightSide, Stripes::Line)?;
    let chapters = chapters(plan, &lain, words, made.sheets.len())?;
    let mut sheets = pages::pages(&plan.title, about(plan), &chapters, paper);
    let pages = sheets.len();
    sheets.extend(made.sheets);
    Ok(PatternBooklet {
        html: html::page(&plan.title, about(plan), &chapters),
        sheets,
        pages,
    })
}

/// All chapters that the plan has something for.
fn chapters(
    plan: &Plan,
    lain: &Plan,
    words: &PatternWords,
    template_sheets: usize,
) -> Result<Vec<Chapter>, DrawError> {
    let letters = fabric_letters(plan);
    let all = [
        Some(fabrics::quilt(plan, lain)?),
        Some(fabrics::needs(plan, &letters, words)),
        stripe::centre(plan, &letters),
        Some(make::motifs(plan, lain, &letters)),
        Some(make::cautions()),
        words
            .project_file
            .as_deref()
            .map(|file| stripe::project_file(plan, file)),
        stripe::on_your_own(plan, &letters, template_sheets)?,
        make::straight(plan, &letters),
        make::layout(plan, &letters)?,
        Some(make::order(plan)),
        make::to_colour_in(plan)?,
        Some(make::notes(plan, &letters)),
    ];
    Ok(all.into_iter().flatten().collect())
}
