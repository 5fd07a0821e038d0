//! How long the question takes whether a plan's joints will match.

use std::path::Path;
use std::time::Instant;
use stripe_core::lay::{Control, Effort};
use stripe_core::plan::{likely, make};
use stripe_core::project::Project;

/// So many times; the quickest counts.
const TIMES: usize = 5;

/// Plans a project at the least effort and times the errors thrown on it, on so many threads.
pub fn run(file: &Path, threads: usize, say: &dyn Fn(&str)) -> Result<(), String> {
    let text = std::fs::read_to_string(file).map_err(|e| e.to_string())?;
    let project = Project::read(&text).map_err(|_| "a project at fault".to_owned())?;
    let plan = make(&project, &Effort::quick(1), &Control::default()).map_err(|e| e.to_string())?;
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .build()
        .map_err(|e| e.to_string())?;
    let time = |_| {
        let begun = Instant::now();
        let note = pool.install(|| likely(&plan));
        (begun.elapsed(), note)
    };
    let best = (0..TIMES).map(time).min_by_key(|(time, _)| *time);
    let Some((time, Some(note))) = best else {
        return Err("no two striped pieces match".to_owned());
    };
    say(&format!(
        "{} trials of {} joints on {threads} threads: {:.3} s; out of line {:.4} by the stripe, {:.4} by the ruler; \
         {:.2} mm nearer",
        note.trials,
        note.joints,
        time.as_secs_f64(),
        note.by_stripe.all,
        note.by_ruler.all,
        note.nearer_mm
    ));
    Ok(())
}
