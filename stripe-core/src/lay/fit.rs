//! Whether every piece finds a place on the fabric: a line of an offset that it may
//! have, and of a group one offset that all its pieces may have.

use super::error::LayError;
use super::instance::Instance;
use super::outline::UNITS_PER_MM;

/// Longer fabric (units: 50 m) is not walked in search of a line.
const LONGEST_WALK: f64 = 50_000.0 * UNITS_PER_MM;

/// On a sheared lattice points come by anew on every line: so many are looked at.
const LINES_OF_POINTS: f64 = 16.0;

impl Instance {
    /// For each group the offsets at which all its pieces have a line.
    pub(super) fn find_open(&self) -> Result<Vec<Vec<i64>>, LayError> {
        let length = self.open_length(0.0);
        let fits = |kind: usize, offset: i64| {
            let mut orientations = self.kinds[kind].clone();
            orientations.any(|orientation| self.has_line(orientation, offset, length))
        };
        // Kinds alone, kinds in groups: each is asked once.
        let mut alone: Vec<Option<bool>> = vec![None; self.kinds.len()];
        let mut grouped: Vec<Option<Vec<bool>>> = vec![None; self.kinds.len()];
        let mut open = vec![(0..self.stride).collect::<Vec<i64>>(); self.groups];
        // What would do has to do for all of them.
        let mut worst: Option<LayError> = None;
        let mut keep_worst = |fault: LayError| {
            let lacks = worst.as_ref().map(LayError::lacks_mm);
            if lacks.is_none_or(|lacks| fault.lacks_mm() > lacks) {
                worst = Some(fault);
            }
        };
        for (item, &(kind, group)) in self.items.iter().enumerate() {
            let Some(group) = group else {
                if !*alone[kind].get_or_insert_with(|| fits(kind, 0)) {
                    keep_worst(self.no_place(item, &[0]));
                }
                continue;
            };
            let at = grouped[kind]
                .get_or_insert_with(|| (0..self.stride).map(|o| fits(kind, o)).collect());
            let shared = open[group].iter().copied().filter(|&o| at[o as usize]);
            let shared: Vec<i64> = shared.collect();
            if shared.is_empty() {
                // The others of the group are still asked at what was shared so far.
                keep_worst(self.no_place(item, &open[group]));
            } else {
                open[group] = shared;
            }
        }
        worst.map_or(Ok(open), Err)
    }

    fn has_line(&self, orientation: usize, offset: i64, length: f64) -> bool {
        let (lo, hi) = self.line_range(orientation, length);
        let first = self.orientations[orientation].base + self.sign(orientation) as i64 * offset;
        let lo = lo + (first - lo).rem_euclid(self.stride);
        let mut lines = (lo..=hi).step_by(usize::try_from(self.stride).unwrap_or(1));
        lines.any(|k| !self.reaches(orientation, k, length).is_empty())
    }

    /// Why an item finds no place at some offsets: the fabric is too narrow, if more of
    /// it would help.
    pub(super) fn no_place(&self, item: usize, offsets: &[i64]) -> LayError {
        let kind = self.items[item].0;
        let orientations = self.kinds[kind].clone();
        let widths =
            orientations.flat_map(|f| offsets.iter().map(move |&o| self.width_needed(f, o)));
        let width = widths.fold(f64::INFINITY, f64::min);
        if width > self.width && width.is_finite() {
            LayError::TooWide {
                item,
                kind,
                too_wide_mm: (width - self.width) / UNITS_PER_MM,
                width_mm: width / UNITS_PER_MM,
            }
        } else {
            LayError::NoPlace { item, kind }
        }
    }

    /// The narrowest fabric on which an orientation finds a line at an offset.
    fn width_needed(&self, orientation: usize, offset: i64) -> f64 {
        let f = &self.orientations[orientation];
        if self.ny != 0.0 {
            return f.x.hi - f.x.lo - 2.0 * self.margin;
        }
        // x is +-u: the nearest line within the first selvage.
        let repeat = self.pitch * self.stride as f64;
        let at = self.u(orientation, f.base + self.sign(orientation) as i64 * offset) * self.nx;
        let least = -self.margin - f.x.lo;
        let line = at + ((least - at) / repeat - 1e-9).ceil() * repeat;
        line + f.x.hi - self.margin
    }

    /// A length (units) within which every piece that fits the fabric has a place beyond what
    /// is `used` (units) and beyond all obstacles.
    pub(crate) fn open_length(&self, used: f64) -> f64 {
        used.max(self.whole_from()) + self.ample_length()
    }

    /// A length (units) within which every piece that fits the fabric could lie alone,
    /// beyond whatever is laid.
    pub(crate) fn ample_length(&self) -> f64 {
        let repeat = self.pitch * self.stride as f64;
        // Where lines lean or run across, the next one comes by at the same place of
        // the width after this much fabric.
        let walk = if self.ny == 0.0 {
            0.0
        } else {
            repeat / self.ny.abs()
        };
        let points = self.lattice.map_or(0.0, |(along, _)| {
            along + LINES_OF_POINTS * repeat * self.ny.abs()
        });
        self.tallest() + (walk + points).min(LONGEST_WALK) + 2.0 * repeat + self.width
    }
}
