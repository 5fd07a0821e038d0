//! The order of work: what is prepared before what is joined, as this quilt asks for it.
//!
//! A motif piece is sewn on before the seams of the background that its own edges lie in are
//! closed, and after those that it lies across. Which these are is read from its finished
//! outline and the seams that run out from its motif's centre.

use crate::length::{Length, Unit};
use crate::motif::{Assembly, Motif, Role};
use crate::quilt::{Border, Corners, Make, MotifSpot, Quilt, QuiltTop, Side, Station};
use crate::record::CreaseNote;
use crate::shape::ring::rings;
use crate::shape::{Point, Region, Rigid, distance, dot, point, unit};
use crate::wording::{CUT_BY_MAPS, PREPARE, listed};
use geo::{Area, BooleanOps};
use geo_types::Polygon;

/// A piece that leaves its background by less than this stays on it (mm): 1/32 in, the width
/// of a pencil line. Common practice, no source.
const SILENT_MM: f64 = 0.8;

/// What a quilt has before its motif pieces.
const CUT_STRAIGHT: &str = "Cut the straight pieces of each fabric, step by step.";

/// What the order of work is derived from.
#[derive(Clone, Copy)]
pub(super) struct Top<'a> {
    /// The quilt.
    pub(super) quilt: &'a Quilt,
    /// Its top laid out.
    pub(super) quilt_top: &'a QuiltTop,
    /// Where its motifs go.
    pub(super) spots: &'a [MotifSpot],
    /// The motifs with their pieces.
    pub(super) motifs: &'a [(&'a Motif, &'a Assembly)],
    /// The creases that are folded into the field.
    pub(super) creases: &'a [CreaseNote],
    /// How many panels the backing has.
    pub(super) panels: usize,
    /// The unit that lengths are told in.
    pub(super) unit: Unit,
}

/// When a part of a motif can be sewn onto a border.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum When {
    /// While the pieces of the border are single.
    Single,
    /// Once its units are joined into runs.
    Run,
    /// Once the border is sewn on.
    On,
}

/// The parts of one motif that are sewn on at one time.
struct Wave<'a> {
    when: When,
    motif: &'a str,
    parts: Vec<&'a str>,
    /// Whether some edge of them lies in a seam.
    seamed: bool,
    /// Whether two pieces of one of them meet at a seam of the background.
    meets: bool,
}

/// What is done in which order.
pub(super) fn order_of_work(top: &Top<'_>) -> Vec<String> {
    let quilt = top.quilt;
    let first = PREPARE.into_iter().chain([CUT_STRAIGHT, CUT_BY_MAPS]);
    let mut order: Vec<String> = first.map(str::to_owned).collect();
    if !quilt.slanted.is_empty() {
        let names: Vec<&str> = quilt.slanted.iter().map(|one| one.name.as_str()).collect();
        order.push(format!(
            "Join {} as your pattern says. Their fabric is planned here, their places are not.",
            listed(&names)
        ));
    }
    for foundation in &quilt.foundations {
        order.push(format!(
            "Lay each piece of {} on its foundation of {}.",
            foundation.under, foundation.fabric
        ));
        order.push(format!(
            "Baste each piece of {} around its edge.",
            foundation.under
        ));
    }
    if quilt.field.strips > 1 {
        order.push(format!(
            "Join the {} strips of the field.",
            quilt.field.strips
        ));
        order.push("Press the seams of the field.".to_owned());
    }
    let over = field_order(top, &mut order);
    trim_foundations(
        quilt,
        &quilt.field.fabrics.iter().collect::<Vec<_>>(),
        "field",
        &mut order,
    );
    for (idx, border) in quilt.borders.iter().enumerate() {
        border_order(top, idx, border, &mut order);
    }
    if !over.is_empty() {
        order.push(format!(
            "Appliqué what reaches over the field's edge, bottom layer first: {}.",
            listed(&over)
        ));
    }
    layers_order(quilt, top.panels, &mut order);
    order
}

