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
        row.fabrics = plan.fabrics.iter().map(FabricSummary::new).collect();
        row.length = row.fabrics.iter().map(|fabric| fabric.shortest).sum();
        row.by_hand_length = row.fabrics.iter().map(|fabric| fabric.by_hand_length).sum();
        let prices: Option<Vec<f64>> = row.fabrics.iter().map(|fabric| fabric.price).collect();
        let of_motifs = prices.filter(|p| !p.is_empty()).map(|p| p.iter().sum());
        row.price = match &plan.quilt {
            Some(quilt) => quilt.total,
            None => of_motifs,
        };
        let steps = plan.joints.iter().map(|joint| joint.step_mm);
        row.worst_step = steps.fold(0.0, f64::max);
        row.shopping = plan.quilt.map_or_else(Vec::new, |quilt| quilt.shopping);
        row
    }

    /// What is compared: the price, or the length where there is none.
    pub(super) fn cost(&self) -> f64 {
        if self.fault.is_some() {
            return f64::INFINITY;
        }
        self.price.unwrap_or(self.length)
    }
}

/// The choice that costs least; of several the one that uses least.
pub(super) fn cheapest(rows: &[Row]) -> Option<&Row> {
    rows.iter()
        .filter(|row| row.fault.is_none())
        .min_by(|a, b| {
            let by_cost = a.cost().total_cmp(&b.cost());
            by_cost.then(a.length.total_cmp(&b.length))
        })
}

/// The rows as a table for a person.
pub(super) fn to_text(rows: &[Row], project: &Project) -> String {
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
    head.extend(["saved", price].map(String::from));
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
        let price = row.price.map(|price| wording::money(&project.money, price));
        cells.push(price.unwrap_or_default());
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
        let by = if best.price.is_some() {
            "Cheapest"
        } else {
            "Shortest"
        };
        let others: Vec<&str> = rows
            .iter()
            .filter(|row| row.fault.is_none() && row.choice != best.choice)
            .filter(|row| row.cost() <= best.cost())
            .map(|row| row.label.as_str())
            .collect();
        let same = if others.is_empty() {
            String::new()
        } else {
            format!(
                " At the same price, with more fabric used: {}.",
                others.join("; ")
            )
        };
        let _ = writeln!(text, "\n{by}: {}.{same}", best.label);
    }
    if let Some(best) = cheapest(rows) {
        let _ = writeln!(text, "\nTo plan it: {}", best.command);
    }
    text
}

/// The rows as CSV, one line a choice and fabric, lengths in mm.
pub(super) fn csv(rows: &[Row]) -> Vec<u8> {
    let mut list = List::new(&[
        "choice",
        "fabric",
        "width (mm)",
        "length (mm)",
        "by hand (mm)",
        "bound (mm)",
        "to buy (mm)",
        "to buy",
        "price",
        "worst step (mm)",
        "fault",
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
