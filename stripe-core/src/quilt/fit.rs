//! Whether everything fits: nothing is stretched in silence.

use super::footprint::{Footprint, footprint, overlap};
use super::misfit::{FieldFit, FitFinding, MOST_PAIRS, Misfit, MotifCopy, Narrow, SILENT_MM};
use super::quilt_top::{QuiltTop, field_size};
use super::spots::{MotifSpot, Station, facing};
use super::{Border, Corners, Field, Make, Quilt, Site};
use crate::motif::{Form, Motif};
use crate::shape::{cross, dot, unit};

/// A joint this near to a seam is sewn through it (mm): 1/8 in, half an allowance.
const BULK_MM: f64 = 3.175;

/// Everything that does not fit, what stops the work first.
pub fn check(
    quilt: &Quilt,
    motifs: &[Motif],
    quilt_top: &QuiltTop,
    spots: &[MotifSpot],
) -> Vec<FitFinding> {
    let mut found = Findings::default();
    widths(quilt, &mut found);
    if found.list.is_empty() {
        borders(quilt, &mut found);
        sites(quilt, motifs, spots, &mut found);
        motifs_on_ground(quilt, motifs, quilt_top, spots, &mut found);
    }
    found.list.sort_by_key(|finding| !finding.stops);
    found.list
}

#[derive(Default)]
struct Findings {
    list: Vec<FitFinding>,
}

impl Findings {
    fn stop(&mut self, misfit: Misfit) {
        self.list.push(FitFinding {
            stops: true,
            misfit,
        });
    }

    /// Notes what may be found of many copies: once, as it is worst, and how often.
    fn once(&mut self, stops: bool, misfit: Misfit) {
        let of_kind = |one: &&mut FitFinding| one.stops == stops && is_alike(&one.misfit, &misfit);
        match self.list.iter_mut().find(of_kind) {
            Some(known) => known.misfit = worse_of(&known.misfit, misfit),
            None => self.list.push(FitFinding { stops, misfit }),
        }
    }
}

/// Whether two misfits are the same but for the copies and by how much.
fn is_alike(one: &Misfit, other: &Misfit) -> bool {
    use Misfit::{Beyond, Overlap, SeamUnderJoint};
    match (one, other) {
        (Overlap { a, b, .. }, Overlap { a: c, b: d, .. }) => {
            (&a.motif, &b.motif) == (&c.motif, &d.motif)
        }
        (
            Beyond { motif, edge, .. },
            Beyond {
                motif: m, edge: e, ..
            },
        ) => (&motif.motif, edge) == (&m.motif, e),
        (SeamUnderJoint { motif, .. }, SeamUnderJoint { motif: m, .. }) => motif.motif == m.motif,
        _ => false,
    }
}

/// The worse of two that are alike, the first of equals, with both counted.
fn worse_of(known: &Misfit, next: Misfit) -> Misfit {
    use Misfit::{Beyond, Overlap, SeamUnderJoint};
    let how_bad = |misfit: &Misfit| match misfit {
        Overlap { by_mm: by, .. } | Beyond { by_mm: by, .. } => *by,
        SeamUnderJoint { off_mm: off, .. } => -off,
        _ => 0.0,
    };
    let nearest = |misfit: &Misfit| match misfit {
        Overlap {
            apart_mm: apart, ..
        } => *apart,
        _ => f64::INFINITY,
    };
    let least = nearest(known).min(nearest(&next));
    let counted = match known {
        Overlap { more, .. } | Beyond { more, .. } | SeamUnderJoint { more, .. } => more + 1,
        _ => 0,
    };
    let mut worse = if how_bad(&next) > how_bad(known) + 1e-6 {
        next
    } else {
        known.clone()
    };
    match &mut worse {
        Overlap {
            more,
            apart_mm: apart,
            ..
        } => (*more, *apart) = (counted, least),
        Beyond { more, .. } | SeamUnderJoint { more, .. } => *more = counted,
        _ => {}
    }
    worse
}

