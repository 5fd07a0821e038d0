//! Templates for cutting machines: true size, one group a kind of line.

use super::method::Method;
use super::pose::Pose;
use super::words::plate_words;
use super::{Stripes, faces};
use crate::draw::error::DrawError;
use crate::draw::lettering::fit;
use crate::draw::scene::{Anchor, Group, Item, Line, Path, Scene, Stroke, Text};
use crate::draw::validate::validate;
use crate::motif::Role;
use crate::plan::Plan;
use crate::shape::{Point, corners_of, point};

/// Room about the outline (mm).
const EDGE_MM: f64 = 5.0;
/// Machines follow the middle of a line: it is drawn as fine as can be seen.
const LINE_MM: f64 = 0.1;

/// A template for a cutting machine.
#[derive(Debug, Clone, PartialEq)]
pub struct MachineTemplate {
    /// Its short name: the motif's letter and the piece's.
    pub name: String,
    /// The drawing: groups `cut`, `turned`, `seamed`, `covered`, `lapped`, `clips`, `ticks`,
    /// `mark`, `words`.
    pub scene: Scene,
}

/// One drawing a template, nothing but lines.
///
/// # Errors
/// A plan that cannot be drawn, or one with more templates than the limit.
pub fn machine_templates(
    plan: &Plan,
    method: Method,
    stripes: Stripes,
) -> Result<Vec<MachineTemplate>, DrawError> {
    validate(plan)?;
    let stroke = Some(Stroke::ink(LINE_MM));
    let mut drawn = Vec::new();
    for face in faces(plan, method, stripes)? {
        let kind = &face.kind;
        let flat = Pose {
            mirrored: method.is_mirrored(),
            quarters: 0,
            centre: point(0.0, 0.0),
        };
        let [low, high] = corners_of(flat.rings(&face.cut).iter().flatten());
        let pose = flat.moved(point(EDGE_MM - low.x, EDGE_MM - low.y));
        let open = |runs: &[Vec<Point>]| Path {
            lines: pose
                .rings(runs)
                .into_iter()
                .map(|points| Line {
                    points,
                    closed: false,
                })
                .collect(),
            fill: None,
            stroke,
        };
        let pairs = |ends: Vec<[Point; 2]>| -> Vec<Vec<Point>> {
            ends.into_iter().map(|ends| ends.to_vec()).collect()
        };
        let cut = Path::rings(pose.rings(&face.cut), None, stroke);
        let mut items = vec![Group::named("cut", vec![cut.into()]).into()];
        let mut add = |name: &str, runs: Vec<Vec<Point>>| {
            if !runs.is_empty() {
                items.push(Group::named(name, vec![open(&runs).into()]).into());
            }
        };
        add("turned", face.finished_of(Role::Turned));
        add("seamed", face.finished_of(Role::Seamed));
        add("covered", face.finished_of(Role::Covered));
        add("lapped", face.finished_of(Role::Lapped));
        add("clips", pairs(face.clips()));
        let ticks = face.ticks.iter().map(|tick| [tick.at, tick.end]).collect();
        add("ticks", pairs(ticks));
        let marks = kind.marks();
        let arms = marks.iter().flat_map(|mark| {
            let (at, up) = (mark.at, mark.up.unwrap_or(point(0.0, 1.0)));
            let side = point(-up.y, up.x);
            let top = if mark.up.is_some() { 4.0 } else { 1.5 };
            [
                [at - side * 1.5, at + side * 1.5],
                [at - up * 1.5, at + up * top],
            ]
        });
        add("mark", pairs(arms.collect()));
        let [x, y] = kind.piece.mark;
        let at = pose.apply(point(x, y));
        let mut lines = vec![kind.short.clone()];
        let (count, reversed) = (kind.count(), kind.reversed());
        lines.extend(plate_words(method, count, reversed, kind.fabric.fabric()));
        let mut said: Vec<Item> = Vec::new();
        for (i, words) in lines.into_iter().enumerate() {
            let down = point(
                at.x,
                (at.y + 5.0 + 3.3 * i as f64).min(high.y - low.y + 2.0 * EDGE_MM),
            );
            let room = 2.0 * at.x.min(high.x - low.x + 2.0 * EDGE_MM - at.x) - 1.0;
            let words = fit(&words, 2.5, false, room);
            said.push(Text::new(down, 2.5, words).anchored(Anchor::Middle).into());
        }
        for mark in marks.into_iter().filter(|mark| !mark.names.is_empty()) {
            let at = pose.apply(mark.at + mark.up.unwrap_or(point(0.0, 1.0)) * 6.5);
            said.push(
                Text::new(at, 2.5, mark.names)
                    .anchored(Anchor::Middle)
                    .into(),
            );
        }
        items.push(Group::named("words", said).into());
        drawn.push(MachineTemplate {
            name: kind.short.clone(),
            scene: Scene {
                width_mm: high.x - low.x + 2.0 * EDGE_MM,
                height_mm: high.y - low.y + 2.0 * EDGE_MM,
                title: format!("{}: {}, {}", kind.short, kind.name[0], kind.name[1]),
                about: format!("True size. {}", method.words()),
                items,
            },
        });
    }
    Ok(drawn)
}
