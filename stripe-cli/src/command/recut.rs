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
use stripe_core::motif::outline_ring;
use stripe_core::plan::{Happened, Measured, Plan, RecutError, RecutNote, recut};
use stripe_core::shape::Point;
use stripe_core::wording::listed;

/// The smallest and the largest side of a piece of fabric (mm).
const SIDES_MM: std::ops::RangeInclusive<f64> = 5.0..=10_000.0;

/// The most corners of a piece of fabric.
const MOST_CORNERS: usize = 100;

pub(crate) fn run(args: &RecutArgs) -> Result<(), Failure> {
    let plan = read_plan(&args.plan)?;
    let parent = digest(&read_text(&args.plan, MAX_PLAN_BYTES)?);
    let more: Result<Vec<_>, Failure> = args.from.iter().map(|text| from(text, &plan)).collect();
    let happened = Happened {
        cut: codes(&args.cut)?,
        spoilt: codes(&args.spoilt)?,
        more: more?,
        measured: measured(args, plan.unit)?,
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

/// What was measured again, fabric by fabric.
fn measured(args: &RecutArgs, unit: Unit) -> Result<Vec<Measured>, Failure> {
    let mut all: Vec<Measured> = Vec::new();
    let mut take = |option: &str, text: &str, set: &dyn Fn(&mut Measured, f64), read: Read| {
        let wrong = |what: String| {
            let help = format!(
                "write the fabric, an equals sign and what you measured: {option} \"deck={}\"",
                read.like
            );
            Failure::new(format!("{option} {text:?}: {what}"), help)
        };
        let Some((fabric, value)) = text.split_once('=') else {
            return Err(wrong("it names no fabric".to_owned()));
        };
        let value = (read.value)(value.trim()).map_err(wrong)?;
        let fabric = fabric.trim();
        let known = all.iter().position(|one| one.fabric == fabric);
        let at = known.unwrap_or_else(|| {
            all.push(Measured {
                fabric: fabric.to_owned(),
                ..Measured::default()
            });
            all.len() - 1
        });
        set(&mut all[at], value);
        Ok(())
    };
    let length = |text: &str| -> Result<f64, String> {
        let mm = Length::read(text, unit).map_err(|e| e.to_string())?.to_mm();
        if SIDES_MM.contains(&mm) {
            Ok(mm)
        } else {
            Err("no fabric has that measure".to_owned())
        }
    };
    let degrees = |text: &str| -> Result<f64, String> {
        let plain = text.trim_end_matches('°').trim();
        plain
            .parse()
            .map_err(|_| "that is no number of degrees".to_owned())
    };
    let lengths = |like| Read {
        like,
        value: &length,
    };
    for text in &args.repeat {
        take(
            "--repeat",
            text,
            &|one, mm| one.repeat_mm = Some(mm),
            lengths("2 7/16 in"),
        )?;
    }
    for text in &args.width {
        take(
            "--width",
            text,
            &|one, mm| one.width_mm = Some(mm),
            lengths("41 1/2 in"),
        )?;
    }
    for text in &args.lean {
        let read = Read {
            like: "0.5",
            value: &degrees,
        };
        take("--lean", text, &|one, deg| one.lean_deg = Some(deg), read)?;
    }
    Ok(all)
}

/// How a measure is read, and an example of one.
struct Read<'a> {
    like: &'a str,
    value: &'a dyn Fn(&str) -> Result<f64, String>,
}

/// `deck=7 in x 5 in@1/2 in`: fabric, width, length, where its stripe begins; or its corners.
fn from(text: &str, plan: &Plan) -> Result<(String, InHand), Failure> {
    let wrong = |what: String| {
        let help = "write width (across) by length (along the selvage): --from \"7 in x 5 in\", or with where its stripe begins: --from \"7 in x 5 in@1/2 in\"; \
                    or its corners one after the other, from its lower left: --from \"(0, 0) (7, 0) (5, 6) (0, 6)\"";
        Failure::new(format!("--from {text:?}: {what}"), help)
    };
    let (fabric, rest) = text.split_once('=').unwrap_or(("", text));
    let (size, start) = match rest.split_once('@') {
        Some((size, start)) => (size, Some(start)),
        None => (rest, None),
    };
    let read = |text: &str| {
        let length = Length::read(text.trim(), plan.unit);
        length.map(Length::to_mm).map_err(|e| wrong(e.to_string()))
    };
    let sides: Vec<&str> = size.split(['x', 'X', '×']).collect();
    let mut piece = if size.contains('(') {
        let outline =
            corners(size, &read).ok_or_else(|| wrong("these are no corners".into()))??;
        let outline = outline_ring(&outline).map_err(|e| wrong(e.to_string()))?;
        InHand {
            outline,
            ..InHand::rectangle("extra piece", 0.0, 0.0)
        }
    } else if let [width, length] = sides[..] {
        InHand::rectangle("extra piece", read(width)?, read(length)?)
    } else {
        return Err(wrong("this is no width and length".to_owned()));
    };
    let low = piece
        .outline
        .iter()
        .map(|p| p.x.min(p.y))
        .fold(0.0, f64::min);
    let (wide, long) = piece.size_mm();
    if low < 0.0 || !SIDES_MM.contains(&wide) || !SIDES_MM.contains(&long) {
        return Err(wrong("no piece of fabric has that size".to_owned()));
    }
    if let Some(start) = start {
        piece.origin_mm = read(start)?;
    }
    Ok((fabric.trim().to_owned(), piece))
}

/// The corners `(x, y) (x, y)` of an outline (mm); nothing where there are too many, or signs
/// that belong to none.
fn corners(
    text: &str,
    read: &impl Fn(&str) -> Result<f64, Failure>,
) -> Option<Result<Vec<Point>, Failure>> {
    let mut points = Vec::new();
    for corner in text.split(')') {
        let corner = corner.trim().trim_start_matches(',').trim();
        if corner.is_empty() {
            continue;
        }
        let (x, y) = corner.strip_prefix('(')?.split_once(',')?;
        match (read(x), read(y)) {
            (Ok(x), Ok(y)) => points.push(Point { x, y }),
            (Err(fault), _) | (_, Err(fault)) => return Some(Err(fault)),
        }
        if points.len() > MOST_CORNERS {
            return None;
        }
    }
    Some(Ok(points))
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
            "write the fabric's name as the plan has it, then an equals sign and what you measured"
        }
        RecutError::Unsound(_) => "plan the project again with `stripelay lay`",
        _ => "please report this, with the plan",
    };
    Failure::new(error.to_string(), help)
}
