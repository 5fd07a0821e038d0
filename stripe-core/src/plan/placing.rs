//! How to find each motif's centre by seams and creases, and the order of work.

use crate::length::{Length, Unit};
use crate::quilt::{Layout, Make, Quilt, Side, Spot, Station};
use crate::record::CreaseNote;

/// A centre this near to a seam or crease lies on it (mm).
const ON_IT_MM: f64 = 0.5;

/// The creases that some motif of the field is nearest to, and those that must be folded
/// before them: halves before quarters.
pub(super) fn creases(layout: &Layout, spots: &[Spot]) -> Vec<CreaseNote> {
    let mut wanted = Vec::new();
    for upright in [true, false] {
        let span = if upright {
            layout.field.width()
        } else {
            layout.field.height()
        };
        let mut quarters: Vec<u8> = spots
            .iter()
            .filter(|spot| spot.station == Station::Field)
            .map(|spot| {
                let at = if upright {
                    spot.centre.x
                } else {
                    spot.centre.y
                };
                nearest_quarter(at, span)
            })
            .collect();
        quarters.sort_unstable();
        quarters.dedup();
        if quarters.is_empty() {
            continue;
        }
        wanted.push(crease(upright, 2, span));
        for quarter in [1, 3] {
            if quarters.contains(&quarter) {
                wanted.push(crease(upright, quarter, span));
            }
        }
    }
    // Both halves first, then the quarters.
    wanted.sort_by_key(|crease| !crease.name.contains("half"));
    wanted
}

/// The nearest of the creases at one, two and three quarters; the half wins a draw.
fn nearest_quarter(at: f64, span: f64) -> u8 {
    let gap = |quarter: u8| (at - span * f64::from(quarter) / 4.0).abs();
    let mut best = 2;
    for quarter in [1, 3] {
        if gap(quarter) < gap(best) - ON_IT_MM {
            best = quarter;
        }
    }
    best
}

fn crease(upright: bool, quarter: u8, span: f64) -> CreaseNote {
    let (name, fold) = match (upright, quarter) {
        (true, 2) => (
            "upright half crease",
            "fold the field in half, left edge onto right edge, and press the fold",
        ),
        (false, 2) => (
            "level half crease",
            "open it, fold it in half, lower edge onto upper edge, and press the fold",
        ),
        (true, 1) => (
            "left quarter crease",
            "fold the left edge onto the upright half crease, and press the fold",
        ),
        (true, _) => (
            "right quarter crease",
            "fold the right edge onto the upright half crease, and press the fold",
        ),
        (false, 1) => (
            "lower quarter crease",
            "fold the lower edge onto the level half crease, and press the fold",
        ),
        (false, _) => (
            "upper quarter crease",
            "fold the upper edge onto the level half crease, and press the fold",
        ),
    };
    CreaseNote {
        name: name.to_owned(),
        upright,
        at: span * f64::from(quarter) / 4.0,
        fold: fold.to_owned(),
    }
}

const CORNERS: [&str; 4] = ["top left", "top right", "bottom right", "bottom left"];

/// How to find one motif's centre.
pub(super) fn guide(
    quilt: &Quilt,
    layout: &Layout,
    creases: &[CreaseNote],
    spot: &Spot,
    unit: Unit,
) -> String {
    match spot.station {
        Station::Field => field_guide(quilt, layout, creases, spot, unit),
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
                "{} of {}: on the seam between units {after} and {} (counted from {from}), where it \
                 meets the inner seam of the border",
                capital(side.word()),
                quilt.borders[border].name,
                after + 1
            )
        }
        Station::Corner { border, corner } => format!(
            "{} corner of {}: where the corner unit's two inner seams meet, about the last unit of \
             each side and the corner unit",
            capital(CORNERS[corner]),
            quilt.borders[border].name
        ),
    }
}

fn field_guide(
    quilt: &Quilt,
    layout: &Layout,
    creases: &[CreaseNote],
    spot: &Spot,
    unit: Unit,
) -> String {
    let mut parts = Vec::new();
    for upright in [true, false] {
        let at = if upright {
            spot.centre.x
        } else {
            spot.centre.y
        };
        let folded = creases
            .iter()
            .filter(|c| c.upright == upright)
            .min_by(|a, b| (at - a.at).abs().total_cmp(&(at - b.at).abs()));
        if let Some(crease) = folded {
            parts.push(from_line(at - crease.at, upright, &crease.name, unit));
        }
    }
    let seams = [true, false].map(|upright| {
        let at = if upright {
            spot.centre.x
        } else {
            spot.centre.y
        };
        let (off, name) = nearest_seam(quilt, layout, at, upright);
        from_line(off, upright, &name, unit)
    });
    format!("{}; by seams: {}", parts.join(", "), seams.join(", "))
}

