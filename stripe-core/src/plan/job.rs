//! From a project to one layout job a fabric.

use super::error::Error;
use super::spread::{Spread, grown};
use crate::fabric::{Fabric, Stripe};
use crate::lay::{Item, Job, Kind, Layout, Lock, Obstacles, Pose, Shape, Window};
use crate::matching::{PartFrames, Way, grain_rad, part_frames, plain_ways, striped_ways};
use crate::motif::{Assembly, Copies, Making, Motif, PartStripes, assemble};
use crate::num::wrap;
use crate::project::Project;
use crate::shape::ring::{extent, rings};
use crate::shape::{Region, Rigid, point};
use geo::Area;
use std::collections::BTreeMap;

/// A motif worked out and matched.
#[derive(Debug)]
pub(super) struct Worked {
    pub assembly: Assembly,
    /// One entry a part; none on plain fabric.
    pub frames: Vec<Option<PartFrames>>,
}

/// Works out all motifs, in the project's order.
pub(super) fn work_out(project: &Project) -> Result<Vec<Worked>, Error> {
    project
        .motifs
        .iter()
        .map(|motif| {
            let assembly = assemble(motif, &project.making)?;
            let frames = motif
                .parts
                .iter()
                .enumerate()
                .map(|(i, part)| {
                    let fabric = project
                        .fabric(&part.fabric)
                        .ok_or_else(|| Error::NoFabric {
                            motif: motif.name.clone(),
                            part: part.name.clone(),
                            fabric: part.fabric.clone(),
                        })?;
                    let is_lattice = fabric.stripe().is_some_and(|s| s.along().is_some());
                    if is_lattice && !matches!(part.stripes, PartStripes::Through { .. }) {
                        return Err(Error::StripesOnLattice {
                            motif: motif.name.clone(),
                            part: part.name.clone(),
                            fabric: fabric.name.clone(),
                        });
                    }
                    let stripe_tolerance_mm = project.making.stripe_tolerance_mm;
                    Ok(fabric.stripe().map(|stripe| {
                        part_frames(part, i, &assembly, fabric, stripe, stripe_tolerance_mm)
                    }))
                })
                .collect::<Result<_, Error>>()?;
            Ok(Worked { assembly, frames })
        })
        .collect()
}

/// Which piece an item of a job is, and how it may lie.
#[derive(Debug, Clone, Copy)]
pub(super) struct Origin {
    pub motif: usize,
    /// From 1.
    pub copy: usize,
    pub piece: usize,
}

/// The job of one fabric, with what leads back to the project.
#[derive(Debug)]
pub(super) struct FabricJob {
    pub job: Job,
    /// One entry an item.
    pub origins: Vec<Origin>,
    /// The ways of each kind, one a pose.
    pub ways: Vec<Vec<Way>>,
    /// And how far its outlines reach along the fabric, laid that way at its origin.
    pub extents: Vec<Vec<Along>>,
    /// What is in hand of the fabric, set on the strip that the job is for.
    pub spread: Option<Spread>,
}

/// How far a piece laid one way reaches along the fabric (mm).
#[derive(Debug, Clone, Copy)]
pub(super) struct Along {
    /// Its cut line.
    pub cut: (f64, f64),
    /// The end of what is laid for it: the cut line grown by half the clear gap.
    pub grown_high: f64,
}

impl FabricJob {
    /// By how much (mm) cut lines may end before the length of a layout, which counts grown
    /// outlines less half the clear gap: where a mitre stands out, they do.
    pub(super) fn mitre_mm(&self) -> f64 {
        let margin = self.job.window.margin_mm;
        let over = |a: &Along| a.grown_high - margin - a.cut.1;
        self.extents.iter().flatten().map(over).fold(0.0, f64::max)
    }

    /// The length (mm) of the tallest piece's cut line, each laid the way it is shortest.
    pub(super) fn tallest_mm(&self) -> f64 {
        let least = |ways: &Vec<Along>| {
            let tall = ways.iter().map(|a| a.cut.1 - a.cut.0);
            tall.fold(f64::INFINITY, f64::min)
        };
        self.extents.iter().map(least).fold(0.0, f64::max)
    }

    /// The areas of what is laid (mm²), item by item.
    pub(super) fn areas_mm2(&self) -> impl Iterator<Item = f64> {
        self.job.items.iter().map(|item| {
            let pose = self.job.kinds[item.kind].poses[0];
            self.job.shapes[pose.shape].outline.unsigned_area()
        })
    }

    /// Where the middles of the cut lines of a layout lie along the fabric (mm).
    pub(super) fn middles_mm(&self, layout: &Layout) -> impl Iterator<Item = f64> {
        let items = self.job.items.iter().zip(&layout.placements);
        items.map(|(item, placement)| {
            let at = point(placement.u_mm, placement.v_mm);
            let (low, high) = self.extents[item.kind][placement.pose].cut;
            self.job.window.to_fabric(at).y + (low + high) / 2.0
        })
    }

