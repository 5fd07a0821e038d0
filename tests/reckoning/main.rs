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
use stripe_core::plan::{Recipe, make};
use stripe_core::project::Project;

/// The plan of a project file, as its file says it.
fn plan_of(text: &str, seed: u64) -> Result<Value, String> {
    let project = Project::read(text).map_err(|faults| format!("not read: {faults:?}"))?;
    let recipe = Recipe {
        effort: Effort::quick(seed),
        effort_name: "quick",
        project_digest: "",
    };
    let plan = make(&project, &recipe, &Control::default()).map_err(|fault| fault.to_string())?;
    serde_json::to_value(&plan).map_err(|fault| fault.to_string())
}

/// Everything that is wrong with the plan of one seed.
fn reckon(job: &Job, seed: u64) -> Vec<String> {
    let made = catch_unwind(|| plan_of(&job.text, seed));
    let plan = match made.unwrap_or_else(|_| Err("a panic".to_owned())) {
        Ok(plan) => plan,
        Err(fault) => return vec![fault],
    };
    let mut wrong = vec![];
    pieces::reckon(job, &plan, &mut wrong);
    places::reckon(job, &plan, &mut wrong);
    joints::reckon(job, &plan, &mut wrong);
    sewn::reckon(job, &plan, &mut wrong);
    bought::reckon(job, &plan, &mut wrong);
    wrong
}

/// How many projects are reckoned, and from which seed on, in a run of its own:
/// `STRIPELAY_RECKON_CASES`, `STRIPELAY_RECKON_FROM`.
fn asked(name: &str, usual: u64) -> u64 {
    std::env::var(name).map_or(usual, |text| text.parse().expect("a whole number"))
}

#[test]
fn sixty_projects_come_to_the_same_a_second_time() {
    let (from, cases) = (
        asked("STRIPELAY_RECKON_FROM", 1),
        asked("STRIPELAY_RECKON_CASES", 60),
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
