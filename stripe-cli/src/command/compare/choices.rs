//! All choices that the command line asks for: every width with every tolerance,
//! and so on.

use crate::args::{CompareArgs, CopiesArg, MayRotateArg};
use crate::failure::Failure;
use stripe_core::length::Length;
use stripe_core::motif::Copies;
use stripe_core::project::{Choice, Project};

/// So many plans are made at most.
const MOST_CHOICES: usize = 200;

/// A choice and what to call it.
#[derive(Debug, Clone)]
pub(super) struct Named {
    pub(super) name: String,
    pub(super) choice: Choice,
}

/// One value of one question.
type Change = (String, Box<dyn Fn(&mut Choice)>);

pub(super) fn read_choices(args: &CompareArgs, project: &Project) -> Result<Vec<Named>, Failure> {
    let mut questions: Vec<Vec<Change>> = vec![];
    for text in &args.width {
        questions.push(widths(text, project)?);
    }
    if !args.size.is_empty() {
        questions.push(sizes(&args.size, project)?);
    }
    if let Some(text) = &args.tolerance {
        questions.push(tolerances(text, project)?);
    }
    if !args.copies.is_empty() {
        questions.push(args.copies.iter().map(|&c| copies(c)).collect());
    }
    if !args.may_rotate.is_empty() {
        questions.push(args.may_rotate.iter().map(|&t| turning(t)).collect());
    }
    let count = questions
        .iter()
        .map(Vec::len)
        .try_fold(1_usize, usize::checked_mul);
    if count.is_none_or(|count| count > MOST_CHOICES) {
        return Err(Failure::new(
            "that is too many choices to compare",
            format!(
                "ask for at most {MOST_CHOICES} at a time: every value is combined with every other"
            ),
        ));
    }
    let mut choices = vec![Named {
        name: String::new(),
        choice: Choice::default(),
    }];
    for question in &questions {
        let with = |(name, change): &Change, so_far: &Named| {
            let mut next = so_far.clone();
            change(&mut next.choice);
            if !next.name.is_empty() {
                next.name += ", ";
            }
            next.name += name;
            next
        };
        choices = choices
            .iter()
            .flat_map(|so_far| question.iter().map(move |change| with(change, so_far)))
            .collect();
    }
    if questions.is_empty() {
        choices[0].name = "as it is".to_owned();
    }
    Ok(choices)
}

/// `deck=42in,44in`.
fn widths(text: &str, project: &Project) -> Result<Vec<Change>, Failure> {
    let example = "write --width NAME=42in,44in, with the name of a fabric";
    let Some((fabric, list)) = text.rsplit_once('=') else {
        return Err(Failure::new(format!("{text:?} names no fabric"), example));
    };
    let fabric = fabric.trim();
    if project.fabric(fabric).is_none() {
        let known: Vec<&str> = project.fabrics.iter().map(|c| c.name.as_str()).collect();
        return Err(Failure::new(
            format!("the project has no fabric {fabric:?}"),
            format!("its fabrics are: {}", known.join(", ")),
        ));
    }
    let lengths = lengths("--width", list, project)?;
    let change = |length: Length| -> Change {
        let entry = (fabric.to_owned(), length.to_mm());
        let name = format!("{fabric} {}", length.shown(project.unit));
        (
            name,
            Box::new(move |choice| choice.widths_mm.push(entry.clone())),
        )
    };
    Ok(lengths.into_iter().map(change).collect())
}

/// `0,1/32in`.
fn tolerances(text: &str, project: &Project) -> Result<Vec<Change>, Failure> {
    let change = |length: Length| -> Change {
        let mm = length.to_mm();
        // A thirty-second of an inch would be shown as about a sixteenth.
        let name = format!("match {} mm", (mm * 100.0).round() / 100.0);
        (
            name,
            Box::new(move |choice| choice.stripe_tolerance_mm = Some(mm)),
        )
    };
    Ok(lengths("--stripe-tolerance", text, project)?
        .into_iter()
        .map(change)
        .collect())
}

/// `wall,bed`.
fn sizes(names: &[String], project: &Project) -> Result<Vec<Change>, Failure> {
    let change = |name: &String| -> Result<Change, Failure> {
        let size = Some(name.trim().to_owned());
        let choice = Choice {
            size: size.clone(),
            ..Choice::default()
        };
        project.with(&choice).map_err(|wrong| {
            Failure::new(wrong.to_string(), "give one or more of these to --size")
        })?;
        Ok((
            format!("size {}", name.trim()),
            Box::new(move |choice| choice.size.clone_from(&size)),
        ))
    };
    names.iter().map(change).collect()
}

fn lengths(option: &str, list: &str, project: &Project) -> Result<Vec<Length>, Failure> {
    let read = |text: &str| {
        Length::read(text, project.unit)
            .map_err(|wrong| Failure::new(format!("{option}: {wrong}"), "correct that length"))
    };
    list.split(',').map(read).collect()
}

fn copies(copies: CopiesArg) -> Change {
    let (name, copies) = match copies {
        CopiesArg::Alike => ("copies alike", Copies::Alike),
        CopiesArg::Own => ("copies own", Copies::Own),
    };
    let change = move |choice: &mut Choice| choice.copies = Some(copies);
    (name.to_owned(), Box::new(change))
}

fn turning(turning: MayRotateArg) -> Change {
    let (name, turning) = match turning {
        MayRotateArg::Yes => ("turning", true),
        MayRotateArg::No => ("no turning", false),
    };
    let change = move |choice: &mut Choice| choice.turning = Some(turning);
    (name.to_owned(), Box::new(change))
}