/// Foundations are cut longer because appliqué draws them up; what is left over must not come
/// into the seams, so it is trimmed before the pieces are joined.
fn trim_foundations(quilt: &Quilt, fabrics: &[&String], what: &str, order: &mut Vec<String>) {
    let mut lined = quilt.foundations.iter();
    if lined.any(|one| one.extra_length_mm > 0.0 && fabrics.contains(&&one.under)) {
        order.push(format!("Trim the foundations even with the {what}."));
    }
}

/// Motifs on the field; those that reach over its edge, which must wait, are handed back.
fn field_order(top: &Top<'_>, order: &mut Vec<String>) -> Vec<String> {
    let on_field: Vec<&MotifSpot> = top
        .spots
        .iter()
        .filter(|spot| spot.station == Station::Field)
        .collect();
    let over: Vec<String> = on_field
        .iter()
        .filter(|spot| reaches_over(top, spot))
        .map(|spot| format!("{} {}", spot.motif, spot.copy))
        .collect();
    let now = on_field.len() - over.len();
    let centres = match on_field.len() {
        0 => return over,
        1 => "centre of the motif".to_owned(),
        n => format!("centres of the {n} motifs"),
    };
    if !top.creases.is_empty() {
        order.push(
            "Fold and press the creases shown in the placement guide, in the order they are numbered."
                .to_owned(),
        );
    }
    order.push(format!(
        "Mark the {centres} on the field, as the placement guide shows."
    ));
    if now > 0 {
        let which = match (over.is_empty(), now) {
            (true, 1) => "the motif",
            (true, _) => "the motifs",
            (false, _) => "the motifs that stay within the field",
        };
        order.push(format!("Appliqué {which}, bottom layer first."));
    }
    over
}

/// Whether a motif of the field reaches over the seam line that a border is sewn to.
fn reaches_over(top: &Top<'_>, spot: &MotifSpot) -> bool {
    let Some((_, assembly)) = top.motifs.iter().find(|(m, _)| m.name == spot.motif) else {
        return false;
    };
    let (field, map) = (top.quilt_top.field.grown(SILENT_MM), spot.to_quilt());
    let mut points = assembly.pieces.iter().flat_map(|piece| {
        let points = piece.finished.exterior().0.iter();
        points.map(|&p| map.apply(p))
    });
    let out = |p: Point| p.x < field.x0 || p.x > field.x1 || p.y < field.y0 || p.y > field.y1;
    points.any(out)
}

