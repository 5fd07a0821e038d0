//! `stripelay compare --repeat`: how much a pattern asks for, whatever the stripe.

use super::repeats;
use super::yardage_words::{self as words, Shown};
use crate::args::{CompareArgs, CopiesArg, EffortArg, MayRotateArg};
use crate::choices::{length, of_fabric};
use crate::failure::Failure;
use crate::json_layout;
use crate::output;
use crate::progress::Spinner;
use crate::result_set::{Kind, ResultSet, Room};
use crate::stop::Stop;
use stripe_core::lay::Control;
use stripe_core::motif::Copies;
use stripe_core::plan::{StripeKind, YardageError, YardageQuestion, yardage};
use stripe_core::project::{Choice, ChoiceError, Project};

pub(super) fn run(args: &CompareArgs, repeat: &str, project: &Project) -> Result<(), Failure> {
    let (fabric, repeats_mm) = repeats::read(repeat, project)?;
    let project = &as_asked(args, project)?;
    let question = YardageQuestion {
        widths_mm: widths(args, &fabric, project)?,
        copies: copies(args),
        kinds: kinds(args),
        also: match args.may_rotate.as_slice() {
            [] => vec![
                StripeKind::NoMirrorLine,
                StripeKind::OneWay,
                StripeKind::RightSideOnly,
            ],
            _ => vec![],
        },
        fabric,
        repeats_mm,
    };
    let stop = Stop::listen();
    let room = if args.force { Room::Any } else { Room::Empty };
    let out = args.out.as_ref();
    let set = out.map(|out| ResultSet::begin(out, room, Kind::Other));
    let set = set.transpose()?;
    let threads = crate::threads::start(args.search.threads)?;
    let doing = "Laying the first of all repeats".to_owned();
    let spinner = Spinner::start(&doing, "press Ctrl-C once to stop and keep what is laid");
    let control = Control {
        stop: Some(&*stop.flag),
        progress: None,
    };
    let effort = args.effort.to_effort(args.search.seed);
    let done = |count: usize, all: usize| spinner.laid(count, all);
    let found = threads.install(|| yardage(project, &question, &effort, &control, &done));
    spinner.finish();
    let found = found.map_err(|wrong| {
        let help = match &wrong {
            YardageError::Choice(ChoiceError::Stripe { .. }) => {
                "ask for a fabric with a stripe: `--repeat deck=1in..8in`"
            }
            _ => "change the repeats or the widths that you ask for, or the project",
        };
        Failure::new(wrong.to_string(), help)
    })?;
    if found.is_cut_short {
        output::tell("Stopped, as you asked. What was laid by then is below.");
    }
    let shown = Shown::new(&found);
    if let Some(mut set) = set {
        let report = |_| Failure::new("yardage.json cannot be made", "please report this");
        set.write("yardage.csv", &words::csv(&found))?;
        set.write(
            "yardage.json",
            &json_layout::to_bytes(&shown).map_err(report)?,
        )?;
        set.finish()?;
    }
    output::print(&if args.json {
        output::json(&shown)
    } else {
        words::to_text(&found, args.effort == EffortArg::Quick)
    })?;
    if found.cells.iter().all(|cell| cell.found.is_err()) {
        return Err(Failure::new(
            "none of these repeats could be laid",
            "see above why, and ask for other repeats or widths",
        ));
    }
    Ok(())
}

/// The project in the one size, and with the one tolerance, that is asked for.
fn as_asked(args: &CompareArgs, project: &Project) -> Result<Project, Failure> {
    let one = "with --repeat, give one value to this option";
    let size = match args.size.as_slice() {
        [] => None,
        [size] => Some(size.trim().to_owned()),
        many => {
            let message = format!("--size names {} sizes", many.len());
            return Err(Failure::new(message, one));
        }
    };
    let tolerance = args.tolerance.as_deref();
    let tolerance = tolerance.map(|text| length("--stripe-tolerance", text, project));
    let choice = Choice {
        size,
        stripe_tolerance_mm: tolerance.transpose()?.map(|length| length.to_mm()),
        ..Choice::default()
    };
    project
        .with(&choice)
        .map_err(|wrong| Failure::new(wrong.to_string(), one))
}

/// The widths (mm) of the fabric; its own, where none are given.
fn widths(args: &CompareArgs, fabric: &str, project: &Project) -> Result<Vec<f64>, Failure> {
    let mut widths = vec![];
    for text in &args.width {
        let example = "write --width NAME=42in,44in, with the name of the fabric";
        let (name, list) = of_fabric(text, project, example)?;
        if name != fabric {
            return Err(Failure::new(
                format!("--repeat asks about `{fabric}`, and --width about `{name}`"),
                format!("give the widths of `{fabric}`, or leave them out"),
            ));
        }
        for width in list.split(',') {
            if width.contains('@') {
                return Err(Failure::new(
                    "--repeat tells lengths, not prices",
                    "leave the price and its @ out",
                ));
            }
            widths.push(length("--width", width, project)?.to_mm());
        }
    }
    if widths.is_empty() {
        widths.extend(project.fabric(fabric).map(|fabric| fabric.width_mm));
    }
    Ok(widths)
}

fn copies(args: &CompareArgs) -> Vec<Copies> {
    let mut asked = vec![];
    for (word, copies) in [
        (CopiesArg::Alike, Copies::Alike),
        (CopiesArg::Own, Copies::Own),
    ] {
        if args.copies.is_empty() || args.copies.contains(&word) {
            asked.push(copies);
        }
    }
    asked
}

/// `--may-rotate yes` asks for a stripe as it is, `no` for any.
fn kinds(args: &CompareArgs) -> Vec<StripeKind> {
    let mut asked = vec![];
    for (word, kind) in [
        (MayRotateArg::No, StripeKind::Any),
        (MayRotateArg::Yes, StripeKind::AsItIs),
    ] {
        if args.may_rotate.is_empty() || args.may_rotate.contains(&word) {
            asked.push(kind);
        }
    }
    asked
}
