//! How to find each motif's centre, by what is there when it is marked: creases and the
//! seams between strips on the field, the seam lines on the pieces of a border.

use crate::length::{Length, Unit};
use crate::quilt::{MotifSpot, Quilt, QuiltTop, Station};
use crate::record::{Crease, CreaseNote};

/// A centre this near to a seam or crease lies on it (mm).
const ON_IT_MM: f64 = 0.5;

/// A straight line that a centre is found from.
struct Mark {
    name: String,
    /// Its distance from the field's left seam line (vertical) or lower one (level).
    at: f64,
}

/// The creases that some motif of the field is found from, and those that must be folded
/// before them: halves before quarters. Where a strip seam lies as near, none is folded.
pub(super) fn creases(quilt: &Quilt, quilt_top: &QuiltTop, spots: &[MotifSpot]) -> Vec<CreaseNote> {
    let mut wanted = Vec::new();
    for vertical in [true, false] {
        let span = span(quilt_top, vertical);
        let seams = strip_seams(quilt, quilt_top, vertical);
        let mut quarters: Vec<u8> = spots
            .iter()
            .filter(|spot| spot.station == Station::Field)
            .filter_map(|spot| {
                let at = coordinate(spot, vertical);
                let quarter = nearest_quarter(at, span, quilt.seam_mm);
                let crease = (at - crease_at(quarter, span, quilt.seam_mm)).abs();
                let seam = nearest(&seams, at).map_or(f64::INFINITY, |seam| (at - seam.at).abs());
                (seam > crease + ON_IT_MM).then_some(quarter)
            })
            .collect();
        if quarters.is_empty() {
            continue;
        }
        // Quarters are folded onto the half.
        quarters.push(2);
        quarters.sort_unstable();
        quarters.dedup();
        wanted.extend(quarters.into_iter().map(|quarter| (vertical, quarter)));
    }
    // Both halves first, then the quarters.
    wanted.sort_by_key(|&(_, quarter)| quarter != 2);
    wanted
        .into_iter()
        .enumerate()
        .map(|(i, (vertical, quarter))| CreaseNote {
            name: crease(vertical, quarter),
            vertical,
            at_mm: crease_at(quarter, span(quilt_top, vertical), quilt.seam_mm),
            fold: fold(crease(vertical, quarter), i > 0),
        })
        .collect()
}

/// Where a crease comes to lie (mm from the seam line at the left or below): edges are
/// still raw when it is folded, so a quarter is half way from the raw edge to the middle,
/// half a seam allowance further out than a quarter of the finished field.
fn crease_at(quarter: u8, span: f64, seam: f64) -> f64 {
    (span + 2.0 * seam) * f64::from(quarter) / 4.0 - seam
}

/// The nearest of the creases at one, two and three quarters; the half wins a draw.
fn nearest_quarter(at: f64, span: f64, seam: f64) -> u8 {
    let gap = |quarter: u8| (at - crease_at(quarter, span, seam)).abs();
    let mut best = 2;
    for quarter in [1, 3] {
        if gap(quarter) < gap(best) - ON_IT_MM {
            best = quarter;
        }
    }
    best
}

fn crease(vertical: bool, quarter: u8) -> Crease {
    match (vertical, quarter) {
        (true, 2) => Crease::VerticalHalf,
        (false, 2) => Crease::HorizontalHalf,
        (true, 1) => Crease::LeftQuarter,
        (true, _) => Crease::RightQuarter,
        (false, 1) => Crease::LowerQuarter,
        (false, _) => Crease::UpperQuarter,
    }
}

/// How a crease is folded; what was folded before it is opened first.
fn fold(crease: Crease, opened: bool) -> String {
    let how = match crease {
        Crease::VerticalHalf => "fold the field in half, raw left edge onto raw right edge",
        Crease::HorizontalHalf => "fold the field in half, raw lower edge onto raw upper edge",
        Crease::LeftQuarter => "fold the raw left edge onto the vertical half crease",
        Crease::RightQuarter => "fold the raw right edge onto the vertical half crease",
        Crease::LowerQuarter => "fold the raw lower edge onto the horizontal half crease",
        Crease::UpperQuarter => "fold the raw upper edge onto the horizontal half crease",
    };
    let open = if opened { "open the field, " } else { "" };
    format!("{open}{how}, and press the fold")
}

