//! A real plan with a few values changed for odd ones: the verifier says what is wrong, with
//! its place, or it can be drawn.

use crate::watch::{count, rng, watch};
use serde_json::Value;
use stripe_core::booklet::{PatternWords, pattern};
use stripe_core::check::check;
use stripe_core::draw::{
    DrawError, Method, Paper, Stripes, map, motif_pictures, placement_guide, quilt, templates,
};
use stripe_core::internals::rng::Rng;
use stripe_core::lay::{Control, Effort};
use stripe_core::plan::{Plan, make};
use stripe_core::project::Project;

const SKERRY: &str = include_str!("../../data/skerry/skerry.toml");

fn plan() -> Value {
    let project = Project::read(SKERRY).unwrap();
    let effort = Effort::quick(1);
    let control = Control {
        stop: None,
        progress: None,
    };
    serde_json::to_value(make(&project, &effort, &control).unwrap()).unwrap()
}

const NUMBERS: [f64; 16] = [
    0.0, -0.0, -1.0, 1.0, 0.5, 1e-9, -1e-9, 1e-300, 1e3, 1e6, 1e9, 1e15, 1e18, 1e300, -1e18, 360.0,
];
const WORDS: [&str; 6] = ["", "a", "=1+1", "\u{0}\u{1b}[2J", "布", "../../x"];

/// Walks down at random and changes what it comes to.
fn change(value: &mut Value, rng: &mut Rng) {
    let here = rng.once_in(12);
    match value {
        Value::Array(list) if !list.is_empty() && !here => {
            let at = rng.whole(0, list.len() - 1);
            change(&mut list[at], rng);
        }
        Value::Object(map) if !map.is_empty() && !here => {
            let at = rng.whole(0, map.len() - 1);
            change(map.values_mut().nth(at).unwrap(), rng);
        }
        Value::Array(list) if !list.is_empty() => {
            let at = rng.whole(0, list.len() - 1);
            match rng.whole(0, 3) {
                0 => list.clear(),
                1 => list.truncate(at),
                2 => drop(list.remove(at)),
                _ => {
                    let again = list[at].clone();
                    list.resize(list.len() + rng.pick(&[1, 5, 200]), again);
                }
            }
        }
        Value::Number(number) => {
            let is_whole = number.is_u64();
            *value = match rng.whole(0, 2) {
                0 if is_whole => rng
                    .pick(&[0_u64, 1, 2, 1000, 1_000_000_000_000_000_000])
                    .into(),
                1 => (number.as_f64().unwrap() * rng.real(-2.0, 2.0)).into(),
                _ => rng.pick(&NUMBERS).into(),
            };
        }
        Value::String(_) => *value = rng.pick(&WORDS).into(),
        Value::Bool(yes) => *yes = !*yes,
        _ => *value = Value::Null,
    }
}

/// Paper has limits of its own, which a sound plan may pass.
fn fault<T>(drawn: Result<T, DrawError>) -> Option<DrawError> {
    use DrawError::{NoQuilt, TooManySheets, TooManyTemplates};
    let error = drawn.err()?;
    let is_limit = matches!(
        error,
        NoQuilt | TooManySheets { .. } | TooManyTemplates { .. }
    );
    (!is_limit).then_some(error)
}

#[test]
fn what_passes_the_check_can_be_drawn() {
    let plan = plan();
    let whole: Plan = serde_json::from_value(plan.clone()).unwrap();
    assert!(check(&whole).is_empty());
    watch(count(500), move |case| {
        let mut rng = rng(case);
        let mut odd = plan.clone();
        for _ in 0..rng.whole(1, 3) {
            change(&mut odd, &mut rng);
        }
        let Ok(odd) = serde_json::from_value::<Plan>(odd) else {
            return;
        };
        let findings = check(&odd);
        for finding in &findings {
            assert!(
                !finding.words.is_empty() && !finding.of.is_empty(),
                "{finding:?}"
            );
        }
        // What the verifier finds fault with may be drawn or not; it must end well.
        let fabrics = odd.fabrics.iter();
        let maps = fabrics.map(|fabric| fault(map(&odd, &fabric.name, Paper::A4)));
        let faults: Vec<DrawError> = maps
            .chain([
                fault(motif_pictures(&odd)),
                fault(quilt(&odd)),
                fault(placement_guide(&odd)),
                fault(templates(
                    &odd,
                    Paper::A4,
                    Method::PaperOnRightSide,
                    Stripes::Shown,
                )),
                // It takes as long as all of the others: now and then is enough.
                (case % 10 == 0)
                    .then(|| fault(pattern(&odd, Paper::A4, &PatternWords::default())))
                    .flatten(),
            ])
            .flatten()
            .collect();
        assert!(
            !findings.is_empty() || faults.is_empty(),
            "case {case} passes the check and cannot be drawn: {faults:?}"
        );
    });
}

/// What took 7 GB or did not end.
#[test]
fn a_plan_that_asks_for_no_end_of_copies() {
    let plan = plan();
    watch(3, move |case| {
        let mut odd = plan.clone();
        match case {
            0 => odd["motifs"][0]["copies"] = 1_000_000_000_000_000_000_u64.into(),
            1 => odd["fabrics"][0]["width"] = 1e18.into(),
            _ => odd["making"]["gap"] = 1e18.into(),
        }
        let odd: Plan = serde_json::from_value(odd).unwrap();
        let findings = check(&odd);
        assert!(!findings.is_empty() && findings.len() < 100, "{case}");
        assert!(!findings[0].of.is_empty(), "{case}");
    });
}
