//! What each choice comes to.

use crate::choices::Named;
use crate::lists::{Cell, List};
use crate::summary::FabricSummary;
use crate::table::aligned;
use serde::Serialize;
use std::fmt::Write;
use stripe_core::length::Length;
use stripe_core::plan::{Plan, ShoppingNote};
use stripe_core::project::Project;
use stripe_core::wording;

/// One choice, planned; or why it cannot be. Lengths in mm.
#[derive(Debug, Serialize)]
pub(super) struct Row {
    pub(super) choice: String,
    /// What differs from the other choices.
    #[serde(skip)]
    pub(super) label: String,
    /// The command that plans it.
    pub(super) command: String,
    pub(super) fabrics: Vec<FabricSummary>,
    /// Length of all fabrics.
    pub(super) length: f64,
    pub(super) by_hand_length: f64,
    /// Price of all that is to be bought, where every price is known: for a quilt its
    /// whole buying list, for motifs alone their fabrics.
    pub(super) price: Option<f64>,
    /// Price of what has one, where something has none.
    #[serde(skip)]
    priced: Option<f64>,
    /// What has no price.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    unpriced: Vec<String>,
    /// The buying list of a quilt.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) shopping: Vec<ShoppingNote>,
    /// The worst step at a joint.
    pub(super) worst_step: f64,
    pub(super) fault: Option<String>,
}

impl Row {
    pub(super) fn new(named: &Named, command: String, plan: Result<Plan, String>) -> Self {
        let mut row = Self {
            choice: named.name.clone(),
            label: named.label.clone(),
            command,
            fabrics: vec![],
            length: 0.0,
            by_hand_length: 0.0,
            price: None,
            priced: None,
            unpriced: vec![],
            shopping: vec![],
            worst_step: 0.0,
            fault: None,
        };
        let plan = match plan {
            Ok(plan) => plan,
            Err(fault) => {
                row.fault = Some(fault);
                return row;
            }
        };
        let bought = plan
            .fabrics
            .iter()
            .filter(|fabric| fabric.in_hand.is_none());
        row.fabrics = bought.map(FabricSummary::new).collect();
        row.length = row.fabrics.iter().map(|fabric| fabric.shortest).sum();
        row.by_hand_length = row.fabrics.iter().map(|fabric| fabric.by_hand_length).sum();
        let lines: Vec<(&str, Option<f64>)> = match &plan.quilt {
            Some(quilt) => (quilt.shopping.iter())
                .map(|line| (line.name.as_str(), line.price))
                .collect(),
            None => (row.fabrics.iter())
                .map(|fabric| (fabric.name.as_str(), fabric.price))
                .collect(),
        };
        let known: Vec<f64> = lines.iter().filter_map(|(_, price)| *price).collect();
        row.unpriced = (lines.iter())
            .filter(|(_, price)| price.is_none())
            .map(|(name, _)| (*name).to_owned())
            .collect();
        row.priced = (!known.is_empty()).then(|| known.iter().sum());
        row.price = row.priced.filter(|_| row.unpriced.is_empty());
        let steps = plan.joints.iter().map(|joint| joint.step_mm);
        row.worst_step = steps.fold(0.0, f64::max);
        row.shopping = plan.quilt.map_or_else(Vec::new, |quilt| quilt.shopping);
        row
    }

    /// What is compared: the price of what has one, or the length where nothing has.
    pub(super) fn cost(&self) -> f64 {
        if self.fault.is_some() {
            return f64::INFINITY;
        }
        self.priced.unwrap_or(self.length)
    }

    /// Costs that are the same to a cent, or lengths to a hundredth of a millimetre.
    fn costs_the_same(&self, other: &Self) -> bool {
        (self.cost() - other.cost()).abs() < 0.005
    }
}

/// The choice that costs least; of several the one whose stripes meet best, then the one that
/// uses least: nobody accepts a mismatch that saves nothing.
pub(super) fn cheapest(rows: &[Row]) -> Option<&Row> {
    rows.iter()
        .filter(|row| row.fault.is_none())
        .min_by(|a, b| {
            if !a.costs_the_same(b) {
                return a.cost().total_cmp(&b.cost());
            }
            let steps = [a, b].map(|row| (row.worst_step * 100.0).round());
            (steps[0].total_cmp(&steps[1])).then(a.length.total_cmp(&b.length))
        })
}

/// What to think of lengths that lie near each other (benches/README.md: how far quick effort
/// is from the best known).
const QUICKLY: &str = "Each choice was searched quickly, so a difference of a few percent may be luck. \
     `--effort steady` is surer.\n";

