//! Among lays that cost the same, the one that leaves the largest usable rectangle.
//!
//! Fabric is bought by the step, so that the shortest layout often leaves a narrow band
//! across the end that is no use. The same pieces laid on less of the width, up to the
//! end of what is bought, leave as much fabric, but of a better shape: along the selvage.

use crate::buy::{LEAST_SIDE_MM, largest_left};
use crate::lay::{self, Control, Effort, Job, Layout, Outcome};
use crate::length::Unit;
use crate::record::Leftover;
use crate::shape::{Region, Rigid, point};

/// Widths that are tried, each halving what the last one left open.
const WIDTHS: u64 = 5;
/// What they may cost in all: this part of the search.
const SHARE: u64 = 8;
/// How much larger the rectangle must be for a layout that is longer than need be.
const WORTH: f64 = 1.25;

/// What spreading leaves at the end, for fabric that is cut crooked: half an inch (mm).
const SPARED_MM: f64 = 12.7;
/// And how much of the fabric that is left it must be, so that pieces are not scattered.
const DENSE: f64 = 0.75;

/// The lay on less of the width that leaves more than the shortest found does of
/// `room_mm` of fabric, if there is one.
pub(super) fn leave_more(
    job: &Job,
    found: &Outcome,
    room_mm: f64,
    unit: Unit,
    effort: &Effort,
    control: &Control<'_>,
) -> Option<Layout> {
    if control.is_stopped() {
        return None;
    }
    let shortest = &found.layout;
    // No plan is longer than the first layout, nor than the layout by hand.
    let end_mm = (room_mm - SPARED_MM)
        .min(found.first_length_mm)
        .min(found.by_hand.length_mm);
    let area_left = |lay: &Layout| left_on(job, lay, room_mm, unit).map_or(0.0, |l| l.area_mm2());
    // As dense as the shortest layout, others would leave this along the selvage.
    let band_mm = job.window.width_mm * (1.0 - shortest.length_mm / end_mm);
    let band_area = band_mm * room_mm;
    let mut most = (WORTH * area_left(shortest)).max(DENSE * band_area);
    if end_mm <= shortest.length_mm || band_mm < LEAST_SIDE_MM || band_area <= most {
        return None;
    }
    let mut narrow_mm = job.window.width_mm - 1.5 * band_mm;
    let mut wide_mm = job.window.width_mm;
    let work = effort.work.saturating_mul(effort.rounds.min(16) as u64) / (SHARE * WIDTHS);
    let little = Effort {
        rounds: 1,
        work,
        ..*effort
    };
    let mut best = None;
    for _ in 0..WIDTHS {
        let mut part = job.clone();
        part.window.width_mm = f64::midpoint(narrow_mm, wide_mm);
        let lay = lay::lay(&part, &little, control)
            .ok()
            .map(|made| made.layout);
        match lay.filter(|lay| lay.length_mm <= end_mm) {
            Some(lay) => {
                wide_mm = part.window.width_mm;
                let area = area_left(&lay);
                if area > most {
                    most = area;
                    best = Some(lay);
                }
            }
            None => narrow_mm = part.window.width_mm,
        }
    }
    best
}

/// The largest rectangle that a layout leaves of `room_mm` of fabric.
fn left_on(job: &Job, lay: &Layout, room_mm: f64, unit: Unit) -> Option<Leftover> {
    left_of(&laid(job, lay), job.window.width_mm, room_mm, unit)
}

/// The largest rectangle that pieces leave, its sides marks of the ruler.
pub(super) fn left_of(
    pieces: &[Region],
    width_mm: f64,
    room_mm: f64,
    unit: Unit,
) -> Option<Leftover> {
    let mark_mm = if unit == Unit::Inch { 25.4 / 8.0 } else { 5.0 };
    // Of very long fabric less exactly: a drawing of it could show no more.
    let cell_mm = mark_mm * (room_mm / mark_mm / 20_000.0).ceil().max(1.0);
    largest_left(pieces, width_mm, room_mm, cell_mm)
}

/// The outlines as they lie on the fabric.
fn laid(job: &Job, lay: &Layout) -> Vec<Region> {
    let items = job.items.iter().zip(&lay.placements);
    items
        .map(|(item, placement)| {
            let pose = job.kinds[item.kind].poses[placement.pose];
            let to_fabric = Rigid {
                rotate_rad: job.window.normal_rad,
                mirror: false,
                shift: job.window.to_fabric(point(placement.u_mm, placement.v_mm)),
            };
            to_fabric.apply_to(&job.shapes[pose.shape].outline)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lay::{Item, Kind, Lock, Pose, Shape, Window};

    /// Forty squares of 50 mm on fabric 1000 mm wide: two rows of 20 take 100 mm and leave
    /// 75 mm of 175, which is no use. Three rows of 14 leave 300 mm along the selvage.
    #[test]
    fn squares_in_three_rows_leave_more_than_in_two() {
        let ring = [(0.0, 0.0), (50.0, 0.0), (50.0, 50.0), (0.0, 50.0)];
        let ring: Vec<_> = ring.iter().map(|&(x, y)| point(x, y)).collect();
        let pose = Pose {
            shape: 0,
            residue_mm: 0.0,
            along_mm: 0.0,
            sign: 1.0,
        };
        let item = |block| Item {
            kind: 0,
            group: None,
            block,
        };
        let job = Job {
            obstacles: Default::default(),
            window: Window {
                width_mm: 1000.0,
                normal_rad: 0.0,
                margin_mm: 0.0,
            },
            lock: Lock::Plane,
            deviate_mm: 0.0,
            shapes: vec![Shape {
                outline: Region::new(ring.into(), vec![]),
            }],
            kinds: vec![Kind { poses: vec![pose] }],
            lots: 1,
            items: (0..40).map(item).collect(),
            groups: 0,
        };
        let (effort, control) = (Effort::quick(1), Control::default());
        let mut found = lay::lay(&job, &effort, &control).unwrap();
        assert!((found.layout.length_mm - 100.0).abs() < 1e-3, "{found:?}");
        // As if it had been laid less well by hand and at first.
        (found.first_length_mm, found.by_hand.length_mm) = (200.0, 200.0);
        let unit = Unit::Centimetre;
        assert_eq!(left_on(&job, &found.layout, 175.0, unit), None);
        let more = leave_more(&job, &found, 175.0, unit, &effort, &control).unwrap();
        let left = left_on(&job, &more, 175.0, unit).unwrap();
        assert!(more.length_mm <= 175.0 - SPARED_MM, "{more:?}");
        assert!(
            left.width_mm >= 240.0 && left.length_mm == 175.0,
            "{left:?}"
        );
        // With room for the shortest alone there is nothing to gain, and by hand is the end.
        let more = |found: &Outcome, room| leave_more(&job, found, room, unit, &effort, &control);
        assert_eq!(more(&found, 110.0), None);
        found.by_hand.length_mm = 149.0;
        assert_eq!(more(&found, 175.0), None);
    }
}
