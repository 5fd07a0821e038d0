//! Where every copy of every motif goes, in which order they are counted.

use super::order::{Disorder, Neighbours, PlaceOrder, arrange};
use super::quilt_top::{QuiltTop, Side, lay_out};
use super::{Make, Quilt, Site};
use crate::motif::{Form, Motif};
use crate::shape::{Point, Rigid, point};
use std::collections::BTreeMap;

/// What a motif sits on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Station {
    /// The field.
    Field,
    /// The seam between two units of a border.
    Seam {
        /// Which border, from the inside, from 0.
        border: usize,
        /// Which side.
        side: Side,
        /// Between this unit and the next, counted from 1, from the left or the top.
        after: usize,
    },
    /// An inner corner of a border.
    Corner {
        /// Which border, from the inside, from 0.
        border: usize,
        /// 0 top left, 1 top right, 2 bottom right, 3 bottom left.
        corner: usize,
    },
}

/// One motif on the quilt.
#[derive(Debug, Clone, PartialEq)]
pub struct MotifSpot {
    /// The motif's name.
    pub motif: String,
    /// Which copy of it, from 1.
    pub copy: usize,
    /// Its centre on the quilt (mm).
    pub centre: Point,
    /// How far it is turned (degrees counter-clockwise).
    pub rotate_deg: f64,
    /// What it sits on.
    pub station: Station,
}

impl MotifSpot {
    /// From the motif's frame to the quilt's.
    pub fn to_quilt(&self) -> Rigid {
        Rigid {
            rotate_rad: self.rotate_deg.to_radians(),
            mirror: false,
            shift: self.centre,
        }
    }
}

/// How far round a motif goes, and the direction of its middle (degrees): of the
/// first part that does not close, else a full turn about the vertical.
pub(super) fn facing(motif: &Motif) -> (f64, f64) {
    for part in &motif.parts {
        if let Form::Fan(fan) = &part.form
            && fan.sweep_deg < 360.0 - 1e-6
        {
            let middle = fan.from_deg + fan.sweep_deg / 2.0 + part.rotate_deg;
            return (fan.sweep_deg, middle);
        }
    }
    (360.0, 90.0)
}

/// All motifs of a quilt, place by place in the file's order: the field row by row from
/// the top left, borders clockwise from the top left, each side as its units are counted.
pub fn spots(quilt: &Quilt, motifs: &[Motif], quilt_top: &QuiltTop) -> Vec<MotifSpot> {
    let mut spots: Vec<MotifSpot> = Vec::new();
    let mut copies: BTreeMap<&str, usize> = BTreeMap::new();
    for place in &quilt.places {
        let (_, middle_deg) = motifs
            .iter()
            .find(|m| m.name == place.motif)
            .map_or((360.0, 90.0), facing);
        let stands = stands(quilt, &place.site, quilt_top);
        for (at, stand) in stands.into_iter().enumerate() {
            if place.only.as_ref().is_some_and(|only| !only.contains(&at)) {
                continue;
            }
            let copy = copies.entry(&place.motif).or_default();
            *copy += 1;
            let facing = stand.outward_deg.map_or(0.0, |out| out - middle_deg);
            spots.push(MotifSpot {
                motif: place.motif.clone(),
                copy: *copy,
                centre: stand.centre,
                rotate_deg: tidy(facing + place.rotate_deg),
                station: stand.station,
            });
        }
    }
    spots
}

/// One place of a site, whatever motif goes there.
struct Stand {
    /// On the quilt (mm).
    centre: Point,
    /// Which way is out, if the site has a way out (degrees).
    outward_deg: Option<f64>,
    station: Station,
}

/// All places of a site, in the order in which they are counted.
fn stands(quilt: &Quilt, site: &Site, quilt_top: &QuiltTop) -> Vec<Stand> {
    let mut stands = vec![];
    let mut put = |centre, outward_deg: Option<f64>, station| {
        stands.push(Stand {
            centre,
            outward_deg,
            station,
        });
    };
    match site {
        Site::At(points) => {
            for &centre in points {
                put(centre, None, Station::Field);
            }
        }
        Site::Even { columns, rows } => {
            let field = quilt_top.field;
            for row in 0..*rows {
                for column in 0..*columns {
                    let across = (column as f64 + 0.5) / *columns as f64;
                    let down = (row as f64 + 0.5) / *rows as f64;
                    let centre = point(field.width() * across, field.height() * (1.0 - down));
                    put(centre, None, Station::Field);
                }
            }
        }
        Site::Seams { border, every } => {
            let first = first_seam(quilt, *border, *every);
            for side in Side::ALL {
                for (after, centre) in seam_centres(quilt, quilt_top, *border, side) {
                    if after < first || !(after - first).is_multiple_of(*every) {
                        continue;
                    }
                    let station = Station::Seam {
                        border: *border,
                        side,
                        after,
                    };
                    put(centre, Some(side.outward_deg()), station);
                }
            }
        }
        Site::Corners { border } => {
            let inner = quilt_top.inside_of(*border);
            let corners = [
                (inner.x0, inner.y1, 135.0),
                (inner.x1, inner.y1, 45.0),
                (inner.x1, inner.y0, -45.0),
                (inner.x0, inner.y0, -135.0),
            ];
            for (corner, (x, y, out)) in corners.into_iter().enumerate() {
                let station = Station::Corner {
                    border: *border,
                    corner,
                };
                put(point(x, y), Some(out), station);
            }
        }
    }
    stands
}

/// Which of the `motifs` goes to each place of a site; `quilt` has its borders, and all sites
/// among its places. Points on the field have no neighbours.
pub(crate) fn share<'a>(
    quilt: &Quilt,
    site: &Site,
    motifs: &'a [String],
    order: PlaceOrder,
) -> Result<Vec<&'a str>, Disorder> {
    let count = stands(quilt, site, &lay_out(quilt)).len();
    let neighbours = match site {
        Site::Even { columns, rows } => Neighbours::grid(*columns, *rows),
        Site::At(_) => Neighbours::none(count),
        Site::Seams { .. } | Site::Corners { .. } => Neighbours::ring(count),
    };
    arrange(order, motifs, &neighbours)
}

/// The first seam that carries a half motif: where corner motifs take the outer units
/// for themselves, every other seam begins one unit later.
pub(super) fn first_seam(quilt: &Quilt, border: usize, every: usize) -> usize {
    let cornered = quilt
        .places
        .iter()
        .any(|p| p.site == Site::Corners { border });
    if every > 1 && cornered { 2 } else { 1 }
}

/// Where the seams between units meet a border's inner seam.
fn seam_centres(
    quilt: &Quilt,
    quilt_top: &QuiltTop,
    border: usize,
    side: Side,
) -> Vec<(usize, Point)> {
    let Some(Make::Units { across, along, .. }) = quilt.borders.get(border).map(|b| &b.make) else {
        return vec![];
    };
    let n = if side.is_level() { *across } else { *along };
    let inner = quilt_top.inside_of(border);
    (1..n)
        .map(|after| {
            let share = after as f64 / n as f64;
            let (x, y) = (
                inner.x0 + inner.width() * share,
                inner.y1 - inner.height() * share,
            );
            let centre = match side {
                Side::Top => point(x, inner.y1),
                Side::Bottom => point(x, inner.y0),
                Side::Left => point(inner.x0, y),
                Side::Right => point(inner.x1, y),
            };
            (after, centre)
        })
        .collect()
}

/// In `(-180, 180]`, so that turns read well.
fn tidy(deg: f64) -> f64 {
    let turn = deg.rem_euclid(360.0);
    if turn > 180.0 { turn - 360.0 } else { turn }
}