    /// Where the last cut line of a layout ends (mm).
    pub(super) fn end_mm(&self, lay: &Layout) -> f64 {
        let ends = self
            .job
            .items
            .iter()
            .zip(&lay.placements)
            .map(|(item, placement)| {
                let at = self
                    .job
                    .window
                    .to_fabric(point(placement.u_mm, placement.v_mm));
                at.y + self.extents[item.kind][placement.pose].cut.1
            });
        ends.fold(0.0, f64::max)
    }
}

/// What a project asks to be laid: one job for each fabric that motifs are cut from, with the
/// fabric's name, in the project's order. [`super::make`] lays the same jobs.
///
/// # Errors
/// See [`Error`]: a motif that cannot be worked out.
pub fn jobs(project: &Project) -> Result<Vec<(String, Job)>, Error> {
    let worked = work_out(project)?;
    let made = project.fabrics.iter().filter_map(|fabric| {
        let made = fabric_job(project, &worked, fabric)?;
        Some((fabric.name.clone(), made.job))
    });
    Ok(made.collect())
}

/// The job of one fabric; `None` if no piece is cut from it.
pub(super) fn fabric_job(
    project: &Project,
    worked: &[Worked],
    fabric: &Fabric,
) -> Option<FabricJob> {
    let mut build = Builder::new(fabric, &project.making);
    let mut block = 0;
    let mut motifs = vec![];
    for (m, (motif, worked)) in project.motifs.iter().zip(worked).enumerate() {
        let here: Vec<usize> = (0..worked.assembly.pieces.len())
            .filter(|&i| motif.parts[worked.assembly.pieces[i].part].fabric == fabric.name)
            .collect();
        let kinds: Vec<usize> = here
            .iter()
            .map(|&i| build.add_kind(fabric, motif, worked, i))
            .collect();
        motifs.push((m, motif, worked, here, kinds));
    }
    // Kit by kit: what one kit has comes again in the next.
    for (kit, (m, motif, worked, here, kinds)) in
        (0..project.kits).flat_map(|kit| motifs.iter().map(move |motif| (kit, motif)))
    {
        let (m, first) = (*m, kit * motif.copies);
        for copy in first + 1..=first + motif.copies {
            for (&piece, &kind) in here.iter().zip(kinds) {
                let part_idx = worked.assembly.pieces[piece].part;
                let part = &motif.parts[part_idx];
                let is_free = worked.frames[part_idx].as_ref().is_some_and(|f| f.is_free);
                let group = is_free.then(|| {
                    let owner = match &part.tie {
                        Some(tie) => format!("tie {tie}"),
                        None => format!("part {m} {part_idx}"),
                    };
                    let copy = match part.copies {
                        Copies::Alike => 0,
                        Copies::Own => copy,
                    };
                    build.group(owner, copy)
                });
                let origin = Origin {
                    motif: m,
                    copy,
                    piece,
                };
                build.add_item(Item { kind, group, block }, origin);
            }
            block += 1;
        }
    }
    build.job.groups = build.groups.len();
    build.job.lots = project.kits;
    let all: Vec<usize> = (0..fabric.in_hand.len()).collect();
    build.finish(fabric, &all)
}

/// Makes a job piece by piece.
pub(super) struct Builder {
    job: Job,
    origins: Vec<Origin>,
    ways: Vec<Vec<Way>>,
    extents: Vec<Vec<Along>>,
    /// Groups by owner and copy (0 where all copies share).
    groups: BTreeMap<(String, usize), usize>,
}

impl Builder {
    /// A job for a fabric on which nothing is laid yet.
    pub(super) fn new(fabric: &Fabric, making: &Making) -> Self {
        let normal_rad = fabric.stripe().map_or(0.0, Stripe::normal_rad);
        let lock = match fabric.stripe() {
            Some(stripe) => match stripe.along() {
                Some(along) => Lock::Points {
                    across_mm: stripe.repeat_mm(),
                    along_mm: along.repeat_mm,
                    shear_mm: along.shear_mm,
                },
                None => Lock::Lines {
                    repeat_mm: stripe.repeat_mm(),
                },
            },
            None => Lock::Plane,
        };
        Self {
            job: Job {
                obstacles: Obstacles::default(),
                window: Window {
                    width_mm: fabric.width_mm,
                    normal_rad,
                    margin_mm: making.gap_mm / 2.0,
                },
                lock,
                deviate_mm: making.stripe_tolerance_mm,
                shapes: vec![],
                kinds: vec![],
                lots: 1,
                items: vec![],
                groups: 0,
            },
            origins: vec![],
            ways: vec![],
            extents: vec![],
            groups: BTreeMap::new(),
        }
    }

    /// One piece more.
    pub(super) fn add_item(&mut self, item: Item, origin: Origin) {
        self.job.items.push(item);
        self.origins.push(origin);
    }

