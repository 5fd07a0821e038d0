//! The demo's plan, and everything drawn from it.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, OnceLock};
use std::time::Instant;
use stripe_core::booklet::{Settings, booklet};
use stripe_core::draw::{Method, Paper, Stripes, map, motif_pictures, pdf, png, svg, templates};
use stripe_core::lay::{Control, Effort};
use stripe_core::motif::Copies;
use stripe_core::plan::{Plan, make};
use stripe_core::project::Project;

/// The demo's plan, quickly made.
pub fn plan() -> &'static Plan {
    static PLAN: OnceLock<Plan> = OnceLock::new();
    PLAN.get_or_init(|| example("harbour"))
}

/// The plan of one of the example projects, laid once for all tests.
pub fn example(name: &str) -> Plan {
    static PLANS: Mutex<BTreeMap<String, Arc<OnceLock<Plan>>>> = Mutex::new(BTreeMap::new());
    // Two examples may be laid at once, one of them only once.
    let plan = PLANS
        .lock()
        .unwrap()
        .entry(name.to_owned())
        .or_default()
        .clone();
    plan.get_or_init(|| lay(name)).clone()
}

fn lay(name: &str) -> Plan {
    let data = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../data");
    let mut text = std::fs::read_to_string(data.join(format!("{name}/{name}.toml"))).unwrap();
    if name == "slipway" {
        // Its border misfits, to show what is then said; this is what it is told to mend.
        text = text.replace("length = 64\n", "length = \"64 1/2\"\n");
    }
    let mut project = Project::read(&text).unwrap();
    // Drawings want a plan, not a short one: no offset is left to be searched for.
    for part in project.motifs.iter_mut().flat_map(|m| &mut m.parts) {
        part.phase_mm = part.phase_mm.or(Some(10.0));
        part.copies = Copies::Alike;
    }
    let effort = Effort {
        seed: 1,
        streams: 1,
        rounds: 1,
        work: 300_000,
    };
    let control = Control {
        stop: None,
        progress: None,
    };
    make(&project, &effort, &control).unwrap()
}

pub const EXAMPLES: [&str; 6] = [
    "capstan",
    "chartroom",
    "galley",
    "harbour",
    "skerry",
    "slipway",
];

pub const CHOICE: Settings = Settings {
    paper: Paper::Letter,
    method: Method::PaperOnRightSide,
};

/// Files are written to look at where STRIPELAY_LOOK names a folder.
pub fn look(name: &str, bytes: &[u8]) {
    if let Some(folder) = std::env::var_os("STRIPELAY_LOOK") {
        std::fs::write(PathBuf::from(folder).join(name), bytes).unwrap();
    }
}

/// Booklet and all templates of the demo come in under three seconds and three
/// megabytes; a map is a picture in under a second and a half.
#[test]
fn the_demo_is_drawn_in_time() {
    let plan = plan();
    look("plan.json", serde_json::to_string(plan).unwrap().as_bytes());
    let begin = Instant::now();
    let page = booklet(plan, CHOICE).unwrap();
    let made = templates(plan, CHOICE.paper, CHOICE.method, Stripes::Shown).unwrap();
    let file = pdf(&made.sheets, &plan.title).unwrap();
    let seconds = begin.elapsed().as_secs_f64();
    println!(
        "booklet {} kB, templates {} kB on {} sheets, {seconds:.2} s",
        page.len() / 1000,
        file.len() / 1000,
        made.sheets.len()
    );
    assert!(page.len() < 3_000_000, "{} bytes", page.len());
    assert!(seconds < 3.0, "{seconds:.2} s");
    look("demo-booklet.html", page.as_bytes());
    look("demo-templates.pdf", &file);
    for fabric in &plan.fabrics {
        let begin = Instant::now();
        let sheets = map(plan, &fabric.name, CHOICE.paper).unwrap();
        let picture = png(&svg(&sheets[0]), 150.0).unwrap();
        let seconds = begin.elapsed().as_secs_f64();
        println!(
            "map of {}: {} sheets, first one {seconds:.2} s",
            fabric.name,
            sheets.len()
        );
        assert!(seconds < 1.5, "{seconds:.2} s");
        look(&format!("demo-map-{}-1.png", fabric.name), &picture);
        if std::env::var_os("STRIPELAY_LOOK").is_some() {
            for (i, sheet) in sheets.iter().enumerate().skip(1) {
                let picture = png(&svg(sheet), 150.0).unwrap();
                look(&format!("demo-map-{}-{}.png", fabric.name, i + 1), &picture);
            }
        }
    }
    let drawn = motif_pictures(plan).unwrap();
    assert_eq!(
        drawn.len(),
        plan.motifs.len(),
        "all copies of the demo are alike"
    );
    for fan in drawn {
        look(
            &format!("demo-motif-{}.png", fan.motif),
            &png(&svg(&fan.scene), 150.0).unwrap(),
        );
    }
}
