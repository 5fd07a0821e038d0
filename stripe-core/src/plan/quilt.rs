//! From a project's quilt to the plan's part of it: cuts, buying, placement, order.

use super::error::Error;
use super::job::Worked;
use super::notes::{buy, sale_of};
use super::order::{Top, order_of_work};
use super::placement_guide::{creases, guide};
use crate::buy::straight::{Remnant, StraightError, plural, steps};
use crate::buy::{FabricCuts, batting_need, fabric_cuts};
use crate::fabric::{Fabric, Pattern, Sale};
use crate::length::{Length, Unit};
use crate::project::Project;
use crate::quilt::{
    MotifSpot, PatchRole, Purpose, Quilt, QuiltTop, Rect, Station, StraightPiece, check, lay_out,
    spots,
};
use crate::record::{
    CutsNote, LookNote, PatchNote, PieceCountNote, QuiltNote, ShoppingNote, SizeNote, SpotNote,
    SpotOn,
};
use crate::record::{FabricPlan, MotifNote};
use std::collections::BTreeMap;

/// What of a quilt does not hang on the layouts.
pub(super) struct QuiltWork<'p> {
    quilt: &'p Quilt,
    quilt_top: QuiltTop,
    spots: Vec<MotifSpot>,
    cuts: Vec<FabricCuts>,
    other_sizes: Vec<SizeNote>,
}

impl QuiltWork<'_> {
    /// The straight cuts, fabric by fabric.
    pub(super) fn cuts(&self) -> &[FabricCuts] {
        &self.cuts
    }
}

/// Works the quilt out, or nothing where the project has motifs alone: before the search,
/// so that a strip that cannot be cut is known before anybody waits, and nobody waits
/// for the straight cuts after Ctrl-C.
pub(super) fn work_out_quilt(project: &Project) -> Result<Option<QuiltWork<'_>>, Error> {
    let Some((quilt, others)) = project.quilts.split_first() else {
        return Ok(None);
    };
    let quilt_top = lay_out(quilt);
    Ok(Some(QuiltWork {
        quilt,
        spots: spots(quilt, &project.motifs, &quilt_top),
        cuts: straight(project, quilt, &quilt_top)?,
        quilt_top,
        other_sizes: others
            .iter()
            .map(|other| other_size(project, other))
            .collect::<Result<_, Error>>()?,
    }))
}

/// The planned quilt, and what a maker should know about it.
pub(super) fn quilt_note(
    project: &Project,
    work: QuiltWork<'_>,
    worked: &[Worked],
    motifs: &[MotifNote],
    lays: &[FabricPlan],
    remnants: &BTreeMap<&str, &Remnant>,
) -> (QuiltNote, Vec<String>) {
    let QuiltWork {
        quilt,
        quilt_top,
        spots: all,
        cuts,
        other_sizes,
    } = work;
    let unit = project.unit;
    let creases = creases(quilt, &quilt_top, &all);
    let (shopping, total) = shopping(project, quilt, &quilt_top, &cuts, lays);
    let mut warnings: Vec<String> = check(quilt, &project.motifs, &quilt_top, &all)
        .iter()
        .filter(|finding| !finding.stops)
        .map(|f| format!("{}: {}", f.misfit.message(unit), f.misfit.help(unit)))
        .collect();
    for one in &cuts {
        let fabric = project.fabric(&one.fabric);
        if fabric.is_some_and(|c| c.stripe().is_some()) {
            warnings.push(format!(
                "the straight pieces of `{}` are cut without regard to where its stripe falls",
                one.fabric
            ));
        }
    }
    let assemblies: Vec<_> = project
        .motifs
        .iter()
        .zip(worked.iter().map(|one| &one.assembly))
        .collect();
    let backing = cuts.iter().flat_map(|one| &one.pieces);
    let order = order_of_work(&Top {
        quilt,
        quilt_top: &quilt_top,
        spots: &all,
        motifs: &assemblies,
        creases: &creases,
        panels: backing
            .filter(|piece| piece.purpose == Purpose::Backing)
            .map(|piece| piece.count / project.kits)
            .sum(),
        unit,
    });
    let note = QuiltNote {
        name: quilt.name.clone(),
        size_mm: size(&quilt_top),
        field_mm: sides(quilt_top.field),
        edge_mm: sides(quilt_top.edge()),
        fabrics: looks(project, &quilt_top),
        patches: quilt_top
            .patches
            .iter()
            .map(|patch| PatchNote {
                what: patch_words(quilt, patch.role),
                fabric: patch.fabric.clone(),
                rect_mm: sides(patch.rect),
                mitred: patch.mitred,
            })
            .collect(),
        seams: quilt_top
            .seams
            .iter()
            .map(|line| [[line.a.x, line.a.y], [line.b.x, line.b.y]])
            .collect(),
        spots: all
            .iter()
            .map(|spot| spot_note(quilt, &quilt_top, &creases, motifs, spot, unit))
            .collect(),
        creases,
        cuts: cuts
            .iter()
            .map(|one| cuts_note(one, remnants.get(one.fabric.as_str()).copied(), unit))
            .collect(),
        shopping,
        total,
        order,
        other_sizes,
    };
    (note, warnings)
}