/// The rows as a table for a person; `quickly`: at quick effort.
pub(super) fn to_text(rows: &[Row], project: &Project, quickly: bool) -> String {
    let names: Vec<&str> = match rows.iter().find(|row| row.fault.is_none()) {
        Some(row) => row
            .fabrics
            .iter()
            .map(|fabric| fabric.name.as_str())
            .collect(),
        None => vec![],
    };
    let mut head = vec!["choice".to_owned()];
    head.extend(names.iter().map(|name| (*name).to_owned()));
    let has_quilt = rows.iter().any(|row| !row.shopping.is_empty());
    let price = if has_quilt { "whole quilt" } else { "price" };
    // One fabric says it all by itself.
    let with_sum = names.len() > 1;
    if with_sum {
        head.push("total".to_owned());
    }
    head.push("saved".to_owned());
    let with_price = rows.iter().any(|row| row.price.is_some());
    if with_price {
        head.push(price.to_owned());
    }
    let mut table = vec![head];
    for row in rows.iter().filter(|row| row.fault.is_none()) {
        let mut cells = vec![row.label.clone()];
        // Another size may do without a fabric.
        cells.extend(names.iter().map(|name| {
            let fabric = row.fabrics.iter().find(|fabric| fabric.name == *name);
            fabric.map_or_else(String::new, |fabric| {
                let used = Length::from_mm(fabric.shortest).shown_up(project.unit);
                format!("{used}, buy {}", fabric.buy_shown)
            })
        }));
        if with_sum {
            cells.push(Length::from_mm(row.length).shown_up(project.unit));
        }
        cells.push(wording::percent(1.0 - row.length / row.by_hand_length));
        if with_price {
            let price = row.price.map(|price| wording::money(&project.money, price));
            cells.push(price.unwrap_or_default());
        }
        table.push(cells);
    }
    let mut text = if table.len() > 1 {
        aligned(&table)
    } else {
        String::new()
    };
    if table.len() > 1 {
        text += "\nSaved: against the same pieces laid with care by hand, whole motifs or equal pieces in rows, whichever is shorter. Each fabric: the length that the motifs take, and what to buy.\n";
    }
    for row in rows {
        if let Some(fault) = &row.fault {
            let _ = writeln!(text, "{}: {fault}", row.choice);
        }
    }
    if let Some(best) = cheapest(rows).filter(|_| rows.len() > 1) {
        text += &verdict(rows, best, project);
        if quickly {
            text += QUICKLY;
        }
    }
    if let Some(best) = cheapest(rows) {
        let _ = writeln!(text, "\nTo plan it: {}", best.command);
    }
    text
}

/// Which choice is the best, in what, and which come to the same.
fn verdict(rows: &[Row], best: &Row, project: &Project) -> String {
    let others: Vec<&Row> = (rows.iter())
        .filter(|row| row.fault.is_none() && row.choice != best.choice)
        .filter(|row| row.costs_the_same(best))
        .collect();
    let labels = |rows: &[&Row]| -> String {
        let labels: Vec<&str> = rows.iter().map(|row| row.label.as_str()).collect();
        labels.join("; ")
    };
    let Some(priced) = best.priced else {
        let same = match &others[..] {
            [] => String::new(),
            others => format!(" Just as short: {}.", labels(others)),
        };
        return format!("\nShortest: {}.{same}\n", best.label);
    };
    let same = match &others[..] {
        [] => String::new(),
        others => format!(" At the same price: {}.", labels(others)),
    };
    let without = match &best.unpriced[..] {
        [] => String::new(),
        names => format!(
            " ({}; {} {} no price and {} not counted)",
            wording::money(&project.money, priced),
            names.join(", "),
            if names.len() == 1 { "has" } else { "have" },
            if names.len() == 1 { "is" } else { "are" },
        ),
    };
    format!("\nCheapest: {}{without}.{same}\n", best.label)
}

/// The rows as CSV, one line a choice and fabric, lengths in mm.
pub(super) fn csv(rows: &[Row]) -> Vec<u8> {
    let mut list = List::new(&[
        "choice",
        "fabric",
        "width (mm)",
        "length (mm)",
        "by hand (mm)",
        "no layout is shorter than (mm)",
        "to buy (mm)",
        "to buy",
        "price",
        "stripes out of line by (mm)",
        "cannot be planned because",
    ]);
    let none = Cell::empty;
    let two = |number: f64| Cell::figure(format_args!("{number:.2}"));
    for row in rows {
        let choice = Cell::words(&row.choice);
        if let Some(fault) = &row.fault {
            let mut cells = [(); 11].map(|()| none());
            cells[0] = choice.clone();
            cells[10] = Cell::words(fault);
            list.row(cells);
        }
        for fabric in &row.fabrics {
            list.row([
                choice.clone(),
                Cell::words(&fabric.name),
                two(fabric.width),
                two(fabric.shortest),
                two(fabric.by_hand_length),
                two(fabric.bound_length),
                two(fabric.buy_length),
                Cell::words(&fabric.buy_shown),
                fabric.price.map_or_else(none, two),
                Cell::figure(format_args!("{:.3}", row.worst_step)),
                none(),
            ]);
        }
        // What is cut straight only has no layout: what is used and bought of it.
        for line in &row.shopping {
            if row.fabrics.iter().any(|fabric| fabric.name == line.name) {
                continue;
            }
            list.row([
                choice.clone(),
                Cell::words(&line.name),
                line.width_mm.map_or_else(none, two),
                two(line.length_mm),
                none(),
                none(),
                two(line.buy_mm),
                Cell::words(&line.shown),
                line.price.map_or_else(none, two),
                none(),
                none(),
            ]);
        }
    }
    list.into_bytes()
}
