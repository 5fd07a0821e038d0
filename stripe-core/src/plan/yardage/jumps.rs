//! Where more or less has to be bought from one repeat to the next, and why.

use super::asked::Asked;
use super::data::{Jump, YardageCell};
use super::lines::{Lines, Stick};
use crate::length::Length;

/// All jumps of the strictest kind of stripe.
pub(super) fn jumps(asked: &Asked<'_>, cells: &[YardageCell]) -> Vec<Jump> {
    let mut jumps = vec![];
    for (&width_mm, lines) in asked.widths_mm.iter().zip(&asked.lines) {
        let here = |cell: &&YardageCell| asked.is_strict(cell) && cell.width_mm == width_mm;
        let bought: Vec<(f64, f64)> = (cells.iter().filter(here))
            .filter_map(|cell| Some((cell.repeat_mm, cell.buy_mm()?)))
            .collect();
        for two in bought.windows(2) {
            let [(from, from_buy), (to, to_buy)] = [two[0], two[1]];
            if (from_buy - to_buy).abs() < 0.01 {
                continue;
            }
            jumps.push(Jump {
                width_mm,
                from_repeat_mm: from,
                from_buy_mm: from_buy,
                to_repeat_mm: to,
                to_buy_mm: to_buy,
                why: Between {
                    asked,
                    lines,
                    width_mm,
                    repeats_mm: [from, to],
                    is_more: to_buy > from_buy,
                }
                .why(),
            });
        }
    }
    jumps
}

/// Two repeats between which more or less has to be bought.
struct Between<'a> {
    asked: &'a Asked<'a>,
    lines: &'a Lines,
    width_mm: f64,
    repeats_mm: [f64; 2],
    is_more: bool,
}

impl Between<'_> {
    /// What changes most for the pieces between two repeats, in the direction of the jump.
    fn why(&self) -> String {
        let Self {
            asked,
            lines,
            repeats_mm: [from, to],
            is_more,
            ..
        } = *self;
        let unit = asked.project.unit;
        let takes = |stick: &Stick, repeat| stick.count as f64 * lines.high_mm(stick, repeat);
        let most = lines
            .sticks
            .iter()
            .map(|stick| {
                let more = takes(stick, to) - takes(stick, from);
                (if is_more { more } else { -more }, stick)
            })
            .filter(|(by, _)| *by > 1.0)
            .max_by(|a, b| a.0.total_cmp(&b.0));
        let Some((_, stick)) = most else {
            return self.fits_otherwise();
        };
        let name = name_of(asked, stick);
        let across = Length::from_mm(stick.across_mm).shown_up(unit);
        let repeats = [from, to].map(|repeat| Lines::repeats(stick, repeat));
        let rows = [from, to].map(|repeat| lines.in_a_row(stick, repeat));
        let offered = [from, to].map(|repeat| lines.offered(stick, repeat));
        let row = match rows {
            [a, b] if a == b => String::new(),
            [a, b] => format!(", {b} fit side by side instead of {a}"),
        };
        let repeats_words = |n: usize| match n {
            1 => "one repeat, a line of its own".to_owned(),
            n => format!("{n} repeats"),
        };
        match (repeats, offered) {
            ([a, b], _) if a != b => format!(
                "{name}, {across} across with its gap, takes {} instead of {}{row}",
                repeats_words(b),
                repeats_words(a)
            ),
            (_, [Some(a), Some(b)]) if a != b => format!(
                "{name}, {across} across with its gap, {}{row}",
                self.lines_told([a, b])
            ),
            _ => format!("{name} lies further apart: its pieces keep to the repeat"),
        }
    }

    /// Where rows of equal pieces would not show it: pieces of several kinds lie between each other.
    fn fits_otherwise(&self) -> String {
        if !self.is_more {
            return "the pieces happen to fit each other better".to_owned();
        }
        let lines = self.lines;
        let lost = lines.sticks.iter().filter_map(|stick| {
            let offered = |repeat| lines.offered(stick, repeat);
            let [a, b] = self.repeats_mm.map(offered);
            (b? < a?).then_some((b? as f64 / a? as f64, a?, b?, stick))
        });
        match lost.min_by(|x, y| x.0.total_cmp(&y.0)) {
            Some((_, a, b, stick)) => format!(
                "there are fewer places to choose from: {} {}",
                name_of(self.asked, stick),
                self.lines_told([a, b])
            ),
            None => "the pieces fit each other less well".to_owned(),
        }
    }

    /// On how many lines of the stripe a piece can lie now, and could before.
    fn lines_told(&self, [before, now]: [usize; 2]) -> String {
        format!(
            "can lie on {now} {} of the stripe across {} instead of {before}",
            if now == 1 { "line" } else { "lines" },
            Length::from_mm(self.width_mm).shown(self.asked.project.unit)
        )
    }
}

/// `motif `wheel`, part `spray``.
fn name_of(asked: &Asked<'_>, stick: &Stick) -> String {
    let motif = &asked.project.motifs[stick.of.0];
    format!(
        "motif `{}`, part `{}`",
        motif.name, motif.parts[stick.of.1].name
    )
}
