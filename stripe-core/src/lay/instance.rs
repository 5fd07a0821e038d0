//! The instance: every line that a piece may take, and the tables between lines.
//!
//! An **orientation** is a pose of a kind. Its lines are numbered: line `k` stands at
//! `u = start + k * pitch`. On striped fabric the pitch is the repeat; where
//! offsets are free it is a fraction of the repeat and each offset owns every
//! `stride`-th line; on plain fabric it is a fine step. So one kind of table
//! serves every lock.

use super::data::{Job, Lock};
use super::depth_map::DepthMap;
use super::error::LayError;
use super::no_fit_table::NoFitTable;
use super::obstacles::Barred;
use super::outline::{Interval, Outline, UNITS_PER_MM};
use super::validate::check;
use crate::shape::{point, unit};
use std::sync::{Arc, OnceLock};

/// Into how many offsets the repeat is divided where offsets are free.
const OFFSETS: i64 = 16;

/// Plain fabric: lines across its width.
const PLANE_LINES: f64 = 1024.0;

/// The most lines that all tables together may have (some 20 bytes each, once
/// filled).
const MAX_SLOTS: usize = 8_000_000;

/// A pose of a kind, on the instance.
#[derive(Debug, Clone)]
pub(crate) struct Orientation {
    /// Index into the kind's poses.
    pub(crate) pose: usize,
    /// Index of the outline.
    pub(crate) shape: usize,
    /// Orientations with one shape and one start share their tables.
    pub(super) table_class: usize,
    /// Where line 0 stands (units).
    pub(super) start: f64,
    /// The line of offset 0 in repeat 0.
    pub(super) base: i64,
    sign: i64,
    /// Where line `base` has a point, for [`Lock::Points`] (units).
    along: f64,
    /// Extent in the fabric's frame (units).
    pub(super) x: Interval,
    pub(super) y: Interval,
}

/// Where an item stands: an orientation, a line of it, a position along that line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct LinePlacement {
    pub(crate) orientation: u32,
    pub(crate) line: i32,
    /// Position along the stripes (whole units).
    pub(crate) v: f64,
}

impl LinePlacement {
    /// A number that two different placements hardly share.
    pub(crate) fn hash(self) -> u64 {
        let place = u64::from(self.orientation) << 32 ^ u64::from(self.line.cast_unsigned());
        let mut x = place.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ self.v.to_bits();
        x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        x ^ (x >> 31)
    }
}

/// All orientations, lines and tables of a job.
#[derive(Debug)]
pub(crate) struct Instance {
    pub(crate) outlines: Vec<Outline>,
    pub(crate) orientations: Vec<Orientation>,
    /// The orientations of each kind: a range into `orientations`.
    pub(crate) kinds: Vec<std::ops::Range<usize>>,
    /// Kind and group of each item.
    pub(crate) items: Vec<(usize, Option<usize>)>,
    pub(crate) groups: usize,
    /// Distance of neighbouring lines (units, perhaps broken).
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
    pub(super) table_classes: usize,
    pub(super) tables: Arc<[NoFitTable]>,
    /// Where nothing may lie.
    pub(super) barred: Arc<Barred>,
    /// For each group, the offsets (in lines) at which all its pieces have a line.
    pub(super) open: Vec<Vec<i64>>,
    /// On plain fabric: the depths in the plane, one a table.
    pub(super) depth_maps: Vec<OnceLock<DepthMap>>,
}

