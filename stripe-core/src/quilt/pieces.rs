//! The straight pieces that a quilt is cut into, with their cut sizes.

use super::quilt_top::field_size;
use super::straight_piece::{Grain, Purpose, StraightPiece};
use super::{Border, Corners, Make, Quilt};

/// All straight pieces of the top with their foundations; binding, backing and what
/// triangles and diamonds are cut from are worked out by themselves.
pub fn straight_pieces(quilt: &Quilt) -> Vec<StraightPiece> {
    let mut pieces = Vec::new();
    let field = &quilt.field;
    let name = if field.strips > 1 {
        "field strip"
    } else {
        "field"
    };
    let kinds = field.fabrics.len().clamp(1, field.strips.max(1));
    for (i, fabric) in field.fabrics.iter().take(kinds).enumerate() {
        pieces.push(StraightPiece {
            name: name.to_owned(),
            purpose: Purpose::Top,
            fabric: fabric.clone(),
            length_mm: field.strip_length_mm,
            width_mm: field.strip_width_mm,
            count: in_turn(field.strips, kinds, i),
            grain: field.grain,
            slant: None,
            bias: None,
        });
    }
    let (mut width, mut height) = field_size(field, quilt.seam_mm);
    for border in &quilt.borders {
        border_pieces(border, quilt.seam_mm, width, height, &mut pieces);
        let depth = border.depth_mm - 2.0 * quilt.seam_mm;
        width += 2.0 * depth;
        height += 2.0 * depth;
    }
    let mut merged: Vec<StraightPiece> = Vec::new();
    for piece in pieces {
        let same = merged.iter_mut().find(|m| {
            StraightPiece {
                count: 0,
                ..(*m).clone()
            } == StraightPiece {
                count: 0,
                ..piece.clone()
            }
        });
        match same {
            Some(known) => known.count += piece.count,
            None if piece.count > 0 => merged.push(piece),
            None => {}
        }
    }
    let foundations: Vec<StraightPiece> = quilt
        .foundations
        .iter()
        .flat_map(|f| {
            merged
                .iter()
                .filter(|p| p.fabric == f.under)
                .map(|p| StraightPiece {
                    name: format!("foundation under {}", p.name),
                    fabric: f.fabric.clone(),
                    length_mm: p.length_mm + f.extra_length_mm,
                    ..p.clone()
                })
        })
        .collect();
    merged.extend(foundations);
    merged
}

/// The fabrics that a quilt names, as often as it names them.
pub fn fabrics_of(quilt: &Quilt) -> Vec<String> {
    let mut fabrics: Vec<String> = straight_pieces(quilt)
        .into_iter()
        .map(|p| p.fabric)
        .collect();
    fabrics.extend(quilt.slanted.iter().map(|s| s.fabric.clone()));
    fabrics.extend(quilt.binding.iter().map(|b| b.fabric.clone()));
    fabrics.extend(quilt.backing.iter().map(|b| b.fabric.clone()));
    fabrics
}

/// How many of `n` things dealt out in turn to `kinds` go to kind `i`.
fn in_turn(n: usize, kinds: usize, i: usize) -> usize {
    n / kinds + usize::from(i < n % kinds)
}

fn border_pieces(
    border: &Border,
    seam: f64,
    width: f64,
    height: f64,
    pieces: &mut Vec<StraightPiece>,
) {
    let depth = border.depth_mm;
    let mut push = |what: &str, fabric: &str, length_mm: f64, count: usize, grain| {
        pieces.push(StraightPiece {
            name: format!("{} {what}", border.name),
            purpose: Purpose::Top,
            fabric: fabric.to_owned(),
            length_mm,
            width_mm: depth,
            count,
            grain,
            slant: None,
            bias: None,
        });
    };
    match &border.make {
        Make::Plain {
            fabric,
            corners,
            side_length_mm,
            end_length_mm,
        } => {
            let over = 2.0 * (depth - 2.0 * seam);
            let (side, end) = match corners {
                Corners::SidesFirst => (height, width + over),
                Corners::EndsFirst => (height + over, width),
                Corners::Squares(_) => (height, width),
                Corners::Mitred => (height + over, width + over),
            };
            let raw = 2.0 * seam;
            push(
                "side",
                fabric,
                side_length_mm.unwrap_or(side + raw),
                2,
                border.grain,
            );
            push(
                "top and bottom",
                fabric,
                end_length_mm.unwrap_or(end + raw),
                2,
                border.grain,
            );
            if let Corners::Squares(fabric) = corners {
                push("corner", fabric, depth, 4, Grain::Any);
            }
        }
        Make::Units {
            fabrics,
            unit_mm,
            across,
            along,
            corner,
        } => {
            let kinds = fabrics.len().max(1);
            for (i, fabric) in fabrics.iter().enumerate() {
                let count = 2 * (in_turn(*across, kinds, i) + in_turn(*along, kinds, i));
                push("unit", fabric, *unit_mm, count, border.grain);
            }
            push("corner", corner, depth, 4, Grain::Any);
        }
    }
}
