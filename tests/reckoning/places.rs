//! Pieces on the fabric: within its edges, clear of each other, in a way that it allows.

use super::generate::{Fabric, Job};
use super::geometry::{Lie, placements, region};
use geo::{Area, BooleanOps, BoundingRect, Distance, Euclidean, MapCoords, Polygon};
use serde_json::Value;

const TOLERANCE: f64 = 1e-3;

pub fn reckon(job: &Job, plan: &Value, wrong: &mut Vec<String>) {
    for fabric in &job.fabrics {
        let laid = placements(plan, fabric.name);
        if laid.is_empty() {
            continue;
        }
        let noted = plan["fabrics"]
            .as_array()
            .and_then(|all| all.iter().find(|c| c["name"] == fabric.name));
        let noted = noted.expect("a fabric that is laid");
        let length = noted["length"].as_f64().unwrap_or(f64::NAN);
        if (noted["width"].as_f64().unwrap_or(f64::NAN) - fabric.width).abs() > 1e-6 {
            wrong.push(format!(
                "{}: width {}, not {}",
                fabric.name, noted["width"], fabric.width
            ));
        }
        let cut: Vec<Polygon<f64>> = laid
            .iter()
            .map(|p| {
                let lie = Lie::of(p);
                region(p, "cut").map_coords(|c| lie.put(c))
            })
            .collect();
        let mut end = 0.0_f64;
        for (placement, shape) in laid.iter().zip(&cut) {
            let extent = shape.bounding_rect().expect("a piece has points");
            end = end.max(extent.max().y);
            if extent.min().x < -TOLERANCE
                || extent.min().y < -TOLERANCE
                || extent.max().x > fabric.width + TOLERANCE
                || extent.max().y > length + TOLERANCE
            {
                wrong.push(format!(
                    "{} lies over the edge: {extent:?}",
                    placement["id"]
                ));
            }
            turned_as_allowed(job, fabric, placement, wrong);
        }
        // The length that is named is the end of the last piece and no more.
        if noted["beside"].is_null() && (length - end).abs() > TOLERANCE {
            wrong.push(format!(
                "{}: length {length}, last piece ends at {end}",
                fabric.name
            ));
        }
        apart(job, &laid, &cut, wrong);
    }
}

fn apart(job: &Job, laid: &[&Value], cut: &[Polygon<f64>], wrong: &mut Vec<String>) {
    for (i, a) in cut.iter().enumerate() {
        let near = a.bounding_rect().expect("a piece has points");
        for (j, b) in cut.iter().enumerate().skip(i + 1) {
            let other = b.bounding_rect().expect("a piece has points");
            let gap = job.clear;
            if near.max().x + gap < other.min().x
                || other.max().x + gap < near.min().x
                || near.max().y + gap < other.min().y
                || other.max().y + gap < near.min().y
            {
                continue;
            }
            let shared = a.intersection(b).unsigned_area();
            let distance = Euclidean.distance(a, b);
            if shared > 1e-3 || distance < gap - TOLERANCE {
                let ids = (&laid[i]["id"], &laid[j]["id"]);
                wrong.push(format!(
                    "{ids:?}: {shared:.4} mm² shared, {distance:.4} mm apart, {gap} asked"
                ));
            }
        }
    }
}

/// Faces and turns: only what the fabric allows.
fn turned_as_allowed(job: &Job, fabric: &Fabric, placement: &Value, wrong: &mut Vec<String>) {
    let lie = Lie::of(placement);
    if lie.mirror && !fabric.both_faces {
        wrong.push(format!(
            "{}: wrong side up on fabric with a right side",
            placement["id"]
        ));
    }
    let Some(stripe) = &fabric.stripe else {
        // Plain fabric, turns 0 and 180: the piece's middle line lies along the selvages.
        let axis = placement["axis_deg"]
            .as_f64()
            .unwrap_or(f64::NAN)
            .to_radians();
        let axis = if lie.mirror {
            std::f64::consts::PI - axis
        } else {
            axis
        };
        if (axis + lie.turn).cos().abs() > 1e-6 {
            wrong.push(format!("{}: off the grain", placement["id"]));
        }
        return;
    };
    let part = job
        .motifs
        .iter()
        .filter(|m| placement["motif"] == m.name)
        .flat_map(|m| &m.parts);
    let part = part
        .into_iter()
        .find(|p| placement["part"] == p.name)
        .expect("a part of ours");
    if part.stripes == "through" {
        let across = part.across.to_radians();
        let across = if lie.mirror {
            std::f64::consts::PI - across
        } else {
            across
        };
        let way = (across + lie.turn - stripe.normal_deg.to_radians()).cos();
        // Along the normal, or against it where the fabric may be turned about.
        if way.abs() < 1.0 - 1e-9 || (fabric.one_way && !lie.mirror && way < 0.0) {
            wrong.push(format!(
                "{}: turned against its stripe, {way}",
                placement["id"]
            ));
        }
    }
}
