//! Whether a plan's numbers can be worked with at all: the one notion that the verifier and
//! the drawings share. A plan file may have been edited by hand, or by anybody.
//!
//! Limits come first: whatever passes here is checked and drawn in bounded time and memory.
//! Whether the plan is any *good* is for the verifier.

use super::likely::LikelyNote;
use super::plan::{FabricPlan, MotifNote, PlacedPiece, Plan};
use super::quilt::{CutsNote, QuiltNote};
use crate::fabric::{Along, Band, Look, Stripe};
use std::collections::BTreeSet;

/// The most pieces of one plan: as many as a project may ask for.
pub const MAX_PIECES: usize = 20_000;
/// The most points that outlines may have in all.
pub const MAX_POINTS: usize = 4_000_000;
/// The most bands of one stripe.
pub const MAX_BANDS: usize = 400;

/// The most points of one piece: what is checked point by point grows with their square.
const MAX_PIECE_POINTS: usize = 20_000;
/// The most motifs, fabrics, turns, seams of one motif, or other sizes.
const MAX_LISTED: usize = 1_000;
/// The most pictures of fabrics.
const MAX_PICTURES: usize = 50;
/// The most joints, patches, seams, spots, steps or lines of the quilt's lists.
const MAX_PARTS: usize = 200_000;
/// The most bands that are drawn, over all fabrics and pieces.
const MAX_DRAWN_BANDS: f64 = 4e6;
/// Nothing may be further away than this (mm): a kilometre.
const FARTHEST_MM: f64 = 1e6;
/// The widest fabric, and the furthest that a piece reaches from its motif's centre (mm).
const WIDEST_MM: f64 = 20_000.0;
/// The greatest allowance (mm).
const MAX_ALLOWANCE_MM: f64 = 1_000.0;
/// The shortest repeat (mm).
const SHORTEST_REPEAT_MM: f64 = 0.1;
/// The longest name or title (bytes).
const MAX_NAME_BYTES: usize = 2_000;
/// So many flaws are told; one of them would do.
const MOST_FLAWS: usize = 1_000;

/// Something in a plan that cannot be worked with.
#[derive(Debug, Clone, PartialEq)]
pub struct Flaw {
    /// The label or name of what it concerns.
    pub of: String,
    /// Where in the plan, in words.
    pub place: String,
    /// What is wrong there.
    pub what: String,
}

/// Everything in a plan that cannot be worked with, at most a thousand things; empty for a
/// sound plan.
pub fn flaws(plan: &Plan) -> Vec<Flaw> {
    let mut found = Found(vec![]);
    found.counts(plan);
    if !found.0.is_empty() {
        return found.0;
    }
    found.heading(plan);
    for motif in &plan.motifs {
        found.motif(motif);
    }
    // Where a quilt has places for a motif, they are those of one kit.
    let places = |motif: &MotifNote| {
        let spots = plan.quilt.iter().flat_map(|quilt| &quilt.spots);
        spots.filter(|spot| spot.motif == motif.name).count()
    };
    let divides = |motif: &MotifNote| {
        let is_placed =
            |spots: usize| spots == 0 || spots.saturating_mul(plan.kits) == motif.copies;
        plan.kits == 1 || motif.copies.is_multiple_of(plan.kits.max(1)) && is_placed(places(motif))
    };
    if plan.kits == 0 || !plan.motifs.iter().all(divides) {
        let what = format!("its motifs cannot be dealt out to {} kits", plan.kits);
        found.add("the plan", "the plan", what);
    }
    let mut drawn = 0.0;
    let mut names = BTreeSet::new();
    for fabric in &plan.fabrics {
        // A fabric listed again and again has every piece drawn as often.
        if !names.insert(&fabric.name) {
            let place = format!("fabric `{}`", fabric.name);
            found.add(&fabric.name, &place, "another fabric has the same name");
        }
        found.fabric(fabric);
        drawn += drawn_bands(fabric);
    }
    if drawn > MAX_DRAWN_BANDS {
        found.add("the plan", "the plan", format!(
            "its stripes would be drawn as {drawn:.0} bands, more than the limit of {MAX_DRAWN_BANDS}"
        ));
    }
    for joint in &plan.joints {
        let ends = joint.line.iter().flatten();
        if !all_near(ends.chain([&joint.step_mm, &joint.mismatch])) {
            let place = format!("the joint of {} and {}", joint.a, joint.b);
            found.add(&joint.a, &place, "a number there is too large, or none");
        }
    }
    if let Some(likely) = &plan.likely {
        found.likely(likely);
    }
    if let Some(quilt) = &plan.quilt {
        found.quilt(quilt);
    }
    found.pictures(plan);
    for spare in &plan.spares {
        for name in [&spare.fabric, &spare.motif, &spare.piece] {
            found.name("places to spare", name);
        }
    }
    for name in plan
        .recut
        .iter()
        .flat_map(|r| r.spoilt.iter().chain(&r.moved).chain(&r.lacking))
    {
        found.name("what was cut anew", name);
    }
    found.0
}

