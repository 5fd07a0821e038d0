//! All choices that the command line asks for: every width with every tolerance,
//! and so on.

use crate::args::{CompareArgs, CopiesArg, LayArgs, MayRotateArg};
use crate::failure::Failure;
use std::path::Path;
use stripe_core::length::{INCH_MM, Length, Unit};
use stripe_core::motif::Copies;
use stripe_core::project::limits::PRICES;
use stripe_core::project::{Choice, Project};
use stripe_core::wording::quoted;

/// So many plans are made at most.
const MOST_CHOICES: usize = 200;

/// A choice and what to call it.
#[derive(Debug, Clone)]
pub(crate) struct Named {
    /// All that was asked for.
    pub(crate) name: String,
    /// What differs from the other choices.
    pub(crate) label: String,
    pub(crate) choice: Choice,
    /// The options of `lay` that plan it.
    pub(crate) options: Vec<String>,
}

/// What was asked for, each with one value or several.
#[derive(Debug)]
struct Asked<'a> {
    width: &'a [String],
    repeat: &'a [String],
    size: &'a [String],
    tolerance: Option<&'a str>,
    copies: &'a [CopiesArg],
    may_rotate: &'a [MayRotateArg],
}

/// One value of one question: its name, the options of `lay` for it, what it changes.
struct Answer {
    name: String,
    options: [String; 2],
    change: Box<dyn Fn(&mut Choice)>,
}

/// The choices that `compare` sets side by side.
pub(crate) fn choices(args: &CompareArgs, project: &Project) -> Result<Vec<Named>, Failure> {
    read(
        &Asked {
            width: &args.width,
            repeat: &[],
            size: &args.size,
            tolerance: args.tolerance.as_deref(),
            copies: &args.copies,
            may_rotate: &args.may_rotate,
        },
        project,
    )
}

/// The one choice that `lay` plans.
pub(crate) fn choice(args: &LayArgs, project: &Project) -> Result<Choice, Failure> {
    let mut all = read(
        &Asked {
            width: &args.width,
            repeat: &args.repeat,
            size: args.size.as_slice(),
            tolerance: args.tolerance.as_deref(),
            copies: args.copies.as_slice(),
            may_rotate: args.may_rotate.as_slice(),
        },
        project,
    )?;
    if all.len() > 1 {
        return Err(Failure::new(
            format!("`lay` plans one choice, and here are {}", all.len()),
            "give one value to each option, or compare them with `stripelay compare`",
        ));
    }
    Ok(all.swap_remove(0).choice)
}

fn read(asked: &Asked<'_>, project: &Project) -> Result<Vec<Named>, Failure> {
    let mut questions: Vec<Vec<Answer>> = vec![];
    for text in asked.width {
        questions.push(widths(text, project)?);
    }
    for text in asked.repeat {
        questions.push(vec![repeat(text, project)?]);
    }
    if !asked.size.is_empty() {
        questions.push(sizes(asked.size, project)?);
    }
    if let Some(text) = asked.tolerance {
        questions.push(tolerances(text, project)?);
    }
    if !asked.copies.is_empty() {
        questions.push(asked.copies.iter().map(|&c| copies(c)).collect());
    }
    if !asked.may_rotate.is_empty() {
        questions.push(asked.may_rotate.iter().map(|&t| turning(t)).collect());
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
        label: String::new(),
        choice: Choice::default(),
        options: vec![],
    }];
    for question in &questions {
        let differs = question.len() > 1;
        let with = |answer: &Answer, so_far: &Named| {
            let mut next = so_far.clone();
            (answer.change)(&mut next.choice);
            append(&mut next.name, &answer.name);
            if differs {
                append(&mut next.label, &answer.name);
            }
            next.options.extend_from_slice(&answer.options);
            next
        };
        choices = choices
            .iter()
            .flat_map(|so_far| question.iter().map(move |answer| with(answer, so_far)))
            .collect();
    }
    if questions.is_empty() {
        choices[0].name = "as it is".to_owned();
    }
    if choices.len() == 1 {
        choices[0].label = choices[0].name.clone();
    }
    Ok(choices)
}

fn append(names: &mut String, name: &str) {
    if !names.is_empty() {
        names.push_str(", ");
    }
    names.push_str(name);
}

