//! Projects that once broke the layout, and random ones that might: each gives a plan that
//! passes its own check, or says that a piece does not fit; none panics or goes on.

#![allow(
    clippy::unwrap_used,
    reason = "a failed test is meant to stop and say so"
)]

mod any_project;

use any_project::any_project;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::{Duration, Instant};
use stripe_core::check::check;
use stripe_core::lay::{Control, Effort};
use stripe_core::plan::{Error, make};
use stripe_core::project::Project;
use stripe_tests::asked;

/// What a plan may take before it is told to stop, and after.
const SEARCHED: Duration = Duration::from_secs(2);
const ENDED: Duration = Duration::from_secs(30);

/// How a project ended.
#[derive(Debug, PartialEq, Eq, Clone, Copy)]
enum End {
    Unread,
    Refused,
    Planned,
}

/// Plans a project on a thread of its own, with a clock, as the command line does.
fn run(name: &str, text: &str, effort: Effort) -> End {
    let Ok(project) = Project::read(text) else {
        return End::Unread;
    };
    let stop = Arc::new(AtomicBool::new(false));
    let (done, waited) = channel();
    let flag = stop.clone();
    std::thread::spawn(move || {
        let control = Control {
            stop: Some(&flag),
            progress: None,
        };
        let _ = done.send(make(&project, &effort, &control));
    });
    let mut end = waited.recv_timeout(SEARCHED);
    if matches!(end, Err(RecvTimeoutError::Timeout)) {
        stop.store(true, Ordering::SeqCst);
        end = waited.recv_timeout(ENDED);
    }
    match end {
        Ok(Ok(plan)) => {
            assert_eq!(check(&plan), vec![], "{name}:\n{text}");
            End::Planned
        }
        Ok(Err(Error::Unverified(findings))) => panic!("{name}: {findings:?}\n{text}"),
        Ok(Err(Error::Layout { fault, .. })) => panic!("{name}: {fault}\n{text}"),
        Ok(Err(error)) => {
            assert!(!error.to_string().is_empty());
            End::Refused
        }
        Err(RecvTimeoutError::Timeout) => panic!("{name} does not hear the stop flag:\n{text}"),
        Err(RecvTimeoutError::Disconnected) => panic!("{name} panics:\n{text}"),
    }
}

fn little(seed: u64) -> Effort {
    Effort {
        seed,
        streams: 2,
        rounds: 2,
        work: 60_000,
    }
}

/// The smallest project of each kind of fault that was found, see the file names.
#[test]
fn what_once_broke_the_lay_is_planned() {
    let files = [
        (
            "endless-on-a-lattice",
            include_str!("data/endless-on-a-lattice.toml"),
        ),
        (
            "lattice-endless-2",
            include_str!("data/lattice-endless-2.toml"),
        ),
        (
            "lattice-endless-3",
            include_str!("data/lattice-endless-3.toml"),
        ),
        ("fault-145", include_str!("data/fault-145.toml")),
        (
            "over-the-selvage-on-leaning-fabric",
            include_str!("data/over-the-selvage-on-leaning-fabric.toml"),
        ),
        (
            "panic-no-line-beyond-what-is-laid",
            include_str!("data/panic-no-line-beyond-what-is-laid.toml"),
        ),
        (
            "touching-on-figures",
            include_str!("data/touching-on-figures.toml"),
        ),
        ("seam-zero-bias", include_str!("data/seam-zero-bias.toml")),
    ];
    for (name, text) in files {
        let end = run(name, text, Effort::quick(1));
        assert_eq!(end, End::Planned, "{name}");
    }
}

/// With no gap asked for, pieces touch, and the verifier lets them.
#[test]
fn pieces_may_touch_where_no_gap_is_asked_for() {
    let text = include_str!("../../data/harbour/harbour.toml");
    let touching = text.replacen("gap = \"1/16 in\"", "gap = 0", 1);
    assert_ne!(text, touching);
    for seed in 1..=3 {
        assert_eq!(run("harbour", &touching, Effort::quick(seed)), End::Planned);
    }
}

/// Random projects; STRIPELAY_PROJECTS says how many, STRIPELAY_FIRST where they begin.
#[test]
fn random_projects_are_planned_or_refused() {
    let first = asked("STRIPELAY_FIRST", 0);
    let count = asked("STRIPELAY_PROJECTS", 40);
    let mut ends = vec![];
    let mut failed = vec![];
    let begun = Instant::now();
    for seed in first..first + count {
        let text = any_project(seed);
        let end = std::panic::catch_unwind(|| run(&format!("project {seed}"), &text, little(seed)));
        match end {
            Ok(end) => ends.push(end),
            Err(_) => failed.push(seed),
        }
    }
    let of = |end| ends.iter().filter(|&&e| e == end).count();
    let (planned, refused, unread) = (of(End::Planned), of(End::Refused), of(End::Unread));
    println!(
        "{planned} planned, {refused} refused, {unread} unread in {:.1} s; failed: {failed:?}",
        begun.elapsed().as_secs_f64()
    );
    assert!(failed.is_empty(), "of {count} projects failed: {failed:?}");
    assert!(
        10 * planned > 5 * count as usize,
        "too few can be laid: {planned} of {count}"
    );
    assert!(
        4 * unread < count as usize,
        "too many cannot be read: {unread} of {count}"
    );
}
