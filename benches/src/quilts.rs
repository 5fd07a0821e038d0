//! Whole quilts: every fabric of the examples and of a quilt of many spokes, some at other
//! widths and repeats, each effort beside the shortest layout that was ever found.
//!
//! The table of the shortest is `benches/quilts/best.csv`: a figure there is to be replaced
//! when a run finds a shorter layout, never by a longer one.

use clap::Args;
use std::path::Path;
use std::sync::{Mutex, PoisonError};
use std::time::Instant;
use stripe_core::lay::{self, Control, Effort, Job, Lock, Progress};
use stripe_core::plan::jobs;
use stripe_core::project::Project;

/// Lengths of the table are inches.
const MM_PER_INCH: f64 = 25.4;

/// How the quilts are to be laid.
#[derive(Debug, Args)]
pub struct QuiltFlags {
    /// The efforts to measure.
    #[arg(long, value_delimiter = ',', default_value = "quick,steady")]
    efforts: Vec<String>,
    /// Seeds from 1 on.
    #[arg(long, default_value_t = 3)]
    seeds: u64,
    /// Only fabrics whose name holds this.
    #[arg(long, default_value = "")]
    only: String,
    /// Each effort's work so many times.
    #[arg(long, default_value_t = 1.0)]
    work: f64,
    /// Only fabrics with so many pieces.
    #[arg(long, default_value_t = 12)]
    least_pieces: usize,
}

/// A quilt, a fabric of it, and what is different from the file.
struct Case {
    name: String,
    job: Job,
}

/// Prints a row for every fabric and effort.
///
/// # Errors
/// A file that cannot be read or a job that cannot be laid, in words.
pub fn quilts(flags: &QuiltFlags, say: &dyn Fn(&str)) -> Result<(), String> {
    let best = best()?;
    say(&format!(
        "{:<28} {:>6} {:>8} {:>9} {:>8} {:>8} {:>8} {:>8} {:>8} {:>6} {:>6} {:>6} {:>6} {:>6}",
        "quilt/fabric",
        "pieces",
        "effort",
        "best",
        "mean",
        "mean %",
        "worst %",
        "spread %",
        "seconds",
        "to 5%",
        "to 2%",
        "to 1%",
        "to .5%",
        "gap %"
    ));
    let mut shorter = Vec::new();
    let mut medians: Vec<(&str, Vec<f64>, Vec<f64>)> = Vec::new();
    for case in cases()? {
        if !case.name.contains(&flags.only) || case.job.items.len() < flags.least_pieces {
            continue;
        }
        let known = best.iter().find(|row| row.0 == case.name).map(|row| row.1);
        for name in &flags.efforts {
            let mut gaps = Vec::new();
            let mut ways: Vec<Vec<(f64, f64)>> = Vec::new();
            let mut lengths = Vec::new();
            let began = Instant::now();
            for seed in 1..=flags.seeds {
                let mut effort = effort_of(name, seed)?;
                effort.work = (effort.work as f64 * flags.work) as u64;
                let (made, way) = run(&case.job, &effort)?;
                lengths.push(made.layout.length_mm / MM_PER_INCH);
                gaps.push(100.0 * (made.layout.length_mm / made.bounds.best().length_mm - 1.0));
                ways.push(way);
            }
            let seconds = began.elapsed().as_secs_f64() / flags.seeds as f64;
            let least = lengths.iter().copied().fold(f64::INFINITY, f64::min);
            let most = lengths.iter().copied().fold(0.0, f64::max);
            let mean = lengths.iter().sum::<f64>() / lengths.len() as f64;
            let beside = known.unwrap_or(least);
            let over = |length: f64| 100.0 * (length / beside - 1.0);
            let within = |percent: f64| -> String {
                let most = beside * (1.0 + percent / 100.0);
                let times = ways.iter().map(|way| {
                    let there = way.iter().find(|(_, length)| *length <= most);
                    there.map_or(f64::INFINITY, |(seconds, _)| *seconds)
                });
                let time = median(times.collect());
                if time.is_finite() {
                    format!("{time:.2}")
                } else {
                    "-".to_owned()
                }
            };
            let gap = median(gaps);
            say(&format!(
                "{:<28} {:>6} {:>8} {:>9.3} {:>8.3} {:>8.2} {:>8.2} {:>8.2} {:>8.2} {:>6} {:>6} {:>6} {:>6} {:>6.1}",
                case.name,
                case.job.items.len(),
                name,
                beside,
                mean,
                over(mean),
                over(most),
                100.0 * (most / least - 1.0),
                seconds,
                within(5.0),
                within(2.0),
                within(1.0),
                within(0.5),
                gap
            ));
            match medians.iter_mut().find(|known| known.0 == name) {
                Some(known) => {
                    known.1.push(over(mean));
                    known.2.push(gap);
                }
                None => medians.push((name, vec![over(mean)], vec![gap])),
            }
            if known.is_none_or(|known| least < known - 5e-4) {
                shorter.push((case.name.clone(), least));
            }
        }
    }
    for (effort, over, gap) in medians {
        say(&format!(
            "median of all, {effort}: {:.2} % over the best, gap {:.1} %",
            median(over),
            median(gap)
        ));
    }
    for (name, length) in shorter {
        say(&format!("shorter than the table knows: {name},{length:.3}"));
    }
    Ok(())
}

