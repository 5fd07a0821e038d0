//! From what the designer says to pieces: finished lines, roles, cut lines, joints.

use super::clips::find_clips;
use super::design::{Ends, Form, Making, Meet, Motif, Part};
use super::fan::{FanError, Wedge};
use super::joints::{drawn_joints, fan_joints, joint_count, sides_rad};
use super::piece::{Assembly, Piece};
use super::remarks::find_remarks;
use super::roles::{Surroundings, find_roles, lies_on_ray};
use crate::shape::offset::grow;
use crate::shape::ring::{open, self_crossing, signed_area};
use crate::shape::{Point, Region, dot, point, unit};
use geo::unary_union;

/// What keeps a motif from being worked out.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum MotifError {
    /// No part, so no piece.
    #[error("motif `{0}` has no parts")]
    NoParts(String),
    /// A fan that cannot be drawn.
    #[error("motif `{motif}`, part `{part}`: {fault}")]
    Fan {
        /// The motif's name.
        motif: String,
        /// The part's name.
        part: String,
        /// What is wrong.
        fault: FanError,
    },
    /// A drawn shape that is no shape.
    #[error("motif `{motif}`, part `{part}`: {fault}")]
    Outline {
        /// The motif's name.
        motif: String,
        /// The part's name.
        part: String,
        /// What is wrong.
        fault: OutlineError,
    },
}

/// What keeps points from being the outline of a piece.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum OutlineError {
    /// Too few points.
    #[error("an outline needs at least three different points")]
    Few,
    /// A point that is no number.
    #[error("point {0} is not a pair of numbers")]
    NotFinite(usize),
    /// A line that crosses itself.
    #[error("the outline crosses itself near ({x:.2} mm, {y:.2} mm)")]
    Crossing {
        /// Where it does.
        x: f64,
        /// Where it does.
        y: f64,
    },
}

/// The ring of a drawn outline, counter-clockwise.
///
/// # Errors
/// See [`OutlineError`].
pub fn outline_ring(points: &[Point]) -> Result<Vec<Point>, OutlineError> {
    if let Some(i) = points
        .iter()
        .position(|p| !(p.x.is_finite() && p.y.is_finite()))
    {
        return Err(OutlineError::NotFinite(i + 1));
    }
    let mut ring = crate::shape::ring::tidy(points);
    if ring.len() < 3 {
        return Err(OutlineError::Few);
    }
    if let Some(Point { x, y }) = self_crossing(&ring) {
        return Err(OutlineError::Crossing { x, y });
    }
    ring.push(ring[0]);
    if signed_area(&ring) < 0.0 {
        ring.reverse();
    }
    ring.pop();
    Ok(ring)
}

/// Works a motif out.
///
/// # Errors
/// See [`MotifError`].
pub fn assemble(motif: &Motif, making: &Making) -> Result<Assembly, MotifError> {
    if motif.parts.is_empty() {
        return Err(MotifError::NoParts(motif.name.clone()));
    }
    let wedges: Vec<Vec<Wedge>> = motif
        .parts
        .iter()
        .map(|part| wedges_of(&motif.name, part))
        .collect::<Result<_, _>>()?;
    let seams_rad = ground_seams(motif);
    let mut pieces = vec![];
    let mut joints = vec![];
    for (part_idx, part) in motif.parts.iter().enumerate() {
        let above = unary_union(wedges[part_idx + 1..].iter().flatten().map(|w| &w.finished));
        let first = pieces.len();
        for (wedge_idx, wedge) in wedges[part_idx].iter().enumerate() {
            let around = Surroundings {
                seams_rad: &seams_rad,
                seams: &motif.ground.seams,
                above: &above,
                lapped_rad: lapped_side(part, wedge_idx),
            };
            let (finished, roles) = find_roles(&wedge.finished, &around);
            let allowances: Vec<f64> = roles.iter().map(|r| r.allowance_mm(making)).collect();
            let cut = grow(&finished, &allowances);
            pieces.push(Piece {
                name: piece_name(part, wedge_idx, wedges[part_idx].len()),
                part: part_idx,
                wedge: wedge_idx,
                axis_rad: wedge.axis_rad,
                clips: find_clips(&finished, &roles, &cut, &wedge.gaps),
                mark: mark_of(&finished, part, wedge_idx),
                finished,
                roles,
                cut,
            });
        }
        joints.extend(fan_joints(part, first, &above));
    }
    joints.extend(drawn_joints(&motif.parts, &pieces));
    let remarks = find_remarks(motif, making);
    Ok(Assembly {
        pieces,
        joints,
        seams_rad,
        remarks,
    })
}