    /// The job, on those of the fabric's pieces in hand; `None` if there is nothing to lay.
    pub(super) fn finish(mut self, fabric: &Fabric, in_hand: &[usize]) -> Option<FabricJob> {
        if self.job.items.is_empty() {
            return None;
        }
        self.job.groups = self.groups.len();
        let spread = (!in_hand.is_empty()).then(|| Spread::new(fabric, in_hand, &self.job));
        Some(FabricJob {
            job: match &spread {
                Some(spread) => spread.job(&self.job),
                None => self.job,
            },
            origins: self.origins,
            ways: self.ways,
            extents: self.extents,
            spread,
        })
    }

    fn group(&mut self, owner: String, copy: usize) -> usize {
        let next = self.groups.len();
        *self.groups.entry((owner, copy)).or_insert(next)
    }

    fn add_kind(
        &mut self,
        fabric: &Fabric,
        motif: &Motif,
        worked: &Worked,
        piece_idx: usize,
    ) -> usize {
        let piece = &worked.assembly.pieces[piece_idx];
        let ways = match (fabric.stripe(), &worked.frames[piece.part]) {
            (Some(stripe), Some(frames)) => {
                striped_ways(&frames.frames[piece.wedge], fabric, stripe)
            }
            _ => {
                let grain = grain_rad(&motif.parts[piece.part], fabric);
                plain_ways(grain.unwrap_or(piece.axis_rad), fabric)
            }
        };
        let along = fabric.stripe().and_then(Stripe::along);
        let along_mm = along.map(|along| along.start_mm + motif.parts[piece.part].along_mm);
        self.add_ways(&piece.cut, ways, fabric, along_mm)
    }

    /// A kind of piece by its cut line, and the ways in which it may lie; `along_mm` where it
    /// is locked along the stripes too.
    pub(super) fn add_ways(
        &mut self,
        cut: &Region,
        ways: Vec<Way>,
        fabric: &Fabric,
        along_mm: Option<f64>,
    ) -> usize {
        let half_gap = self.job.window.margin_mm;
        let grown = grown(cut, half_gap);
        let mut poses: Vec<Pose> = vec![];
        let mut kept: Vec<Way> = vec![];
        let mut extents: Vec<Along> = vec![];
        for way in ways {
            let shape = self.add_shape(&grown, &way);
            // A second repeat is counted from the residue's own line: keep it unwrapped.
            let (residue_mm, along_mm) = match (fabric.stripe(), along_mm) {
                (Some(_), Some(along_mm)) => (way.residue_mm, along_mm),
                (Some(stripe), None) => (wrap(way.residue_mm, stripe.repeat_mm()), 0.0),
                (None, _) => (0.0, 0.0),
            };
            let pose = Pose {
                shape,
                residue_mm,
                along_mm,
                sign: way.sign,
            };
            // A disc turned about is the same disc: one pose is enough.
            if !poses.contains(&pose) {
                let along = |region: &Region| {
                    let turned = way.turn.apply_to(region);
                    let (low, high) = extent(turned.exterior().0.iter().copied());
                    (low.y, high.y)
                };
                extents.push(Along {
                    cut: along(cut),
                    grown_high: along(&grown).1,
                });
                poses.push(pose);
                kept.push(way);
            }
        }
        self.job.kinds.push(Kind { poses });
        self.ways.push(kept);
        self.extents.push(extents);
        self.job.kinds.len() - 1
    }

    /// The shape of a grown cut line laid one way, shared with whatever is alike.
    fn add_shape(&mut self, grown: &Region, way: &Way) -> usize {
        let to_stripe = Rigid {
            rotate_rad: way.turn.rotate_rad - self.job.window.normal_rad,
            mirror: way.turn.mirror,
            shift: point(0.0, 0.0),
        };
        let outline = to_stripe.apply_to(grown);
        let known = self
            .job
            .shapes
            .iter()
            .position(|s| is_same(&s.outline, &outline));
        known.unwrap_or_else(|| {
            self.job.shapes.push(Shape { outline });
            self.job.shapes.len() - 1
        })
    }
}

/// Whether two outlines are the same to a tenth of a micrometre, wherever their
/// rings begin.
fn is_same(a: &Region, b: &Region) -> bool {
    const SAME_TOL_MM: f64 = 1e-4;
    let ring_pairs = rings(a).zip(rings(b));
    let counts = |r: &Region| rings(r).map(<[_]>::len).collect::<Vec<_>>();
    counts(a) == counts(b)
        && ring_pairs.into_iter().all(|(p, q)| {
            let near = |x: crate::shape::Point, y: crate::shape::Point| {
                (x.x - y.x).abs() < SAME_TOL_MM && (x.y - y.y).abs() < SAME_TOL_MM
            };
            (0..q.len()).any(|start| (0..p.len()).all(|i| near(p[i], q[(start + i) % q.len()])))
        })
}
