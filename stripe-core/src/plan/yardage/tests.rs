//! Yardage of equal rectangles, whose shortest layout is rows and can be told by hand.

use super::*;
use crate::fabric::Pattern;
use crate::lay::{Control, Effort};
use crate::length::INCH_MM;
use crate::length::Unit;
use crate::motif::Copies;
use crate::project::Project;

/// Twelve bars, cut 2 1/2 by 3 in, a gap of 1/16 in; `times` as large, with everything else.
fn bars(times: f64, offset: &str) -> Project {
    let inch = |inches: f64| inches * times;
    let text = format!(
        "[making]\nturn_under = 0\ngap = {}\n[fabric.tick]\nwidth = {}\nfaces = \"right side\"\n\
         [fabric.tick.stripe]\nbands = [{{ name = \"a\", width = {}, colour = \"#203040\" }}, \
         {{ name = \"b\", width = {}, colour = \"#f0f0e0\" }}]\n\
         [motif.bar]\ncopies = 12\n[[motif.bar.part]]\nfabric = \"tick\"\nshape = \"outline\"\n\
         points = [[0, 0], [{w}, 0], [{w}, {h}], [0, {h}]]\noffset = {offset}\n",
        inch(1.0 / 16.0),
        inch(21.0),
        inch(0.5),
        inch(0.5),
        w = inch(2.5),
        h = inch(3.0),
    );
    Project::read(&text).unwrap()
}

const LITTLE: Effort = Effort {
    seed: 1,
    streams: 1,
    rounds: 2,
    work: 4_000,
};

fn ask(repeats: Vec<f64>, widths: Vec<f64>, copies: Vec<Copies>) -> YardageQuestion {
    let mm = |all: Vec<f64>| all.into_iter().map(|inches| inches * INCH_MM).collect();
    YardageQuestion {
        fabric: "tick".to_owned(),
        repeats_mm: mm(repeats),
        widths_mm: mm(widths),
        copies,
        kinds: vec![StripeKind::Any],
        also: vec![],
    }
}

fn found(project: &Project, question: &YardageQuestion) -> Yardage {
    yardage(project, question, &LITTLE, &Control::default(), &|_, _| ()).unwrap()
}

/// By hand (inches): so many bars side by side, each `ceil(w / R)` repeats from the next, on
/// `floor((W - w) / R) + 1` lines; rows of 3 in and gaps of 1/16 in between. `w` has its gap, and the
/// fabric one gap more.
fn by_hand(repeat: f64, width: f64) -> f64 {
    let (w, gap) = (2.5 + 1.0 / 16.0, 1.0 / 16.0);
    let lines = ((width + gap - w) / repeat + 1e-9).floor() + 1.0;
    let row = (lines / (w / repeat - 1e-9).ceil()).ceil();
    let rows = (12.0 / row).ceil();
    3.0 * rows + gap * (rows - 1.0)
}

/// In the shop (inches): 2 in to square up, steps of 1/8 yd.
fn to_buy(length: f64) -> f64 {
    ((length + 2.0) / 4.5 - 1e-9).ceil() * 4.5
}

// The brute-force table: every repeat in sixteenths from 1 to 8 in is laid as long as told by
// hand, and of none is more needed than the sentence says that looked at whole inches and at
// the places between where a line is lost. At 1 in 6 bars lie in a row, at 8 in 3.
#[test]
fn nothing_worse_hides_between_the_repeats() {
    let project = bars(1.0, "\"free\"");
    let every: Vec<f64> = (16..=128).map(|n| f64::from(n) / 16.0).collect();
    for width in [21.0] {
        let asked = ask(
            (1..=8).map(f64::from).collect(),
            vec![width],
            vec![Copies::Alike],
        );
        let sampled = found(&project, &asked);
        let promise = sampled.promise.as_ref().unwrap();
        let told = |repeat: f64| {
            let within = |step: &&PromiseStep| repeat * INCH_MM <= step.within_mm + 1e-6;
            promise.steps.iter().find(within).unwrap().buy_mm / INCH_MM
        };
        let brute = found(
            &project,
            &ask(every.clone(), vec![width], vec![Copies::Alike]),
        );
        let mut most = [0.0; 2];
        for cell in brute.cells.iter().filter(|cell| !cell.is_between) {
            let repeat = cell.repeat_mm / INCH_MM;
            let note = cell.found.as_ref().unwrap();
            let (length, hand) = (note.length_mm / INCH_MM, by_hand(repeat, width));
            assert!(
                (length - hand).abs() < 1e-3,
                "{repeat} on {width}: {length}, {hand}"
            );
            let buy = note.buy.length_mm / INCH_MM;
            assert!((buy - to_buy(hand)).abs() < 1e-3, "{repeat}: {buy}");
            assert!(
                buy <= told(repeat) + 1e-6,
                "{repeat} on {width}: {buy}, {}",
                promise.sentence(Unit::Inch)
            );
            most = [f64::max(most[0], buy), f64::max(most[1], told(repeat))];
        }
        // It asks for no more than the worst repeat does.
        assert!((most[0] - most[1]).abs() < 1e-3, "{most:?}");
        assert!(!sampled.jumps.is_empty());
        for jump in &sampled.jumps {
            assert!(jump.why.contains("motif `bar`"), "{}", jump.why);
        }
    }
}

