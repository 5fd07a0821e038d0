//! Ctrl-C: once for the best lay so far, twice to end at once.

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

#[test]
fn once_keeps_the_best_lay_so_far() {
    let place = Place::new();
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
    // About a second on a machine that is free; other tests run beside this one, and a
    // patient run left alone would take half a minute and more.
    assert!(took < Duration::from_secs(10), "{took:?}");
    println!("stopped after {took:?}");
    assert!(ran.err.contains("best lay found so far"), "{}", ran.err);
    place.run(&["check", "out/plan.json"]).with_status(0);
    assert_eq!(place.names(), ["a.toml", "out"]);
}

#[test]
fn twice_ends_at_once_and_leaves_nothing() {
    let place = Place::new();
    let child = start(&place);
    std::thread::sleep(Duration::from_secs(1));
    interrupt(&child);
    interrupt(&child);
    let ran = Ran::from(child.wait_with_output().unwrap());
    // Both signals may be seen as one; then the run ends well.
    assert!([0, 130].contains(&ran.status), "{}{}", ran.status, ran.err);
    if ran.status == 130 {
        assert_eq!(place.names(), ["a.toml"]);
    }
}