fn border_order(top: &Top<'_>, idx: usize, border: &Border, order: &mut Vec<String>) {
    let name = &border.name;
    let waves = waves(top, idx);
    let at = |when: When| waves.iter().filter(move |wave| wave.when == when);
    let (what, each) = match border.make {
        Make::Units { .. } => ("units", "unit"),
        Make::Plain { .. } => ("strips", "strip"),
    };
    if at(When::Single).next().is_some() {
        order.push(format!(
            "Mark the centres on the {name} {what}, as the placement guide shows."
        ));
        order.push(format!(
            "Appliqué these onto the single {name} {what}, each piece on its own {each}, bottom layer first: {}.",
            told(at(When::Single))
        ));
        if at(When::Single).any(|wave| wave.seamed) {
            order.push(format!(
                "Do not turn under an edge that will lie in a seam: leave it even with the raw edge of the {each}."
            ));
        }
    }
    let meets = at(When::Single).any(|wave| wave.meets);
    let fabrics = match &border.make {
        Make::Units {
            fabrics, corner, ..
        } => fabrics.iter().chain([corner]).collect(),
        Make::Plain { fabric, .. } => vec![fabric],
    };
    trim_foundations(top.quilt, &fabrics, what, order);
    match &border.make {
        Make::Units { .. } => {
            if meets {
                order.push(format!(
                    "Pin the {name} units together, matching every stripe where two pieces of a motif meet."
                ));
            }
            order.push(format!(
                "Join the {name} units into four rows, one for each side of the quilt."
            ));
            if at(When::Run).next().is_some() {
                order.push(format!(
                    "Appliqué over the seams between the units: {}.",
                    told(at(When::Run))
                ));
                if at(When::Run).any(|wave| wave.seamed) {
                    order.push(
                        "Do not turn under an edge that will lie in the inner seam: leave it even with the raw edge of the row."
                            .to_owned(),
                    );
                }
            }
            let corner = |spot: &MotifSpot| matches!(spot.station, Station::Corner { border, .. } if border == idx);
            let [first, second] = [Side::Left.word(), Side::Right.word()];
            order.push(format!(
                "Measure each {name} row against its side of the quilt."
            ));
            order.push(format!("Sew on the {first} and {second} {name} rows."));
            order.push(format!(
                "Join the corner units to the ends of the other two {name} rows."
            ));
            if meets && top.spots.iter().any(corner) {
                order.push(
                    "Pin at each corner, matching the stripes of the pieces on both sides of the seam."
                        .to_owned(),
                );
            }
            order.push(format!("Sew on the other two {name} rows."));
        }
        Make::Plain { corners, .. } => {
            order.push(format!(
                "Measure the quilt through its middle, and check the {name} strips against it."
            ));
            let seam = Length::from_mm(top.quilt.seam_mm).shown(top.unit);
            order.extend(strips_order(name, corners, &seam));
        }
    }
    if at(When::On).next().is_some() {
        order.push(format!(
            "Appliqué over the seams of {name}, now that it is on, bottom layer first: {}.",
            told(at(When::On))
        ));
        if at(When::On).any(|wave| wave.seamed) {
            order.push(
                "Where an edge belongs in a closed seam, open the seam as far as the edge reaches, \
                 lay the edge in, and close the seam."
                    .to_owned(),
            );
        }
    }
}

/// How the four strips of a plain border go on.
fn strips_order(name: &str, corners: &Corners, seam: &str) -> Vec<String> {
    let sides = format!("Sew on the left and right {name} strips.");
    let ends = format!("Sew on the top and bottom {name} strips.");
    match corners {
        Corners::SidesFirst => vec![sides, ends],
        Corners::EndsFirst => vec![ends, sides],
        Corners::Squares(_) => vec![
            sides,
            format!("Join the squares to the ends of the top and bottom {name} strips."),
            ends,
        ],
        Corners::Mitred => vec![
            format!("Pin each strip of {name} on, middle to middle."),
            format!(
                "Sew each strip on, starting and stopping {seam} from the raw edges of the quilt at \
                 the corners."
            ),
            "To mitre the corners, fold the top on the diagonal so that two strips lie on each \
             other."
                .to_owned(),
            "Sew each corner on the line of the fold, from the inner corner outwards.".to_owned(),
            format!("Trim each corner to {seam} and press it open."),
        ],
    }
}

fn layers_order(quilt: &Quilt, panels: usize, order: &mut Vec<String>) {
    let mut layers = Vec::new();
    if panels > 1 {
        order.push(format!(
            "Join the {panels} panels of the backing and press."
        ));
    }
    if quilt.backing.is_some() {
        layers.push("backing");
    }
    if quilt.batting.is_some() {
        layers.push("batting");
    }
    if !layers.is_empty() {
        layers.push("top");
        order.push(format!("Layer the {}, and baste.", listed(&layers)));
        order.push("Quilt.".to_owned());
    }
    if let Some(binding) = &quilt.binding {
        let cut = if binding.bias { "bias" } else { "straight" };
        order.push("Trim the batting and backing even with the top.".to_owned());
        order.push(format!(
            "Join the {cut} binding strips with diagonal seams."
        ));
        order.push("Bind the quilt.".to_owned());
    }
}

