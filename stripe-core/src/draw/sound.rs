//! Whether a plan can be drawn at all: a plan file may have been edited by hand.

use super::error::DrawError;
use crate::plan::{ClothPlan, Placement, Plan, QuiltNote, StripeNote};

/// Nothing on a plan may be further away than this (mm): a kilometre.
const FARTHEST_MM: f64 = 1e6;
/// The most pieces that are drawn of one plan.
pub const MAX_PIECES: usize = 20_000;
/// The most points that outlines may have in all.
pub const MAX_POINTS: usize = 4_000_000;
/// The most bands of one stripe.
pub const MAX_BANDS: usize = 400;

/// Looks at everything that drawings work with.
///
/// # Errors
/// The first thing that cannot be drawn, with its place in the plan.
pub fn check_sound(plan: &Plan) -> Result<(), DrawError> {
    let fault = |place: &str, what: String| {
        Err(DrawError::Unsound {
            place: place.to_owned(),
            what,
        })
    };
    let pieces: usize = plan.cloths.iter().map(|cloth| cloth.placements.len()).sum();
    if pieces > MAX_PIECES {
        return fault(
            "the plan",
            format!("{pieces} pieces are more than the {MAX_PIECES} that are drawn"),
        );
    }
    let mut points = 0;
    for cloth in &plan.cloths {
        check_cloth(cloth)?;
        for piece in &cloth.placements {
            points += check_piece(piece)?;
        }
    }
    if points > MAX_POINTS {
        return fault(
            "the plan",
            format!("its outlines have {points} points, more than the {MAX_POINTS} that are drawn"),
        );
    }
    for joint in &plan.joints {
        let numbers = joint
            .line
            .iter()
            .flatten()
            .chain([&joint.step, &joint.mismatch]);
        if !numbers.copied().all(is_near) {
            return fault(
                &format!("the joint of {} and {}", joint.a, joint.b),
                "a number there is too large".into(),
            );
        }
    }
    Ok(())
}

fn is_near(value: f64) -> bool {
    value.is_finite() && value.abs() <= FARTHEST_MM
}

/// The most patches, seams or motifs of one quilt that are drawn.
const MAX_PATCHES: usize = 20_000;

/// Looks at the quilt's part of a plan.
///
/// # Errors
/// The first thing that cannot be drawn, with its place in the plan.
pub fn check_quilt(note: &QuiltNote) -> Result<(), DrawError> {
    let fault = |what: &str| {
        Err(DrawError::Unsound {
            place: format!("quilt {}", note.name),
            what: what.to_owned(),
        })
    };
    let counts = [note.patches.len(), note.seams.len(), note.spots.len()];
    if counts.iter().any(|&n| n > MAX_PATCHES) {
        return fault("it has more parts than can be drawn");
    }
    for look in &note.cloths {
        if let Some(stripe) = &look.stripe {
            check_stripe(&look.name, stripe)?;
        }
    }
    let rects = note.patches.iter().map(|patch| &patch.rect);
    let numbers = rects
        .chain([&note.field, &note.edge])
        .flatten()
        .chain(note.seams.iter().flatten().flatten())
        .chain(
            note.spots
                .iter()
                .flat_map(|s| s.centre.iter().chain([&s.turn_deg])),
        )
        .chain(note.creases.iter().map(|crease| &crease.at))
        .chain(&note.size);
    if !numbers.copied().all(is_near) {
        return fault("a number there is too large, or none at all");
    }
    Ok(())
}

fn check_cloth(cloth: &ClothPlan) -> Result<(), DrawError> {
    let fault = |what: String| {
        Err(DrawError::Unsound {
            place: format!("cloth {}", cloth.name),
            what,
        })
    };
    if !(cloth.width > 0.0 && cloth.width <= 20_000.0) {
        return fault(format!("a width of {} mm cannot be drawn", cloth.width));
    }
    if !(cloth.length >= 0.0 && is_near(cloth.length)) {
        return fault(format!("a length of {} mm cannot be drawn", cloth.length));
    }
    if let Some(beside) = cloth.beside
        && !((0.0..=cloth.width).contains(&beside.slit)
            && (0.0..=cloth.length).contains(&beside.length))
    {
        return fault("the stretch of straight cuts does not lie on it".to_owned());
    }
    if let Some(left) = cloth.leftover
        && !((0.0..=cloth.width).contains(&left.left)
            && (0.0..=cloth.width).contains(&left.width)
            && left.begin >= 0.0
            && left.length >= 0.0
            && is_near(left.begin + left.length))
    {
        return fault("what is left over does not lie on it".to_owned());
    }
    match &cloth.stripe {
        Some(stripe) => check_stripe(&cloth.name, stripe),
        None => Ok(()),
    }
}

fn check_stripe(cloth: &str, stripe: &StripeNote) -> Result<(), DrawError> {
    let fault = |what: String| {
        Err(DrawError::Unsound {
            place: format!("cloth {cloth}"),
            what,
        })
    };
    if stripe.bands.is_empty() || stripe.bands.len() > MAX_BANDS {
        return fault(format!(
            "its stripe has {} bands; between 1 and {MAX_BANDS} are drawn",
            stripe.bands.len()
        ));
    }
    let sum: f64 = stripe.bands.iter().map(|band| band.width).sum();
    let all_wide = stripe
        .bands
        .iter()
        .all(|band| band.width > 0.0 && is_near(band.width));
    if !all_wide || !is_near(stripe.origin) || !stripe.normal_deg.is_finite() {
        return fault("its stripe has a width or a place that cannot be drawn".into());
    }
    if (sum - stripe.repeat).abs() > 1e-3 {
        return fault(format!(
            "its bands add up to {sum:.4} mm, but its repeat is {:.4} mm",
            stripe.repeat
        ));
    }
    let crossing = stripe.along.as_ref().is_none_or(|along| {
        let size = |x: f64| x > 0.0 && is_near(x);
        size(along.repeat)
            && is_near(along.start)
            && is_near(along.shear)
            && along.bands.len() <= MAX_BANDS
            && along.bands.iter().all(|band| size(band.width))
            && along
                .figure
                .as_ref()
                .is_none_or(|f| size(f.size) && is_near(f.across))
    });
    if crossing {
        Ok(())
    } else {
        fault("what repeats along its stripes has a size that cannot be drawn".into())
    }
}

/// Counts the points of a piece that can be drawn.
fn check_piece(piece: &Placement) -> Result<usize, DrawError> {
    let fault = |what: &str| {
        Err(DrawError::Unsound {
            place: format!("piece {}", piece.id),
            what: what.to_owned(),
        })
    };
    let rings = [&piece.finished, &piece.cut]
        .into_iter()
        .chain(&piece.finished_holes)
        .chain(&piece.cut_holes);
    let mut points = 0;
    for ring in rings {
        if ring.len() < 3 {
            return fault("an outline of fewer than three points cannot be drawn");
        }
        if !ring.iter().flatten().copied().all(is_near) {
            return fault("a point of its outline is too far away");
        }
        points += ring.len();
    }
    let clips = piece.clips.iter().flatten().flatten();
    let map = [piece.to_cloth.dx, piece.to_cloth.dy];
    if !clips.chain(&piece.mark).chain(&map).copied().all(is_near) {
        return fault("its mark, a clip or its place is too far away");
    }
    if !piece.to_cloth.rotate_deg.is_finite() {
        return fault("its turn is no number");
    }
    Ok(points)
}
