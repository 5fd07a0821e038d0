//! `stripelay lay`: from a project file to a folder of results.

use crate::args::LayArgs;
use crate::choices;
use crate::digest::digest;
use crate::failure::Failure;
use crate::input::{MAX_PROJECT_BYTES, read_text};
use crate::output;
use crate::progress::{Lengths, Spinner};
use crate::project_file::{plan_failure, read_project};
use crate::result_set::{Kind, ResultSet, Room};
use crate::results::write_all;
use crate::stop::Stop;
use crate::summary;
use crate::summary::Summary;
use stripe_core::lay::{Control, Progress};
use stripe_core::plan::{Plan, as_many, make, make_until_stopped};
use stripe_core::project::Project;
use stripe_core::project::limits::COPIES;

pub(crate) fn run(args: &LayArgs) -> Result<(), Failure> {
    let text = read_text(&args.project, MAX_PROJECT_BYTES)?;
    let project = read_project(&args.project, &text)?;
    let choice = choices::choice(args, &project)?;
    let mut project = project.with(&choice).map_err(|wrong| {
        Failure::new(
            wrong.to_string(),
            "change the option that asks for it, or leave it out",
        )
    })?;
    if let Some(kits) = args.kits {
        project.kits = usize::from(kits);
    }
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
    let wanted = match &args.as_many {
        Some(motif) => Some(as_many_as_there_are(args, motif, text, project, stop)?),
        None => None,
    };
    let project = wanted.as_ref().unwrap_or(project);
    let plan = search(args, text, project, stop)?;
    if stop.is_interrupted() {
        output::tell(
            "Stopped, as you asked. This is the best layout found so far, checked like any other.",
        );
    }
    let spinner = Spinner::start("Drawing maps, templates and booklet", "one moment");
    let written = write_all(&mut set, &plan, &args.pages);
    spinner.finish();
    written?;
    let files = set.finish()?;
    let summary = Summary::new(&plan, &args.out, files, stop.is_interrupted());
    output::print(&if args.json {
        output::json(&summary)
    } else {
        summary::to_text(&summary, &plan)
    })
}

/// The project with as many copies of one motif as the fabric in hand gives, without its quilt.
fn as_many_as_there_are(
    args: &LayArgs,
    motif: &str,
    text: &str,
    project: &Project,
    stop: &Stop,
) -> Result<Project, Failure> {
    let mut project = project.clone();
    let known: Vec<String> = project.motifs.iter().map(|one| one.name.clone()).collect();
    let Some(at) = known.iter().position(|name| name == motif) else {
        return Err(Failure::new(
            format!("--as-many {motif}: the project has no such motif"),
            format!("its motifs are: {}", known.join(", ")),
        ));
    };
    let spinner = Spinner::start(
        "Counting how many fit",
        "press Ctrl-C once to stop and keep the most found so far",
    );
    let control = Control {
        stop: Some(&stop.flag),
        progress: None,
    };
    let effort = args.effort.to_effort(args.search.seed);
    let count = as_many(&project, motif, *COPIES.end(), &effort, &control);
    spinner.finish();
    let count = count.map_err(|error| plan_failure(&args.project, text, &error))?;
    if count == 0 {
        return Err(Failure::new(
            format!("not a single {motif} fits on the fabric in hand beside the other motifs"),
            "give the other motifs fewer copies, or plan without --as-many: it says what is lacking",
        ));
    }
    output::tell(&format!("The fabric in hand gives {count} of {motif}."));
    project.quilts.clear();
    project.motifs[at].copies = count;
    Ok(project)
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