/// The nearest seam of the field in one direction, and how far the place is from it.
fn nearest_seam(quilt: &Quilt, layout: &Layout, at: f64, upright: bool) -> (f64, String) {
    let span = if upright {
        layout.field.width()
    } else {
        layout.field.height()
    };
    let edges = if upright {
        ["the field's left seam", "the field's right seam"]
    } else {
        ["the field's lower seam", "the field's upper seam"]
    };
    let mut lines = vec![(0.0, edges[0].to_owned()), (span, edges[1].to_owned())];
    let n = quilt.field.strips;
    if quilt.field.level != upright {
        for i in 1..n {
            let name = format!("the seam between strips {i} and {}", i + 1);
            lines.push((span * i as f64 / n as f64, name));
        }
    }
    let best = lines
        .into_iter()
        .min_by(|a, b| (at - a.0).abs().total_cmp(&(at - b.0).abs()));
    best.map_or((at, String::new()), |(line, name)| (at - line, name))
}

fn from_line(off: f64, upright: bool, name: &str, unit: Unit) -> String {
    let name = if name.starts_with("the ") {
        name.to_owned()
    } else {
        format!("the {name}")
    };
    if off.abs() < ON_IT_MM {
        return format!("on {name}");
    }
    let way = match (upright, off > 0.0) {
        (true, true) => "right of",
        (true, false) => "left of",
        (false, true) => "above",
        (false, false) => "below",
    };
    format!("{} {way} {name}", Length::from_mm(off.abs()).shown(unit))
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// What is done in which order: what is prepared before what is joined.
pub(super) fn order_of_work(quilt: &Quilt, spots: &[Spot]) -> Vec<String> {
    let mut order = vec![
        "Wash and press the cloth if you mean to, square up its ends, cut the straight pieces of \
         each cloth step by step, and the motif pieces by the cutting map."
            .to_owned(),
    ];
    for foundation in &quilt.foundations {
        order.push(format!(
            "Lay each piece of {} on its foundation of {}, baste around the edge; trim the \
             foundation's extra length when the top is joined.",
            foundation.under, foundation.cloth
        ));
    }
    if quilt.field.strips > 1 {
        order.push(format!(
            "Join the {} strips of the field and press.",
            quilt.field.strips
        ));
    }
    let on = |test: fn(&Station) -> bool| spots.iter().filter(|s| test(&s.station)).count();
    let on_field = on(|s| matches!(s, Station::Field));
    let on_seams = on(|s| matches!(s, Station::Seam { .. }));
    let on_corners = on(|s| matches!(s, Station::Corner { .. }));
    if on_field > 0 {
        order.push(format!(
            "Fold the creases, mark the centres of the {on_field} motifs on the field, and sew \
             them on, bottom layer first, before any border is joined."
        ));
    }
    for (idx, border) in quilt.borders.iter().enumerate() {
        match &border.make {
            Make::Units { .. } => unit_order(quilt, spots, idx, on_seams, on_corners, &mut order),
            Make::Plain { .. } => order.push(format!(
                "Measure the quilt through its middle, check it against the strips of {}, and sew \
                 them on.",
                border.name
            )),
        }
    }
    if quilt.backing.is_some() || quilt.batting.is_some() {
        order.push("Join the backing, layer backing, batting and top, and quilt.".to_owned());
    }
    if let Some(binding) = &quilt.binding {
        let cut = if binding.bias { "bias" } else { "straight" };
        order.push(format!(
            "Trim to the top's edge, join the {cut} binding strips on the bias and bind."
        ));
    }
    order
}

fn unit_order(
    quilt: &Quilt,
    spots: &[Spot],
    idx: usize,
    on_seams: usize,
    on_corners: usize,
    order: &mut Vec<String>,
) {
    let name = &quilt.borders[idx].name;
    let here = |s: &&Spot| match s.station {
        Station::Seam { border, .. } | Station::Corner { border, .. } => border == idx,
        Station::Field => false,
    };
    if spots.iter().any(|s| here(&s)) {
        let mut what = Vec::new();
        if on_seams > 0 {
            what.push("both wedges of each half motif on their two units");
        }
        if on_corners > 0 {
            what.push("the three wedges of each corner motif on the corner unit and the two units beside it");
        }
        order.push(format!(
            "Sew the wedges onto the units of {name} while these are still single: {}. Their \
             seamed edges end at the units' raw edges.",
            what.join(", and ")
        ));
    }
    order.push(format!(
        "Join the units of {name} into four runs; pin at every stripe where two wedges meet, so \
         that the stripes run on."
    ));
    order.push(format!(
        "Check each run of {name} against its side before sewing. Sew the {} and {} runs on first, \
         then join the corner units to the ends of the other two; pin the corner motif's wedges \
         against those of the side runs at the joint, and sew them on.",
        Side::Left.word(),
        Side::Right.word()
    ));
}
