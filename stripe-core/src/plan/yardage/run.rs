//! All repeats on all widths, and what follows from them.

use super::asked::Asked;
use super::data::{Yardage, YardageCell, YardageError, YardageQuestion};
use super::jumps::jumps;
use super::promise::promise;
use super::work::Work;
use crate::lay::{Control, Effort};
use crate::motif::Copies;
use crate::project::Project;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Where the search for the worst place between two repeats goes on, it goes on so often.
const MORE_ROUNDS: usize = 2;

/// Lays a striped fabric for every repeat on every width that is asked for, and in between where
/// the most would be needed; `done` is told how many layouts of how many are made.
///
/// The same question and effort give the same answer on any number of threads, unless `control`
/// stops it: then what was laid by then comes back.
///
/// # Errors
/// See [`YardageError`]. A repeat that cannot be laid is told in its cell.
pub fn yardage(
    project: &Project,
    question: &YardageQuestion,
    effort: &Effort,
    control: &Control<'_>,
    done: &(dyn Fn(usize, usize) + Sync),
) -> Result<Yardage, YardageError> {
    let asked = Asked::new(project, question)?;
    let mut work = Work {
        asked: &asked,
        effort,
        control,
        done,
        finished: AtomicUsize::new(0),
        planned: 0,
    };
    let mut cells = work.lay(asked.first_spots());
    for _ in 0..MORE_ROUNDS {
        let more = asked.more_spots(&cells);
        if more.is_empty() || control.is_stopped() {
            break;
        }
        cells.extend(work.lay(more));
    }
    cells.sort_by(|a, b| {
        asked
            .key(a)
            .partial_cmp(&asked.key(b))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    share(&asked, &mut cells);
    let layouts = work.finished.load(Ordering::Relaxed);
    Ok(Yardage {
        fabric: question.fabric.clone(),
        unit: project.unit,
        jumps: jumps(&asked, &cells),
        promise: promise(&asked, &cells),
        is_cut_short: layouts < work.planned || control.is_stopped(),
        layouts,
        cells,
    })
}

/// Gives each cell the shortest layout among all that serve it: for its repeat, or where offsets are
/// free for a multiple of it, whose lines are lines of the repeat as well.
fn share(asked: &Asked<'_>, cells: &mut [YardageCell]) {
    let found: Vec<(YardageCell, f64)> = (cells.iter())
        .filter_map(|cell| Some((cell.clone(), cell.found.as_ref().ok()?.length_mm)))
        .collect();
    for cell in cells.iter_mut() {
        let serves = |other: &YardageCell| {
            let times = other.repeat_mm / cell.repeat_mm;
            let is_multiple = (times - times.round()).abs() < 1e-9 && times > 0.5;
            let same = (times - 1.0).abs() < 1e-9 || (is_multiple && !asked.has_fixed);
            same && other.width_mm <= cell.width_mm
                && other.kind.serves(cell.kind)
                && (other.copies == Copies::Alike || other.copies == cell.copies)
        };
        let best = (found.iter())
            .filter(|(other, _)| serves(other))
            .map(|(_, length_mm)| *length_mm)
            .min_by(f64::total_cmp);
        if let (Ok(note), Some(best)) = (&cell.found, best)
            && best < note.length_mm
        {
            cell.found = Ok(asked.note(cell.width_mm, best, note.least_mm));
        }
    }
}