fn is_near(value: f64) -> bool {
    value.is_finite() && value.abs() <= FARTHEST_MM
}

fn all_near<'a>(values: impl IntoIterator<Item = &'a f64>) -> bool {
    values.into_iter().copied().all(is_near)
}

fn is_size(value: f64) -> bool {
    value > 0.0 && is_near(value)
}

/// How many bands a fabric's drawings have: its own map, and every piece's picture.
fn drawn_bands(fabric: &FabricPlan) -> f64 {
    let Some(stripe) = &fabric.stripe else {
        return 0.0;
    };
    let mut every_mm = stripe.bands().len() as f64 / stripe.repeat_mm();
    let mut cells = 0.0;
    if let Some(along) = stripe.along() {
        match &along.look {
            Look::Bands(bands) => every_mm += bands.len() as f64 / along.repeat_mm,
            // Figures stand in rows and columns.
            Look::Figure { .. } => cells = 1.0 / (stripe.repeat_mm() * along.repeat_mm),
        }
    }
    let of = |width: f64, length: f64| every_mm * (width + length) + cells * width * length;
    let pieces = fabric.placements.iter().map(|piece| {
        let reach = piece.cut.iter().chain(&piece.finished).flatten();
        let reach = 2.0 * reach.fold(0.0, |most: f64, x| most.max(x.abs()));
        of(reach, reach)
    });
    let end = fabric.length_mm.max(fabric.buy.length_mm);
    of(fabric.width_mm, end) + pieces.sum::<f64>()
}

struct Found(Vec<Flaw>);

impl Found {
    fn add(&mut self, of: &str, place: &str, what: impl Into<String>) {
        if self.0.len() < MOST_FLAWS {
            self.0.push(Flaw {
                of: of.to_owned(),
                place: place.to_owned(),
                what: what.into(),
            });
        }
    }

