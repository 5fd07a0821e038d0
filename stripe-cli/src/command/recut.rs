//! `stripelay recut`: from a plan and what went wrong to a plan that goes on from there.

use crate::args::{EffortArg, RecutArgs};
use crate::digest::digest;
use crate::failure::Failure;
use crate::happened::happened;
use crate::input::{MAX_PLAN_BYTES, read_text};
use crate::output;
use crate::plan_file::{plan_in, read_plan};
use crate::result_set::{Kind, ResultSet, Room};
use crate::results::write_all;
use crate::stop::Stop;
use crate::summary::{self, Summary};
use stripe_core::lay::Control;
use stripe_core::plan::{RecutError, RecutNote, recut};
use stripe_core::wording::listed;

pub(crate) fn run(args: &RecutArgs) -> Result<(), Failure> {
    let from = plan_in(&args.plan);
    let plan = read_plan(&from)?;
    let parent = digest(&read_text(&from, MAX_PLAN_BYTES)?);
    let happened = happened(args, plan.unit)?;
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
            let changes = plan.recut.as_ref().map_or_else(String::new, |note| {
                changes(note, !happened.measured.is_empty())
            });
            let longer = plan.recut.as_ref().and_then(|note| longer(note, args));
            changes + &summary::to_text(&summary, &plan) + &longer.unwrap_or_default()
        })
    })
}

/// What is new, for a person.
fn changes(note: &RecutNote, is_measured: bool) -> String {
    let list = |codes: &[String]| codes.join(", ");
    let mut text = String::new();
    if !note.spoilt.is_empty() {
        text += &format!("To cut again: {}.\n", list(&note.spoilt));
    }
    text += &match note.moved.len() {
        0 => "Every other piece stays where it was.\n".to_owned(),
        count if is_measured => format!(
            "{count} pieces of {} are laid out again to your new measurement. Put it in the project file too.\n",
            listed(&note.measured)
        ),
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

fn failure(error: &RecutError) -> Failure {
    let help = match error {
        RecutError::NoCode { .. } => "codes stand on the maps and in cut-list.csv",
        RecutError::Both { .. } => "leave it out of one of the two lists",
        RecutError::NothingSpoilt => "name what has to be cut again: --spoilt W3b",
        RecutError::NoFabric { .. } => {
            "name the fabric before the size: --from \"deck=7 in x 5 in\""
        }
        RecutError::NotMeasured { .. } => {
            "write the fabric's name as the plan has it, an equals sign and what you measured; for another fabric change the project file and plan anew"
        }
        RecutError::AllCut { .. } => {
            "name what has to be cut again (--spoilt W3b), or leave the piece out of --cut"
        }
        RecutError::Unsound(_) => "plan the project again with `stripelay lay`",
        _ => "please report this, with the plan",
    };
    Failure::new(error.to_string(), help)
}
