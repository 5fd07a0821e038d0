//! All that is written of a plan: the plan itself, lists, drawings, templates, booklet.

use crate::args::PagesArgs;
use crate::cut_list;
use crate::failure::Failure;
use crate::pictures::{self, Picture};
use crate::plan_file::{PLAN_FILE, write_plan};
use crate::quilt_lists::{buying_csv, placement_csv, straight_csv};
use crate::result_set::ResultSet;
use crate::sheets::{booklet_file, choice, template_sheets};
use stripe_core::booklet::bind;
use stripe_core::draw::Drawings;
use stripe_core::plan::Plan;

/// Writes every file of a plan into a set of results.
pub(crate) fn write_all(
    set: &mut ResultSet,
    plan: &Plan,
    pages: &PagesArgs,
) -> Result<(), Failure> {
    set.write(PLAN_FILE, &write_plan(plan)?)?;
    set.write("cut-list.csv", &cut_list::csv(plan))?;
    for (name, bytes) in draw_all(plan, pages)? {
        set.write(&name, &bytes)?;
    }
    if let Some(quilt) = &plan.quilt {
        set.write("buying-list.csv", &buying_csv(plan, quilt))?;
        set.write("strip-cutting.csv", &straight_csv(plan, quilt))?;
        set.write("placement.csv", &placement_csv(plan, quilt))?;
    }
    Ok(())
}

/// Every drawing, side by side: whoever pressed Ctrl-C is waiting for them.
fn draw_all(plan: &Plan, pages: &PagesArgs) -> Result<Vec<Picture>, Failure> {
    let choice = choice(plan, pages);
    let drawings = Drawings::new(plan, choice.paper, choice.method)
        .map_err(|error| pictures::failure(&error))?;
    let (pictures, (sheets, booklet)) = rayon::join(
        || pictures::render(pictures::all(plan, &drawings)),
        || {
            rayon::join(
                || template_sheets(plan, &drawings.templates),
                || booklet_file(bind(plan, choice, &drawings)),
            )
        },
    );
    let mut files = pictures?;
    files.extend([sheets?, booklet]);
    Ok(files)
}
