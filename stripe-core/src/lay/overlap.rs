//! Overlaps of two seats: where along the lines, and how deep.

use super::board::{Board, Seat};
use super::field::{Column, Field};
use super::outline::Span;
use super::way::LEAST_DEPTH;

/// Lines from column to column of the depths in the plane.
const FIELD_STEP: i64 = 8;

impl Board {
    /// Where `b` overlaps `a`: spans of `v_b - v_a`.
    pub(crate) fn spans(&self, a: Seat, b: Seat) -> &[Span] {
        let (fa, fb) = (&self.forms[a.form as usize], &self.forms[b.form as usize]);
        let table = &self.tables[fa.trace * self.traces + fb.trace];
        table.spans(i64::from(b.line) - i64::from(a.line), |lines| {
            let du = fb.start - fa.start + lines as f64 * self.pitch;
            self.spans_apart(a.form, b.form, du)
        })
    }

    /// Where `b` overlaps `a`, as [`Self::spans`], but to be read the other way
    /// round where the second value is -1: of two tables that say the same, the search
    /// reads one, for it waits for memory more than for anything.
    pub(crate) fn spans_read(&self, a: Seat, b: Seat) -> (&[Span], f64) {
        let trace = |seat: Seat| self.forms[seat.form as usize].trace;
        if trace(a) <= trace(b) {
            (self.spans(a, b), 1.0)
        } else {
            (self.spans(b, a), -1.0)
        }
    }

    /// Where a form overlaps another from which it stands `du` (ticks) across.
    ///
    /// Seen from either side it is the same to the last tick: rounding decides what
    /// is a fit, and a fit must be one for both.
    pub(crate) fn spans_apart(&self, a: u32, b: u32, du: f64) -> Vec<Span> {
        let (sa, sb) = (self.forms[a as usize].shape, self.forms[b as usize].shape);
        let du = du.round();
        let turned = (sa, -du) > (sb, du);
        let (one, other, across) = if turned { (sb, sa, -du) } else { (sa, sb, du) };
        let mut spans = self.outlines[one].spans(&self.outlines[other], across);
        if turned {
            spans.reverse();
            for s in &mut spans {
                (s.lo, s.hi) = (-s.hi, -s.lo);
            }
        }
        if self.lattice.is_some() {
            // On a lattice even contact along is by rounded numbers.
            for s in &mut spans {
                s.lo += 2.0;
                s.hi -= 2.0;
            }
        }
        spans
    }

    /// How far (ticks) two seats would have to be moved apart, along the lines
    /// or, on plain fabric, in any direction; 0 if clear.
    pub(crate) fn depth(&self, a: Seat, b: Seat) -> f64 {
        let dv = b.v - a.v;
        let (spans, sense) = self.spans_read(a, b);
        let along = depth_in(spans, sense * dv);
        match self.column(a, b) {
            Some(column) if along > 0.0 => column.depth(dv).max(LEAST_DEPTH).min(along),
            _ => along,
        }
    }

    /// On plain fabric, the depths of `b` over `a` by their difference along.
    pub(crate) fn column(&self, a: Seat, b: Seat) -> Option<Column<'_>> {
        if self.fields.is_empty() {
            return None;
        }
        let (ta, tb) = (
            self.forms[a.form as usize].trace,
            self.forms[b.form as usize].trace,
        );
        let lines = i64::from(b.line) - i64::from(a.line);
        // What is deep for `b` over `a` is as deep for `a` over `b`.
        if ta <= tb {
            Some(self.field(a, b, ta, tb).column(lines, 1.0))
        } else {
            Some(self.field(b, a, tb, ta).column(-lines, -1.0))
        }
    }

    fn field(&self, a: Seat, b: Seat, ta: usize, tb: usize) -> &Field {
        let index = ta * self.traces + tb;
        self.fields[index].get_or_init(|| {
            let seat = |form, line: i64| Seat {
                form,
                line: line as i32,
                v: 0.0,
            };
            Field::new(
                self.tables[index].differences(),
                FIELD_STEP,
                FIELD_STEP as f64 * self.pitch,
                |k| self.spans(seat(a.form, 0), seat(b.form, k)),
            )
        })
    }
}

/// How far (ticks) `v` is from the nearer end of the span that holds it.
pub(crate) fn depth_in(spans: &[Span], v: f64) -> f64 {
    for s in spans {
        if v <= s.lo {
            return 0.0;
        }
        if v < s.hi {
            return (v - s.lo).min(s.hi - v);
        }
    }
    0.0
}
