//! `stripelay recut`: from a plan and what went wrong to a plan that goes on from there.

use crate::args::{EffortArg, RecutArgs};
use crate::digest::digest;
use crate::failure::Failure;
use crate::input::{MAX_PLAN_BYTES, MAX_PROJECT_BYTES, read_text};
use crate::output;
use crate::plan_file::read_plan;
use crate::result_set::{Kind, ResultSet, Room};
use crate::results::write_all;
use crate::stop::Stop;
use crate::summary::{self, Summary};
use std::path::Path;
use stripe_core::fabric::InHand;
use stripe_core::lay::Control;
use stripe_core::length::{Length, Unit};
use stripe_core::plan::{Happened, Plan, RecutError, RecutNote, recut};

/// The smallest and the largest side of a piece of fabric (mm).
const SIDES_MM: std::ops::RangeInclusive<f64> = 5.0..=10_000.0;

pub(crate) fn run(args: &RecutArgs) -> Result<(), Failure> {
    let plan = read_plan(&args.plan)?;
    let parent = digest(&read_text(&args.plan, MAX_PLAN_BYTES)?);
    let more: Result<Vec<_>, Failure> = args.from.iter().map(|text| from(text, &plan)).collect();
    let happened = Happened {
        cut: codes(&args.cut)?,
        spoilt: codes(&args.spoilt)?,
        more: more?,
        keep: args.keep,
    };
    let room = if args.force { Room::Any } else { Room::Empty };
    let stop = Stop::listen();
    let mut set = ResultSet::begin(&args.out, room, Kind::Plan)?;
    let threads = crate::threads::start(args.search.threads)?;
    threads.install(|| {
        let control = Control {
            stop: Some(&stop.flag),
            progress: None,
        };
        let effort = args.effort.to_effort(args.search.seed);
        let plan = recut(&plan, &happened, &parent, &effort, &control).map_err(|e| failure(&e))?;
        write_all(&mut set, &plan, &args.pages)?;
        let files = set.finish()?;
        let summary = Summary::new(&plan, &args.out, files, stop.is_interrupted());
        output::print(&if args.json {
            output::json(&summary)
        } else {
            let changes = plan.recut.as_ref().map_or_else(String::new, changes);
            let longer = plan.recut.as_ref().and_then(|note| longer(note, args));
            changes + &summary::to_text(&summary, &plan) + &longer.unwrap_or_default()
        })
    })
}

/// What is new, for a person.
fn changes(note: &RecutNote) -> String {
    let list = |codes: &[String]| codes.join(", ");
    let mut text = format!("To cut again: {}.\n", list(&note.spoilt));
    text += &match note.moved.len() {
        0 => "Every other piece stays where it was.\n".to_owned(),
        1 => format!("Moved to make room: {}.\n", list(&note.moved)),
        count => format!(
            "Moved to make room, {count} pieces: {}.\n",
            list(&note.moved)
        ),
    };
    text.push('\n');
    text
}

/// What to try before more fabric is bought: a search that takes longer may still find room.
fn longer(note: &RecutNote, args: &RecutArgs) -> Option<String> {
    let may_gain = !note.lacking.is_empty() && args.effort != EffortArg::Patient && !args.keep;
    may_gain.then(|| {
        "Before you buy more, try again with --effort patient: it searches longer, up to a minute, and may find room.\n"
            .to_owned()
    })
}

/// Codes as given, those of files (`@ticked.txt`) among them.
fn codes(given: &[String]) -> Result<Vec<String>, Failure> {
    let mut all = Vec::new();
    for word in given {
        match word.trim().strip_prefix('@') {
            Some(file) => {
                let text = read_text(Path::new(file), MAX_PROJECT_BYTES)?;
                let words = text.split(|c: char| c.is_whitespace() || c == ',');
                all.extend(words.filter(|word| !word.is_empty()).map(str::to_owned));
            }
            None if word.trim().is_empty() => {}
            None => all.push(word.trim().to_owned()),
        }
    }
    Ok(all)
}

/// `deck=7 in x 5 in@1/2 in`: fabric, width, length, where its stripe begins.
fn from(text: &str, plan: &Plan) -> Result<(String, InHand), Failure> {
    let wrong = |what: String| {
        let help = "write width (across) by length (along the selvage): --from \"7 in x 5 in\", or with where its stripe begins: --from \"7 in x 5 in@1/2 in\"";
        Failure::new(format!("--from {text:?}: {what}"), help)
    };
    let (fabric, rest) = text.split_once('=').unwrap_or(("", text));
    let (size, start) = match rest.split_once('@') {
        Some((size, start)) => (size, Some(start)),
        None => (rest, None),
    };
    let length = |text: &str, unit: Unit| Length::read(text.trim(), unit).map(Length::to_mm);
    let sides: Vec<&str> = size.split(['x', 'X', '×']).collect();
    let [width, height] = sides[..] else {
        return Err(wrong("this is no width and length".to_owned()));
    };
    let read = |text: &str| length(text, plan.unit).map_err(|e| wrong(e.to_string()));
    let (width_mm, length_mm) = (read(width)?, read(height)?);
    if !SIDES_MM.contains(&width_mm) || !SIDES_MM.contains(&length_mm) {
        return Err(wrong("no piece of fabric has that size".to_owned()));
    }
    let mut piece = InHand::rectangle("another piece", width_mm, length_mm);
    if let Some(start) = start {
        piece.origin_mm = read(start)?;
    }
    Ok((fabric.trim().to_owned(), piece))
}

fn failure(error: &RecutError) -> Failure {
    let help = match error {
        RecutError::NoCode { .. } => "codes stand on the maps and in cut-list.csv",
        RecutError::Both { .. } => "leave it out of one of the two lists",
        RecutError::NothingSpoilt => "name what has to be cut again: --spoilt W3b",
        RecutError::NoFabric { .. } => {
            "name the fabric before the size: --from \"deck=7 in x 5 in\""
        }
        RecutError::Unsound(_) => "plan the project again with `stripelay lay`",
        _ => "please report this, with the plan",
    };
    Failure::new(error.to_string(), help)
}
