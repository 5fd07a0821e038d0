//! How often the fabric has the lines of one phase of the repeat, and what length of fabric a
//! demand for them asks for.

use super::outline::Interval;

/// How the lines of one phase are supplied: what a demand (units of line, all
/// pieces together) asks of the fabric's length.
#[derive(Debug, Clone, Copy)]
pub(super) struct Supply {
    pub(super) width: f64,
    pub(super) margin: f64,
    pub(super) repeat: f64,
    pub(super) nx: f64,
    pub(super) ny: f64,
}

impl Supply {
    /// Lines of a phase that one level of the fabric meets, at most.
    pub(super) fn lines(&self, phase: Option<f64>) -> f64 {
        let across = self.width + 2.0 * self.margin;
        match phase {
            // Exactly lengthwise: the lines are the same at every level.
            Some(phase) if self.ny == 0.0 => {
                let (first, last) = self.numbers(phase);
                (last - first + 1.0).max(0.0)
            }
            _ => ((across + 4.0) * self.nx.abs() / self.repeat).floor() + 1.0,
        }
    }

    /// Where the fabric lies across lengthwise stripes, with its margins.
    pub(super) fn across(&self) -> Interval {
        let (lo, hi) = if self.nx > 0.0 {
            (-self.margin, self.width + self.margin)
        } else {
            (-self.width - self.margin, self.margin)
        };
        Interval { lo, hi }
    }

    /// The numbers of the first and the last line of a phase that lengthwise stripes have.
    pub(super) fn numbers(&self, phase: f64) -> (f64, f64) {
        let across = self.across();
        (
            ((across.lo - 2.0 - phase) / self.repeat).ceil(),
            ((across.hi + 2.0 - phase) / self.repeat).floor(),
        )
    }

    /// The length that `demand` (units of line) asks for, given how many lines a
    /// level has.
    pub(super) fn lengthwise(&self, demand: f64, lines: f64) -> f64 {
        demand * self.nx.abs() / lines - 2.0 * self.margin
    }

    /// Crosswise, by whole lines.
    pub(super) fn crosswise(&self, demand: f64, phase: Option<f64>) -> f64 {
        let line = (self.width + 2.0 * self.margin) / self.ny.abs();
        // Outlines are rounded: a thousandth of a line more is no line more.
        let count = (demand / line - 1e-3).ceil();
        match phase {
            Some(phase) if self.nx == 0.0 => {
                // The first line of the phase that the fabric has, from its cut end.
                let from = if self.ny > 0.0 { phase } else { -phase };
                let least = -self.margin - 2.0;
                let first = from + ((least - from) / self.repeat).ceil() * self.repeat;
                first + (count - 1.0) * self.repeat - self.margin - 2.0
            }
            _ => (count - 1.0) * self.repeat / self.ny.abs() - 2.0 * self.margin,
        }
    }
}
