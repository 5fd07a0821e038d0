//! The board: every line that a piece may take, and the tables between lines.
//!
//! A **form** is a pose of a kind. Its lines are numbered: line `k` stands at
//! `u = start + k * pitch`. On striped fabric the pitch is the repeat; where
//! offsets are free it is a fraction of the repeat and each offset owns every
//! `stride`-th line; on plain fabric it is a fine step. So one kind of table
//! serves every lock.

use super::data::{Job, Lock};
use super::error::LayError;
use super::field::Field;
use super::outline::{Outline, Span, TICKS_PER_MM};
use super::sound::check;
use super::table::Table;
use crate::shape::{point, unit};
use std::sync::{Arc, OnceLock};

/// Into how many offsets the repeat is divided where offsets are free.
const OFFSETS: i64 = 16;

/// Plain fabric: lines across its width.
const PLANE_LINES: f64 = 1024.0;

/// The most lines that all tables together may have (some 20 bytes each, once
/// filled).
const MAX_SLOTS: usize = 8_000_000;

/// A pose of a kind, on the board.
#[derive(Debug, Clone)]
pub(crate) struct Form {
    /// Index into the kind's poses.
    pub(crate) pose: usize,
    /// Index of the outline.
    pub(crate) shape: usize,
    /// Forms with one shape and one start share their tables.
    pub(super) trace: usize,
    /// Where line 0 stands (ticks).
    pub(super) start: f64,
    /// The line of offset 0 in repeat 0.
    pub(super) base: i64,
    sign: i64,
    /// Where line `base` has a point, for [`Lock::Points`] (ticks).
    along: f64,
    /// Extent in the fabric's frame (ticks).
    pub(super) x: Span,
    pub(super) y: Span,
}

/// Where an item stands: a form, a line of it, a position along that line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Seat {
    pub(crate) form: u32,
    pub(crate) line: i32,
    /// Position along the stripes (whole ticks).
    pub(crate) v: f64,
}

impl Seat {
    /// A number that two different seats hardly share.
    pub(crate) fn hash(self) -> u64 {
        let place = u64::from(self.form) << 32 ^ u64::from(self.line.cast_unsigned());
        let mut x = place.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ self.v.to_bits();
        x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        x ^ (x >> 31)
    }
}

/// All forms, lines and tables of a job.
#[derive(Debug)]
pub(crate) struct Board {
    pub(crate) outlines: Vec<Outline>,
    pub(crate) forms: Vec<Form>,
    /// The forms of each kind: a range into `forms`.
    pub(crate) kinds: Vec<std::ops::Range<usize>>,
    /// Kind and group of each item.
    pub(crate) items: Vec<(usize, Option<usize>)>,
    pub(crate) groups: usize,
    /// Distance of neighbouring lines (ticks, perhaps broken).
    pub(crate) pitch: f64,
    /// Lines in a repeat.
    pub(crate) stride: i64,
    /// Along the lines of [`Lock::Points`]: distance of points, and shear.
    pub(super) lattice: Option<(f64, f64)>,
    /// The normal's direction in the fabric frame.
    pub(super) nx: f64,
    pub(super) ny: f64,
    pub(super) width: f64,
    pub(super) margin: f64,
    pub(super) traces: usize,
    pub(super) tables: Arc<[Table]>,
    /// For each group, the offsets (in lines) at which all its pieces have a line.
    pub(super) open: Vec<Vec<i64>>,
    /// On plain fabric: the depths in the plane, one a table.
    pub(super) fields: Vec<OnceLock<Field>>,
}

impl Board {
    /// Reads a job.
    pub(crate) fn new(job: &Job) -> Result<Self, LayError> {
        Self::with_stride(job, if job.groups == 0 { 1 } else { OFFSETS })
    }