    /// How much there is of everything: nothing else is looked at before.
    fn counts(&mut self, plan: &Plan) {
        let wanted = plan.motifs.iter().map(|motif| {
            let pieces = motif.pieces.len().max(1);
            motif.copies.saturating_mul(pieces)
        });
        let wanted = wanted.fold(0, usize::saturating_add);
        let laid = plan
            .fabrics
            .iter()
            .map(|fabric| fabric.placements.len())
            .sum();
        let pieces = plan.fabrics.iter().flat_map(|fabric| &fabric.placements);
        let points: usize = pieces.map(points_of).sum();
        let recut = plan.recut.as_ref().map_or(0, |recut| {
            recut.spoilt.len() + recut.moved.len() + recut.lacking.len() + recut.measured.len()
        });
        let mut counts = vec![
            ("pieces that its motifs ask for", wanted, MAX_PIECES),
            ("pieces on its fabrics", laid, MAX_PIECES),
            ("points of its outlines", points, MAX_POINTS),
            ("fabrics", plan.fabrics.len(), MAX_LISTED),
            ("motifs", plan.motifs.len(), MAX_LISTED),
            ("joints", plan.joints.len(), MAX_PARTS),
            ("warnings", plan.warnings.len(), MAX_PARTS),
            ("pieces cut anew", recut, MAX_PARTS),
            ("pictures", plan.pictures.len(), MAX_PICTURES),
            ("kinds with places to spare", plan.spares.len(), MAX_PARTS),
        ];
        if let Some(likely) = &plan.likely {
            counts.push(("motifs with joints", likely.motifs.len(), MAX_LISTED));
            counts.push(("delicate joints", likely.delicate.len(), MAX_LISTED));
        }
        for motif in &plan.motifs {
            counts.push(("seams under a motif", motif.seams_deg.len(), MAX_LISTED));
            counts.push(("copies of a motif", motif.copies, MAX_PIECES));
            counts.push(("pieces of a motif", motif.pieces.len(), MAX_PIECES));
        }
        for fabric in &plan.fabrics {
            counts.push(("turns of a fabric", fabric.may_rotate_deg.len(), MAX_LISTED));
            let outline = fabric.in_hand.iter().map(|one| &one.outline);
            let corners = outline.chain(&fabric.avoid).map(Vec::len).sum();
            counts.push(("corners of its fabric", corners, MAX_PARTS));
            counts.push(("holes and stains", fabric.avoid.len(), MAX_LISTED));
        }
        if let Some(quilt) = &plan.quilt {
            let sizes = &quilt.other_sizes;
            let cuts = || sizes.iter().flat_map(|size| &size.cuts).chain(&quilt.cuts);
            counts.extend([
                ("parts of its quilt", quilt.patches.len(), MAX_PARTS),
                ("seams of its quilt", quilt.seams.len(), MAX_PARTS),
                ("motifs on its quilt", quilt.spots.len(), MAX_PIECES),
                ("creases of its quilt", quilt.creases.len(), MAX_LISTED),
                ("fabrics of its quilt", quilt.fabrics.len(), MAX_LISTED),
                ("lines of its buying list", quilt.shopping.len(), MAX_LISTED),
                ("steps of its order of work", quilt.order.len(), MAX_LISTED),
                ("other sizes", sizes.len(), MAX_LISTED),
                ("straight cuts", cuts().count(), MAX_LISTED),
                (
                    "steps of straight cuts",
                    cuts().map(|c| c.steps.len()).sum(),
                    MAX_PARTS,
                ),
                (
                    "straight pieces",
                    cuts().map(|c| c.pieces.len()).sum(),
                    MAX_PARTS,
                ),
            ]);
        }
        for (what, count, most) in counts {
            if count > most {
                let words = format!("{count} {what} are more than the limit of {most}");
                self.add("the plan", "the plan", words);
            }
        }
    }

    fn name(&mut self, place: &str, name: &str) {
        if name.len() > MAX_NAME_BYTES {
            let short: String = name.chars().take(40).collect();
            self.add(&short, place, format!("the name `{short}…` is too long"));
        }
    }

    fn heading(&mut self, plan: &Plan) {
        for words in [
            &plan.title,
            &plan.money,
            &plan.effort,
            &plan.made_by,
            &plan.project_digest,
        ] {
            self.name("the plan's heading", words);
        }
        let making = &plan.making;
        for (name, value) in [
            ("turn_under", making.turn_under_mm),
            ("seam", making.seam_mm),
            ("tuck_under", making.tuck_under_mm),
            ("gap", making.gap_mm),
            ("stripe_tolerance", making.stripe_tolerance_mm),
        ] {
            if !(0.0..=MAX_ALLOWANCE_MM).contains(&value) {
                self.add(
                    name,
                    "making",
                    format!("`{name}` is {value}, which is no allowance"),
                );
            }
        }
    }

