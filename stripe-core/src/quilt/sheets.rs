//! Binding, backing, triangles and diamonds as straight pieces: what they are cut from
//! depends on how wide their fabric is.

use super::{
    Backing, BiasStrips, Binding, Grain, Purpose, Quilt, QuiltTop, SeamRun, StraightPiece,
    bias_square, bias_width, panels, straight_binding,
};

/// What sheets are cut from.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sheets {
    /// Pieces that are cut in one way only.
    pub pieces: Vec<StraightPiece>,
    /// Of each thing that may be cut from one fabric in several ways, its ways: which takes
    /// least hangs on what else is cut from that fabric.
    pub choices: Vec<Vec<Vec<StraightPiece>>>,
}

/// Seams narrower than this (mm) are no step to round a square to.
const LEAST_STEP_MM: f64 = 1.0;
const QUARTER_INCH_MM: f64 = 6.35;

/// Squares and strips for triangles and diamonds, binding and backing; `width_of` tells a fabric's usable width (mm).
/// A fabric too narrow for any of these gives no piece.
pub fn sheets(
    quilt: &Quilt,
    quilt_top: &QuiltTop,
    width_of: impl Fn(&str) -> Option<f64>,
) -> Sheets {
    let edge = quilt_top.edge();
    let mut sheets = Sheets::default();
    for slanted in &quilt.slanted {
        if let Some(width) = width_of(&slanted.fabric) {
            let pieces = slanted.straight(quilt.seam_mm, width);
            sheets.pieces.extend(pieces);
        }
    }
    if let Some(binding) = &quilt.binding
        && let Some(width) = width_of(&binding.fabric)
    {
        let needed = 2.0 * (edge.width() + edge.height()) + binding.extra_mm;
        sheets.offer(binding_ways(binding, needed, width, quilt.seam_mm));
    }
    if let Some(backing) = &quilt.backing
        && let Some(width) = width_of(&backing.fabric)
    {
        let over = 2.0 * backing.overhang_mm;
        let (wide, high) = (edge.width() + over, edge.height() + over);
        sheets.offer(backing_ways(backing, wide, high, width, quilt.seam_mm));
    }
    sheets
}

impl Sheets {
    /// Takes in the ways of cutting one thing.
    fn offer(&mut self, mut ways: Vec<Vec<StraightPiece>>) {
        match ways.len() {
            0 => {}
            1 => self.pieces.append(&mut ways[0]),
            _ => self.choices.push(ways),
        }
    }
}

fn binding_ways(
    binding: &Binding,
    needed_mm: f64,
    fabric_mm: f64,
    seam_mm: f64,
) -> Vec<Vec<StraightPiece>> {
    let strip = binding.strip_mm;
    let piece = |name: &str, length_mm, width_mm, count, grain| StraightPiece {
        name: name.to_owned(),
        purpose: Purpose::Binding,
        fabric: binding.fabric.clone(),
        length_mm,
        width_mm,
        count,
        grain,
        slant: None,
        bias: None,
    };
    if !binding.bias {
        let strips = straight_binding(needed_mm, fabric_mm, strip);
        let pieces = strips.map(|strips| {
            let across = Grain::Across;
            vec![piece(
                "binding strip",
                fabric_mm,
                strip,
                strips.strips,
                across,
            )]
        });
        return pieces.into_iter().collect();
    }
    let from = |name: &str, strips: BiasStrips, grain| StraightPiece {
        bias: Some(strips),
        ..piece(name, strips.width_mm, strips.height_mm, 1, grain)
    };
    // The usual seam, a quarter of an inch or half a centimetre, is what a ruler shows.
    let step = if seam_mm < LEAST_STEP_MM {
        QUARTER_INCH_MM
    } else {
        seam_mm
    };
    let square = bias_square(needed_mm, strip, seam_mm, step);
    let wide = bias_width(needed_mm, fabric_mm, strip, seam_mm, step);
    let mut ways = vec![vec![from("square for bias binding", square, Grain::Any)]];
    let wide = from("rectangle for bias binding", wide, Grain::Across);
    if square.width_mm > fabric_mm {
        // The square does not fit the fabric.
        ways.clear();
    }
    ways.push(vec![wide]);
    ways
}

/// Seams from top to bottom and from side to side, where both are allowed. One panel has
/// no seam: it may lie either way.
fn backing_ways(
    backing: &Backing,
    width_mm: f64,
    height_mm: f64,
    fabric_mm: f64,
    seam_mm: f64,
) -> Vec<Vec<StraightPiece>> {
    let mut ways: Vec<Vec<StraightPiece>> = Vec::new();
    for seams in [SeamRun::Vertical, SeamRun::Horizontal] {
        let Some(panels) = panels(width_mm, height_mm, fabric_mm, seam_mm, Some(seams)) else {
            continue;
        };
        if backing.seams.is_some_and(|asked| asked != seams) && panels.count > 1 {
            continue;
        }
        let piece = |name: &str, width_mm, count| StraightPiece {
            name: name.to_owned(),
            purpose: Purpose::Backing,
            fabric: backing.fabric.clone(),
            length_mm: panels.length_mm,
            width_mm,
            count,
            grain: Grain::Along,
            slant: None,
            bias: None,
        };
        let is_narrow = panels.last_width_mm < fabric_mm - 0.5;
        let mut pieces = Vec::new();
        match panels.count {
            1 => pieces.push(piece("backing panel", panels.last_width_mm, 1)),
            n if is_narrow => {
                pieces.push(piece("backing panel", fabric_mm, n - 1));
                pieces.push(piece("narrow backing panel", panels.last_width_mm, 1));
            }
            n => pieces.push(piece("backing panel", fabric_mm, n)),
        }
        if !ways.contains(&pieces) {
            ways.push(pieces);
        }
    }
    ways
}