fn span(quilt_top: &QuiltTop, vertical: bool) -> f64 {
    if vertical {
        quilt_top.field.width()
    } else {
        quilt_top.field.height()
    }
}

fn coordinate(spot: &MotifSpot, vertical: bool) -> f64 {
    if vertical {
        spot.centre.x
    } else {
        spot.centre.y
    }
}

/// The seams between the field's strips that run one way.
fn strip_seams(quilt: &Quilt, quilt_top: &QuiltTop, vertical: bool) -> Vec<Mark> {
    let n = quilt.field.strips;
    if quilt.field.level == vertical {
        return vec![];
    }
    (1..n)
        .map(|i| Mark {
            name: format!("seam between strips {i} and {}", i + 1),
            at: span(quilt_top, vertical) * i as f64 / n as f64,
        })
        .collect()
}

fn nearest(marks: &[Mark], at: f64) -> Option<&Mark> {
    let gap = |mark: &Mark| (at - mark.at).abs();
    marks.iter().min_by(|a, b| gap(a).total_cmp(&gap(b)))
}

const CORNERS: [&str; 4] = ["top left", "top right", "bottom right", "bottom left"];

/// How to find one motif's centre.
pub(super) fn guide(
    quilt: &Quilt,
    quilt_top: &QuiltTop,
    creases: &[CreaseNote],
    spot: &MotifSpot,
    unit: Unit,
) -> String {
    let seam = Length::from_mm(quilt.seam_mm).shown(unit);
    match spot.station {
        Station::Field => field_guide(quilt, quilt_top, creases, spot, unit),
        Station::Seam {
            border,
            side,
            after,
        } => {
            let from = if side.is_level() {
                "the left"
            } else {
                "the top"
            };
            format!(
                "{} of {}: on the seam line between units {after} and {} (counted from {from}), where \
                 it meets the seam line of the inner edge; each seam line is {seam} from the raw edge",
                capital(side.word()),
                quilt.borders[border].name,
                after + 1
            )
        }
        Station::Corner { border, corner } => format!(
            "{} corner of {}: where the seam lines at the corner's two inner edges meet; each seam \
             line is {seam} from the raw edge",
            capital(CORNERS[corner]),
            quilt.borders[border].name
        ),
    }
}

/// From one line each way: the nearest strip seam, or the nearest crease where that is nearer.
fn field_guide(
    quilt: &Quilt,
    quilt_top: &QuiltTop,
    creases: &[CreaseNote],
    spot: &MotifSpot,
    unit: Unit,
) -> String {
    let parts = [true, false].map(|vertical| {
        let at = coordinate(spot, vertical);
        let seams = strip_seams(quilt, quilt_top, vertical);
        let folded: Vec<Mark> = creases
            .iter()
            .filter(|crease| crease.vertical == vertical)
            .map(|crease| Mark {
                name: crease.name.words().to_owned(),
                at: crease.at_mm,
            })
            .collect();
        let (seam, crease) = (nearest(&seams, at), nearest(&folded, at));
        let gap = |mark: &Mark| (at - mark.at).abs();
        let mark = match (seam, crease) {
            (Some(seam), Some(crease)) if gap(seam) > gap(crease) + ON_IT_MM => Some(crease),
            (seam, crease) => seam.or(crease),
        };
        mark.map_or_else(String::new, |mark| {
            from_mark(at - mark.at, vertical, mark, unit)
        })
    });
    parts.join(", ")
}

fn from_mark(off: f64, vertical: bool, mark: &Mark, unit: Unit) -> String {
    let name = &mark.name;
    if off.abs() < ON_IT_MM {
        return format!("on the {name}");
    }
    let way = match (vertical, off > 0.0) {
        (true, true) => "right of",
        (true, false) => "left of",
        (false, true) => "above",
        (false, false) => "below",
    };
    format!(
        "{} {way} the {name}",
        Length::from_mm(off.abs()).shown(unit)
    )
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