/// Lays a job: with the seconds after which each length (in) was reached.
fn run(job: &Job, effort: &Effort) -> Result<(lay::Outcome, Vec<(f64, f64)>), String> {
    let began = Instant::now();
    let way = Mutex::new(Vec::new());
    let note = |length_mm: f64| {
        let mut way = way.lock().unwrap_or_else(PoisonError::into_inner);
        way.push((began.elapsed().as_secs_f64(), length_mm / MM_PER_INCH));
    };
    let tell = |progress: Progress<'_>| note(progress.length_mm);
    let control = Control {
        stop: None,
        progress: Some(&tell),
    };
    let made = lay::lay(job, effort, &control).map_err(|e| e.to_string())?;
    note(made.layout.length_mm);
    Ok((
        made,
        way.into_inner().unwrap_or_else(PoisonError::into_inner),
    ))
}

/// The middle one, or the upper one of two in the middle.
fn median(mut figures: Vec<f64>) -> f64 {
    figures.sort_by(f64::total_cmp);
    figures.get(figures.len() / 2).copied().unwrap_or(f64::NAN)
}

fn effort_of(name: &str, seed: u64) -> Result<Effort, String> {
    match name {
        "quick" => Ok(Effort::quick(seed)),
        "steady" => Ok(Effort::steady(seed)),
        "patient" => Ok(Effort::patient(seed)),
        _ => Err(format!("there is no effort `{name}`")),
    }
}

/// The fabrics as they are, and some with another width or repeat.
fn cases() -> Result<Vec<Case>, String> {
    let home = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut cases = Vec::new();
    for name in ["harbour", "capstan", "chartroom", "galley", "skerry"] {
        read(
            &home.join(format!("../data/{name}/{name}.toml")),
            &mut cases,
        )?;
    }
    read(&home.join("quilts/millpond.toml"), &mut cases)?;
    type Change = (&'static str, &'static str, fn(&mut Job));
    let changed: [Change; 4] = [
        ("harbour/deck", "narrow", |job| {
            job.window.width_mm *= 0.8;
        }),
        ("harbour/deck", "wide", |job| {
            job.window.width_mm *= 1.4;
        }),
        ("millpond/ticking", "narrow", |job| {
            job.window.width_mm *= 0.8;
        }),
        ("millpond/ticking", "wide repeat", |job| {
            if let Lock::Lines { repeat_mm } = &mut job.lock {
                *repeat_mm *= 1.5;
            }
        }),
    ];
    for (of, word, change) in changed {
        let case = cases.iter().find(|case| case.name == of);
        let mut job = case.ok_or(format!("there is no {of}"))?.job.clone();
        change(&mut job);
        let name = format!("{of} {word}");
        cases.push(Case { name, job });
    }
    Ok(cases)
}

fn read(file: &Path, cases: &mut Vec<Case>) -> Result<(), String> {
    let place = file.display();
    let text = std::fs::read_to_string(file).map_err(|e| format!("{place}: {e}"))?;
    let project = Project::read(&text).map_err(|faults| format!("{place}: {faults:?}"))?;
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    for (fabric, job) in jobs(&project).map_err(|e| format!("{place}: {e}"))? {
        let name = format!("{stem}/{fabric}");
        cases.push(Case { name, job });
    }
    Ok(())
}

/// The shortest layouts that were ever found (in).
fn best() -> Result<Vec<(String, f64)>, String> {
    let text = include_str!("../quilts/best.csv");
    let rows = text.lines().skip(1).map(|line| {
        let (name, length) = line.split_once(',').ok_or(line)?;
        Ok((name.to_owned(), length.parse().map_err(|_| line)?))
    });
    let rows: Result<_, &str> = rows.collect();
    rows.map_err(|line| format!("best.csv: cannot read `{line}`"))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every fabric of the table is one of the bench's, and no figure is below what a layout
    /// can be.
    #[test]
    fn the_table_knows_the_fabrics() {
        let cases = cases().unwrap();
        for (name, best) in best().unwrap() {
            let case = cases.iter().find(|case| case.name == name);
            let job = &case.unwrap_or_else(|| panic!("{name}")).job;
            let made = lay::lay(job, &Effort::quick(1), &Control::default()).unwrap();
            let least = made.bounds.best().length_mm / MM_PER_INCH;
            assert!(least <= best + 0.01, "{name}: {best} is below {least}");
        }
    }

    /// A largest-first layout says little about an offset, and four equal wedges fill a beam
    /// with one layout four times over: before offsets raced and equal kinds were one, steady
    /// effort was more than a tenth longer than this on ticking, and quick effort 8 % on deck.
    #[test]
    fn quick_effort_is_near_the_best() {
        let cases = cases().unwrap();
        for (name, most) in [("millpond/ticking", 1.07), ("harbour/deck", 1.06)] {
            let job = &cases.iter().find(|case| case.name == name).unwrap().job;
            let known = best().unwrap();
            let known = known.iter().find(|row| row.0 == name).unwrap().1;
            let made = lay::lay(job, &Effort::quick(1), &Control::default()).unwrap();
            let length = made.layout.length_mm / MM_PER_INCH;
            assert!(length <= most * known, "{name}: {length} beside {known}");
        }
    }
}
