//! Whether a job can be laid at all: numbers that are numbers, indices that
//! point at something, and no more of anything than can be held.

use super::data::{Job, Lock};
use super::error::{LayError, MAX_ITEMS, MAX_POINTS};
use crate::shape::{dot, unit};

fn usable(what: &'static str, value: f64, ok: bool) -> Result<f64, LayError> {
    if value.is_finite() && value.abs() < 1e7 && ok {
        Ok(value)
    } else {
        Err(LayError::NotUsable { what, value })
    }
}

/// Refuses what could not be laid.
pub(crate) fn check(job: &Job) -> Result<(), LayError> {
    let w = &job.window;
    usable("the fabric's width", w.width_mm, w.width_mm > 0.0)?;
    usable("the stripes' direction", w.normal_rad, true)?;
    usable("the margin", w.margin_mm, w.margin_mm >= 0.0)?;
    usable("the tolerance", job.deviate_mm, job.deviate_mm >= 0.0)?;
    match job.lock {
        Lock::Plane => {}
        Lock::Lines { repeat_mm } => {
            usable("the repeat", repeat_mm, repeat_mm > 1e-3)?;
        }
        Lock::Points {
            across_mm,
            along_mm,
            shear_mm,
        } => {
            usable("the repeat across", across_mm, across_mm > 1e-3)?;
            usable("the repeat along", along_mm, along_mm > 1e-3)?;
            usable("the shear", shear_mm, true)?;
        }
    }
    if job.items.is_empty() {
        return Err(LayError::NothingToLay);
    }
    if job.items.len() > MAX_ITEMS {
        return Err(LayError::TooMany {
            items: job.items.len(),
            limit: MAX_ITEMS,
        });
    }
    let barred = job.obstacles.regions.iter();
    usable(
        "the end of the obstacles",
        job.obstacles.end_mm,
        job.obstacles.end_mm >= 0.0,
    )?;
    for outline in job.shapes.iter().map(|s| &s.outline).chain(barred) {
        let rings = std::iter::once(outline.exterior()).chain(outline.interiors());
        let points: usize = rings.clone().map(|r| r.0.len()).sum();
        if points > MAX_POINTS {
            return Err(LayError::TooFine {
                what: "an outline",
                count: points,
                limit: MAX_POINTS,
            });
        }
        if outline.exterior().0.len() < 3 {
            return Err(LayError::Broken {
                what: "an outline has fewer than three points",
            });
        }
        for p in rings.flat_map(|r| &r.0) {
            usable("an outline's point", p.x, true)?;
            usable("an outline's point", p.y, true)?;
        }
    }
    for kind in &job.kinds {
        if kind.poses.is_empty() {
            return Err(LayError::Broken {
                what: "a kind has no pose",
            });
        }
        for p in &kind.poses {
            if p.shape >= job.shapes.len() {
                return Err(LayError::Broken {
                    what: "a pose names a shape that is not there",
                });
            }
            usable("a pose's residue", p.residue_mm, true)?;
            usable("a pose's place along", p.along_mm, true)?;
        }
    }
    for item in &job.items {
        if item.kind >= job.kinds.len() || item.group.is_some_and(|g| g >= job.groups) {
            return Err(LayError::Broken {
                what: "an item names a kind or group that is not there",
            });
        }
    }
    // `dot` keeps the frames of data.rs and of this file one.
    debug_assert!((dot(unit(w.normal_rad), unit(w.normal_rad)) - 1.0).abs() < 1e-9);
    Ok(())
}
