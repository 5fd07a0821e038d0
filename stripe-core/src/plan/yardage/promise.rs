//! The sentence that can be printed in a pattern: how much to buy, whatever the stripe.

use super::asked::Asked;
use super::data::{Promise, PromiseStep, Surplus, YardageCell};
use crate::length::{Length, Unit};

/// So many lengths a sentence names at most.
const MOST_STEPS: usize = 3;

/// The promise for the narrowest width and the strictest kind of stripe, which wider fabric and
/// other stripes keep as well: up to the largest repeat below which all was laid.
pub(super) fn promise(asked: &Asked<'_>, cells: &[YardageCell]) -> Option<Promise> {
    let &width_mm = asked.widths_mm.first()?;
    let here: Vec<&YardageCell> = (cells.iter())
        .filter(|cell| asked.is_strict(cell) && cell.width_mm == width_mm)
        .collect();
    let mut steps: Vec<PromiseStep> = vec![];
    let mut most_mm: f64 = 0.0;
    let mut low_mm = 0.0;
    for &within_mm in &asked.repeats_mm {
        let inside: Vec<&&YardageCell> = (here.iter())
            .filter(|cell| cell.repeat_mm > low_mm && cell.repeat_mm <= within_mm)
            .collect();
        let is_there = inside.iter().any(|cell| cell.repeat_mm == within_mm);
        let bought: Option<Vec<f64>> = inside.iter().map(|cell| cell.buy_mm()).collect();
        let (true, Some(bought)) = (is_there, bought) else {
            break;
        };
        most_mm = bought.into_iter().fold(most_mm, f64::max);
        steps.push(PromiseStep {
            within_mm,
            buy_mm: most_mm,
        });
        low_mm = within_mm;
    }
    let steps = few(steps);
    let last = steps.last()?.within_mm;
    let surplus = |cell: &YardageCell| {
        let told = steps.iter().find(|step| cell.repeat_mm <= step.within_mm)?;
        Some(Surplus {
            by_mm: told.buy_mm - cell.buy_mm()?,
            repeat_mm: cell.repeat_mm,
            width_mm: cell.width_mm,
        })
    };
    let most = |all: &mut dyn Iterator<Item = &YardageCell>| {
        all.filter_map(surplus)
            .filter(|one| one.by_mm > 0.01)
            .max_by(|a, b| a.by_mm.total_cmp(&b.by_mm))
    };
    let of = |is_between: bool| {
        let laid = here.iter().filter(|cell| cell.repeat_mm <= last);
        laid.filter(|cell| cell.is_between == is_between).count()
    };
    Some(Promise {
        width_mm,
        from_mm: asked.repeats_mm[0],
        waste: most(&mut here.iter().copied()),
        waste_anywhere: most(&mut cells.iter()),
        asked: of(false),
        between: of(true),
        steps,
    })
}

/// Few steps that ask for at least as much as these: equal ones become one, and of the others those
/// whose joining adds least.
fn few(mut steps: Vec<PromiseStep>) -> Vec<PromiseStep> {
    loop {
        let rise = |i: usize| steps[i + 1].buy_mm - steps[i].buy_mm;
        let Some(least) =
            (0..steps.len().saturating_sub(1)).min_by(|&a, &b| rise(a).total_cmp(&rise(b)))
        else {
            return steps;
        };
        if rise(least) > 0.01 && steps.len() <= MOST_STEPS {
            return steps;
        }
        steps.remove(least);
    }
}

impl Promise {
    /// The sentence, to be printed in the pattern.
    pub fn sentence(&self, unit: Unit) -> String {
        let shown = |mm: f64| Length::from_mm(mm).shown(unit);
        let buy = |step: &PromiseStep| Length::from_mm(step.buy_mm).shown_to_buy(unit);
        let last_mm = self
            .steps
            .last()
            .map_or(self.from_mm, |step| step.within_mm);
        let repeats = if last_mm > self.from_mm {
            format!(
                "with a repeat from {} to {}",
                shown(self.from_mm),
                shown(last_mm)
            )
        } else {
            format!("with a repeat of {}", shown(last_mm))
        };
        let lengths = match self.steps.as_slice() {
            [one] => buy(one),
            steps => {
                let told = steps.iter().enumerate().map(|(i, step)| {
                    let to = if i == 0 {
                        "if it repeats within"
                    } else {
                        "up to"
                    };
                    format!("{} {to} {}", buy(step), shown(step.within_mm))
                });
                told.collect::<Vec<_>>().join("; ")
            }
        };
        format!(
            "Striped fabric, at least {} wide, {repeats}: {lengths}.",
            shown(self.width_mm),
        )
    }

    /// What the sentence wastes at most, in words.
    pub fn waste_words(&self, unit: Unit) -> String {
        let told = |one: &Surplus| {
            format!(
                "{} more than is needed (at a repeat of {}, on fabric {} wide)",
                Length::from_mm(one.by_mm).shown_to_buy(unit),
                Length::from_mm(one.repeat_mm).shown(unit),
                Length::from_mm(one.width_mm).shown(unit)
            )
        };
        match (&self.waste, &self.waste_anywhere) {
            (None, None) => "It wastes nothing on any of the stripes laid.".to_owned(),
            (Some(waste), Some(other)) if waste != other => format!(
                "At that width it asks for at most {}; on all widths and stripes laid, for at most {}.",
                told(waste),
                told(other)
            ),
            (_, Some(waste)) | (Some(waste), None) => {
                format!("It asks for at most {}.", told(waste))
            }
        }
    }
}