    /// Reads a job, with so many offsets to choose from.
    pub(crate) fn with_stride(job: &Job, stride: i64) -> Result<Self, LayError> {
        check(job)?;
        let window = &job.window;
        let n = unit(window.normal_rad);
        // A quarter turn is meant to be one.
        let snap = |x: f64| if x.abs() < 1e-12 { 0.0 } else { x };
        let (nx, ny) = (snap(n.x), snap(n.y));
        let (pitch, stride, lattice) = match job.lock {
            Lock::Lines { repeat_mm } => (repeat_mm / stride as f64, stride, None),
            Lock::Points {
                across_mm,
                along_mm,
                shear_mm,
            } => (
                across_mm / stride as f64,
                stride,
                Some((along_mm * TICKS_PER_MM, shear_mm * TICKS_PER_MM)),
            ),
            Lock::Plane => (plane_pitch(job) / TICKS_PER_MM, 1, None),
        };
        let pitch = pitch * TICKS_PER_MM;
        let outlines: Vec<Outline> = job
            .shapes
            .iter()
            .map(|s| Outline::new(&s.outline))
            .collect();
        if outlines.iter().any(|o| o.area() <= 0.0) {
            return Err(LayError::Broken {
                what: "an outline encloses nothing",
            });
        }
        let mut board = Self {
            outlines,
            forms: Vec::new(),
            kinds: Vec::new(),
            items: job.items.iter().map(|i| (i.kind, i.group)).collect(),
            groups: job.groups,
            pitch,
            stride,
            lattice,
            nx,
            ny,
            width: window.width_mm * TICKS_PER_MM,
            margin: window.margin_mm * TICKS_PER_MM,
            traces: 0,
            tables: Arc::default(),
            open: Vec::new(),
            fields: Vec::new(),
        };
        let mut traces: Vec<(usize, i64)> = Vec::new();
        for kind in &job.kinds {
            let begin = board.forms.len();
            for (pose, p) in kind.poses.iter().enumerate() {
                let residue = if job.lock == Lock::Plane {
                    0.0
                } else {
                    p.residue_mm * TICKS_PER_MM
                };
                let base = (residue / pitch + 1e-9).floor();
                let start = residue - base * pitch;
                let key = (p.shape, start.round() as i64);
                let trace = traces.iter().position(|&t| t == key).unwrap_or_else(|| {
                    traces.push(key);
                    traces.len() - 1
                });
                let (mut x, mut y) = (EMPTY, EMPTY);
                for &c in &job.shapes[p.shape].outline.exterior().0 {
                    let at = point(nx * c.x - ny * c.y, ny * c.x + nx * c.y);
                    x = widen(x, at.x * TICKS_PER_MM);
                    y = widen(y, at.y * TICKS_PER_MM);
                }
                board.forms.push(Form {
                    pose,
                    shape: p.shape,
                    trace,
                    start,
                    base: base as i64,
                    sign: if p.sign < 0.0 { -1 } else { 1 },
                    along: p.along_mm * TICKS_PER_MM,
                    x,
                    y,
                });
            }
            board.kinds.push(begin..board.forms.len());
        }
        board.make_tables(&traces)?;
        if job.lock == Lock::Plane {
            let count = traces.len() * traces.len();
            board.fields = (0..count).map(|_| OnceLock::new()).collect();
        }
        board.open = board.find_open()?;
        Ok(board)
    }

    /// The same pieces on a striped fabric of another width (ticks). Tables are shared, for they
    /// know nothing of the fabric.
    pub(super) fn with_width(&self, width: f64) -> Self {
        Self {
            outlines: self.outlines.clone(),
            forms: self.forms.clone(),
            kinds: self.kinds.clone(),
            items: self.items.clone(),
            tables: Arc::clone(&self.tables),
            open: self.open.clone(),
            fields: Vec::new(),
            width,
            ..*self
        }
    }

    /// Lines of all tables.
    pub(super) fn table_lines(&self) -> u64 {
        self.tables
            .iter()
            .map(|t| t.differences().count() as u64)
            .sum()
    }

    fn make_tables(&mut self, traces: &[(usize, i64)]) -> Result<(), LayError> {
        self.traces = traces.len();
        let mut slots = 0usize;
        let mut tables = Vec::new();
        for &(sa, ua) in traces {
            for &(sb, ub) in traces {
                let (a, b) = (self.outlines[sa].across(), self.outlines[sb].across());
                let shift = (ub - ua) as f64;
                let first = ((a.lo - b.hi - shift) / self.pitch).floor() as i64;
                let last = ((a.hi - b.lo - shift) / self.pitch).ceil() as i64;
                let count = usize::try_from(last - first + 1).unwrap_or(0);
                slots = slots.saturating_add(count);
                if slots > MAX_SLOTS {
                    return Err(LayError::TooFine {
                        what: "the repeat",
                        count: slots,
                        limit: MAX_SLOTS,
                    });
                }
                tables.push(Table::new(first, last));
            }
        }
        self.tables = tables.into();
        Ok(())
    }

    /// Position across of a form's line (ticks).
    pub(crate) fn u(&self, form: usize, line: i64) -> f64 {
        self.forms[form].start + line as f64 * self.pitch
    }

    /// The line of a form nearest to a position across (ticks).
    pub(crate) fn line_at(&self, form: usize, u: f64) -> i32 {
        ((u - self.forms[form].start) / self.pitch).round() as i32
    }

    /// Whether the fabric is plain.
    pub(crate) fn is_plane(&self) -> bool {
        !self.fields.is_empty()
    }