/// The fabric before the equals sign, which must be there, and what stands behind it.
pub(crate) fn of_fabric<'t>(
    text: &'t str,
    project: &Project,
    example: &str,
) -> Result<(&'t str, &'t str), Failure> {
    let Some((fabric, list)) = text.rsplit_once('=') else {
        return Err(Failure::new(
            format!("{} names no fabric", quoted(text)),
            example,
        ));
    };
    let fabric = fabric.trim();
    if project.fabric(fabric).is_none() {
        let known: Vec<&str> = project.fabrics.iter().map(|c| c.name.as_str()).collect();
        return Err(Failure::new(
            format!("the project has no fabric {}", quoted(fabric)),
            format!("its fabrics are: {}", known.join(", ")),
        ));
    }
    Ok((fabric, list))
}

/// `deck=4in`: one repeat.
fn repeat(text: &str, project: &Project) -> Result<Answer, Failure> {
    let example = "write --repeat NAME=4in, with the name of a striped fabric";
    let (fabric, text) = of_fabric(text, project, example)?;
    let repeat = length("--repeat", text, project)?;
    let fabric = fabric.to_owned();
    Ok(Answer {
        name: format!("{fabric} repeating in {}", repeat.shown(project.unit)),
        options: ["--repeat".to_owned(), format!("{fabric}={}", text.trim())],
        change: Box::new(move |choice| choice.repeats_mm.push((fabric.clone(), repeat.to_mm()))),
    })
}

/// `deck=42in,54in@22`: widths, and what the fabric costs at each.
fn widths(text: &str, project: &Project) -> Result<Vec<Answer>, Failure> {
    let example = "write --width NAME=42in,44in, with the name of a fabric";
    let (fabric, list) = of_fabric(text, project, example)?;
    let answer = |text: &str| -> Result<Answer, Failure> {
        let (width, price) = match text.split_once('@') {
            Some((width, price)) => (width, Some(read_price(price)?)),
            None => (text, None),
        };
        let width = length("--width", width, project)?;
        let mut name = format!("{fabric} {}", width.shown(project.unit));
        if let Some(price) = price {
            name += &format!(" at {}{price:.2}", project.money);
        }
        let fabric = fabric.to_owned();
        Ok(Answer {
            name,
            options: ["--width".to_owned(), format!("{fabric}={}", text.trim())],
            change: Box::new(move |choice| {
                choice.widths_mm.push((fabric.clone(), width.to_mm()));
                choice
                    .prices
                    .extend(price.map(|price| (fabric.clone(), price)));
            }),
        })
    };
    list.split(',').map(answer).collect()
}

/// A price without its money, or with it.
fn read_price(text: &str) -> Result<f64, Failure> {
    let digits = text
        .trim()
        .trim_matches(|c: char| !c.is_ascii_digit() && c != '.' && c != '-');
    match digits.parse::<f64>() {
        Ok(price) if PRICES.contains(&price) => Ok(price),
        _ => Err(Failure::new(
            format!("{} is not a price", quoted(text.trim())),
            "write the price after the width, as in --width deck=42in@18.50,54in@22",
        )),
    }
}

/// `0,1/32in`.
fn tolerances(text: &str, project: &Project) -> Result<Vec<Answer>, Failure> {
    let answer = |text: &str| -> Result<Answer, Failure> {
        let length = length("--stripe-tolerance", text, project)?;
        let mm = length.to_mm();
        Ok(Answer {
            name: if mm > 0.0 {
                format!("stripes within {}", finely(length, project.unit))
            } else {
                "stripes matched exactly".to_owned()
            },
            options: ["--stripe-tolerance".to_owned(), text.trim().to_owned()],
            change: Box::new(move |choice| choice.stripe_tolerance_mm = Some(mm)),
        })
    };
    text.split(',').map(answer).collect()
}

