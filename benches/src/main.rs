//! Speed and quality, measured beside references: one table, one line an
//! instance, each layout verified by polygon Booleans.

mod growth;
mod guillotine;
mod instance;
mod kits;
mod likely;
mod program;
mod quilts;
mod verify;

use clap::Parser;
use instance::{Instance, Sort};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};
use stripe_core::lay::{self, Control, Effort};

/// Lays benchmark instances and prints how good the layouts are.
#[derive(Debug, Parser)]
struct Flags {
    /// Seconds for each instance.
    #[arg(long, default_value_t = 10.0)]
    seconds: f64,
    /// Threads, and searches side by side.
    #[arg(long, default_value_t = 2)]
    threads: usize,
    /// Where chance begins.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Write each layout beside its instance as NAME.lay.json, or into a folder.
    #[arg(long, value_name = "DIR", num_args = 0..=1, default_missing_value = "")]
    write: Option<PathBuf>,
    /// Give every piece of a locked instance an offset of its own.
    #[arg(long)]
    own: bool,
    /// How time grows from 50 to 1600 locked pieces.
    #[arg(long)]
    growth: bool,
    /// How long 10,000 trials of small errors take on the plan of a project file.
    #[arg(long, value_name = "PROJECT")]
    likely: Option<PathBuf>,
    /// How fast the program itself is: the built `stripelay` to run.
    #[arg(long, value_name = "STRIPELAY")]
    program: Option<PathBuf>,
    #[command(subcommand)]
    what: Option<What>,
    /// Instance files: locked, irregular or guillotine, told apart by their fields.
    files: Vec<PathBuf>,
}

/// Benches with flags of their own.
#[derive(Debug, clap::Subcommand)]
enum What {
    /// Whole quilts: each fabric's length beside the shortest ever found.
    Quilts(quilts::QuiltFlags),
    /// Several equal quilts at once, beside as many times one.
    Kits(kits::KitsFlags),
}

fn main() -> std::process::ExitCode {
    let flags = Flags::parse();
    let mut sound = true;
    if let Some(What::Quilts(flags)) = &flags.what
        && let Err(fault) = quilts::quilts(flags, &say)
    {
        sound = false;
        say(&fault);
    }
    if let Some(What::Kits(flags)) = &flags.what
        && let Err(fault) = kits::kits(flags, &say)
    {
        sound = false;
        say(&fault);
    }
    if flags.growth
        && let Err(fault) = growth::growth(flags.seconds, flags.seed, flags.threads, &say)
    {
        sound = false;
        say(&fault);
    }
    if let Some(stripelay) = &flags.program
        && let Err(fault) = program::program(stripelay, &say)
    {
        sound = false;
        say(&fault);
    }
    if let Some(file) = &flags.likely
        && let Err(fault) = likely::run(file, flags.threads, &say)
    {
        sound = false;
        say(&fault);
    }
    if !flags.files.is_empty() {
        say(&format!(
            "{:<16} {:>12} {:>10} {:>12} {:>8} {:>10} {:>8} {:>7} {:>12}  verified",
            "instance",
            "length",
            "density %",
            "reference",
            "ratio",
            "by hand",
            "seconds",
            "threads",
            "moves/s"
        ));
    }
    for file in &flags.files {
        match run(file, &flags) {
            Ok(line) => say(&line),
            Err(fault) => {
                sound = false;
                say(&format!("{}: {fault}", file.display()));
            }
        }
    }
    if sound {
        std::process::ExitCode::SUCCESS
    } else {
        std::process::ExitCode::FAILURE
    }
}

/// Benches print; that is what they are for.
#[expect(clippy::print_stdout, reason = "the table is the result")]
fn say(line: &str) {
    println!("{line}");
}

fn run(file: &Path, flags: &Flags) -> Result<String, String> {
    let text = std::fs::read_to_string(file).map_err(|e| e.to_string())?;
    let instance: Instance = serde_json::from_str(&text).map_err(|e| e.to_string())?;
    if instance.sort() == Sort::Guillotine {
        return guillotine::run(&text, flags.seconds, flags.threads, flags.seed);
    }
    let job = instance.job(flags.own);
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(flags.threads)
        .build()
        .map_err(|e| e.to_string())?;
    let stop = AtomicBool::new(false);
    let control = Control {
        stop: Some(&stop),
        progress: None,
    };
    let effort = Effort::endless(flags.seed, flags.threads);
    let began = Instant::now();
    let outcome = std::thread::scope(|scope| {
        let (tell, told) = std::sync::mpsc::channel::<()>();
        let stop = &stop;
        scope.spawn(move || {
            // Ends at once when the layout does.
            let _ = told.recv_timeout(Duration::from_secs_f64(flags.seconds));
            stop.store(true, Ordering::Relaxed);
        });
        let outcome = pool.install(|| lay::lay(&job, &effort, &control));
        drop(tell);
        outcome
    })
    .map_err(|e| e.to_string())?;
    let seconds = began.elapsed().as_secs_f64();
    let placed = instance.placed(&job, &outcome.layout);
    let mut verdict = verify::verify(&instance, &placed);
    if flags.own {
        // Then no piece stands as another does.
        verdict.off_line = 0.0;
    }
    let density = 100.0 * instance.area() / (instance.width * verdict.length);
    let (reference, ratio) = match (instance.sort(), instance.best_density_percent) {
        (Sort::Irregular, Some(best)) => (format!("{best:.3} %"), density / best),
        _ => match instance
            .optimum
            .or(instance.plain_trial)
            .or(instance.by_hand)
        {
            Some(length) => (format!("{length:.3}"), verdict.length / length),
            None => ("-".into(), f64::NAN),
        },
    };
    if let Some(folder) = &flags.write {
        write(file, folder, &instance, &placed, &verdict)?;
    }
    let stands = verdict.stands(instance.width);
    let line = format!(
        "{:<16} {:>12.4} {:>10.3} {:>12} {:>8.4} {:>10.3} {:>8.2} {:>7} {:>12.0}  {}",
        instance.name,
        verdict.length,
        density,
        reference,
        ratio,
        outcome.by_hand.length_mm / instance.unit_mm(),
        seconds,
        flags.threads,
        outcome.moves as f64 / seconds,
        if stands { "yes" } else { "NO" },
    );
    if stands {
        Ok(line)
    } else {
        Err(format!("{line}\n  the layout does not stand: {verdict:?}"))
    }
}

fn write(
    file: &Path,
    folder: &Path,
    instance: &Instance,
    placed: &[instance::Placed],
    verdict: &verify::Verdict,
) -> Result<(), String> {
    let pieces: Vec<_> = placed
        .iter()
        .map(
            |p| serde_json::json!({"piece": p.piece, "rotate_deg": p.rotate_deg, "shift": p.shift}),
        )
        .collect();
    let text = serde_json::json!({
        "name": instance.name,
        "width": instance.width,
        "length": verdict.length,
        "placed": pieces,
    });
    let name = format!("{}.lay.json", instance.name);
    let path = if folder.as_os_str().is_empty() {
        file.with_file_name(name)
    } else {
        folder.join(name)
    };
    std::fs::write(&path, format!("{text:#}\n")).map_err(|e| format!("{}: {e}", path.display()))
}