impl Instance {
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
                Some((along_mm * UNITS_PER_MM, shear_mm * UNITS_PER_MM)),
            ),
            Lock::Plane => (plane_pitch(job) / UNITS_PER_MM, 1, None),
        };
        let pitch = pitch * UNITS_PER_MM;
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
        let mut instance = Self {
            outlines,
            orientations: Vec::new(),
            kinds: Vec::new(),
            items: job.items.iter().map(|i| (i.kind, i.group)).collect(),
            groups: job.groups,
            pitch,
            stride,
            lattice,
            nx,
            ny,
            width: window.width_mm * UNITS_PER_MM,
            margin: window.margin_mm * UNITS_PER_MM,
            table_classes: 0,
            tables: Arc::default(),
            barred: Arc::default(),
            open: Vec::new(),
            depth_maps: Vec::new(),
        };
        let mut table_classes: Vec<(usize, i64)> = Vec::new();
        for kind in &job.kinds {
            let begin = instance.orientations.len();
            for (pose, p) in kind.poses.iter().enumerate() {
                let residue = if job.lock == Lock::Plane {
                    0.0
                } else {
                    p.residue_mm * UNITS_PER_MM
                };
                let base = (residue / pitch + 1e-9).floor();
                let start = residue - base * pitch;
                let key = (p.shape, start.round() as i64);
                let table_class =
                    table_classes
                        .iter()
                        .position(|&t| t == key)
                        .unwrap_or_else(|| {
                            table_classes.push(key);
                            table_classes.len() - 1
                        });
                let (mut x, mut y) = (EMPTY, EMPTY);
                for &c in &job.shapes[p.shape].outline.exterior().0 {
                    let at = point(nx * c.x - ny * c.y, ny * c.x + nx * c.y);
                    x = widen(x, at.x * UNITS_PER_MM);
                    y = widen(y, at.y * UNITS_PER_MM);
                }
                instance.orientations.push(Orientation {
                    pose,
                    shape: p.shape,
                    table_class,
                    start,
                    base: base as i64,
                    sign: if p.sign < 0.0 { -1 } else { 1 },
                    along: p.along_mm * UNITS_PER_MM,
                    x,
                    y,
                });
            }
            instance.kinds.push(begin..instance.orientations.len());
        }
        instance.make_tables(&table_classes)?;
        let across: Vec<(f64, Interval)> = instance
            .orientations
            .iter()
            .map(|o| (o.start, instance.outlines[o.shape].across()))
            .collect();
        instance.barred = Arc::new(Barred::new(job, &across, pitch));
        if job.lock == Lock::Plane {
            let count = table_classes.len() * table_classes.len();
            instance.depth_maps = (0..count).map(|_| OnceLock::new()).collect();
        }
        instance.open = instance.find_open()?;
        Ok(instance)
    }

    /// The same pieces on a striped fabric of another width (units). Tables are shared, for they
    /// know nothing of the fabric.
    pub(super) fn with_width(&self, width: f64) -> Self {
        Self {
            outlines: self.outlines.clone(),
            orientations: self.orientations.clone(),
            kinds: self.kinds.clone(),
            items: self.items.clone(),
            tables: Arc::clone(&self.tables),
            barred: Arc::clone(&self.barred),
            open: self.open.clone(),
            depth_maps: Vec::new(),
            width,
            ..*self
        }
    }

    /// The same fabric with other pieces of the same kinds, each with its group. As with another
    /// width, tables are shared.
    pub(super) fn with_items(&self, items: Vec<(usize, Option<usize>)>, groups: usize) -> Self {
        Self {
            items,
            groups,
            ..self.with_width(self.width)
        }
    }

    /// Lines of all tables.
    pub(super) fn table_lines(&self) -> u64 {
        self.tables
            .iter()
            .map(|t| t.differences().count() as u64)
            .sum()
    }

    fn make_tables(&mut self, table_classes: &[(usize, i64)]) -> Result<(), LayError> {
        self.table_classes = table_classes.len();
        let mut slots = 0usize;
        let mut tables = Vec::new();
        for &(sa, ua) in table_classes {
            for &(sb, ub) in table_classes {
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
                tables.push(NoFitTable::new(first, last));
            }
        }
        self.tables = tables.into();
        Ok(())
    }

    /// Position across of an orientation's line (units).
    pub(crate) fn u(&self, orientation: usize, line: i64) -> f64 {
        self.orientations[orientation].start + line as f64 * self.pitch
    }

    /// The line of an orientation nearest to a position across (units).
    pub(crate) fn line_at(&self, orientation: usize, u: f64) -> i32 {
        ((u - self.orientations[orientation].start) / self.pitch).round() as i32
    }

    /// Whether the fabric is plain.
    pub(crate) fn is_plane(&self) -> bool {
        !self.depth_maps.is_empty()
    }

    /// The length (units) that a placement needs.
    pub(crate) fn end(&self, placement: LinePlacement) -> f64 {
        let orientation = placement.orientation as usize;
        self.end_at(
            orientation,
            self.u(orientation, i64::from(placement.line)),
            placement.v,
        )
    }

    /// The length (units) that an orientation needs at `(u, v)`.
    pub(crate) fn end_at(&self, orientation: usize, u: f64, v: f64) -> f64 {
        u * self.ny + v * self.nx + self.orientations[orientation].y.hi - self.margin
    }

    /// The outline that stands on a placement.
    pub(crate) fn outline_of(&self, placement: LinePlacement) -> &Outline {
        &self.outlines[self.orientations[placement.orientation as usize].shape]
    }

    /// +1, or -1 where an orientation turns the stripe about.
    pub(crate) fn sign(&self, orientation: usize) -> f64 {
        self.orientations[orientation].sign as f64
    }

    /// Extent of an orientation in the fabric's frame (units).
    pub(crate) fn extent(&self, orientation: usize) -> (Interval, Interval) {
        (
            self.orientations[orientation].x,
            self.orientations[orientation].y,
        )
    }

    /// The fabric point (units) of a placement's least corner, as `(y, x)`.
    pub(crate) fn corner(&self, placement: LinePlacement) -> (f64, f64) {
        let f = &self.orientations[placement.orientation as usize];
        let u = self.u(placement.orientation as usize, i64::from(placement.line));
        (
            u * self.ny + placement.v * self.nx + f.y.lo,
            u * self.nx - placement.v * self.ny + f.x.lo,
        )
    }

    /// An orientation where it lies by nature: on the line of its offset that is nearest
    /// to the motif's own.
    pub(crate) fn natural(&self, orientation: usize, offset: i64) -> LinePlacement {
        let f = &self.orientations[orientation];
        let line = f.base + f.sign * offset;
        let repeat = self.pitch * self.stride as f64;
        let repeats = (-(f.start + line as f64 * self.pitch) / repeat).round();
        LinePlacement {
            orientation: orientation as u32,
            line: i32::try_from(line + self.stride * repeats as i64).unwrap_or(0),
            v: 0.0,
        }
    }

    /// Height of an orientation along the fabric (units).
    pub(crate) fn height(&self, orientation: usize) -> f64 {
        self.orientations[orientation].y.hi - self.orientations[orientation].y.lo
    }

    /// The lines among which those within a fabric of this length are.
    pub(super) fn line_range(&self, orientation: usize, length: f64) -> (i64, i64) {
        let f = &self.orientations[orientation];
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

    /// The positions along a line (whole units or points of the lattice, both ends
    /// included) at which an orientation lies within a fabric of this length.
    ///
    /// Together with the obstacles (`reaches`) this is the one notion of lying on the fabric:
    /// whatever lays or moves a piece asks it, and so does [`super::guided_search::is_valid`].
    pub(crate) fn reach(&self, orientation: usize, line: i64, length: f64) -> Option<Interval> {
        let reach = self.reach_at(orientation, self.u(orientation, line), length)?;
        if self.lattice.is_none() {
            return Some(reach);
        }
        let line = i32::try_from(line).ok()?;
        let reach = Interval {
            lo: self.snap(orientation, line, reach.lo, true),
            hi: self.snap(orientation, line, reach.hi, false),
        };
        (reach.lo <= reach.hi).then_some(reach)
    }

    /// The same for a position across that need not be on a line.
    #[inline]
    pub(crate) fn reach_at(&self, orientation: usize, u: f64, length: f64) -> Option<Interval> {
        let f = &self.orientations[orientation];
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
        let interval = Interval {
            lo: (lo - slack - 1e-3).ceil(),
            hi: (hi + slack + 1e-3).floor(),
        };
        (interval.lo <= interval.hi).then_some(interval)
    }

    /// All lines of an orientation at an offset (a step of the stride) and length, with
    /// their reach; one entry for each interval that obstacles leave of it.
    pub(crate) fn lines(
        &self,
        orientation: usize,
        offset: i64,
        length: f64,
    ) -> Vec<(i32, Interval)> {
        let f = &self.orientations[orientation];
        let (lo, hi) = self.line_range(orientation, length);
        let first = f.base + f.sign * offset;
        let lo = lo + (first - lo).rem_euclid(self.stride);
        (lo..=hi)
            .step_by(usize::try_from(self.stride).unwrap_or(1))
            .filter_map(|k| Some((i32::try_from(k).ok()?, k)))
            .flat_map(|(line, k)| {
                let reaches = self.reaches(orientation, k, length).into_iter();
                reaches.map(move |reach| (line, reach))
            })
            .collect()
    }

    /// Height of the tallest orientation (units).
    pub(crate) fn tallest(&self) -> f64 {
        self.orientations
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
    #[inline]
    pub(crate) fn snap(&self, orientation: usize, line: i32, v: f64, up: bool) -> f64 {
        let Some((along, shear)) = self.lattice else {
            return v;
        };
        let f = &self.orientations[orientation];
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
    pub(crate) fn step(&self, placement: LinePlacement, next: f64, up: bool) -> f64 {
        let at = self.snap(placement.orientation as usize, placement.line, next, up);
        let sense = if up { 1.0 } else { -1.0 };
        let least = self.lattice.map_or(1.0, |(along, _)| along);
        if (at - placement.v) * sense >= least / 2.0 {
            at
        } else {
            placement.v + sense * least
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

    /// Usable width (units).
    pub(crate) fn width(&self) -> f64 {
        self.width
    }

    /// How far outlines may reach over the fabric's edges (units).
    pub(crate) fn margin(&self) -> f64 {
        self.margin
    }

    /// The normal's direction in the fabric frame.
    pub(crate) fn normal(&self) -> (f64, f64) {
        (self.nx, self.ny)
    }
}

/// The step between lines of plain fabric (units).
///
/// Drawn shapes often keep to a grid of their own, and fit exactly only on it:
/// the step is a part of the common measure of all points across, where there
/// is one.
fn plane_pitch(job: &Job) -> f64 {
    let width = job.window.width_mm * UNITS_PER_MM;
    let mut measure = width;
    for p in job.shapes.iter().flat_map(|s| &s.outline.exterior().0) {
        let mut x = (p.x * UNITS_PER_MM).abs();
        // Euclid's, with what is left over below a hundred units taken as none.
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

const EMPTY: Interval = Interval {
    lo: f64::INFINITY,
    hi: f64::NEG_INFINITY,
};

fn widen(s: Interval, x: f64) -> Interval {
    Interval {
        lo: s.lo.min(x),
        hi: s.hi.max(x),
    }
}