fn straight(
    project: &Project,
    quilt: &Quilt,
    quilt_top: &QuiltTop,
) -> Result<Vec<FabricCuts>, Error> {
    fabric_cuts(quilt, quilt_top, &project.fabrics, project.kits)
        .map_err(|(fabric, fault)| straight_fault(project.unit, fabric, fault))
}

pub(super) fn straight_fault(unit: Unit, fabric: String, fault: StraightError) -> Error {
    let mm = |length: f64| Length::from_mm(length).shown(unit);
    let words = match &fault {
        StraightError::TooWide {
            name,
            length_mm,
            width_mm,
            fabric_mm,
            fits_along,
        } => {
            let way = if *fits_along {
                "cut it with its length along the selvages: grain = \"along\" or \"any\""
            } else {
                "use a wider fabric, or join it from more pieces"
            };
            format!(
                "{name} is cut {} by {}, and the fabric is only {} wide; {way}",
                mm(*length_mm),
                mm(*width_mm),
                mm(*fabric_mm)
            )
        }
        other => other.to_string(),
    };
    Error::Straight { fabric, words }
}

/// How the fabrics of the top look, in the project's order.
fn looks(project: &Project, quilt_top: &QuiltTop) -> Vec<LookNote> {
    let used = |name: &str| quilt_top.patches.iter().any(|p| p.fabric == name);
    let fabrics = project.fabrics.iter().filter(|fabric| used(&fabric.name));
    fabrics
        .map(|fabric| LookNote {
            name: fabric.name.clone(),
            colour: match &fabric.pattern {
                Pattern::Plain(colour) => Some(*colour),
                Pattern::Striped(_) => None,
            },
            stripe: fabric.stripe().cloned(),
        })
        .collect()
}

fn size(quilt_top: &QuiltTop) -> [f64; 2] {
    [quilt_top.edge().width(), quilt_top.edge().height()]
}

fn sides(rect: Rect) -> [f64; 4] {
    [rect.x0, rect.y0, rect.x1, rect.y1]
}

const CORNERS: [&str; 4] = ["top left", "top right", "bottom right", "bottom left"];

fn patch_words(quilt: &Quilt, role: PatchRole) -> String {
    let name = |border: usize| quilt.borders[border].name.as_str();
    match role {
        PatchRole::Strip(_) if quilt.field.strips == 1 => "field".to_owned(),
        PatchRole::Strip(i) => format!("strip {}", i + 1),
        PatchRole::Plain { border, side } => format!("{}, {}", name(border), side.word()),
        PatchRole::Unit {
            border,
            side,
            number,
        } => format!("{}, {}, unit {}", name(border), side.word(), number + 1),
        PatchRole::Corner { border, corner } => {
            format!("{}, {} corner", name(border), CORNERS[corner])
        }
    }
}

