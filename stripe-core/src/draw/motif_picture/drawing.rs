//! A motif's pieces in their places, with their fabrics or in lines alone.

use super::joints::{marks, places};
use super::letters;
use super::look::Look;
use crate::colour::Colour;
use crate::draw::nap::plain_colour;
use crate::draw::scene::{Dash, Fill, GREY, Group, Item, PAPER, Path, Stroke};
use crate::draw::view::View;
use crate::draw::woven::Woven;
use crate::plan::{JointNote, MotifNote};
use crate::shape::{Point, corners_of, point, unit};

/// Room about a drawing (mm).
pub(in crate::draw) const EDGE_MM: f64 = 5.0;

/// What is drawn of a look, words aside.
pub(in crate::draw) struct Drawing<'a> {
    pub motif: &'a MotifNote,
    pub look: &'a Look<'a>,
    /// The finished pieces, ring by ring, motif frame.
    pub regions: &'a [Vec<Vec<Point>>],
    /// The box about them and the centre.
    pub corners: [Point; 2],
    pub scale: f64,
    pub missing: &'a [&'a JointNote],
    /// What the fabrics look like.
    pub woven: &'a Woven<'a>,
    /// Width of the drawing (mm).
    pub width_mm: f64,
    /// Whether the fabrics are shown, or lines alone.
    pub is_painted: bool,
    /// Whether pieces have their letters.
    pub is_lettered: bool,
}

impl Drawing<'_> {
    /// The pieces with their stripes and letters, from that height on the page down.
    pub(in crate::draw) fn items(&self, top: f64) -> Vec<Item> {
        let Self {
            motif,
            look,
            regions,
            corners: [low, high],
            scale,
            missing,
            woven,
            width_mm,
            is_painted,
            is_lettered,
        } = *self;
        let mut items = Vec::new();
        let view = View {
            scale,
            at: point(width_mm / 2.0, top),
            origin: point((low.x + high.x) / 2.0, high.y),
        };
        items.push(seams(motif, [low, high], &view));
        for (cut, region) in look.cuts.iter().zip(regions) {
            let rings = view.rings(region);
            if !is_painted {
                // What lies below is hidden, as fabric hides it.
                let paper = Some(Fill::solid(PAPER));
                items.push(Path::rings(rings, paper, Some(Stroke::ink(0.25))).into());
                continue;
            }
            let paint = match cut.fall() {
                Some(fall) => {
                    let corners = corners_of(region.iter().flatten());
                    let name = cut.fabric.fabric();
                    let mut paint = woven.areas(name, &fall, corners, |p| view.apply(p), scale);
                    paint.extend(cut.crossing(region, |p| view.apply(p)));
                    paint
                }
                None => vec![ground(plain_colour(cut.fabric, cut.piece, 0.0), &rings)],
            };
            items.push(Group::clipped(rings.clone(), paint).into());
            items.push(Path::rings(rings, None, Some(Stroke::ink(0.2))).into());
        }
        items.extend(marks(missing, &view));
        if !is_lettered {
            return items;
        }
        let on_page: Vec<Vec<Vec<Point>>> = regions.iter().map(|rings| view.rings(rings)).collect();
        let bottom = top + (high.y - low.y) * scale;
        let side = EDGE_MM + letters::widest_mm(motif) / 2.0;
        items.extend(letters::letters(
            motif,
            look,
            &on_page,
            &places(missing, &view),
            [side, width_mm - side],
            [top, bottom.max(top + 1.0)],
        ));
        items
    }
}

/// The seams of the background, running out a little beyond the motif.
fn seams(motif: &MotifNote, [low, high]: [Point; 2], view: &View) -> Item {
    let reach = [low, high, point(low.x, high.y), point(high.x, low.y)]
        .iter()
        .map(|corner| corner.x.hypot(corner.y))
        .fold(0.0, f64::max);
    let over = 4.0 / view.scale;
    let inside = |p: Point| {
        point(
            p.x.clamp(low.x - over, high.x + over),
            p.y.clamp(low.y - over, high.y + over),
        )
    };
    let lines: Vec<[Point; 2]> = motif
        .seams_deg
        .iter()
        .filter(|deg| deg.is_finite())
        .map(|deg| {
            let towards = unit(deg.to_radians());
            let out = point(towards.x * reach, towards.y * reach);
            [point(0.0, 0.0), inside(out)].map(|p| view.apply(p))
        })
        .collect();
    let stroke = Stroke::ink(0.25).broken(Dash::DashDot).coloured(GREY);
    Path::segments(lines, stroke).into()
}

/// Plain fabric.
pub(super) fn ground(colour: Colour, rings: &[Vec<Point>]) -> Item {
    let fill = Fill::solid(colour);
    Path::rings(rings.to_vec(), Some(fill), None).into()
}