fn wedges_of(motif: &str, part: &Part) -> Result<Vec<Wedge>, MotifError> {
    let turn_rad = part.rotate_deg.to_radians();
    match &part.form {
        Form::Fan(fan) => {
            fan.check().map_err(|fault| MotifError::Fan {
                motif: motif.to_owned(),
                part: part.name.clone(),
                fault,
            })?;
            let mut wedges = fan.wedges(turn_rad);
            if let [whole] = wedges.as_mut_slice() {
                whole.axis_rad = std::f64::consts::FRAC_PI_2 + turn_rad;
            }
            Ok(wedges)
        }
        Form::Outline(points) => {
            let ring = outline_ring(points).map_err(|fault| MotifError::Outline {
                motif: motif.to_owned(),
                part: part.name.clone(),
                fault,
            })?;
            let (sin, cos) = turn_rad.sin_cos();
            let turned = ring
                .into_iter()
                .map(|p| point(cos * p.x - sin * p.y, sin * p.x + cos * p.y))
                .collect();
            Ok(vec![Wedge {
                finished: Region::new(turned, vec![]),
                axis_rad: std::f64::consts::FRAC_PI_2 + turn_rad,
                gaps: vec![],
            }])
        }
    }
}

/// Directions of the background's seams that run out from the motif's centre.
fn ground_seams(motif: &Motif) -> Vec<f64> {
    let mut seams: Vec<f64> = vec![];
    let mut add = |rad: f64| {
        if !seams.iter().any(|&s| dot(unit(s), unit(rad)) > 1.0 - 1e-12) {
            seams.push(rad);
        }
    };
    for part in &motif.parts {
        let Form::Fan(fan) = &part.form else { continue };
        let sides = sides_rad(part);
        if part.meet == Meet::Seam {
            // Joint k lies between wedge k - 1 and wedge k; a whole circle's last
            // joint is its first side.
            sides[1..=joint_count(part)]
                .iter()
                .copied()
                .for_each(&mut add);
        }
        if part.ends == Ends::Seam && !fan.is_whole_circle() {
            add(sides[0]);
            add(sides[fan.wedges]);
        }
    }
    seams
}

/// The side of a wedge that runs flat under the wedge before it.
fn lapped_side(part: &Part, wedge_idx: usize) -> Option<f64> {
    let has_neighbour = wedge_idx > 0 || joint_count(part) + 1 == sides_rad(part).len();
    (part.meet == Meet::OneOverOther && joint_count(part) > 0 && has_neighbour)
        .then(|| sides_rad(part)[wedge_idx])
}

fn piece_name(part: &Part, wedge_idx: usize, wedges: usize) -> String {
    if wedges == 1 {
        part.name.clone()
    } else {
        format!("{}, wedge {} of {wedges}", part.name, wedge_idx + 1)
    }
}

