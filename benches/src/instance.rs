//! Instance files of the three kinds, told apart by their fields.

use geo::{Coord, LineString, Polygon};
use serde::Deserialize;
use stripe_core::lay::{Item, Job, Kind, Layout, Lock, Pose, Shape, Window};

/// An instance file as it stands.
#[derive(Debug, Clone, Deserialize)]
pub struct Instance {
    /// Its name.
    pub name: String,
    /// The strip's fixed width, in the file's unit.
    pub width: f64,
    /// Locked: the repeat of the stripe.
    pub repeat: Option<f64>,
    /// The length that is known to be the best.
    pub optimum: Option<f64>,
    /// Locked: the length by hand.
    pub by_hand: Option<f64>,
    /// Locked: what a plain search reached.
    pub plain_trial: Option<f64>,
    /// Irregular: the best density published.
    pub best_density_percent: Option<f64>,
    /// Locked and irregular: the pieces.
    #[serde(default)]
    pub pieces: Vec<Piece>,
    /// Guillotine: the rectangles, width and height.
    #[serde(default)]
    pub rectangles: Vec<[f64; 2]>,
}

/// A piece of an instance file.
#[derive(Debug, Clone, Deserialize)]
pub struct Piece {
    /// How many there are.
    pub count: usize,
    /// The turns it may take (degrees counter-clockwise).
    #[serde(default)]
    pub turns: Option<Vec<f64>>,
    /// Its outline.
    pub outline: Vec<[f64; 2]>,
}

/// Which kind of instance a file holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// Striped fabric.
    Locked,
    /// Plain fabric.
    Irregular,
    /// Straight cuts.
    Guillotine,
}

/// Half the clear gap by which the pieces of a free-offset locked instance may
/// stick out over the selvages (the instances' own description says so).
const OVERHANG: f64 = 0.0675;

/// One placed piece, in the file's unit and frame: turned about the origin, then
/// moved.
#[derive(Debug, Clone, Copy)]
pub struct Placed {
    /// Index of the piece in the file.
    pub piece: usize,
    /// Turn (degrees counter-clockwise).
    pub rotate_deg: f64,
    /// Translation.
    pub shift: [f64; 2],
}

impl Instance {
    /// Which kind it is.
    pub fn sort(&self) -> Sort {
        if !self.rectangles.is_empty() {
            Sort::Guillotine
        } else if self.repeat.is_some() {
            Sort::Locked
        } else {
            Sort::Irregular
        }
    }

    /// Millimetres in the file's unit: inches where it is striped fabric, else
    /// such that the strip is a metre wide.
    pub fn unit_mm(&self) -> f64 {
        match self.sort() {
            Sort::Locked => 25.4,
            _ => 1000.0 / self.width,
        }
    }

    /// How far pieces may reach over the selvages (file's unit).
    pub fn overhang(&self) -> f64 {
        if self.repeat.is_some() && self.optimum.is_none() {
            OVERHANG
        } else {
            0.0
        }
    }

    /// The area of all pieces (file's unit squared).
    pub fn area(&self) -> f64 {
        use geo::Area;
        self.pieces
            .iter()
            .map(|p| p.count as f64 * polygon(&p.outline).unsigned_area())
            .sum()
    }

    fn turns(&self, piece: usize) -> Vec<f64> {
        self.pieces[piece]
            .turns
            .clone()
            .unwrap_or_else(|| vec![0.0])
    }

    /// The instance as a job for the layout. Locked instances have x across the
    /// stripes; irregular ones have y across the strip.
    ///
    /// With `own`, every piece of a locked instance has an offset of its own.
    pub fn job(&self, own: bool) -> Job {
        let unit = self.unit_mm();
        let own = own && self.repeat.is_some();
        let free = self.repeat.is_some() && self.optimum.is_none();
        let mut job = Job {
            obstacles: Default::default(),
            window: Window {
                width_mm: self.width * unit,
                normal_rad: 0.0,
                margin_mm: self.overhang() * unit,
            },
            lock: match self.repeat {
                Some(repeat) => Lock::Lines {
                    repeat_mm: repeat * unit,
                },
                None => Lock::Plane,
            },
            deviate_mm: 0.0,
            shapes: Vec::new(),
            kinds: Vec::new(),
            lots: 1,
            items: Vec::new(),
            groups: usize::from(free),
        };
        for (kind, piece) in self.pieces.iter().enumerate() {
            let mut poses = Vec::new();
            for turn in self.turns(kind) {
                let outline = polygon(&turned(&piece.outline, turn));
                poses.push(Pose {
                    shape: job.shapes.len(),
                    residue_mm: 0.0,
                    along_mm: 0.0,
                    sign: 1.0,
                });
                job.shapes.push(Shape {
                    outline: self.to_frame(&outline),
                });
            }
            job.kinds.push(Kind { poses });
            for _ in 0..piece.count {
                job.items.push(Item {
                    kind,
                    group: if own {
                        Some(job.items.len())
                    } else {
                        free.then_some(0)
                    },
                    block: job.items.len(),
                });
            }
        }
        if own {
            job.groups = job.items.len();
        }
        job
    }

    fn to_frame(&self, outline: &Polygon<f64>) -> Polygon<f64> {
        let unit = self.unit_mm();
        let ring = outline.exterior().0.iter().map(|p| match self.sort() {
            Sort::Locked => Coord {
                x: p.x * unit,
                y: p.y * unit,
            },
            // A quarter turn: the strip's length runs along -v there.
            _ => Coord {
                x: p.y * unit,
                y: -p.x * unit,
            },
        });
        Polygon::new(LineString(ring.collect()), Vec::new())
    }

    /// Where a layout puts the pieces, in the file's frame.
    pub fn placed(&self, job: &Job, lay: &Layout) -> Vec<Placed> {
        let unit = self.unit_mm();
        job.items
            .iter()
            .zip(&lay.placements)
            .map(|(item, placement)| {
                let (u, v) = (placement.u_mm / unit, placement.v_mm / unit);
                Placed {
                    piece: item.kind,
                    rotate_deg: self.turns(item.kind)[placement.pose],
                    shift: match self.sort() {
                        Sort::Locked => [u, v],
                        _ => [-v, u],
                    },
                }
            })
            .collect()
    }

    /// A placed piece's outline in the file's frame.
    pub fn outline(&self, placed: &Placed) -> Polygon<f64> {
        let points = turned(&self.pieces[placed.piece].outline, placed.rotate_deg);
        let moved: Vec<[f64; 2]> = points
            .iter()
            .map(|p| [p[0] + placed.shift[0], p[1] + placed.shift[1]])
            .collect();
        polygon(&moved)
    }
}

fn polygon(points: &[[f64; 2]]) -> Polygon<f64> {
    let ring = points.iter().map(|p| Coord { x: p[0], y: p[1] });
    Polygon::new(LineString(ring.collect()), Vec::new())
}

fn turned(points: &[[f64; 2]], degrees: f64) -> Vec<[f64; 2]> {
    // Quarter turns are exact.
    let (sin, cos) = match degrees.rem_euclid(360.0) {
        0.0 => (0.0, 1.0),
        90.0 => (1.0, 0.0),
        180.0 => (0.0, -1.0),
        270.0 => (-1.0, 0.0),
        other => other.to_radians().sin_cos(),
    };
    points
        .iter()
        .map(|p| [cos * p[0] - sin * p[1], sin * p[0] + cos * p[1]])
        .collect()
}