    /// The length (ticks) that a seat needs.
    pub(crate) fn end(&self, seat: Seat) -> f64 {
        let form = seat.form as usize;
        self.end_at(form, self.u(form, i64::from(seat.line)), seat.v)
    }

    /// The length (ticks) that a form needs at `(u, v)`.
    pub(crate) fn end_at(&self, form: usize, u: f64, v: f64) -> f64 {
        u * self.ny + v * self.nx + self.forms[form].y.hi - self.margin
    }

    /// The outline that stands on a seat.
    pub(crate) fn outline_of(&self, seat: Seat) -> &Outline {
        &self.outlines[self.forms[seat.form as usize].shape]
    }

    /// +1, or -1 where a form turns the stripe about.
    pub(crate) fn sign(&self, form: usize) -> f64 {
        self.forms[form].sign as f64
    }

    /// Extent of a form in the fabric's frame (ticks).
    pub(crate) fn extent(&self, form: usize) -> (Span, Span) {
        (self.forms[form].x, self.forms[form].y)
    }

    /// The fabric point (ticks) of a seat's least corner, as `(y, x)`.
    pub(crate) fn corner(&self, seat: Seat) -> (f64, f64) {
        let f = &self.forms[seat.form as usize];
        let u = self.u(seat.form as usize, i64::from(seat.line));
        (
            u * self.ny + seat.v * self.nx + f.y.lo,
            u * self.nx - seat.v * self.ny + f.x.lo,
        )
    }

    /// A form where it lies by nature: on the line of its offset that is nearest
    /// to the motif's own.
    pub(crate) fn natural(&self, form: usize, offset: i64) -> Seat {
        let f = &self.forms[form];
        let line = f.base + f.sign * offset;
        let repeat = self.pitch * self.stride as f64;
        let repeats = (-(f.start + line as f64 * self.pitch) / repeat).round();
        Seat {
            form: form as u32,
            line: i32::try_from(line + self.stride * repeats as i64).unwrap_or(0),
            v: 0.0,
        }
    }

    /// Height of a form along the fabric (ticks).
    pub(crate) fn height(&self, form: usize) -> f64 {
        self.forms[form].y.hi - self.forms[form].y.lo
    }

    /// The lines among which those within a fabric of this length are.
    pub(super) fn line_range(&self, form: usize, length: f64) -> (i64, i64) {
        let f = &self.forms[form];
        let xs = [-self.margin - f.x.lo, self.width + self.margin - f.x.hi];
        let ys = [-self.margin - f.y.lo, length + self.margin - f.y.hi];
        let mut u = EMPTY;
        for x in xs {
            for y in ys {
                u = widen(u, x * self.nx + y * self.ny);
            }
        }
        (
            ((u.lo - f.start) / self.pitch).floor() as i64 - 1,
            ((u.hi - f.start) / self.pitch).ceil() as i64 + 1,
        )
    }

    /// The positions along a line (whole ticks or points of the lattice, both ends
    /// included) at which a form lies within a fabric of this length.
    ///
    /// This is the one notion of lying on the fabric: whatever lays or moves a piece
    /// asks it, and so does [`super::search::is_valid`].
    pub(crate) fn reach(&self, form: usize, line: i64, length: f64) -> Option<Span> {
        let reach = self.reach_at(form, self.u(form, line), length)?;
        if self.lattice.is_none() {
            return Some(reach);
        }
        let line = i32::try_from(line).ok()?;
        let reach = Span {
            lo: self.snap(form, line, reach.lo, true),
            hi: self.snap(form, line, reach.hi, false),
        };
        (reach.lo <= reach.hi).then_some(reach)
    }

    /// The same for a position across that need not be on a line.
    pub(crate) fn reach_at(&self, form: usize, u: f64, length: f64) -> Option<Span> {
        let f = &self.forms[form];
        // Across, and on points, contact with the edge is rounded like any other.
        let slack = if self.lattice.is_some() { 2.0 } else { 0.0 };
        let mut lo = f64::NEG_INFINITY;
        let mut hi = f64::INFINITY;
        let bands = [
            (
                u * self.nx,
                -self.ny,
                -self.margin - f.x.lo,
                self.width + self.margin - f.x.hi,
            ),
            (
                u * self.ny,
                self.nx,
                -self.margin - f.y.lo,
                length + self.margin - f.y.hi,
            ),
        ];
        for (fixed, slope, least, most) in bands {
            if slope == 0.0 {
                if fixed < least - 2.0 || fixed > most + 2.0 {
                    return None;
                }
                continue;
            }
            if most < least - 4.0 {
                // Larger than the fabric is, wherever it lies.
                return None;
            }
            let (a, b) = ((least - fixed) / slope, (most - fixed) / slope);
            lo = lo.max(a.min(b));
            hi = hi.min(a.max(b));
        }
        let span = Span {
            lo: (lo - slack - 1e-3).ceil(),
            hi: (hi + slack + 1e-3).floor(),
        };
        (span.lo <= span.hi).then_some(span)
    }