// Identities: everything twice as large takes twice as much; wider fabric takes no more; with
// offsets of their own bars stand shoulder to shoulder, whatever the repeat.
#[test]
fn identities_of_yardage() {
    let lengths = |project: &Project, question: &YardageQuestion| -> Vec<f64> {
        let cells = found(project, question).cells.into_iter();
        let asked = cells.filter(|cell| !cell.is_between);
        asked
            .map(|cell| cell.found.unwrap().length_mm / INCH_MM)
            .collect()
    };
    let repeats = [1.5, 2.5, 3.75, 7.0];
    let alike = || vec![Copies::Alike];
    let once = lengths(
        &bars(1.0, "\"free\""),
        &ask(repeats.to_vec(), vec![21.0, 26.5], alike()),
    );
    let double = repeats.map(|repeat| 2.0 * repeat).to_vec();
    let twice = lengths(
        &bars(2.0, "\"free\""),
        &ask(double, vec![42.0, 53.0], alike()),
    );
    for (one, two) in once.iter().zip(&twice) {
        assert!((2.0 * one - two).abs() < 1e-3, "{once:?} {twice:?}");
    }
    assert!(
        once[..4]
            .iter()
            .zip(&once[4..])
            .all(|(narrow, wide)| wide <= narrow)
    );
    let own = ask(repeats.to_vec(), vec![21.0], vec![Copies::Own]);
    for length in lengths(&bars(1.0, "\"free\""), &own) {
        // (21 + 1/16) / (2 1/2 + 1/16) = 8.2: two rows.
        assert!((length - (6.0 + 1.0 / 16.0)).abs() < 1e-3, "{length}");
    }
}

// Where an offset is set, the beginning of the stripe decides how many lines there are: what is
// told for any stripe is enough for each of 32 beginnings, laid one by one.
#[test]
fn any_stripe_may_begin_anywhere() {
    let project = bars(1.0, "{ middle_of = \"a\" }");
    for repeat in [3.0, 4.5, 6.0] {
        let question = ask(vec![repeat], vec![21.0], vec![Copies::Alike]);
        let told = found(&project, &question).cells[0].buy_mm().unwrap();
        let as_it_is = YardageQuestion {
            kinds: vec![StripeKind::AsItIs],
            ..question
        };
        let mut most: f64 = 0.0;
        for part in 0..32 {
            let mut begun = project.clone();
            let Pattern::Striped(stripe) = &project.fabrics[0].pattern else {
                panic!("striped");
            };
            let start_mm = repeat * INCH_MM * f64::from(part) / 32.0;
            begun.fabrics[0].pattern = Pattern::Striped(stripe.clone().with_origin(start_mm));
            most = most.max(found(&begun, &as_it_is).cells[0].buy_mm().unwrap());
        }
        assert!(told >= most - 1e-6, "{repeat}: {told} {most}");
    }
}

#[test]
fn the_same_on_any_threads_and_stopped_it_gives_what_it_has() {
    let project = bars(1.0, "\"free\"");
    let question = ask(
        vec![2.0, 4.0],
        vec![21.0, 30.0],
        vec![Copies::Alike, Copies::Own],
    );
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
        pool.build().unwrap().install(|| found(&project, &question))
    };
    assert_eq!(on(1), on(3));
    let stop = std::sync::atomic::AtomicBool::new(true);
    let control = Control {
        stop: Some(&stop),
        progress: None,
    };
    let cut = yardage(&project, &question, &LITTLE, &control, &|_, _| ()).unwrap();
    assert!(cut.is_cut_short && cut.cells.is_empty() && cut.promise.is_none());
}

#[test]
fn what_cannot_be_asked_is_told() {
    let project = bars(1.0, "\"free\"");
    let ask_of = |fabric: &str, repeats, widths| {
        let question = YardageQuestion {
            fabric: fabric.to_owned(),
            ..ask(repeats, widths, vec![Copies::Alike])
        };
        yardage(
            &project,
            &question,
            &LITTLE,
            &Control::default(),
            &|_, _| (),
        )
    };
    for (fabric, repeats, widths) in [
        ("tack", vec![1.0], vec![21.0]),
        ("tick", vec![], vec![21.0]),
        ("tick", vec![0.0], vec![21.0]),
        ("tick", vec![22.0], vec![21.0]),
        ("tick", vec![f64::NAN], vec![21.0]),
        ("tick", vec![1.0], vec![1e9]),
        ("tick", (1..=300).map(f64::from).collect(), vec![21.0]),
    ] {
        let told = ask_of(fabric, repeats, widths);
        assert!(told.is_err(), "{told:?}");
    }
    // One repeat that does not fit takes nothing away from the others.
    let some = ask_of("tick", vec![2.0, 22.0], vec![21.0]).unwrap();
    let last = some.cells.last().unwrap();
    assert!(
        last.found
            .as_ref()
            .unwrap_err()
            .contains("its repeat is 22 in")
    );
    let promise = some.promise.unwrap();
    assert_eq!(promise.steps.last().unwrap().within_mm, 2.0 * INCH_MM);
}
