//! `stripelay draw`: pictures again, from a plan alone.

use crate::args::{DrawArgs, Drawing};
use crate::failure::Failure;
use crate::output;
use crate::pattern_project::{PROJECT_FILE, for_other_stripes};
use crate::pictures::{Picture, failure, named_maps, named_motifs, render};
use crate::plan_file::{folder_of, plan_in, read_plan};
use crate::result_set::{Kind, ResultSet, Room};
use crate::sheets::{booklet_file, choice, machine_files, template_sheets};
use crate::stop::Stop;
use std::path::Path;
use stripe_core::booklet::{PatternWords, Settings, booklet, pattern};
use stripe_core::draw::{
    DrawError, Stripes, map, motif_pictures, pdf, placement_guide, quilt, templates,
};
use stripe_core::plan::Plan;

pub(crate) fn run(args: &DrawArgs) -> Result<(), Failure> {
    if args.without_stripes && !matches!(args.what, Drawing::Templates) {
        return Err(Failure::new(
            "`--without-stripes` is for templates alone",
            "leave it out, or draw `templates`",
        ));
    }
    if !matches!(args.what, Drawing::Pattern)
        && (!args.ask_for.is_empty() || args.project.is_some())
    {
        return Err(Failure::new(
            "`--ask-for` and `--project` are for a pattern alone",
            "leave them out, or draw `pattern`",
        ));
    }
    if matches!(args.what, Drawing::Pattern) && args.pages.method.is_some() {
        return Err(Failure::new(
            "a pattern's templates are drawn as the motif is seen",
            "leave out `--method`: the pattern says what to do where a maker works from the wrong side",
        ));
    }
    let from = plan_in(&args.plan);
    let plan = read_plan(&from)?;
    let room = if args.force { Room::Any } else { Room::Beside };
    let target = args.out.clone().unwrap_or_else(|| folder_of(&from));
    Stop::end_at_once();
    let mut set = ResultSet::begin(&target, room, Kind::Drawings)?;
    let choice = choice(&plan, &args.pages);
    let stripes = if args.without_stripes {
        Stripes::Left
    } else {
        Stripes::Shown
    };
    let files = match args.what {
        Drawing::Pattern => pattern_files(&plan, args, choice, &target)?,
        what => draw(&plan, what, choice, stripes)?,
    };
    for (name, bytes) in files {
        set.write(&name, &bytes)?;
    }
    let mut text = String::new();
    for name in set.finish()? {
        text += &format!("{}\n", target.join(name).display());
    }
    output::print(&text)
}

fn draw(
    plan: &Plan,
    what: Drawing,
    choice: Settings,
    stripes: Stripes,
) -> Result<Vec<Picture>, Failure> {
    let fault = |error: DrawError| failure(&error);
    match what {
        Drawing::Map => {
            let fabrics = plan.fabrics.iter();
            let maps: Result<Vec<_>, DrawError> = fabrics
                .map(|fabric| map(plan, &fabric.name, choice.paper))
                .collect();
            render(named_maps(plan, &maps.map_err(fault)?))
        }
        Drawing::Motif => render(named_motifs(plan, &motif_pictures(plan).map_err(fault)?)),
        Drawing::Quilt => render(vec![("quilt".to_owned(), &quilt(plan).map_err(fault)?)]),
        Drawing::Placement => {
            let guide = placement_guide(plan).map_err(fault)?;
            render(vec![("placement".to_owned(), &guide)])
        }
        Drawing::Templates => {
            let made = templates(plan, choice.paper, choice.method, stripes).map_err(fault)?;
            let mut files = vec![template_sheets(plan, &made)?];
            files.extend(machine_files(plan, choice, stripes)?);
            Ok(files)
        }
        // It takes options of its own.
        Drawing::Pattern => Ok(vec![]),
        Drawing::Booklet => Ok(vec![booklet_file(booklet(plan, choice).map_err(fault)?)]),
    }
}

/// The pattern as HTML and as PDF, and the project file that goes with it.
fn pattern_files(
    plan: &Plan,
    args: &DrawArgs,
    choice: Settings,
    target: &Path,
) -> Result<Vec<Picture>, Failure> {
    if plan.kits > 1 {
        return Err(Failure::new(
            format!(
                "this plan is for {} kits, and a pattern is for one quilt",
                plan.kits
            ),
            "plan it with `stripelay lay --kits 1`, and draw the pattern from that",
        ));
    }
    let mut words = PatternWords {
        ask_for: ask_for(plan, &args.ask_for)?,
        project_file: None,
    };
    let mut files = Vec::new();
    if let Some(project) = &args.project {
        files = for_other_stripes(project, plan, target)?;
        words.project_file = Some(PROJECT_FILE.to_owned());
    }
    let made = pattern(plan, choice.paper, &words).map_err(|error| failure(&error))?;
    let sheets = pdf(&made.sheets, &format!("{}: pattern", plan.title));
    let sheets = sheets.map_err(|error| failure(&error))?;
    files.push(("pattern.html".to_owned(), made.html.into_bytes()));
    files.push(("pattern.pdf".to_owned(), sheets));
    Ok(files)
}

/// Most characters of a sentence that is asked to be printed.
const MOST_CHARS: usize = 400;

/// What is to be printed of each striped fabric.
fn ask_for(plan: &Plan, asked: &[String]) -> Result<Vec<(String, String)>, Failure> {
    let striped = plan.fabrics.iter().filter(|fabric| fabric.stripe.is_some());
    let mut known: Vec<&str> = striped.map(|fabric| fabric.fabric()).collect();
    known.dedup();
    let mut all = Vec::new();
    for text in asked {
        let Some((name, words)) = text.split_once('=') else {
            return Err(Failure::new(
                format!("`--ask-for {text}` lacks a fabric or the words for it"),
                "write it as \"deck=1 1/4 yd if the stripe repeats within 5 in\"",
            ));
        };
        let (name, words) = (name.trim(), words.trim());
        if !known.contains(&name) {
            return Err(Failure::new(
                format!("`--ask-for {text}`: the plan has no striped fabric called {name}"),
                format!("its striped fabrics are: {}", known.join(", ")),
            ));
        }
        if words.is_empty() || words.chars().count() > MOST_CHARS {
            return Err(Failure::new(
                format!("`--ask-for {name}=` needs a sentence of 1 to {MOST_CHARS} characters"),
                "say what to ask for, for example \"1 1/4 yd if the stripe repeats within 5 in\"",
            ));
        }
        all.push((name.to_owned(), words.to_owned()));
    }
    Ok(all)
}
