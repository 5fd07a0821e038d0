//! Shapes out of the numbers of a project, with arcs far finer than the library's.

use super::generate::Part;
use geo::{BooleanOps, Coord, LineString, MultiPolygon, Polygon};
use serde_json::Value;

/// Chords of a full circle.
const FINE: f64 = 1440.0;

pub fn polar(radius: f64, rad: f64) -> Coord<f64> {
    Coord {
        x: radius * rad.cos(),
        y: radius * rad.sin(),
    }
}

/// A ring sector between two radii and two directions.
fn sector(hub: f64, rim: f64, from: f64, to: f64) -> MultiPolygon<f64> {
    let steps = ((to - from) / std::f64::consts::TAU * FINE).ceil().max(2.0) as usize;
    let arc = |radius: f64| -> Vec<Coord<f64>> {
        (0..=steps)
            .map(|i| polar(radius, from + (to - from) * i as f64 / steps as f64))
            .collect()
    };
    let whole = to - from > std::f64::consts::TAU - 1e-9;
    let mut outer = arc(rim);
    if whole {
        let holes = if hub > 0.0 {
            vec![LineString(arc(hub))]
        } else {
            vec![]
        };
        return MultiPolygon(vec![Polygon::new(LineString(outer), holes)]);
    }
    if hub > 0.0 {
        outer.extend(arc(hub).into_iter().rev());
    } else {
        outer.push(Coord { x: 0.0, y: 0.0 });
    }
    MultiPolygon(vec![Polygon::new(LineString(outer), vec![])])
}

/// Where a wedge begins and ends (radians).
pub fn sides(part: &Part, wedge: usize) -> (f64, f64) {
    let step = part.sweep / part.wedges as f64;
    let from = part.from + part.turn + step * wedge as f64;
    (from.to_radians(), (from + step).to_radians())
}

/// The finished shape of a wedge.
pub fn finished(part: &Part, wedge: usize) -> MultiPolygon<f64> {
    let (from, to) = sides(part, wedge);
    let Some(spokes) = &part.spokes else {
        return sector(part.hub, part.rim, from, to);
    };
    let mut shape = sector(part.hub, spokes.root, from, to);
    let cell = (to - from) / spokes.count as f64;
    let (h0, h1) = (spokes.root_width / 2.0, spokes.tip_width / 2.0);
    let foot = (spokes.root * spokes.root - h0 * h0).sqrt();
    for i in 0..spokes.count {
        let axis = from + cell * (i as f64 + 0.5);
        let at = |x: f64, y: f64| Coord {
            x: x * axis.cos() - y * axis.sin(),
            y: x * axis.sin() + y * axis.cos(),
        };
        // The foot's chord lies within the root circle: the spoke stands on the arc.
        let mut spoke = vec![at(foot, -h0)];
        if spokes.pointed {
            spoke.extend([
                at(part.rim - h1, -h1),
                at(part.rim, 0.0),
                at(part.rim - h1, h1),
            ]);
        } else {
            spoke.extend([at(part.rim, -h1), at(part.rim, h1)]);
        }
        spoke.push(at(foot, h0));
        shape = shape.union(&Polygon::new(LineString(spoke), vec![]));
    }
    shape
}

/// A ring of the plan file.
fn ring(value: &Value) -> LineString<f64> {
    let points = value.as_array().expect("a ring is a list");
    LineString(
        points
            .iter()
            .map(|p| Coord {
                x: p[0].as_f64().expect("a number"),
                y: p[1].as_f64().expect("a number"),
            })
            .collect(),
    )
}

/// A region of the plan file: `finished` or `cut`.
pub fn region(placement: &Value, what: &str) -> Polygon<f64> {
    let holes = placement[format!("{what}_holes")].as_array();
    Polygon::new(
        ring(&placement[what]),
        holes.into_iter().flatten().map(ring).collect(),
    )
}

/// How a piece lies: mirror (x to -x), turn, move.
#[derive(Clone, Copy)]
pub struct Lie {
    pub mirror: bool,
    pub turn: f64,
    pub dx: f64,
    pub dy: f64,
}

impl Lie {
    pub fn of(placement: &Value) -> Self {
        let to = &placement["to_fabric"];
        Self {
            mirror: to["mirror"].as_bool().expect("a truth"),
            turn: to["rotate_deg"].as_f64().expect("a number").to_radians(),
            dx: to["dx"].as_f64().expect("a number"),
            dy: to["dy"].as_f64().expect("a number"),
        }
    }

    pub fn put(&self, p: Coord<f64>) -> Coord<f64> {
        let x = if self.mirror { -p.x } else { p.x };
        let (sin, cos) = self.turn.sin_cos();
        Coord {
            x: cos * x - sin * p.y + self.dx,
            y: sin * x + cos * p.y + self.dy,
        }
    }
}

/// Every placement of the plan with the index of its fabric.
pub fn placements<'p>(plan: &'p Value, fabric: &str) -> Vec<&'p Value> {
    let fabrics = plan["fabrics"].as_array().expect("a list");
    let one = fabrics.iter().find(|c| c["name"] == fabric);
    one.and_then(|c| c["placements"].as_array())
        .into_iter()
        .flatten()
        .collect()
}

/// Which wedge of its part a piece is: they stand in their order in the plan's motif.
pub fn wedge_of(plan: &Value, placement: &Value) -> usize {
    let motifs = plan["motifs"].as_array().expect("a list");
    let motif = motifs.iter().find(|m| m["name"] == placement["motif"]);
    let pieces = motif.and_then(|m| m["pieces"].as_array()).expect("a list");
    let mut wedges = pieces.iter().filter(|p| p["part"] == placement["part"]);
    let found = wedges.position(|p| p["piece"] == placement["piece"]);
    found.expect("one of its motif's pieces")
}
