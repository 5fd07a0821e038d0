//! Several equal quilts at once.

use crate::place::{HARBOUR, Place};

/// What a list says of one fabric's row, by the name of its column.
fn straight_counts(plan: &serde_json::Value, fabric: &str) -> Vec<(String, u64)> {
    let cuts = plan["quilt"]["cuts"].as_array().unwrap();
    let one = cuts.iter().find(|one| one["fabric"] == fabric).unwrap();
    let pieces = one["pieces"].as_array().unwrap().iter();
    pieces
        .map(|p| (p["name"].to_string(), p["count"].as_u64().unwrap()))
        .collect()
}

/// Three kits of the harbour quilt: every piece three times, the codes of a kit together, the
/// verifier content, and on no fabric more than three times one.
#[test]
fn three_kits_are_cut_at_once() {
    let place = Place::new();
    place.write("a.toml", HARBOUR);
    let lay = |more: &[&str], out: &str| {
        let args = ["lay", "a.toml", "--effort", "quick", "--out", out];
        place.run(&[&args[..], more].concat()).with_status(0)
    };
    lay(&[], "one");
    let ran = lay(&["--kits", "3"], "three");
    assert!(ran.out.contains("432 pieces for 3 kits"), "{}", ran.out);
    assert!(
        ran.out
            .contains("kit 1 is W1 to W6, T1 to T20 and B1 to B4; kit 2 is W7 to W12"),
        "{}",
        ran.out
    );
    place.run(&["check", "three/plan.json"]).with_status(0);
    let plan = |out: &str| -> serde_json::Value {
        serde_json::from_str(&place.read(&format!("{out}/plan.json"))).unwrap()
    };
    let (one, three) = (plan("one"), plan("three"));
    assert_eq!(
        (one["kits"].as_u64(), three["kits"].as_u64()),
        (None, Some(3))
    );
    let fabrics = |plan: &serde_json::Value| plan["fabrics"].as_array().unwrap().clone();
    for (a, b) in fabrics(&one).iter().zip(&fabrics(&three)) {
        let number = |plan: &serde_json::Value, key: &str| plan[key].as_f64().unwrap();
        let pieces = |plan: &serde_json::Value| plan["placements"].as_array().unwrap().len();
        assert_eq!(pieces(b), 3 * pieces(a));
        assert!(
            number(b, "length") <= 3.0 * number(b, "one_kit_length") + 10.0,
            "{}",
            b["name"]
        );
        assert!(
            number(b, "length") < 3.0 * number(a, "length"),
            "{}",
            b["name"]
        );
    }
    for fabric in ["fog", "sand", "tar"] {
        let times = straight_counts(&one, fabric)
            .into_iter()
            .map(|(name, count)| (name, 3 * count));
        assert_eq!(
            times.collect::<Vec<_>>(),
            straight_counts(&three, fabric),
            "{fabric}"
        );
    }
    // Every kit has each code's letters once.
    let list = place.read("three/cut-list.csv");
    let mut rows = list.lines().map(|line| line.split(',').collect::<Vec<_>>());
    let head = rows.next().unwrap();
    let kit = head.iter().position(|name| *name == "kit").unwrap();
    let mut each = std::collections::BTreeMap::new();
    for row in rows {
        *each.entry(row[kit].to_owned()).or_insert(0) += 1;
    }
    let kits: Vec<(&str, i32)> = each.iter().map(|(k, n)| (k.as_str(), *n)).collect();
    assert_eq!(kits, [("1", 144), ("2", 144), ("3", 144)]);
    let refused = place.run(&["lay", "a.toml", "--kits", "0", "--out", "none"]);
    assert_ne!(refused.with_status(2).err, "");
    let ran = place
        .run(&["lay", "a.toml", "--kits", "201", "--out", "none"])
        .with_status(1);
    assert!(ran.err.contains("201 kits"), "{}", ran.err);
}
