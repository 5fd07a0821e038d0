//! `plan.json`: read with its faults in place, written the same each time.

use crate::failure::Failure;
use crate::input::{MAX_PLAN_BYTES, read_text};
use crate::json_layout;
use crate::result_set::sweep_up;
use std::path::{Path, PathBuf};
use stripe_core::plan::{FORMAT, Plan};
use stripe_core::project::Fault;
use stripe_core::wording::quoted;

/// The plan's name in a set of results.
pub(crate) const PLAN_FILE: &str = "plan.json";

/// The folder that a plan lies in.
pub(crate) fn folder_of(plan: &Path) -> PathBuf {
    match plan.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// The plan that is meant: of a folder that `lay` wrote, the one in it.
pub(crate) fn plan_in(path: &Path) -> PathBuf {
    if path.is_dir() {
        sweep_up(path);
    }
    let inside = path.join(PLAN_FILE);
    if inside.is_file() {
        inside
    } else {
        path.to_owned()
    }
}

/// Reads a plan, after what a run that was killed left to do in its folder.
pub(crate) fn read_plan(path: &Path) -> Result<Plan, Failure> {
    sweep_up(&folder_of(path));
    let text = read_text(path, MAX_PLAN_BYTES)?;
    if text.trim_start().starts_with('<') {
        return Err(Failure::new(
            format!("{} is a page or a drawing, not a plan", path.display()),
            format!("give the {PLAN_FILE} of the same folder"),
        ));
    }
    if toml_like(&text) {
        return Err(Failure::new(
            format!("{} is a project file, not a plan", path.display()),
            format!(
                "plan it first: stripelay lay {} --out FOLDER; then give FOLDER/{PLAN_FILE}",
                path.display()
            ),
        ));
    }
    let wrong = match serde_json::from_str::<Plan>(&text) {
        Ok(plan) if plan.format == FORMAT => return Ok(plan),
        Ok(plan) => {
            return Err(Failure::new(
                format!(
                    "{} is in the format {}",
                    path.display(),
                    quoted(&plan.format)
                ),
                format!(
                    "this version reads {}: plan the project again with `stripelay lay`",
                    quoted(FORMAT)
                ),
            ));
        }
        Err(wrong) => wrong,
    };
    let at = offset(&text, wrong.line(), wrong.column());
    Err(Failure::Faults {
        file: path.display().to_string(),
        faults: vec![Fault {
            span: at..at + 1,
            message: format!("this is not a plan of stripelay: {}", without_place(&wrong)),
            help: "give the plan.json that `stripelay lay` wrote, just as it was written"
                .to_owned(),
        }],
        text,
    })
}

/// Whether a text begins as a project file may: with a comment, a table or a key.
fn toml_like(text: &str) -> bool {
    let lines = text.trim_start_matches('\u{feff}').lines().map(str::trim);
    let first = lines
        .into_iter()
        .find(|line| !line.is_empty() && !line.starts_with('#'));
    first.is_some_and(|line| {
        let is_table = line.starts_with('[') && line.ends_with(']') && line.len() > 2;
        is_table
            || line
                .split_once('=')
                .is_some_and(|(key, _)| !key.contains(['{', '"']))
    })
}

/// A plan as text.
pub(crate) fn write_plan(plan: &Plan) -> Result<Vec<u8>, Failure> {
    json_layout::to_bytes(plan).map_err(|wrong| {
        Failure::new(
            format!("the plan cannot be written: {wrong}"),
            "please report this, with your project file",
        )
    })
}

/// The byte of a line and column, both counted from 1.
fn offset(text: &str, line: usize, column: usize) -> usize {
    let before: usize = text
        .split_inclusive('\n')
        .take(line.saturating_sub(1))
        .map(str::len)
        .sum();
    (before + column.saturating_sub(1)).min(text.len())
}

/// The message without the "at line .. column .." that is shown beside it.
fn without_place(wrong: &serde_json::Error) -> String {
    let text = wrong.to_string();
    match text.rfind(" at line ") {
        Some(at) => text[..at].to_owned(),
        None => text,
    }
}