/// The centre for whole discs and rings, else the inner corner on the wedge's first
/// side, else the lowest corner: a point that can be found on the template.
fn mark_of(finished: &Region, part: &Part, wedge_idx: usize) -> Point {
    let outer = open(finished.exterior());
    match &part.form {
        Form::Fan(fan) if fan.wedges == 1 && fan.is_whole_circle() => point(0.0, 0.0),
        Form::Fan(_) => {
            let side = sides_rad(part)[wedge_idx];
            let on_side = outer.iter().filter(|p| lies_on_ray(**p, side));
            on_side
                .min_by(|p, q| p.x.hypot(p.y).total_cmp(&q.x.hypot(q.y)))
                .copied()
                .unwrap_or(outer[0])
        }
        Form::Outline(_) => outer
            .iter()
            .copied()
            .min_by(|p, q| {
                (p.y, p.x)
                    .partial_cmp(&(q.y, q.x))
                    .expect("corners are finite")
            })
            .expect("a ring has corners"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motif::{Copies, Fan, PartStripes, Remark, Role, Spokes, Tip};
    use crate::shape::ring::{edges, rings};
    use geo::{Area, BooleanOps, Contains};

    const MAKING: Making = Making {
        turn_under_mm: 4.7625,
        seam_mm: 6.35,
        tuck_under_mm: 0.0,
        gap_mm: 1.0,
        stripe_tolerance_mm: 0.0,
    };

    fn part(name: &str, sweep_deg: f64, wedges: usize, hub_mm: f64, rim_mm: f64) -> Part {
        Part {
            name: name.to_owned(),
            fabric: "deck".to_owned(),
            form: Form::Fan(Fan {
                from_deg: 0.0,
                sweep_deg,
                wedges,
                hub_mm,
                rim_mm,
                spokes: None,
            }),
            rotate_deg: 0.0,
            meet: Meet::Seam,
            ends: Ends::Seam,
            stripes: PartStripes::Through { normal_deg: 0.0 },
            grain_deg: None,
            phase_mm: None,
            along_mm: 0.0,
            copies: Copies::Alike,
            tie: None,
        }
    }

    fn motif(parts: Vec<Part>) -> Assembly {
        let motif = Motif {
            code: None,
            ground: Default::default(),
            name: "tide".to_owned(),
            copies: 1,
            parts,
        };
        assemble(&motif, &MAKING).unwrap()
    }

    /// Rotated by 90 degrees, the corner (x, y) of a drawn shape lies at (-y, x).
    #[test]
    fn drawn_shapes_are_rotated_about_the_centre() {
        let corners = vec![point(10.0, 5.0), point(70.0, 5.0), point(70.0, 45.0)];
        let mut drawn = part("sail", 360.0, 1, 0.0, 60.0);
        drawn.form = Form::Outline(corners.clone());
        drawn.rotate_deg = 90.0;
        let assembly = motif(vec![drawn]);
        let ring = open(assembly.pieces[0].finished.exterior());
        assert_eq!(ring.len(), corners.len());
        for corner in corners {
            let there = point(-corner.y, corner.x);
            assert!(
                ring.iter()
                    .any(|&p| crate::shape::distance(p, there) < 1e-9),
                "{ring:?}"
            );
        }
    }

    /// Length of edges by role.
    fn lengths(piece: &Piece, role: Role) -> f64 {
        rings(&piece.finished)
            .flat_map(edges)
            .zip(&piece.roles)
            .filter(|(_, r)| **r == role)
            .map(|((p, q), _)| crate::shape::distance(p, q))
            .sum()
    }

    #[test]
    fn a_half_circle_of_two_wedges_meets_on_its_seam() {
        let half = motif(vec![
            part("fan", 180.0, 2, 20.0, 100.0),
            part("disc", 180.0, 1, 0.0, 30.0),
        ]);
        assert_eq!(half.pieces.len(), 3);
        assert_eq!(half.seams_rad.len(), 3);
        let left = &half.pieces[1];
        assert_eq!(left.name, "fan, wedge 2 of 2");
        // Both straight sides are sewn, all the way in; the rim is turned; the hub
        // is covered by the disc.
        assert!((lengths(left, Role::Seamed) - 160.0).abs() < 1e-6);
        let quarter = std::f64::consts::FRAC_PI_2;
        assert!((lengths(left, Role::Turned) - 100.0 * quarter).abs() < 0.2);
        assert!((lengths(left, Role::Covered) - 20.0 * quarter).abs() < 0.1);
        // The joint is seen from the disc's edge outward.
        let [inner, outer] = half.joints[0].line;
        assert!((inner.y - 30.0).abs() < 0.05 && (outer.y - 100.0).abs() < 1e-9);
        assert_eq!(
            (half.joints.len(), half.joints[0].a, half.joints[0].b),
            (1, 0, 1)
        );
        // Cut line: the quarter ring, a strip at each side, one round the rim.
        let exact = left.finished.unsigned_area()
            + 2.0 * 80.0 * 6.35
            + 4.7625 * (quarter * 102.38)
            + 2.0 * 6.35 * 4.7625;
        assert!(
            (left.cut.unsigned_area() - exact).abs() < 5.0,
            "{}",
            left.cut.unsigned_area() - exact
        );
    }

    #[test]
    fn three_quarters_have_four_seams_and_two_joints() {
        let corner = motif(vec![part("fan", 270.0, 3, 20.0, 100.0)]);
        assert_eq!((corner.seams_rad.len(), corner.joints.len()), (4, 2));
        let whole = motif(vec![part("fan", 360.0, 4, 20.0, 100.0)]);
        assert_eq!((whole.seams_rad.len(), whole.joints.len()), (4, 4));
        assert_eq!((whole.joints[3].a, whole.joints[3].b), (3, 0));
    }

    #[test]
    fn lapped_wedges_run_under_one_neighbour() {
        let mut fan = part("fan", 360.0, 6, 20.0, 100.0);
        fan.meet = Meet::OneOverOther;
        let whole = motif(vec![fan.clone()]);
        for piece in &whole.pieces {
            assert!((lengths(piece, Role::Lapped) - 80.0).abs() < 1e-6);
            assert_eq!(lengths(piece, Role::Seamed), 0.0);
        }
        if let Form::Fan(f) = &mut fan.form {
            f.sweep_deg = 120.0;
            f.wedges = 2;
        }
        let open = motif(vec![fan]);
        assert_eq!(lengths(&open.pieces[0], Role::Lapped), 0.0);
        assert!((lengths(&open.pieces[0], Role::Seamed) - 80.0).abs() < 1e-6);
    }

    #[test]
    fn narrow_gaps_are_snipped_down_the_middle_and_pieces_stay_apart() {
        let mut fan = part("wheel", 180.0, 2, 12.0, 100.0);
        if let Form::Fan(f) = &mut fan.form {
            f.spokes = Some(Spokes {
                per_wedge: 4,
                root_mm: 40.0,
                root_width_mm: 16.5,
                tip_width_mm: 20.0,
                tip: Tip::Flat,
            });
        }
        let wheel = motif(vec![fan]);
        let left = &wheel.pieces[1];
        assert!(left.clips.len() >= 3, "{:?}", left.clips);
        for [from, to] in &left.clips {
            assert!(left.cut.contains(&geo_types::Point((*from + *to) / 2.0)));
            assert!(!left.finished.contains(&geo_types::Point(*to)));
        }
        // The finished wedges touch at their joint and nowhere overlap.
        let overlap = wheel.pieces[0].finished.intersection(&left.finished);
        assert!(overlap.unsigned_area() < 1e-3);
        assert!(left.cut.interiors().is_empty());
    }

    // G-20: 36 degrees fails, 22.5 does not. P-08, G-15c: 22.5 degrees and 1/4 in
    // overlap within 1.2568 in (own derivation there).
    #[test]
    fn remarks_name_the_angle_and_the_small_hub() {
        let odd = motif(vec![part("fan", 180.0, 5, 60.0, 100.0)]);
        assert!(matches!(
            odd.remarks[..],
            [Remark::WedgeAngle { nearest_deg: [less, more], .. }] if less == 30.0 && more == 45.0
        ));
        let small = motif(vec![part("fan", 360.0, 16, 1.25 * 25.4, 100.0)]);
        assert!(
            matches!(small.remarks[..], [Remark::SmallHub { overlap_mm, .. }]
            if (overlap_mm / 25.4 - 1.2568).abs() < 1e-4)
        );
        let enough = motif(vec![part("fan", 360.0, 16, 1.26 * 25.4, 100.0)]);
        assert!(enough.remarks.is_empty());
    }

    // A hub of 20 mm under a disc of 20 mm ends flush; 22 mm of disc and 3 mm of tuck-under are
    // 5 mm, more than the turn-under of 4.7625 mm.
    #[test]
    fn a_hub_as_large_as_the_disc_above_is_told() {
        let of = |disc_mm: f64, tuck_under_mm: f64| {
            let motif = Motif {
                code: None,
                ground: Default::default(),
                name: "tide".to_owned(),
                copies: 1,
                parts: vec![
                    part("fan", 360.0, 4, 20.0, 100.0),
                    part("disc", 360.0, 1, 0.0, disc_mm),
                ],
            };
            let making = Making {
                tuck_under_mm,
                ..MAKING
            };
            let remarks = assemble(&motif, &making).unwrap().remarks;
            remarks.into_iter().find_map(|remark| match remark {
                Remark::Flush {
                    overlap_mm,
                    safe_tuck_under_mm,
                    ..
                } => Some((overlap_mm, safe_tuck_under_mm)),
                _ => None,
            })
        };
        assert_eq!(of(20.0, 0.0), Some((0.0, 4.7625)));
        assert_eq!(of(22.0, 0.0), Some((2.0, 2.7625)));
        assert_eq!(of(22.0, 3.0), None);
        assert_eq!(of(20.0, 4.7625), None);
        // A disc that does not reach the hub leaves it open: it is turned, not flush.
        assert_eq!(of(19.0, 0.0), None);
    }
}