/// A small length: a thirty-second of an inch would be shown as about a sixteenth.
fn finely(length: Length, unit: Unit) -> String {
    if unit != Unit::Inch {
        return length.shown(unit);
    }
    let inches = length.to_mm() / INCH_MM;
    let exact = [32.0, 64.0].into_iter().find_map(|parts: f64| {
        let count = (inches * parts).round();
        // Even counts are sixteenths.
        ((inches * parts - count).abs() < 1e-6 && count % 2.0 == 1.0 && count < parts)
            .then(|| format!("{count}/{parts} in"))
    });
    let is_sixteenths = ((inches * 16.0).round() - inches * 16.0).abs() < 1e-6;
    match exact {
        Some(fraction) => fraction,
        None if is_sixteenths => length.shown(unit),
        None => format!("{} in", (inches * 1000.0).round() / 1000.0),
    }
}

/// `wall,bed`.
fn sizes(names: &[String], project: &Project) -> Result<Vec<Answer>, Failure> {
    let answer = |name: &String| -> Result<Answer, Failure> {
        let size = Some(name.trim().to_owned());
        let choice = Choice {
            size: size.clone(),
            ..Choice::default()
        };
        project.with(&choice).map_err(|wrong| {
            Failure::new(wrong.to_string(), "give one or more of these to --size")
        })?;
        Ok(Answer {
            name: format!("size {}", name.trim()),
            options: ["--size".to_owned(), name.trim().to_owned()],
            change: Box::new(move |choice| choice.size.clone_from(&size)),
        })
    };
    names.iter().map(answer).collect()
}

pub(crate) fn length(option: &str, text: &str, project: &Project) -> Result<Length, Failure> {
    Length::read(text, project.unit).map_err(|wrong| {
        Failure::new(
            format!("{option}: {wrong}"),
            "write a length such as 54in or \"42 1/2 in\"",
        )
    })
}

fn copies(copies: CopiesArg) -> Answer {
    let (name, word, copies) = match copies {
        CopiesArg::Alike => ("copies alike", "alike", Copies::Alike),
        CopiesArg::Own => ("copies own", "own", Copies::Own),
    };
    Answer {
        name: name.to_owned(),
        options: ["--copies".to_owned(), word.to_owned()],
        change: Box::new(move |choice| choice.copies = Some(copies)),
    }
}

fn turning(turning: MayRotateArg) -> Answer {
    let (name, word, turning) = match turning {
        MayRotateArg::Yes => ("turning", "yes", true),
        MayRotateArg::No => ("no turning", "no", false),
    };
    Answer {
        name: name.to_owned(),
        options: ["--may-rotate".to_owned(), word.to_owned()],
        change: Box::new(move |choice| choice.turning = Some(turning)),
    }
}

/// The command that plans a choice, as it can be typed.
pub(crate) fn command(project: &Path, options: &[String]) -> String {
    let mut words = vec!["stripelay".to_owned(), "lay".to_owned()];
    words.push(for_shell(&project.display().to_string()));
    words.extend(options.iter().map(|word| for_shell(word)));
    words.extend(["--out", "FOLDER"].map(String::from));
    words.join(" ")
}

/// A word as a shell takes it for one.
fn for_shell(word: &str) -> String {
    let is_plain = |c: char| c.is_alphanumeric() || "=,./@_-+:".contains(c);
    if !word.is_empty() && word.chars().all(is_plain) {
        word.to_owned()
    } else if word.contains(['"', '$', '`', '\\', '!']) {
        format!("'{}'", word.replace('\'', "'\\''"))
    } else {
        format!("\"{word}\"")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_lengths_keep_their_fraction() {
        let inch = |inches| finely(Length::from_inches(inches), Unit::Inch);
        assert_eq!(inch(1.0 / 32.0), "1/32 in");
        assert_eq!(inch(3.0 / 64.0), "3/64 in");
        assert_eq!(inch(1.0 / 16.0), "1/16 in");
        assert_eq!(inch(0.0), "0 in");
        assert_eq!(inch(0.02), "0.02 in");
        assert_eq!(finely(Length::from_mm(0.5), Unit::Millimetre), "0.5 mm");
    }

    #[test]
    fn words_for_the_shell() {
        assert_eq!(for_shell("deck=42in@18.50"), "deck=42in@18.50");
        assert_eq!(for_shell("deck=42 1/2 in"), "\"deck=42 1/2 in\"");
        assert_eq!(for_shell("a $b"), "'a $b'");
        assert_eq!(for_shell(""), "\"\"");
    }
}
