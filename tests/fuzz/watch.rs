//! Cases on a thread of their own, watched for time and memory.

use std::sync::{Mutex, MutexGuard, OnceLock, PoisonError, mpsc};
use std::time::{Duration, Instant};
use stripe_core::internals::rng::Rng;

/// The longest that a case may take, in processor time: how many others share the cores is
/// no fault of a case.
pub const MOST_TIME: Duration = Duration::from_secs(5);
/// The most memory (kB) that the whole process may come to hold.
const MOST_KB: u64 = 500 << 10;

/// How many cases are made, where so many are usual.
pub fn count(default: usize) -> usize {
    stripe_tests::asked("STRIPELAY_FUZZ_CASES", default as u64) as usize
}

/// The random numbers of a case.
pub fn rng(case: usize) -> Rng {
    let seed = stripe_tests::asked("STRIPELAY_FUZZ_SEED", 0);
    Rng::new(seed.wrapping_mul(1_000_003).wrapping_add(case as u64))
}

/// The processor time that this process has taken; where nobody says, the time it has run.
pub fn busy() -> Duration {
    static BEGAN: OnceLock<Instant> = OnceLock::new();
    let began = BEGAN.get_or_init(Instant::now);
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    // Fields 14 and 15 of proc(5), in hundredths of a second; field 3 follows the name.
    let fields = stat.rsplit_once(')').map_or("", |(_, rest)| rest);
    let mut ticks = fields.split_whitespace().skip(11).take(2);
    let mut next = || ticks.next()?.parse::<u64>().ok();
    match (next(), next()) {
        (Some(user), Some(system)) => Duration::from_millis(10 * (user + system)),
        _ => began.elapsed(),
    }
}

/// The memory that this process holds (kB); 0 where nobody says.
fn held_kb() -> u64 {
    let text = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = text.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    let number = line.and_then(|rest| rest.split_whitespace().next()?.parse().ok());
    number.unwrap_or(0)
}

/// Nothing else of this program is timed while this is held: what is measured is not how
/// the cores are shared.
pub fn alone() -> MutexGuard<'static, ()> {
    static TIMED: Mutex<()> = Mutex::new(());
    TIMED.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Runs all cases; stops at the first that panics, hangs or eats memory. A panic inside of
/// a case comes out as it is, below its number.
pub fn watch(cases: usize, run: impl Fn(usize) + Send + 'static) {
    let _alone = alone();
    let (ended, ends) = mpsc::channel();
    let began = Instant::now();
    let worker = std::thread::spawn(move || {
        for case in 0..cases {
            run(case);
            if ended.send(()).is_err() {
                return;
            }
        }
    });
    let mut peak = 0;
    for case in 0..cases {
        let before = busy();
        let step = Duration::from_millis(20);
        loop {
            match ends.recv_timeout(step) {
                Ok(()) => break,
                Err(mpsc::RecvTimeoutError::Disconnected) => {
                    println!("case {case} panicked");
                    std::panic::resume_unwind(worker.join().unwrap_err());
                }
                Err(mpsc::RecvTimeoutError::Timeout) => {}
            }
            let held = held_kb();
            peak = peak.max(held);
            assert!(held < MOST_KB, "case {case} holds {held} kB");
            assert!(busy() - before < MOST_TIME, "case {case} does not end");
        }
    }
    println!(
        "{cases} cases in {:?}, {} MB at most",
        began.elapsed(),
        peak >> 10
    );
}
