//! The quilt: finished sizes, and how many straight pieces of which size it takes.

use super::generate::{Job, Quilt};
use serde_json::Value;

const TOLERANCE: f64 = 1e-6;

/// Finished width and height of the field, then of the field with each border.
pub fn sizes(quilt: &Quilt, seam: f64) -> Vec<[f64; 2]> {
    let joined = quilt.strips as f64 * (quilt.strip_width - 2.0 * seam);
    let length = quilt.strip_length - 2.0 * seam;
    let mut sizes = vec![if quilt.level {
        [length, joined]
    } else {
        [joined, length]
    }];
    for (depth, _, _) in &quilt.borders {
        let last = sizes[sizes.len() - 1];
        sizes.push(last.map(|side| side + 2.0 * (depth - 2.0 * seam)));
    }
    sizes
}

/// What is cut of a fabric, as count, length and width: all but the backing.
fn wanted(quilt: &Quilt, seam: f64, fabric: usize, width: f64) -> Vec<(usize, f64, f64)> {
    let mut wanted = vec![];
    let kinds = quilt.fabrics.len().min(quilt.strips);
    let strips = (0..quilt.strips)
        .filter(|i| quilt.fabrics[i % kinds] == fabric)
        .count();
    wanted.push((strips, quilt.strip_length, quilt.strip_width));
    let sizes = sizes(quilt, seam);
    for (i, (depth, of, corners)) in quilt.borders.iter().enumerate() {
        if *of != fabric {
            continue;
        }
        // Each strip is as long as the side that it is sewn to, and two seams more; one that
        // runs over the others' ends as long as the outer side; mitred ones all do.
        let (inner, outer) = (sizes[i], sizes[i + 1]);
        let (side, end) = match *corners {
            "sides first" => (inner[1], outer[0]),
            "top first" => (outer[1], inner[0]),
            _ => (outer[1], outer[0]),
        };
        wanted.push((2, side + 2.0 * seam, *depth));
        wanted.push((2, end + 2.0 * seam, *depth));
    }
    if let Some((of, strip, extra)) = quilt.binding
        && of == fabric
    {
        let last = sizes[sizes.len() - 1];
        let needed = 2.0 * (last[0] + last[1]) + extra;
        // One strip more until the joined length does; each join on the slant takes a width.
        let mut count = 1;
        while count as f64 * width - (count - 1) as f64 * strip < needed - TOLERANCE {
            count += 1;
        }
        wanted.push((count, width, strip));
    }
    wanted.retain(|piece| piece.0 > 0);
    wanted
}

pub fn reckon(job: &Job, plan: &Value, wrong: &mut Vec<String>) {
    let Some(quilt) = &job.quilt else { return };
    let note = &plan["quilt"];
    let sizes = sizes(quilt, job.seam);
    let [width, height] = sizes[sizes.len() - 1];
    let size = [0, 1].map(|i| note["size"][i].as_f64().unwrap_or(f64::NAN));
    if (size[0] - width).abs() > TOLERANCE || (size[1] - height).abs() > TOLERANCE {
        wrong.push(format!(
            "the quilt measures {size:?}, not {width} by {height}"
        ));
    }
    for (i, fabric) in job.fabrics.iter().enumerate() {
        let cuts = note["cuts"]
            .as_array()
            .and_then(|all| all.iter().find(|c| c["fabric"] == fabric.name));
        let mut cut: Vec<(usize, f64, f64)> = vec![];
        let mut backing: Vec<(usize, f64, f64)> = vec![];
        for piece in cuts.iter().flat_map(|c| c["pieces"].as_array()).flatten() {
            let number = |key: &str| piece[key].as_f64().unwrap_or(f64::NAN);
            let one = (number("count") as usize, number("length"), number("width"));
            if piece["name"]
                .as_str()
                .is_some_and(|name| name.contains("backing panel"))
            {
                backing.push(one);
            } else {
                cut.push(one);
            }
        }
        let wanted = wanted(quilt, job.seam, i, fabric.width);
        // Each size as often as it is wanted, whatever the pieces are called.
        let count = |list: &[(usize, f64, f64)], length: f64, width: f64| -> usize {
            let same = |p: &&(usize, f64, f64)| {
                (p.1 - length).abs() < TOLERANCE && (p.2 - width).abs() < TOLERANCE
            };
            list.iter().filter(same).map(|p| p.0).sum()
        };
        for &(_, length, width) in wanted.iter().chain(&cut) {
            let (ours, theirs) = (count(&wanted, length, width), count(&cut, length, width));
            if ours != theirs {
                wrong.push(format!(
                    "{}: {theirs} pieces {length} by {width}, {ours} wanted",
                    fabric.name
                ));
            }
        }
        if let Some((of, overhang)) = quilt.backing
            && of == i
        {
            let (wide, high) = (width + 2.0 * overhang, height + 2.0 * overhang);
            covers(&backing, wide, high, job.seam, wrong);
        }
        let total: f64 = cut
            .iter()
            .chain(&backing)
            .map(|(n, l, w)| *n as f64 * l * w)
            .sum();
        let longest = cut
            .iter()
            .chain(&backing)
            .map(|p| p.1.min(p.2))
            .fold(0.0, f64::max);
        let length = cuts.map_or(0.0, |c| c["length"].as_f64().unwrap_or(f64::NAN));
        // The stretch bears its pieces, whichever way they lie.
        let fits = length * fabric.width >= total - TOLERANCE && length >= longest - TOLERANCE;
        if !fits {
            wrong.push(format!(
                "{}: {total} mm² of pieces from {length} mm of fabric",
                fabric.name
            ));
        }
    }
}

/// Panels joined side by side, one of them narrower, cover the back one way or the other.
fn covers(panels: &[(usize, f64, f64)], wide: f64, high: f64, seam: f64, wrong: &mut Vec<String>) {
    let count: usize = panels.iter().map(|panel| panel.0).sum();
    let widths: f64 = panels.iter().map(|panel| panel.0 as f64 * panel.2).sum();
    let joined = widths - (count as f64 - 1.0) * 2.0 * seam;
    let length = panels
        .iter()
        .map(|panel| panel.1)
        .fold(f64::INFINITY, f64::min);
    if count == 0 {
        wrong.push("no backing is cut".to_owned());
        return;
    }
    let fits =
        |across: f64, along: f64| joined >= across - TOLERANCE && length >= along - TOLERANCE;
    if !fits(wide, high) && !fits(high, wide) {
        wrong.push(format!("{panels:?} do not back {wide} by {high}"));
    }
}
