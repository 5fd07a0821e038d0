//! What goes to the table on paper: the template sheets and the booklet.

use crate::args::{PagesArgs, PaperArg};
use crate::failure::Failure;
use crate::pictures::{Names, Picture, failure};
use stripe_core::booklet::Settings;
use stripe_core::draw::{Method, Paper, Stripes, Templates, machine_templates, pdf, svg};
use stripe_core::plan::Plan;

/// The booklet's file.
pub(crate) const BOOKLET_FILE: &str = "booklet.html";

/// The paper and the method that were asked for, or what is usual.
pub(crate) fn choice(plan: &Plan, pages: &PagesArgs) -> Settings {
    Settings {
        paper: pages
            .paper
            .map_or(Paper::default(plan.unit), PaperArg::paper),
        method: pages.method.unwrap_or(Method::PaperOnRightSide),
    }
}

/// The sheets as one PDF.
pub(crate) fn template_sheets(plan: &Plan, made: &Templates) -> Result<Picture, Failure> {
    let file = pdf(&made.sheets, &format!("Templates: {}", plan.title));
    Ok(("templates.pdf".to_owned(), file.map_err(|e| failure(&e))?))
}

/// An SVG of lines alone for each template, for cutting machines.
pub(crate) fn machine_files(
    plan: &Plan,
    choice: Settings,
    stripes: Stripes,
) -> Result<Vec<Picture>, Failure> {
    let mut names = Names::default();
    let made = machine_templates(plan, choice.method, stripes).map_err(|e| failure(&e))?;
    let file = |one: &stripe_core::draw::MachineTemplate| {
        let name = names.file_name("template", &one.name);
        (format!("{name}.svg"), svg(&one.scene).into_bytes())
    };
    Ok(made.iter().map(file).collect())
}

/// The booklet as a file.
pub(crate) fn booklet_file(page: String) -> Picture {
    (BOOKLET_FILE.to_owned(), page.into_bytes())
}
