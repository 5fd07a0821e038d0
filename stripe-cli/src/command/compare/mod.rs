//! `stripelay compare`: the same job under several choices, side by side.

mod chart;
mod repeats;
mod rows;
mod yardage;
mod yardage_words;

use crate::args::{CompareArgs, EffortArg};
use crate::choices::{self, Named};
use crate::failure::Failure;
use crate::input::{MAX_PROJECT_BYTES, read_text};
use crate::json_layout;
use crate::output;
use crate::progress::Spinner;
use crate::project_file::read_project;
use crate::result_set::{Kind, ResultSet, Room};
use crate::stop::Stop;
use rayon::prelude::*;
use rows::Row;
use std::sync::atomic::{AtomicUsize, Ordering};
use stripe_core::draw::{png, svg};
use stripe_core::lay::Control;
use stripe_core::plan::{make, make_until_stopped};
use stripe_core::project::Project;

pub(crate) fn run(args: &CompareArgs) -> Result<(), Failure> {
    let text = read_text(&args.project, MAX_PROJECT_BYTES)?;
    let project = read_project(&args.project, &text)?;
    if let Some(repeat) = &args.repeat {
        return yardage::run(args, repeat, &project);
    }
    let choices = choices::choices(args, &project)?;
    let room = if args.force { Room::Any } else { Room::Empty };
    let stop = Stop::listen();
    let out = args.out.as_ref();
    let set = out.map(|out| ResultSet::begin(out, room, Kind::Other));
    let set = set.transpose()?;
    let threads = crate::threads::start(args.search.threads)?;
    let rows = threads.install(|| plan_all(args, &project, &choices, &stop));
    if stop.is_interrupted() {
        output::tell("Stopped, as you asked. Each row is the best layout found so far.");
    }
    if let Some(set) = set {
        write_results(set, &rows, &project)?;
    }
    output::print(&if args.json {
        output::json(&rows)
    } else {
        rows::to_text(&rows, &project, args.effort == EffortArg::Quick)
    })?;
    if rows.iter().all(|row| row.fault.is_some()) {
        return Err(Failure::new(
            "none of these choices can be planned",
            "see above what is wrong with each, and change it, for example with `--width deck=42in`",
        ));
    }
    Ok(())
}

/// One plan a choice: side by side, or in equal parts of the time that is set.
fn plan_all(args: &CompareArgs, project: &Project, choices: &[Named], stop: &Stop) -> Vec<Row> {
    let doing = format!("Comparing {} choices", choices.len());
    let spinner = Spinner::start(&doing, "press Ctrl-C once to stop and keep the best so far");
    let effort = args.effort.to_effort(args.search.seed);
    let done = AtomicUsize::new(0);
    // Whoever sets a time shares it out evenly: one choice after the other, each with all
    // threads, for else those that are planned first would have all of it.
    let share = args.seconds.map(|all| all / choices.len().max(1) as f64);
    let plan_one = |named: &Named| {
        let clock = share.map(|seconds| stop.part(seconds));
        let control = Control {
            stop: Some(clock.as_ref().map_or(&*stop.flag, |(part, _)| &**part)),
            progress: None,
        };
        let make = if share.is_some() {
            make_until_stopped
        } else {
            make
        };
        let plan = project
            .with(&named.choice)
            .map_err(|wrong| wrong.to_string())
            .and_then(|project| {
                make(&project, &effort, &control).map_err(|wrong| wrong.to_string())
            });
        spinner.done(done.fetch_add(1, Ordering::Relaxed) + 1, choices.len());
        Row::new(named, choices::command(&args.project, &named.options), plan)
    };
    let rows = if share.is_some() {
        choices.iter().map(plan_one).collect()
    } else {
        choices.par_iter().map(plan_one).collect()
    };
    spinner.finish();
    rows
}

fn write_results(mut set: ResultSet, rows: &[Row], project: &Project) -> Result<(), Failure> {
    let report = |what: &str| Failure::new(format!("{what} cannot be made"), "please report this");
    set.write("compare.csv", &rows::csv(rows))?;
    let json = json_layout::to_bytes(&rows).map_err(|_| report("compare.json"))?;
    set.write("compare.json", &json)?;
    let drawing = svg(&chart::draw(rows, project));
    set.write("compare.svg", drawing.as_bytes())?;
    let dots = png(&drawing, 150.0).map_err(|_| report("compare.png"))?;
    set.write("compare.png", &dots)?;
    set.finish()?;
    Ok(())
}