fn spot_note(
    quilt: &Quilt,
    quilt_top: &QuiltTop,
    creases: &[crate::record::CreaseNote],
    motifs: &[MotifNote],
    spot: &MotifSpot,
    unit: Unit,
) -> SpotNote {
    let letter = motifs
        .iter()
        .find(|m| m.name == spot.motif)
        .map_or("", |m| m.letter.as_str());
    SpotNote {
        motif: spot.motif.clone(),
        copy: spot.copy,
        label: format!("{letter}{}", spot.copy),
        centre_mm: [spot.centre.x, spot.centre.y],
        rotate_deg: spot.rotate_deg,
        on: match spot.station {
            Station::Field => SpotOn::Field,
            Station::Seam { .. } => SpotOn::Seam,
            Station::Corner { .. } => SpotOn::Corner,
        },
        guide: guide(quilt, quilt_top, creases, spot, unit),
    }
}

fn cuts_note(one: &FabricCuts, remnant: Option<&Remnant>, unit: Unit) -> CutsNote {
    CutsNote {
        fabric: one.fabric.clone(),
        width_mm: one.width_mm,
        length_mm: one.cuts.length_mm,
        bound_mm: one.cuts.bound_mm,
        pieces: one
            .pieces
            .iter()
            .map(|piece| PieceCountNote {
                name: piece.name.clone(),
                count: piece.count,
                length_mm: piece.length_mm,
                width_mm: piece.width_mm,
            })
            .collect(),
        steps: steps(&one.cuts, &one.pieces, one.width_mm, remnant, unit),
    }
}

/// Every fabric that is used, then the batting; and the sum, where all prices are known.
fn shopping(
    project: &Project,
    quilt: &Quilt,
    quilt_top: &QuiltTop,
    cuts: &[FabricCuts],
    lays: &[FabricPlan],
) -> (Vec<ShoppingNote>, Option<f64>) {
    let unit = project.unit;
    let mut list = Vec::new();
    for fabric in &project.fabrics {
        let lay = lays.iter().find(|lay| lay.name == fabric.name);
        let one = cuts.iter().find(|one| one.fabric == fabric.name);
        // A stretch that both share is counted once, with the straight pieces.
        let shared = lay
            .and_then(|lay| lay.beside)
            .map_or(0.0, |beside| beside.length_mm);
        let shaped = lay.map_or(0.0, FabricPlan::shortest) - shared;
        let straight = one.map_or(0.0, |one| one.cuts.length_mm);
        if shaped + straight <= 0.0 {
            continue;
        }
        let bought = buy(fabric, shaped + straight, unit);
        let extra = match bought.counted_in.as_str() {
            "" => String::new(),
            words => format!("; {words}"),
        };
        list.push(ShoppingNote {
            name: fabric.name.clone(),
            width_mm: Some(fabric.width_mm),
            length_mm: shaped + straight,
            buy_mm: bought.length_mm,
            shown: bought.shown,
            price: bought.price,
            less: bought.less,
            why: why(lay, one, unit)
                + &extra
                + &leftover_words(lay, unit).unwrap_or_else(|| {
                    left_words(fabric, bought.length_mm, shaped + straight, unit)
                }),
        });
    }
    if let (Some(batting), Some(need)) = (&quilt.batting, batting_need(quilt, quilt_top)) {
        let shown = |mm: f64| Length::from_mm(mm).shown_up(unit);
        let whole = format!("{} by {}", shown(need.width_mm), shown(need.height_mm));
        let (pieces, whole) = match project.kits {
            1 => (whole.clone(), format!("{whole} in one piece")),
            kits => (
                format!("{kits} of {whole}"),
                format!("{kits} pieces of {whole}"),
            ),
        };
        // Sold by the step like any fabric; nothing is lost at its ends.
        let sale = Sale {
            price: batting.price,
            per_mm: batting.per_mm,
            squaring_mm: 0.0,
            ..Sale::default(unit == Unit::Inch)
        };
        let kits = project.kits as f64;
        let cut_mm = need
            .length_mm
            .map(|used_mm| sale.length_to_buy_mm(used_mm * kits));
        list.push(ShoppingNote {
            name: batting.name.clone(),
            width_mm: batting.width_mm,
            length_mm: need.length_mm.unwrap_or(need.height_mm) * kits,
            buy_mm: cut_mm.unwrap_or(need.height_mm * kits),
            shown: cut_mm.map_or_else(
                || pieces.clone(),
                |cut_mm| Length::from_mm(cut_mm).shown_to_buy(unit),
            ),
            price: cut_mm.and_then(|cut_mm| sale.price_of(cut_mm)),
            less: None,
            why: match (batting.width_mm, need.length_mm) {
                (Some(width), None) => format!(
                    "{whole}: wider than the {} that it is sold at, so join two",
                    shown(width)
                ),
                _ => whole,
            },
        });
    }
    let prices: Option<Vec<f64>> = list.iter().map(|line| line.price).collect();
    let total = prices.map(|prices| (prices.iter().sum::<f64>() * 100.0).round() / 100.0);
    (list, total)
}

