//! Ctrl-C: once for the best layout so far, twice to end at once.

use crate::place::{HARBOUR, Place, Ran};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

fn start(place: &Place) -> Child {
    place.write("a.toml", HARBOUR);
    place
        .command(&["lay", "a.toml", "--out", "out", "--effort", "patient"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

fn interrupt(child: &Child) {
    let sent = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status()
        .unwrap();
    assert!(sent.success());
}

/// A free machine needs half a second from Ctrl-C to the end (`stripe-benches --program`
/// measures it). Here other tests run beside this one, so it is compared with a whole run
/// that searches for no longer than a moment: what comes after Ctrl-C is the same work
/// without its beginning. A patient run left alone would take half a minute and more.
#[test]
fn once_keeps_the_best_lay_so_far() {
    let place = Place::new();
    place.write("a.toml", HARBOUR);
    let began = Instant::now();
    let moment = ["--effort", "quick", "--seconds", "0.01"];
    place
        .run(&[&["lay", "a.toml", "--out", "moment"], &moment[..]].concat())
        .with_status(0);
    let whole = began.elapsed();
    let mut child = start(&place);
    std::thread::sleep(Duration::from_secs(2));
    assert!(
        child.try_wait().unwrap().is_none(),
        "a patient run takes longer"
    );
    let asked = Instant::now();
    interrupt(&child);
    let ran = Ran::from(child.wait_with_output().unwrap()).with_status(0);
    let took = asked.elapsed();
    println!("stopped after {took:?}; a run of a moment takes {whole:?}");
    assert!(took < 2 * whole + Duration::from_millis(500), "{took:?}");
    assert!(took < Duration::from_secs(6), "{took:?}");
    assert!(ran.err.contains("best layout found so far"), "{}", ran.err);
    place.run(&["check", "out/plan.json"]).with_status(0);
    assert_eq!(place.names(), ["a.toml", "moment", "out"]);
    // Nothing is left out for having been stopped.
    let files = |folder: &str| {
        let mut names: Vec<_> = std::fs::read_dir(place.path(folder))
            .unwrap()
            .map(|entry| entry.unwrap().file_name())
            .filter(|name| !name.to_string_lossy().starts_with("map-"))
            .collect();
        names.sort();
        names
    };
    assert_eq!(files("out"), files("moment"));
}

/// Two signals close together may be seen as one, and then the run ends well; a few runs with
/// a moment in between are enough to see one ended at once.
#[test]
fn twice_ends_at_once_and_leaves_nothing() {
    for moment in [50, 100, 200, 400, 100] {
        let place = Place::new();
        let child = start(&place);
        std::thread::sleep(Duration::from_secs(1));
        interrupt(&child);
        std::thread::sleep(Duration::from_millis(moment));
        interrupt(&child);
        let ran = Ran::from(child.wait_with_output().unwrap());
        if ran.status == 130 {
            assert_eq!(place.names(), ["a.toml"]);
            return;
        }
        assert_eq!(ran.status, 0, "{}", ran.err);
    }
    panic!("the second Ctrl-C was never heard");
}

/// As many pieces as a fabric may have are stopped while they are laid for the first time:
/// the search hears it within a moment, and what remains is the work of any plan that large,
/// which a run that searches for a moment shows. Processor time is counted, since other tests
/// run beside this one, and as a share of that run's, since machines differ. (Two shared cores:
/// heard after 0.1, ended after 0.8 to 0.95.)
#[cfg(target_os = "linux")]
#[test]
fn a_large_first_layout_can_be_stopped() {
    let moment = ["--effort", "quick", "--seconds", "0.01"];
    let (_, whole) = crate::limit::run_within(crate::limit::FULL, &moment, 60.0, 500);
    let whole = whole.seconds;
    for (signal, wait) in [("-INT", 0.1), ("-TERM", 0.4)] {
        let place = Place::new();
        place.write("a.toml", crate::limit::FULL);
        let args = ["lay", "a.toml", "--out", "out", "--effort", "patient"];
        let mut child = place
            .command(&args)
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_secs_f64(wait));
        let id = child.id();
        let taken = || crate::limit::taken(id).map_or(0.0, |(seconds, _)| seconds);
        let at_signal = taken();
        let sent = Command::new("kill")
            .args([signal, &id.to_string()])
            .status();
        assert!(sent.unwrap().success());
        let mut lines = std::io::BufReader::new(child.stderr.take().unwrap());
        // That it was heard is said at once ..
        let mut said = String::new();
        std::io::BufRead::read_line(&mut lines, &mut said).unwrap();
        assert!(said.starts_with("Stopping: "), "{signal}: {said}");
        let answered = taken() - at_signal;
        assert!(answered < 1.0, "{signal}: answered after {answered} s");
        // .. and the rest as soon as the search has ended.
        said.clear();
        std::io::BufRead::read_line(&mut lines, &mut said).unwrap();
        let heard = taken() - at_signal;
        let mut end = heard;
        while child.try_wait().unwrap().is_none() {
            end = end.max(taken() - at_signal);
            assert!(
                end < 1.1 * whole,
                "{signal}: at work after {end} of {whole} s"
            );
            std::thread::sleep(Duration::from_millis(20));
        }
        println!(
            "{signal}: heard after {heard} s, ended after {end} s; a run of a moment: {whole}"
        );
        assert!(child.wait().unwrap().success(), "{signal}: {said}");
        assert!(
            said.contains("best layout found so far"),
            "{signal}: {said}"
        );
        assert!(
            heard < 0.25 * whole,
            "{signal}: heard after {heard} of {whole} s"
        );
        place.run(&["check", "out/plan.json"]).with_status(0);
    }
}