/// What is sewn onto one border, and when.
fn waves<'a>(top: &Top<'a>, idx: usize) -> Vec<Wave<'a>> {
    let mut waves: Vec<Wave<'a>> = Vec::new();
    for &(motif, assembly) in top.motifs {
        let here = top.spots.iter().filter(|spot| {
            spot.motif == motif.name
                && match spot.station {
                    Station::Seam { border, .. } | Station::Corner { border, .. } => border == idx,
                    Station::Field => false,
                }
        });
        // Places that differ by what crosses what differ in their turn alone.
        let mut times: Vec<Option<When>> = vec![None; motif.parts.len()];
        for spot in here {
            let seams = seams_about(top.quilt_top, spot);
            for piece in &assembly.pieces {
                let when = when(&piece.finished, spot, &seams);
                let time = &mut times[piece.part];
                *time = Some(time.map_or(when, |before| before.max(when)));
            }
        }
        // What lies above waits for what lies below.
        let mut least = When::Single;
        for (part, time) in times.into_iter().enumerate() {
            let Some(time) = time else { continue };
            least = least.max(time);
            let pieces = assembly.pieces.iter().filter(|p| p.part == part);
            let seamed = pieces.clone().any(|p| p.roles.contains(&Role::Seamed));
            let meets = pieces.count() > 1;
            let known = waves
                .iter_mut()
                .find(|wave| wave.when == least && wave.motif == motif.name);
            let name = motif.parts[part].name.as_str();
            if let Some(wave) = known {
                wave.parts.push(name);
                wave.seamed |= seamed;
                wave.meets |= meets;
            } else {
                waves.push(Wave {
                    when: least,
                    motif: &motif.name,
                    parts: vec![name],
                    seamed,
                    meets,
                });
            }
        }
    }
    waves
}

/// Directions of the seams of the top that run out from a motif's centre (radians, in the
/// quilt frame).
fn seams_about(quilt_top: &QuiltTop, spot: &MotifSpot) -> Vec<f64> {
    let mut ways = Vec::new();
    for seam in &quilt_top.seams {
        let length = distance(seam.a, seam.b);
        if length < 1.0 {
            continue;
        }
        let along = (seam.b - seam.a) / length;
        let at = dot(along, spot.centre - seam.a).clamp(0.0, length);
        if distance(seam.a + along * at, spot.centre) > 0.5 {
            continue;
        }
        for end in [seam.a, seam.b] {
            let out = end - spot.centre;
            if out.x.hypot(out.y) > 1.0 {
                ways.push(out.y.atan2(out.x));
            }
        }
    }
    ways
}

/// When a piece can be sewn on: after every seam that it lies across.
fn when(finished: &Region, spot: &MotifSpot, seams: &[f64]) -> When {
    let turned = Rigid {
        rotate_rad: spot.rotate_deg.to_radians(),
        ..Rigid::IDENTITY
    };
    let finished = turned.apply_to(finished);
    let crossed = seams.iter().filter(|&&rad| lies_across(&finished, rad));
    crossed
        .map(|&rad| match spot.station {
            Station::Seam { side, .. }
                if dot(unit(rad), unit(side.outward_deg().to_radians())) > 0.99 =>
            {
                When::Run
            }
            _ => When::On,
        })
        .max()
        .unwrap_or(When::Single)
}

/// Whether a region lies on both sides of a ray from the origin: a millimetre to either
/// side of it, half a square millimetre at least.
fn lies_across(region: &Region, rad: f64) -> bool {
    let reach = rings(region)
        .flatten()
        .map(|p| p.x.hypot(p.y))
        .fold(0.0, f64::max);
    let (far, aside) = (
        unit(rad) * (reach + 1.0),
        unit(rad + std::f64::consts::FRAC_PI_2),
    );
    [1.0, -1.0].into_iter().all(|way| {
        let aside = aside * way;
        let corners = vec![point(0.0, 0.0), far, far + aside, aside];
        let band = Polygon::new(corners.into(), vec![]);
        region.intersection(&band).unsigned_area() > 0.5
    })
}

/// `spray of each tide; wall and mooring of each breakwater`.
fn told<'a>(waves: impl Iterator<Item = &'a Wave<'a>>) -> String {
    let told: Vec<String> = waves
        .map(|wave| format!("{} of each {}", listed(&wave.parts), wave.motif))
        .collect();
    told.join("; ")
}
