//! `stripelay lay`: from a project file to a folder of results.

use crate::args::{LayArgs, PagesArgs};
use crate::choices;
use crate::digest::digest;
use crate::failure::Failure;
use crate::input::{MAX_PROJECT_BYTES, read_text};
use crate::output;
use crate::pictures::{self, Picture};
use crate::plan_file::{PLAN_FILE, write_plan};
use crate::progress::{Lengths, Spinner};
use crate::project_file::{plan_failure, read_project};
use crate::quilt_lists::{buying_csv, placement_csv, straight_csv};
use crate::result_set::{Kind, ResultSet, Room};
use crate::sheets::{booklet_file, choice, template_sheets};
use crate::stop::Stop;
use crate::summary::Summary;
use crate::{cut_list, summary};
use stripe_core::booklet::bind;
use stripe_core::draw::Drawings;
use stripe_core::lay::{Control, Progress};
use stripe_core::plan::{Plan, make, make_until_stopped};
use stripe_core::project::Project;

pub(crate) fn run(args: &LayArgs) -> Result<(), Failure> {
    let text = read_text(&args.project, MAX_PROJECT_BYTES)?;
    let project = read_project(&args.project, &text)?;
    let choice = choices::choice(args, &project)?;
    let project = project.with(&choice).map_err(|wrong| {
        Failure::new(
            wrong.to_string(),
            "change the option that asks for it, or leave it out",
        )
    })?;
    let room = if args.force { Room::Any } else { Room::Empty };
    let stop = Stop::listen();
    let set = ResultSet::begin(&args.out, room, Kind::Plan)?;
    let threads = crate::threads::start(args.search.threads)?;
    threads.install(|| lay(args, &text, &project, &stop, set))
}

fn lay(
    args: &LayArgs,
    text: &str,
    project: &Project,
    stop: &Stop,
    mut set: ResultSet,
) -> Result<(), Failure> {
    let plan = search(args, text, project, stop)?;
    if stop.is_interrupted() {
        output::tell(
            "Stopped, as you asked. This is the best layout found so far, checked like any other.",
        );
    }
    set.write(PLAN_FILE, &write_plan(&plan)?)?;
    set.write("cut-list.csv", &cut_list::csv(&plan))?;
    for (name, bytes) in draw_all(&plan, &args.pages)? {
        set.write(&name, &bytes)?;
    }
    if let Some(quilt) = &plan.quilt {
        set.write("buying-list.csv", &buying_csv(&plan, quilt))?;
        set.write("strip-cutting.csv", &straight_csv(quilt))?;
        set.write("placement.csv", &placement_csv(&plan, quilt))?;
    }
    let files = set.finish()?;
    let summary = Summary::new(&plan, &args.out, files, stop.is_interrupted());
    output::print(&if args.json {
        output::json(&summary)
    } else {
        summary::to_text(&summary, &plan)
    })
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

fn search(args: &LayArgs, text: &str, project: &Project, stop: &Stop) -> Result<Plan, Failure> {
    let effort = args.effort.to_effort(args.search.seed);
    let spinner = Spinner::start(
        "Laying the pieces",
        "press Ctrl-C once to stop and keep the best layout so far",
    );
    let lengths = Lengths::new(project.unit);
    let tell = |progress: Progress<'_>| {
        if progress.what.is_empty() {
            // A part of a fabric, laid to see what is left over.
            return;
        }
        let (now, minute) = lengths.take(progress.what, progress.length_mm);
        spinner.lengths(&now);
        if let Some(minute) = minute.filter(|_| args.seconds.is_some()) {
            spinner.tell(&minute);
        }
    };
    let control = Control {
        stop: Some(&stop.flag),
        progress: Some(&tell),
    };
    let clock = stop.after(args.seconds);
    let plan = if args.seconds.is_some() {
        make_until_stopped(project, &effort, &control)
    } else {
        make(project, &effort, &control)
    };
    drop(clock);
    spinner.finish();
    match plan {
        Ok(plan) => Ok(Plan {
            project_digest: digest(text),
            ..plan
        }),
        Err(error) => Err(plan_failure(&args.project, text, &error)),
    }
}