    fn pictures(&mut self, plan: &Plan) {
        let mut names = BTreeSet::new();
        for note in &plan.pictures {
            let place = format!("the picture of fabric `{}`", note.fabric);
            if !names.insert(&note.fabric) {
                self.add(&note.fabric, &place, "another picture of the same fabric");
            }
            let laid = plan.fabrics.iter().filter(|f| f.fabric() == note.fabric);
            let sewn = plan.quilt.iter().flat_map(|quilt| &quilt.fabrics);
            let sewn = sewn.filter(|look| look.name == note.fabric);
            let stripes = laid.map(|f| &f.stripe).chain(sewn.map(|look| &look.stripe));
            let plain = |stripe: &Option<Stripe>| {
                stripe
                    .as_ref()
                    .is_none_or(|stripe| stripe.along().is_some())
            };
            if stripes.into_iter().any(plain) {
                self.add(
                    &note.fabric,
                    &place,
                    "the fabric has no plain stripe to show",
                );
            }
            if let Err(error) = note.picture.seen() {
                self.add(&note.fabric, &place, error.to_string());
            }
        }
    }

    fn likely(&mut self, likely: &LikelyNote) {
        let names = likely.delicate.iter().flat_map(|d| [&d.motif, &d.a, &d.b]);
        for name in names.chain(likely.motifs.iter().map(|motif| &motif.motif)) {
            self.name("likely", name);
        }
        let all = [likely.by_stripe, likely.by_ruler];
        let shares = all.iter().flat_map(|m| [m.repeat, m.skew, m.laying, m.all]);
        let motifs = likely.motifs.iter().flat_map(|m| [m.by_stripe, m.by_ruler]);
        let delicate = likely.delicate.iter();
        let delicate = delicate.flat_map(|d| [d.by_stripe, d.by_ruler]);
        let errors = [likely.errors.repeat, likely.errors.skew];
        let mut shares = shares.chain(motifs).chain(delicate).chain(errors);
        let are_shares = shares.all(|share| (0.0..=1.0).contains(&share));
        let lengths = [
            likely.errors.laying_mm,
            likely.noticed_mm,
            likely.nearer_mm,
            likely.safe_gap_mm,
        ];
        let counts = likely.motifs.iter().map(|motif| motif.joints);
        let are_counts = counts.chain([likely.joints]).all(|n| n <= MAX_PARTS);
        if !are_shares || !are_counts || !lengths.iter().all(|&mm| mm >= 0.0 && is_near(mm)) {
            let what = "a share, a count or a length there is none";
            self.add("likely", "how likely joints are to match", what);
        }
    }

    fn motif(&mut self, motif: &MotifNote) {
        let place = format!("motif `{}`", motif.name);
        let pieces = motif.pieces.iter();
        let names = pieces.flat_map(|p| [&p.piece, &p.part, &p.fabric, &p.mark]);
        for name in names.chain([&motif.name, &motif.letter]) {
            self.name("motifs", name);
        }
        let exact = motif.exactness.iter();
        let exact = exact.flat_map(|e| [&e.slid_mm, &e.tilted_mm, &e.skewed_mm]);
        if !all_near(motif.seams_deg.iter().chain(exact)) {
            self.add(&motif.name, &place, "a number there is too large, or none");
        }
    }

