//! A second reckoning: random projects, their pieces, joints, places, sizes, cuts and
//! prices worked out anew by code that shares nothing with the library. The library gets
//! a project file and gives `plan.json`; what stands between them is told from the numbers
//! that were written, with polygon Booleans of `geo` and plain arithmetic.

mod bought;
mod generate;
mod geometry;
mod joints;
mod pieces;
mod places;
mod sewn;

use generate::Job;
use serde_json::Value;
use std::panic::catch_unwind;
use stripe_core::lay::{Control, Effort};
use stripe_core::plan::make;
use stripe_core::project::Project;
use stripe_tests::asked;

/// The plan of a project file, as its file says it.
fn plan_of(text: &str, seed: u64) -> Result<Value, String> {
    let project = Project::read(text).map_err(|faults| format!("not read: {faults:?}"))?;
    let effort = Effort::quick(seed);
    let plan = make(&project, &effort, &Control::default()).map_err(|fault| fault.to_string())?;
    serde_json::to_value(&plan).map_err(|fault| fault.to_string())
}

/// Everything that is wrong with the plan of one seed.
fn reckon(job: &Job, seed: u64) -> Vec<String> {
    let made = catch_unwind(|| plan_of(&job.text, seed));
    let plan = match made.unwrap_or_else(|_| Err("a panic".to_owned())) {
        Ok(plan) => plan,
        Err(fault) => return vec![fault],
    };
    reckon_plan(job, &plan)
}

/// Everything in a plan that comes out otherwise here.
fn reckon_plan(job: &Job, plan: &Value) -> Vec<String> {
    let mut wrong = vec![];
    pieces::reckon(job, plan, &mut wrong);
    places::reckon(job, plan, &mut wrong);
    joints::reckon(job, plan, &mut wrong);
    sewn::reckon(job, plan, &mut wrong);
    bought::reckon(job, plan, &mut wrong);
    wrong
}

/// `STRIPELAY_RECKON_CASES` says how many projects are reckoned, `STRIPELAY_RECKON_FROM` from
/// which seed on.
#[test]
fn projects_come_to_the_same_a_second_time() {
    let (from, cases) = (
        asked("STRIPELAY_RECKON_FROM", 1),
        asked("STRIPELAY_RECKON_CASES", 20),
    );
    let mut failed = 0;
    for seed in from..from + cases {
        let job = Job::new(seed);
        let wrong = reckon(&job, seed);
        if !wrong.is_empty() {
            failed += 1;
            println!("seed {seed}: {} faults", wrong.len());
            wrong.iter().take(5).for_each(|words| println!("  {words}"));
            println!("{}", job.text);
        }
    }
    assert_eq!(failed, 0, "of {cases} projects");
}

/// A plan that is tampered with is found out, or the reckoning would be no verifier.
#[test]
fn what_is_tampered_with_is_found_out() {
    // The first project with a quilt, a striped motif of several wedges, and prices; its stripes
    // run along the fabric, or a piece moved across it would still be matched.
    let job = (1..).map(Job::new).find(|job| {
        let part = &job.motifs[0].parts[0];
        let stripe = job.fabrics[0].stripe.as_ref();
        let lengthwise = stripe.is_some_and(|stripe| stripe.normal_deg < 45.0);
        let sold = job.fabrics.iter().all(|fabric| fabric.sold.is_some());
        job.quilt.is_some()
            && part.fabric == 0
            && lengthwise
            && part.wedges > 2
            && part.stripes == "through"
            && sold
    });
    let job = job.expect("one in some tens");
    let plan = plan_of(&job.text, 1).unwrap();
    assert_eq!(reckon_plan(&job, &plan), [""; 0]);
    for (place, by) in [
        ("/fabrics/0/placements/0/to_fabric/dx", 1.0),
        ("/fabrics/0/placements/0/to_fabric/dy", -1000.0),
        ("/fabrics/0/placements/0/to_fabric/rotate_deg", 1.0),
        ("/fabrics/0/placements/0/finished/0/0", 3.0),
        ("/fabrics/0/placements/0/cut/0/0", 9.0),
        ("/fabrics/0/length", 1.0),
        ("/fabrics/0/width", 1.0),
        ("/quilt/size/0", 0.01),
        ("/quilt/cuts/0/pieces/0/count", 1.0),
        ("/quilt/cuts/0/pieces/0/width", 0.1),
        ("/quilt/shopping/0/buy", 1.0),
        ("/quilt/shopping/0/price", 0.02),
        ("/quilt/total", 0.05),
    ] {
        let mut spoilt = plan.clone();
        let value = spoilt.pointer_mut(place).expect(place);
        *value = (value.as_f64().expect(place) + by).into();
        assert!(!reckon_plan(&job, &spoilt).is_empty(), "{place} by {by}");
    }
}