/// Whether anything is left of every piece between its seams.
fn widths(quilt: &Quilt, found: &mut Findings) {
    let seams = 2.0 * quilt.seam_mm;
    let mut check = |what: Narrow, cut: f64| {
        if cut <= seams + 1e-6 {
            found.stop(Misfit::NothingLeft {
                what,
                cut_mm: cut,
                seams_mm: seams,
            });
        }
    };
    check(Narrow::Field, quilt.field.strip_width_mm);
    check(Narrow::Field, quilt.field.strip_length_mm);
    for border in &quilt.borders {
        check(Narrow::Border(border.name.clone()), border.depth_mm);
        if let Make::Units { unit_mm, .. } = border.make {
            check(Narrow::Unit(border.name.clone()), unit_mm);
        }
    }
}

const ENDS: &str = "top and bottom";
const SIDES: &str = "left and right";

/// What does not fit of a border's sides: its index, which sides, and how.
type OfSides = (usize, &'static str, Misfit);

/// The borders' misfits, with those cures alone that upset nothing else.
fn borders(quilt: &Quilt, found: &mut Findings) {
    let before = misfits_of(quilt);
    let had = |one: &OfSides| before.iter().any(|b| (b.0, b.1) == (one.0, one.1));
    for (idx, sides, misfit) in &before {
        let mut misfit = misfit.clone();
        if let Misfit::Run {
            unit_fits_mm: unit_fits,
            field_fits,
            ..
        } = &mut misfit
        {
            if let Some(length) = *unit_fits {
                let mut cured = quilt.clone();
                if let Make::Units { unit_mm, .. } = &mut cured.borders[*idx].make {
                    *unit_mm = length;
                }
                let after = misfits_of(&cured);
                if !after.iter().all(|one| one.0 != *idx && had(one)) {
                    *unit_fits = None;
                }
            }
            if let Some(fit) = *field_fits {
                let mut cured = quilt.clone();
                match fit {
                    FieldFit::StripLength(length) => cured.field.strip_length_mm = length,
                    FieldFit::StripWidth(_, width) => cured.field.strip_width_mm = width,
                }
                let after = misfits_of(&cured);
                if !after
                    .iter()
                    .all(|one| (one.0, one.1) != (*idx, *sides) && had(one))
                {
                    *field_fits = None;
                }
            }
        }
        found.stop(misfit);
    }
}

fn misfits_of(quilt: &Quilt) -> Vec<OfSides> {
    let mut found: Vec<OfSides> = Vec::new();
    let seam = quilt.seam_mm;
    let (mut width, mut height) = field_size(&quilt.field, seam);
    let mut against = "the field".to_owned();
    for (idx, border) in quilt.borders.iter().enumerate() {
        let field = (idx == 0).then_some(&quilt.field);
        match &border.make {
            Make::Units {
                unit_mm,
                across,
                along,
                ..
            } => {
                let mut run = |sides, units, side: f64, level| {
                    let misfit = unit_run(border, sides, units, *unit_mm, side, seam, &against);
                    if let Some(mut misfit) = misfit {
                        if let (
                            Misfit::Run {
                                run_mm: run,
                                field_fits,
                                ..
                            },
                            Some(field),
                        ) = (&mut misfit, field)
                        {
                            *field_fits = Some(field_fit(field, *run, seam, level));
                        }
                        found.push((idx, sides, misfit));
                    }
                };
                run(ENDS, *across, width, true);
                run(SIDES, *along, height, false);
            }
            Make::Plain {
                corners,
                side_length_mm,
                end_length_mm,
                ..
            } => {
                let over = 2.0 * (border.depth_mm - 2.0 * seam);
                let (side_over, end_over) = match corners {
                    Corners::SidesFirst => (0.0, over),
                    Corners::EndsFirst => (over, 0.0),
                    Corners::Squares(_) => (0.0, 0.0),
                    Corners::Mitred => (over, over),
                };
                let set = [
                    (SIDES, side_length_mm, height + side_over),
                    (ENDS, end_length_mm, width + end_over),
                ];
                for (sides, cut, finished) in set {
                    let needed = finished + 2.0 * seam;
                    if let Some(cut) = *cut
                        && (cut - needed).abs() > SILENT_MM
                    {
                        let border = border.name.clone();
                        let misfit = Misfit::Strip {
                            border,
                            sides,
                            cut_mm: cut,
                            needed_mm: needed,
                        };
                        found.push((idx, sides, misfit));
                    }
                }
            }
        }
        let depth = border.depth_mm - 2.0 * seam;
        width += 2.0 * depth;
        height += 2.0 * depth;
        against.clone_from(&border.name);
    }
    found
}

fn unit_run(
    border: &Border,
    sides: &'static str,
    units: usize,
    unit_mm: f64,
    finished: f64,
    seam: f64,
    against: &str,
) -> Option<Misfit> {
    let raw = 2.0 * seam;
    let each = unit_mm - raw;
    let run = units as f64 * each + raw;
    let side = finished + raw;
    if (run - side).abs() <= SILENT_MM {
        return None;
    }
    let other = (finished / each).round().max(1.0);
    let fits = (other * each - finished).abs() <= SILENT_MM && other as usize != units;
    Some(Misfit::Run {
        border: border.name.clone(),
        sides,
        units,
        unit_mm,
        run_mm: run,
        against: against.to_owned(),
        side_mm: side,
        unit_fits_mm: Some(finished / units.max(1) as f64 + raw),
        count_fits: fits.then_some(other as usize),
        field_fits: None,
    })
}

/// How the field would have to be cut for a border run of `run` (raw edges) to fit.
fn field_fit(field: &Field, run: f64, seam: f64, level_side: bool) -> FieldFit {
    let raw = 2.0 * seam;
    if field.level == level_side {
        FieldFit::StripLength(run)
    } else {
        let n = field.strips.max(1);
        FieldFit::StripWidth(n, (run - raw) / n as f64 + raw)
    }
}

/// Whether every place has a motif of the right kind, and as many as there are copies.
fn sites(quilt: &Quilt, motifs: &[Motif], spots: &[MotifSpot], found: &mut Findings) {
    for place in &quilt.places {
        let Some(motif) = motifs.iter().find(|m| m.name == place.motif) else {
            continue;
        };
        let (border, needed_deg, words) = match place.site {
            Site::At(_) | Site::Even { .. } => continue,
            Site::Seams { border, .. } => (border, 180.0, "a seam between border units"),
            Site::Corners { border } => (border, 270.0, "a corner"),
        };
        let (sweep_deg, _) = facing(motif);
        if (sweep_deg - needed_deg).abs() > 1e-6 {
            found.stop(Misfit::Sweep {
                motif: motif.name.clone(),
                sweep_deg,
                needed_deg,
                place: words,
            });
        }
        let Some(border) = quilt.borders.get(border) else {
            continue;
        };
        let Make::Units { across, along, .. } = border.make else {
            if matches!(place.site, Site::Seams { .. }) {
                found.stop(Misfit::NoUnits {
                    border: border.name.clone(),
                    motif: motif.name.clone(),
                });
            }
            continue;
        };
        if let Site::Seams { every: 2, .. } = place.site {
            for (sides, units) in [(ENDS, across), (SIDES, along)] {
                if units % 2 == 1 {
                    found.stop(Misfit::OddUnits {
                        border: border.name.clone(),
                        sides,
                        units,
                        motif: motif.name.clone(),
                    });
                }
            }
        }
    }
    for motif in motifs {
        let places = spots.iter().filter(|s| s.motif == motif.name).count();
        if places > 0 && places != motif.copies {
            found.stop(Misfit::Copies {
                motif: motif.name.clone(),
                copies: motif.copies,
                places,
            });
        }
    }
}

fn motifs_on_ground(
    quilt: &Quilt,
    motifs: &[Motif],
    quilt_top: &QuiltTop,
    spots: &[MotifSpot],
    found: &mut Findings,
) {
    let prints: Vec<Footprint> = motifs.iter().map(footprint).collect();
    let print_of = |spot: &MotifSpot| {
        let idx = motifs.iter().position(|m| m.name == spot.motif)?;
        Some((&motifs[idx], &prints[idx]))
    };
    let mut laid = Vec::new();
    for spot in spots {
        let Some((motif, print)) = print_of(spot) else {
            continue;
        };
        let regions = print.at(&spot.to_quilt());
        beyond(quilt, quilt_top, spot, &regions, found);
        if spot.station == Station::Field {
            seams_under(motif, quilt_top, spot, found);
        }
        laid.push((spot, print.reach_mm, regions));
    }
    let mut pairs = 0;
    for (i, (a, reach_a, on_a)) in laid.iter().enumerate() {
        for (b, reach_b, on_b) in &laid[..i] {
            let apart = (a.centre.x - b.centre.x).hypot(a.centre.y - b.centre.y);
            let clear = reach_a + reach_b;
            if apart < clear && overlap(on_a, on_b) {
                let misfit = Misfit::Overlap {
                    a: name(b),
                    b: name(a),
                    by_mm: clear - apart,
                    clear_mm: clear,
                    apart_mm: apart,
                    more: 0,
                };
                found.once(true, misfit);
                pairs += 1;
                if pairs == MOST_PAIRS {
                    return;
                }
            }
        }
    }
}

fn name(spot: &MotifSpot) -> MotifCopy {
    MotifCopy {
        motif: spot.motif.clone(),
        copy: spot.copy,
    }
}

/// How far a motif sticks out of the quilt, else out of the part that it sits on.
fn beyond(
    quilt: &Quilt,
    quilt_top: &QuiltTop,
    spot: &MotifSpot,
    regions: &[crate::shape::Region],
    found: &mut Findings,
) {
    let out_of = |edge: super::Rect| {
        let points = regions.iter().flat_map(|r| r.exterior().0.iter());
        points
            .map(|p| {
                (edge.x0 - p.x)
                    .max(p.x - edge.x1)
                    .max(edge.y0 - p.y)
                    .max(p.y - edge.y1)
            })
            .fold(0.0, f64::max)
    };
    let by = out_of(quilt_top.edge());
    if by > SILENT_MM {
        let misfit = Misfit::Beyond {
            motif: name(spot),
            edge: "the quilt's finished edge".to_owned(),
            by_mm: by,
            more: 0,
        };
        found.once(true, misfit);
        return;
    }
    let (edge, words) = match spot.station {
        Station::Field => (quilt_top.field, "the field".to_owned()),
        Station::Seam { border, .. } | Station::Corner { border, .. } => {
            (quilt_top.rings[border], quilt.borders[border].name.clone())
        }
    };
    let by = out_of(edge);
    if by > SILENT_MM {
        let misfit = Misfit::Beyond {
            motif: name(spot),
            edge: words,
            by_mm: by,
            more: 0,
        };
        found.once(false, misfit);
    }
}

/// Whether a seam of the field runs under a joint between two wedges.
fn seams_under(motif: &Motif, quilt_top: &QuiltTop, spot: &MotifSpot, found: &mut Findings) {
    let mut nearest: Option<f64> = None;
    for part in &motif.parts {
        let Form::Fan(fan) = &part.form else { continue };
        if fan.wedges < 2 {
            continue;
        }
        let inner = if fan.sweep_deg > 360.0 - 1e-6 { 0 } else { 1 };
        for wedge in inner..fan.wedges {
            let deg = fan.from_deg
                + part.rotate_deg
                + spot.rotate_deg
                + fan.sweep_deg * wedge as f64 / fan.wedges as f64;
            let along = unit(deg.to_radians());
            for seam in &quilt_top.seams {
                let run = seam.b - seam.a;
                let length = run.x.hypot(run.y);
                if length <= 0.0 || cross(along, run).abs() > 0.02 * length {
                    continue;
                }
                let off = (cross(run, spot.centre - seam.a) / length).abs();
                let reach = fan.rim_mm;
                let at = dot(run, spot.centre - seam.a) / length;
                if off < BULK_MM && at > -reach && at < length + reach {
                    nearest = Some(nearest.map_or(off, |n: f64| n.min(off)));
                }
            }
        }
    }
    if let Some(off) = nearest {
        let misfit = Misfit::SeamUnderJoint {
            motif: name(spot),
            off_mm: off,
            more: 0,
        };
        found.once(false, misfit);
    }
}