    fn fabric(&mut self, fabric: &FabricPlan) {
        let place = format!("fabric `{}`", fabric.name);
        let of = &fabric.name;
        self.name("fabrics", &fabric.name);
        self.name(&place, &fabric.buy.shown);
        if !(fabric.width_mm > 0.0 && fabric.width_mm <= WIDEST_MM) {
            self.add(
                of,
                &place,
                format!("{} mm is no width of a fabric", fabric.width_mm),
            );
        }
        if !(fabric.length_mm >= 0.0 && is_near(fabric.length_mm)) {
            self.add(
                of,
                &place,
                format!("{} mm is no length of a layout", fabric.length_mm),
            );
        }
        let buy = &fabric.buy;
        let numbers = [
            fabric.by_hand_length_mm,
            fabric.bound.length_mm,
            buy.length_mm,
            fabric.one_kit_mm.unwrap_or_default(),
        ];
        if !numbers.iter().all(|&x| x >= 0.0 && is_near(x))
            || !buy.price.is_none_or(f64::is_finite)
            || !all_near(&fabric.may_rotate_deg)
        {
            let what = "a length, a price or a turn there is too large, below zero, or none";
            self.add(of, &place, what);
        }
        let outline = fabric.in_hand.iter().map(|one| &one.outline);
        let is_ring = |ring: &Vec<[f64; 2]>| ring.len() >= 3 && all_near(ring.iter().flatten());
        if !outline.chain(&fabric.avoid).all(is_ring) {
            self.add(of, &place, "an outline there is none");
        }
        if let Some(beside) = fabric.beside
            && !((0.0..=fabric.width_mm).contains(&beside.slit_mm)
                && (0.0..=fabric.length_mm).contains(&beside.length_mm)
                && is_near(beside.saved_mm))
        {
            let what = format!(
                "the stretch of straight cuts, slit {} and long {} mm, is no part of it",
                beside.slit_mm, beside.length_mm
            );
            self.add(of, &place, what);
        }
        if let Some(left) = fabric.leftover
            && !((0.0..=fabric.width_mm).contains(&left.left_mm)
                && (0.0..=fabric.width_mm).contains(&left.width_mm)
                && left.begin_mm >= 0.0
                && left.length_mm >= 0.0
                && is_near(left.begin_mm + left.length_mm)
                && left.shortest_mm.is_none_or(is_near))
        {
            self.add(of, &place, "what is said to be left over is no part of it");
        }
        if let Some(stripe) = &fabric.stripe {
            self.stripe(of, stripe);
        }
        for piece in &fabric.placements {
            self.piece(piece);
        }
    }

    fn stripe(&mut self, fabric: &str, stripe: &Stripe) {
        let place = format!("the stripe of fabric `{fabric}`");
        let mut flaw = |what: String| self.add(fabric, &place, what);
        let count = stripe.bands().len();
        if count > MAX_BANDS {
            return flaw(format!(
                "it has {count} bands, more than the limit of {MAX_BANDS}"
            ));
        }
        let are_bands = |bands: &[Band]| {
            let mut bands = bands.iter();
            bands.all(|band| is_size(band.width_mm) && band.name.len() <= MAX_NAME_BYTES)
        };
        let repeat_mm = stripe.repeat_mm();
        if !(are_bands(stripe.bands())
            && is_near(repeat_mm)
            && repeat_mm >= SHORTEST_REPEAT_MM
            && is_near(stripe.origin_mm()))
        {
            return flaw("a width or a place there is no number of a stripe".into());
        }
        let is_look = |look: &Look| match look {
            Look::Bands(bands) => bands.len() <= MAX_BANDS && are_bands(bands),
            Look::Figure {
                across_mm, size_mm, ..
            } => is_size(*size_mm) && is_near(*across_mm),
        };
        let is_along = |along: &Along| {
            is_near(along.repeat_mm)
                && along.repeat_mm >= SHORTEST_REPEAT_MM
                && all_near([&along.start_mm, &along.shear_mm])
                && along.shear_mm.abs() <= 100.0 * repeat_mm
                && is_look(&along.look)
        };
        if !stripe.along().is_none_or(is_along) {
            flaw("what repeats along its stripes has a size that is none".into());
        }
    }

