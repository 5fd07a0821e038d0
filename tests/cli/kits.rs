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
    let args = [
        "lay", "a.toml", "--kits", "3", "--effort", "quick", "--out", "three",
    ];
    let ran = place.run(&args).with_status(0);
    assert!(ran.out.contains("432 pieces for 3 kits"), "{}", ran.out);
    assert!(
        ran.out
            .contains("kit 1 is W1 to W6, T1 to T20 and B1 to B4; kit 2 is W7 to W12"),
        "{}",
        ran.out
    );
    place.run(&["check", "three/plan.json"]).with_status(0);
    let three: serde_json::Value = serde_json::from_str(&place.read("three/plan.json")).unwrap();
    assert_eq!(three["kits"], 3);
    for fabric in three["fabrics"].as_array().unwrap() {
        let number = |key: &str| fabric[key].as_f64().unwrap();
        // Of two layouts at one price the plan takes the one that leaves more.
        let least = (fabric["leftover"]["shortest"].as_f64()).unwrap_or(number("length"));
        let three_times = 3.0 * number("one_kit_length");
        let is_striped = fabric["stripe"].is_object();
        // Few plain discs lie in rows: then a gap parts each kit from the next, 1/16 in.
        let most = three_times + if is_striped { 0.0 } else { 2.0 * 25.4 / 16.0 };
        assert!(least <= most, "{}: {least} {most}", fabric["name"]);
    }
    // One quilt has five field strips, of two fabrics in turn: three and two.
    assert_eq!(straight_counts(&three, "fog")[0].1, 9);
    assert_eq!(straight_counts(&three, "haze")[0].1, 6);
    // Every kit has each code's letters once.
    let list = place.read("three/cut-list.csv");
    let mut rows = list.lines();
    assert!(
        rows.next().is_some_and(|head| head.ends_with(",kit")),
        "{list}"
    );
    let mut each = std::collections::BTreeMap::new();
    for row in rows {
        let kit = row.rsplit(',').next().unwrap();
        *each.entry(kit.to_owned()).or_insert(0) += 1;
    }
    let kits: Vec<(&str, i32)> = each.iter().map(|(k, n)| (k.as_str(), *n)).collect();
    assert_eq!(kits, [("1", 144), ("2", 144), ("3", 144)]);
    // So the guide says where each of them goes, and the lists that they are for three.
    let guide = place.read("three/placement.csv");
    for row in ["W1,", "W7,", "W18,", "T60,", "B12,"] {
        assert_eq!(
            guide.lines().filter(|line| line.starts_with(row)).count(),
            1,
            "{row}"
        );
    }
    let of_kit = |kit: &str| guide.lines().filter(|line| line.ends_with(kit)).count();
    assert_eq!([of_kit(",1"), of_kit(",2"), of_kit(",3")], [30; 3]);
    for (list, head) in [
        ("buying-list.csv", "to buy for 3 kits"),
        ("strip-cutting.csv", "what to cut for 3 kits"),
    ] {
        let list = place.read(&format!("three/{list}"));
        assert!(
            list.lines().next().is_some_and(|line| line.contains(head)),
            "{list}"
        );
    }
    assert!(
        place
            .read("three/placement.svg")
            .contains("W7 takes the place of W1")
    );
    assert!(ran.out.contains("What to buy for 3 kits"), "{}", ran.out);
    assert!(
        ran.out.contains("foundations under quay units"),
        "{}",
        ran.out
    );
    // The folder stands for the plan in it.
    place.run(&["check", "three"]).with_status(0);
    // Two kits divide all copies, but a quilt with six places for wheels does not take nine.
    let plan = place.read("three/plan.json");
    place.write("other.json", plan.replacen("\"kits\": 3", "\"kits\": 2", 1));
    let ran = place.run(&["check", "other.json"]).with_status(1);
    let told = "its motifs cannot be dealt out to 2 kits";
    assert!(
        ran.out.contains(told) || ran.err.contains(told),
        "{}{}",
        ran.out,
        ran.err
    );
    for wrong in ["0", "201"] {
        let refused = place.run(&["lay", "a.toml", "--kits", wrong, "--out", "none"]);
        assert!(refused.with_status(2).err.contains("1..=200"));
    }
    // 200 times 144 pieces are more than a plan may have.
    let ran = place
        .run(&["lay", "a.toml", "--kits", "200", "--out", "none"])
        .with_status(1);
    assert!(ran.err.contains("28800 pieces in all"), "{}", ran.err);
}