/// What the step in which fabric is sold leaves at the full width, if it is worth telling.
fn left_words(fabric: &Fabric, bought_mm: f64, used_mm: f64, unit: Unit) -> String {
    let left_mm = sale_of(fabric, unit).left_mm(bought_mm, used_mm);
    if left_mm < WORTH_TELLING_MM {
        return String::new();
    }
    format!(
        "; about {} by the full width left over",
        Length::from_mm(left_mm)
            .down(unit)
            .shown(unit)
            .replace("about ", "")
    )
}

/// The piece that a fabric of motifs alone leaves.
fn leftover_words(lay: Option<&FabricPlan>, unit: Unit) -> Option<String> {
    let lay = lay?;
    let left = lay.leftover?;
    let shown = |mm: f64| Length::from_mm(mm).down(unit).shown(unit);
    let spread = left.shortest_mm.map_or_else(String::new, |_| {
        let over = Length::from_mm(lay.length_mm).shown_up(unit);
        format!("; they lie on {over} of what is bought, so that more is left in one piece")
    });
    Some(format!(
        "{spread}; leaves a piece {} by {}",
        shown(left.width_mm),
        shown(left.length_mm)
    ))
}

/// What is left of a fabric is told from this length on (mm).
const WORTH_TELLING_MM: f64 = 25.4;

fn why(lay: Option<&FabricPlan>, cuts: Option<&FabricCuts>, unit: Unit) -> String {
    let shown = |mm: f64| Length::from_mm(mm).shown_up(unit);
    let mut parts = Vec::new();
    if let Some(one) = cuts {
        let pieces: Vec<String> = one.pieces.iter().map(piece_words).collect();
        parts.push(format!(
            "{} for {}",
            shown(one.cuts.length_mm),
            pieces.join(", ")
        ));
    }
    if let Some(lay) = lay {
        let inside = lay.beside.map_or(0, |beside| beside.pieces);
        let alone = lay.placements.len() - inside;
        let pieces = |n: usize| match n {
            1 => "1 motif piece".to_owned(),
            _ => format!("{n} motif pieces"),
        };
        if let Some(beside) = lay.beside {
            let saved = Length::from_mm(beside.saved_mm).down(unit).shown(unit);
            parts.push(format!(
                "beside them {}, which saves {saved}",
                pieces(inside)
            ));
        }
        if alone > 0 {
            let length = lay.shortest() - lay.beside.map_or(0.0, |beside| beside.length_mm);
            parts.push(format!("{} for {}", shown(length), pieces(alone)));
        }
    }
    parts.join("; ")
}

/// `6 x gull square (12 half-square triangles)`.
fn piece_words(piece: &StraightPiece) -> String {
    let slanted = piece.slant.as_ref().map_or_else(String::new, |slant| {
        let s = if slant.wanted == 1 { "" } else { "s" };
        format!(" ({} {}{s})", slant.wanted, slant.shape.word())
    });
    format!(
        "{} {}{slanted}",
        piece.count,
        plural(&piece.name, piece.count)
    )
}

fn other_size(project: &Project, quilt: &Quilt) -> Result<SizeNote, Error> {
    let quilt_top = lay_out(quilt);
    let all = spots(quilt, &project.motifs, &quilt_top);
    let cuts = straight(project, quilt, &quilt_top)?;
    Ok(SizeNote {
        name: quilt.name.clone(),
        size_mm: size(&quilt_top),
        motifs: project
            .motifs
            .iter()
            .map(|m| {
                let n = all.iter().filter(|s| s.motif == m.name).count();
                (m.name.clone(), n)
            })
            .filter(|(_, n)| *n > 0)
            .collect(),
        cuts: cuts
            .iter()
            .map(|one| cuts_note(one, None, project.unit))
            .collect(),
    })
}