    fn piece(&mut self, p: &PlacedPiece) {
        let place = format!("{} ({})", p.label, p.id);
        for name in [&p.label, &p.id, &p.motif, &p.piece, &p.part] {
            self.name("pieces", name);
        }
        let mut flaw = |what: String| self.add(&p.label, &place, what);
        if p.copy == 0 || p.copy > MAX_PIECES {
            flaw(format!("{} is no number of a copy", p.copy));
        }
        let to = &p.to_fabric;
        let was = p.was.unwrap_or(*to);
        let numbers = [
            to.rotate_deg,
            to.dx_mm,
            to.dy_mm,
            was.rotate_deg,
            was.dx_mm,
            was.dy_mm,
            p.axis_deg,
            p.grain_deg.unwrap_or(0.0),
        ];
        let stripes = [
            p.offset_mm,
            p.normal_deg,
            p.phase_at_centre_mm,
            p.along_at_centre_mm,
        ];
        if !all_near(
            numbers
                .iter()
                .chain(stripes.iter().flatten())
                .chain(&p.mark),
        ) {
            flaw("its place, its mark or its stripe is too far away, or no number".into());
        }
        let outlines = [&p.finished, &p.cut].into_iter();
        let mut rings = outlines.chain(&p.finished_holes).chain(&p.cut_holes);
        let is_ring = |ring: &Vec<[f64; 2]>| {
            ring.len() >= 3 && ring.iter().flatten().all(|x| x.abs() <= WIDEST_MM)
        };
        if !rings.all(is_ring) {
            flaw(
                "one of its lines has fewer than three points, or one that is too far away".into(),
            );
        }
        if !all_near(p.clips.iter().flatten().flatten()) {
            flaw("one of its clips is too far away".into());
        }
        let points = points_of(p);
        if points > MAX_PIECE_POINTS {
            flaw(format!(
                "its {points} points are more than the limit of {MAX_PIECE_POINTS}"
            ));
        }
        let edges = p.finished.len() + p.finished_holes.iter().map(Vec::len).sum::<usize>();
        if edges != p.roles.len() {
            flaw(format!(
                "it has {edges} edges but {} edge roles",
                p.roles.len()
            ));
        }
    }

    fn quilt(&mut self, quilt: &QuiltNote) {
        let place = format!("quilt `{}`", quilt.name);
        self.name("the quilt", &quilt.name);
        for look in &quilt.fabrics {
            self.name(&place, &look.name);
            if let Some(stripe) = &look.stripe {
                self.stripe(&look.name, stripe);
            }
        }
        let rects = quilt.patches.iter().map(|patch| &patch.rect_mm);
        let spots = quilt.spots.iter();
        let numbers = rects
            .chain([&quilt.field_mm, &quilt.edge_mm])
            .flatten()
            .chain(quilt.seams.iter().flatten().flatten())
            .chain(spots.flat_map(|spot| spot.centre_mm.iter().chain([&spot.rotate_deg])))
            .chain(quilt.creases.iter().map(|crease| &crease.at_mm))
            .chain(&quilt.size_mm);
        if !numbers
            .copied()
            .all(|x| x.is_finite() && x.abs() <= WIDEST_MM)
        {
            self.add(&quilt.name, &place, "a number there is too large, or none");
        }
        let others = quilt.other_sizes.iter();
        let cuts = others
            .clone()
            .flat_map(|size| &size.cuts)
            .chain(&quilt.cuts);
        let are_cuts = |cuts: &CutsNote| {
            let pieces = cuts.pieces.iter();
            all_near([&cuts.width_mm, &cuts.length_mm, &cuts.bound_mm])
                && all_near(pieces.flat_map(|piece| [&piece.length_mm, &piece.width_mm]))
        };
        let are_lines = quilt.shopping.iter().all(|line| {
            all_near([&line.length_mm, &line.buy_mm])
                && line.width_mm.is_none_or(is_near)
                && line.price.is_none_or(f64::is_finite)
        });
        if !(cuts.into_iter().all(are_cuts)
            && are_lines
            && quilt.total.is_none_or(f64::is_finite)
            && all_near(others.flat_map(|size| &size.size_mm)))
        {
            self.add(
                &quilt.name,
                &place,
                "a number of its lists is too large, or none",
            );
        }
    }
}

fn points_of(p: &PlacedPiece) -> usize {
    let holes = p.finished_holes.iter().chain(&p.cut_holes);
    p.finished.len() + p.cut.len() + holes.map(Vec::len).sum::<usize>() + 2 * p.clips.len()
}