    /// All lines of a form at an offset (a step of the stride) and length, with
    /// their reach.
    pub(crate) fn lines(&self, form: usize, offset: i64, length: f64) -> Vec<(i32, Span)> {
        let f = &self.forms[form];
        let (lo, hi) = self.line_range(form, length);
        let first = f.base + f.sign * offset;
        let lo = lo + (first - lo).rem_euclid(self.stride);
        (lo..=hi)
            .step_by(usize::try_from(self.stride).unwrap_or(1))
            .filter_map(|k| Some((i32::try_from(k).ok()?, self.reach(form, k, length)?)))
            .collect()
    }

    /// Height of the tallest form (ticks).
    pub(crate) fn tallest(&self) -> f64 {
        self.forms
            .iter()
            .map(|f| f.y.hi - f.y.lo)
            .fold(0.0, f64::max)
    }

    /// The first lattice position at or after `v` (or at or before it); anywhere
    /// is one where positions are free.
    ///
    /// Spans are narrower on a lattice by what rounding may add to them, so that
    /// contact needs no further tolerance here: one taken twice would put a piece
    /// back to where it overlaps.
    pub(crate) fn snap(&self, form: usize, line: i32, v: f64, up: bool) -> f64 {
        let Some((along, shear)) = self.lattice else {
            return v;
        };
        let f = &self.forms[form];
        let row = (i64::from(line) - f.base).div_euclid(self.stride);
        let zero = f.along + row as f64 * shear;
        let steps = (v - zero) / along;
        let near = 1e-3 / along;
        let step = if up {
            (steps - near).ceil()
        } else {
            (steps + near).floor()
        };
        zero + step * along
    }

    /// The first position on a line beyond `v` that is not before `next`: it is never
    /// `v` itself, whatever rounding says.
    pub(crate) fn step(&self, seat: Seat, next: f64, up: bool) -> f64 {
        let at = self.snap(seat.form as usize, seat.line, next, up);
        let sense = if up { 1.0 } else { -1.0 };
        let least = self.lattice.map_or(1.0, |(along, _)| along);
        if (at - seat.v) * sense >= least / 2.0 {
            at
        } else {
            seat.v + sense * least
        }
    }

    /// Whether positions along a line form a lattice.
    pub(crate) fn is_lattice(&self) -> bool {
        self.lattice.is_some()
    }

    /// The sense of `v` in which a layout grows: +1 where `v` runs with the fabric's
    /// length or across it, -1 where it runs against it.
    pub(crate) fn upward(&self) -> f64 {
        if self.nx < 0.0 { -1.0 } else { 1.0 }
    }

    /// Usable width (ticks).
    pub(crate) fn width(&self) -> f64 {
        self.width
    }

    /// How far outlines may reach over the fabric's edges (ticks).
    pub(crate) fn margin(&self) -> f64 {
        self.margin
    }

    /// The normal's direction in the fabric frame.
    pub(crate) fn normal(&self) -> (f64, f64) {
        (self.nx, self.ny)
    }
}

/// The step between lines of plain fabric (ticks).
///
/// Drawn shapes often keep to a grid of their own, and fit exactly only on it:
/// the step is a part of the common measure of all points across, where there
/// is one.
fn plane_pitch(job: &Job) -> f64 {
    let width = job.window.width_mm * TICKS_PER_MM;
    let mut measure = width;
    for p in job.shapes.iter().flat_map(|s| &s.outline.exterior().0) {
        let mut x = (p.x * TICKS_PER_MM).abs();
        // Euclid's, with what is left over below a hundred ticks taken as none.
        while x > 100.0 {
            (measure, x) = (x, measure - (measure / x).floor() * x);
            if measure - x < 100.0 {
                x = 0.0;
            }
        }
        if measure * PLANE_LINES < width {
            return (width / PLANE_LINES).ceil();
        }
    }
    measure / (measure * PLANE_LINES / width).floor().max(1.0)
}

const EMPTY: Span = Span {
    lo: f64::INFINITY,
    hi: f64::NEG_INFINITY,
};

fn widen(s: Span, x: f64) -> Span {
    Span {
        lo: s.lo.min(x),
        hi: s.hi.max(x),
    }
}
