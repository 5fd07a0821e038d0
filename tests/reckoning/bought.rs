//! What is bought: length and price of each fabric, and of all.

use super::generate::Job;
use serde_json::Value;

pub fn reckon(job: &Job, plan: &Value, wrong: &mut Vec<String>) {
    let mut total = Some(0.0);
    for fabric in &job.fabrics {
        let find = |list: &Value, key: &str| -> Option<Value> {
            list.as_array()?
                .iter()
                .find(|one| one[key] == fabric.name)
                .cloned()
        };
        let laid = find(&plan["fabrics"], "name");
        let cuts = find(&plan["quilt"]["cuts"], "fabric");
        if laid.is_none() && cuts.is_none() {
            continue;
        }
        let laid = laid.unwrap_or_default();
        let number = |value: &Value| value.as_f64().unwrap_or(0.0);
        // The lay may be longer than it need be where that costs nothing.
        let lay = laid["leftover"]["shortest"]
            .as_f64()
            .unwrap_or_else(|| number(&laid["length"]));
        let straight = cuts.map_or(0.0, |cuts| number(&cuts["length"]));
        // Straight cuts and pieces that lie beside each other share a stretch.
        let used = lay - number(&laid["beside"]["length"]) + straight;
        let (bought, price) = match find(&plan["quilt"]["shopping"], "name") {
            Some(line) => {
                if (number(&line["length"]) - used).abs() > 1e-6 {
                    wrong.push(format!(
                        "{}: {} used, not {used}",
                        fabric.name, line["length"]
                    ));
                }
                (number(&line["buy"]), line["price"].as_f64())
            }
            None => (
                number(&laid["buy"]["length"]),
                laid["buy"]["price"].as_f64(),
            ),
        };
        let Some(sold) = &fabric.sold else {
            total = None;
            if bought < used - 1e-6 || price.is_some() {
                wrong.push(format!(
                    "{}: {bought} bought of {used} used, at {price:?}",
                    fabric.name
                ));
            }
            continue;
        };
        // Step after step until what is left, washed and squared up, is enough.
        let mut steps = 0;
        while (f64::from(steps) * sold.step - sold.squaring) * (1.0 - sold.shrinkage) < used - 1e-5
        {
            steps += 1;
        }
        let ours = f64::from(steps) * sold.step;
        if (ours - bought).abs() > 1e-5 {
            wrong.push(format!(
                "{}: {bought} bought, {ours} reckoned for {used}",
                fabric.name
            ));
        }
        let cost = ours / sold.per * sold.price;
        // Prices are written in hundredths.
        if price.is_none_or(|price| (price - cost).abs() > 0.0051) {
            wrong.push(format!("{}: costs {price:?}, {cost} reckoned", fabric.name));
        }
        total = total.map(|sum| sum + cost);
    }
    if let Some(total) = total
        && job.quilt.is_some()
        && (plan["quilt"]["total"].as_f64().unwrap_or(f64::NAN) - total).abs() > 0.02
    {
        wrong.push(format!(
            "all costs {}, {total} reckoned",
            plan["quilt"]["total"]
        ));
    }
}
