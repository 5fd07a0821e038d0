//! Several equal quilts from one length: how soon there is a layout, and how much shorter it is
//! than as many layouts of one quilt with the same effort.

use crate::growth::peak_mb;
use clap::Args;
use std::path::PathBuf;
use std::sync::Mutex;
use std::time::Instant;
use stripe_core::lay::{self, Control, Effort, Progress};
use stripe_core::plan::jobs;
use stripe_core::project::Project;

/// Which quilts, and how many.
#[derive(Debug, Args)]
pub struct KitsFlags {
    /// The project file.
    project: PathBuf,
    /// How many quilts.
    #[arg(long, default_value_t = 12)]
    kits: usize,
    /// The efforts to measure.
    #[arg(long, value_delimiter = ',', default_value = "quick,steady,patient")]
    efforts: Vec<String>,
    /// Where chance begins.
    #[arg(long, default_value_t = 1)]
    seed: u64,
}

/// Prints a row for every fabric and effort.
///
/// # Errors
/// A file that cannot be read or a job that cannot be laid, in words.
pub fn kits(flags: &KitsFlags, say: &dyn Fn(&str)) -> Result<(), String> {
    let text = std::fs::read_to_string(&flags.project).map_err(|e| e.to_string())?;
    let mut project = Project::read(&text).map_err(|faults| format!("{faults:?}"))?;
    project.kits = flags.kits;
    say(&format!(
        "{:<12} {:>6} {:>8} {:>8} {:>9} {:>12} {:>12} {:>9} {:>10}",
        "fabric",
        "pieces",
        "effort",
        "first s",
        "seconds",
        "together",
        "one by one",
        "shorter %",
        "memory MB"
    ));
    for (name, job) in jobs(&project).map_err(|e| e.to_string())? {
        for word in &flags.efforts {
            let effort = match word.as_str() {
                "quick" => Effort::quick(flags.seed),
                "steady" => Effort::steady(flags.seed),
                "patient" => Effort::patient(flags.seed),
                other => return Err(format!("there is no effort `{other}`")),
            };
            let began = Instant::now();
            let first: Mutex<Option<f64>> = Mutex::default();
            let tell = |_: Progress<'_>| {
                if let Ok(mut first) = first.lock() {
                    first.get_or_insert_with(|| began.elapsed().as_secs_f64());
                }
            };
            let control = Control {
                stop: None,
                progress: Some(&tell),
            };
            let found = lay::lay(&job, &effort, &control).map_err(|e| e.to_string())?;
            let together = found.layout.length_mm / 25.4;
            let one_by_one = found.one_lot_mm.unwrap_or(f64::NAN) * flags.kits as f64 / 25.4;
            let seconds = began.elapsed().as_secs_f64();
            let first = first
                .lock()
                .ok()
                .and_then(|first| *first)
                .unwrap_or(seconds);
            say(&format!(
                "{name:<12} {:>6} {word:>8} {first:>8.2} {seconds:>9.1} {together:>12.2} {one_by_one:>12.2} {:>9.2} {:>10.0}",
                job.items.len(),
                100.0 * (1.0 - together / one_by_one),
                peak_mb(),
            ));
        }
    }
    Ok(())
}
