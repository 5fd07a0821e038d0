//! The limits of a project that was built in code: the same that the reader of a project
//! file keeps, said without a place in a text.

use super::Project;
use super::limits::{
    ALLOWANCES_MM, ANGLES_DEG, BANDS, BANDS_MM, BINDING_STRIPS_MM, BORDERS, CODE_LETTERS, COPIES,
    DISTANCES_MM, EVERY, FABRICS, FABRICS_IN_TURN, FOUNDATIONS, KITS, MAX_NAME_CHARS, MAX_SIZE_MM,
    MAX_TITLE_CHARS, MIN_REPEAT_MM, MIN_SIZE_MM, MOTIFS, PARTS, PIECES, PLACES, PLACES_MM, PRICES,
    QUILTS, REPEATS_MM, RULER_MARKS_MM, SHRINKAGES, SIZES_MM, SLANTED_KINDS, SOLD_MM, SPOKES,
    SPOTS, SQUARING_MM, SWEEPS_DEG, TURNS, UNITS, WEDGES, from_to, name_flaw,
};
use super::{fans, outline};
use crate::fabric::{Along, Band, Fabric, Look, Pattern, Sale, Stripe};
use crate::motif::{Copies, Fan, Form, Motif, Part, PartStripes, code_capitals};
use crate::num::POINT_TOL_MM;
use crate::quilt::{Border, Corners, Make, Misfit, Quilt, Site, check, lay_out, spots};
use std::fmt;
use std::ops::RangeInclusive;

/// Something in a project that no plan can be made of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unfit {
    /// What it is about: ``motif `wheel`, part `rim` ``.
    pub of: String,
    /// What is wrong.
    pub message: String,
    /// What to do about it.
    pub help: String,
}

impl fmt::Display for Unfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}; {}", self.of, self.message, self.help)
    }
}

impl Project {
    /// Whether a project built in code keeps the limits that the reader of a project file
    /// keeps, and whether its quilt fits together; [`plan::make`](crate::plan::make) asks this
    /// first. What [`Project::read`] returns always does.
    ///
    /// # Errors
    /// Everything that is wrong, at most a thousand things.
    ///
    /// ```
    /// use stripe_core::colour::Colour;
    /// use stripe_core::fabric::Fabric;
    /// use stripe_core::length::Unit;
    /// use stripe_core::motif::{Fan, Motif, Part};
    /// use stripe_core::project::Project;
    ///
    /// let mut project = Project::new("Buoys", Unit::Inch);
    /// project.fabrics.push(Fabric::plain("brass", 1000.0, Colour::new(200, 160, 60)));
    /// project.motifs.push(Motif::new("buoy", 3).with_part(Part::new("cap", "bras", Fan::disc(40.0))));
    /// let wrong = project.validate().unwrap_err();
    /// assert_eq!(wrong[0].of, "motif `buoy`, part `cap`");
    /// assert_eq!(wrong[0].message, "it asks for fabric `bras`, which is not there");
    /// ```
    pub fn validate(&self) -> Result<(), Vec<Unfit>> {
        let mut found = Found(vec![]);
        found.project(self);
        if found.0.is_empty() {
            // What does not fit together is told from sizes that are sound.
            found.fit(self);
        }
        if found.0.is_empty() {
            Ok(())
        } else {
            Err(found.0)
        }
    }
}

/// So many things are told; one of them would do.
const MOST: usize = 1_000;

struct Found(Vec<Unfit>);

impl Found {
    fn add(&mut self, of: &str, message: impl Into<String>, help: impl Into<String>) {
        if self.0.len() < MOST {
            self.0.push(Unfit {
                of: of.to_owned(),
                message: message.into(),
                help: help.into(),
            });
        }
    }

    fn count(&mut self, of: &str, what: &str, count: usize, range: RangeInclusive<usize>) {
        if !range.contains(&count) {
            let help = format!("use {}", from_to(&range));
            self.add(of, format!("it has {count} {what}"), help);
        }
    }

    fn number(&mut self, of: &str, field: &str, value: f64, range: RangeInclusive<f64>) {
        // Also what is no number at all lies in no range.
        if !range.contains(&value) {
            let help = format!("use {}", from_to(&range));
            self.add(of, format!("its `{field}` is {value}"), help);
        }
    }

    fn name(&mut self, of: &str, name: &str, most_chars: usize) {
        if let Some((message, help)) = name_flaw("its name", name, most_chars) {
            self.add(of, message, help);
        }
    }

    fn names_differ<'n>(&mut self, of: &str, names: impl Iterator<Item = &'n str>) {
        let mut seen = std::collections::BTreeSet::new();
        for name in names {
            if !seen.insert(name) {
                let message = format!("two of it are named `{name}`");
                self.add(of, message, "give each its own name");
            }
        }
    }

    fn project(&mut self, project: &Project) {
        let of = "the project";
        self.name(of, &project.title, MAX_TITLE_CHARS);
        self.count(of, "fabrics", project.fabrics.len(), FABRICS);
        self.count(of, "motifs", project.motifs.len(), MOTIFS);
        self.count(of, "quilts", project.quilts.len(), QUILTS);
        self.count(of, "kits", project.kits, KITS);
        if !self.0.is_empty() {
            return;
        }
        self.names_differ("fabrics", project.fabrics.iter().map(|f| f.name.as_str()));
        self.names_differ("motifs", project.motifs.iter().map(|m| m.name.as_str()));
        let making = &project.making;
        for (field, value) in [
            ("turn_under_mm", making.turn_under_mm),
            ("seam_mm", making.seam_mm),
            ("tuck_under_mm", making.tuck_under_mm),
            ("gap_mm", making.gap_mm),
            ("stripe_tolerance_mm", making.stripe_tolerance_mm),
        ] {
            self.number("making", field, value, ALLOWANCES_MM);
        }
        for fabric in &project.fabrics {
            self.fabric(fabric);
        }
        for motif in &project.motifs {
            self.motif(project, motif);
        }
        self.codes(project);
        let pieces = project.motifs.iter().map(pieces_of);
        let pieces = pieces.fold(0, usize::saturating_add);
        let pieces = pieces.saturating_mul(project.kits);
        self.count(of, "pieces in all", pieces, PIECES);
        for (i, quilt) in project.quilts.iter().enumerate() {
            self.quilt(project, quilt, i == 0);
        }
    }

    fn fabric(&mut self, fabric: &Fabric) {
        let of = format!("fabric `{}`", fabric.name);
        self.name(&of, &fabric.name, MAX_NAME_CHARS);
        self.number(&of, "width_mm", fabric.width_mm, REPEATS_MM);
        self.number(&of, "bow_mm", fabric.bow_mm, DISTANCES_MM);
        match &fabric.pattern {
            Pattern::Striped(stripe) => self.stripe(&of, stripe, fabric.width_mm),
            Pattern::Plain(_) => {
                self.count(&of, "turns", fabric.may_rotate_deg.len(), TURNS);
                for &turn in &fabric.may_rotate_deg {
                    self.number(&of, "may_rotate_deg", turn, ANGLES_DEG);
                }
            }
        }
        if let Some(sale) = &fabric.sale {
            self.sale(&of, sale);
        }
    }

    fn sale(&mut self, of: &str, sale: &Sale) {
        self.number(of, "price", sale.price.unwrap_or(0.0), PRICES);
        self.number(of, "per_mm", sale.per_mm, SOLD_MM);
        self.number(of, "step", sale.step.length_mm, SOLD_MM);
        self.number(of, "squaring_mm", sale.squaring_mm, SQUARING_MM);
        self.number(of, "shrinkage", sale.shrinkage, SHRINKAGES);
    }

    fn stripe(&mut self, fabric: &str, stripe: &Stripe, width_mm: f64) {
        let of = format!("the stripe of {fabric}");
        self.bands(&of, stripe.bands());
        self.number(&of, "origin_mm", stripe.origin_mm(), PLACES_MM);
        let widest = width_mm.max(MIN_REPEAT_MM);
        self.number(&of, "repeat_mm", stripe.repeat_mm(), MIN_REPEAT_MM..=widest);
        if let Some(along) = stripe.along() {
            self.along(&of, along);
        }
    }

    fn along(&mut self, stripe: &str, along: &Along) {
        let of = format!("what repeats along {stripe}");
        self.number(&of, "start_mm", along.start_mm, PLACES_MM);
        self.number(&of, "shear_mm", along.shear_mm, PLACES_MM);
        match &along.look {
            Look::Bands(bands) => {
                self.bands(&of, bands);
                let sum: f64 = bands.iter().map(|band| band.width_mm).sum();
                self.number(&of, "repeat_mm", along.repeat_mm, sum - 1e-6..=sum + 1e-6);
            }
            Look::Figure {
                across_mm, size_mm, ..
            } => {
                let repeats = REPEATS_MM;
                self.number(&of, "repeat_mm", along.repeat_mm, repeats);
                self.number(&of, "across_mm", *across_mm, PLACES_MM);
                self.number(&of, "size_mm", *size_mm, BANDS_MM);
            }
        }
    }

    fn bands(&mut self, of: &str, bands: &[Band]) {
        self.count(of, "bands", bands.len(), BANDS);
        for band in bands.iter().take(*BANDS.end()) {
            self.number(of, "width_mm", band.width_mm, BANDS_MM);
            self.name(of, &band.name, MAX_NAME_CHARS);
        }
    }

    fn motif(&mut self, project: &Project, motif: &Motif) {
        let of = format!("motif `{}`", motif.name);
        self.name(&of, &motif.name, MAX_NAME_CHARS);
        self.count(&of, "copies", motif.copies, COPIES);
        self.count(&of, "parts", motif.parts.len(), PARTS);
        self.names_differ(&of, motif.parts.iter().map(|part| part.name.as_str()));
        for part in motif.parts.iter().take(*PARTS.end()) {
            self.part(project, &of, part);
        }
    }

    /// What a designer wrote as a motif's letters: one or two capitals, no beginning of another's.
    fn codes(&mut self, project: &Project) {
        let given = |motif: &Motif| motif.code.clone();
        let codes: Vec<String> = project.motifs.iter().filter_map(given).collect();
        for (i, code) in codes.iter().enumerate() {
            let of = format!("code `{code}`");
            let is_letter = |c: char| code_capitals().any(|capital| capital == c);
            if !CODE_LETTERS.contains(&code.chars().count()) || !code.chars().all(is_letter) {
                let help = "use one or two capital letters, none of them I, J, L or O";
                self.add(&of, "it is no code of a motif", help);
            }
            for other in &codes[..i] {
                if code.starts_with(other.as_str()) || other.starts_with(code.as_str()) {
                    let help = "give each motif letters of its own";
                    self.add(&of, format!("it is mistaken for `{other}`"), help);
                }
            }
        }
    }

    fn part(&mut self, project: &Project, motif: &str, part: &Part) {
        let of = format!("{motif}, part `{}`", part.name);
        self.name(&of, &part.name, MAX_NAME_CHARS);
        self.known_fabric(project, &of, &part.fabric);
        self.number(&of, "rotate_deg", part.rotate_deg, ANGLES_DEG);
        self.number(&of, "along_mm", part.along_mm, PLACES_MM);
        if let Some(grain_deg) = part.grain_deg {
            self.number(&of, "grain_deg", grain_deg, ANGLES_DEG);
        }
        if let Some(phase_mm) = part.phase_mm {
            self.number(&of, "phase_mm", phase_mm, PLACES_MM);
            if part.copies == Copies::Own {
                let message = "its offset is fixed, so its copies cannot each have their own";
                self.add(&of, message, "use no `phase_mm`, or `Copies::Alike`");
            }
        }
        match part.stripes {
            PartStripes::Through { normal_deg } => {
                self.number(&of, "normal_deg", normal_deg, ANGLES_DEG);
            }
            PartStripes::Rays => {}
            PartStripes::Rings { radius_mm } => {
                self.number(&of, "radius_mm", radius_mm, DISTANCES_MM);
            }
        }
        match &part.form {
            Form::Fan(fan) => self.fan(project, &of, fan),
            Form::Outline(corners) => {
                if !matches!(part.stripes, PartStripes::Through { .. }) {
                    let message = "a drawn outline has no wedges to run rays or rings through";
                    self.add(&of, message, "use `PartStripes::Through`");
                }
                if let Some(flaw) = outline::flaw(&of, project.unit, corners, POINT_TOL_MM) {
                    self.add(&of, flaw.message, flaw.help);
                } else if outline::doubled_area(corners) < 0.0 {
                    let message = "its corners run clockwise";
                    self.add(&of, message, "list them counterclockwise");
                }
            }
        }
    }

    fn fan(&mut self, project: &Project, of: &str, fan: &Fan) {
        let before = self.0.len();
        self.number(of, "from_deg", fan.from_deg, ANGLES_DEG);
        self.number(of, "sweep_deg", fan.sweep_deg, SWEEPS_DEG);
        self.count(of, "wedges", fan.wedges, WEDGES);
        self.number(of, "rim_mm", fan.rim_mm, SIZES_MM);
        self.number(of, "hub_mm", fan.hub_mm, DISTANCES_MM);
        if fan.hub_mm > 0.0 && fan.hub_mm + MIN_SIZE_MM > fan.rim_mm {
            let message = "its hub reaches as far from the centre as its rim";
            self.add(of, message, "make the hub smaller or the rim larger");
        }
        let Some(spokes) = &fan.spokes else { return };
        self.count(of, "spokes", spokes.per_wedge, SPOKES);
        self.number(of, "root_mm", spokes.root_mm, SIZES_MM);
        self.number(of, "root_width_mm", spokes.root_width_mm, SIZES_MM);
        self.number(of, "tip_width_mm", spokes.tip_width_mm, SIZES_MM);
        if self.0.len() > before {
            return;
        }
        if !fans::is_root(fan, spokes.root_mm) {
            let message = "its spokes do not begin between hub and rim";
            self.add(of, message, "give a root between the two");
            return;
        }
        for limit in fans::spoke_limits(fan, spokes) {
            if !limit.is_kept() {
                let (message, help) = limit.words(of, project.unit);
                self.add(of, message, help);
            }
        }
    }

    fn known_fabric(&mut self, project: &Project, of: &str, fabric: &str) {
        if project.fabric(fabric).is_none() {
            let message = format!("it asks for fabric `{fabric}`, which is not there");
            self.add(of, message, "add the fabric, or use another");
        }
    }

    fn quilt(&mut self, project: &Project, quilt: &Quilt, is_planned: bool) {
        let of = format!("quilt `{}`", quilt.name);
        self.name(&of, &quilt.name, MAX_NAME_CHARS);
        self.number(&of, "seam_mm", quilt.seam_mm, ALLOWANCES_MM);
        self.count(&of, "borders", quilt.borders.len(), BORDERS);
        self.count(&of, "foundations", quilt.foundations.len(), FOUNDATIONS);
        self.count(&of, "places", quilt.places.len(), PLACES);
        self.count(
            &of,
            "triangles and diamonds",
            quilt.slanted.len(),
            SLANTED_KINDS,
        );
        let field = &quilt.field;
        self.count(
            &of,
            "fabrics of its field",
            field.fabrics.len(),
            FABRICS_IN_TURN,
        );
        self.count(&of, "strips", field.strips, UNITS);
        self.number(&of, "strip_width_mm", field.strip_width_mm, SIZES_MM);
        self.number(&of, "strip_length_mm", field.strip_length_mm, SIZES_MM);
        for fabric in &field.fabrics {
            self.known_fabric(project, &of, fabric);
        }
        for border in &quilt.borders {
            self.border(project, &of, border);
        }
        for one in &quilt.foundations {
            self.known_fabric(project, &of, &one.under);
            self.known_fabric(project, &of, &one.fabric);
            let range = ALLOWANCES_MM;
            self.number(&of, "extra_length_mm", one.extra_length_mm, range);
        }
        for piece in &quilt.slanted {
            self.known_fabric(project, &of, &piece.fabric);
            self.number(&of, "finished_mm", piece.finished_mm, SIZES_MM);
            self.count(&of, "pieces of one kind", piece.count, COPIES);
            self.number(&of, "mark_mm", piece.mark_mm, RULER_MARKS_MM);
            let width = project.fabric(&piece.fabric).map(|fabric| fabric.width_mm);
            if width.is_some_and(|w| piece.least_fabric_mm(quilt.seam_mm) > w + 1e-6) {
                let message = format!("`{}` is wider than its fabric, with its seams", piece.name);
                self.add(&of, message, "make it smaller, or use a wider fabric");
            }
        }
        for place in &quilt.places {
            // A size that is not planned may have places for motifs that this one has not.
            if is_planned && !has_motif(project, &place.motif) {
                let message = format!(
                    "it has a place for motif `{}`, which is not there",
                    place.motif
                );
                self.add(&of, message, "add the motif, or take the place out");
            }
            self.place(&of, quilt, &place.site);
            if let Some(only) = &place.only {
                self.count(&of, "places of one motif", only.len(), COPIES);
            }
            self.number(&of, "rotate_deg", place.rotate_deg, ANGLES_DEG);
        }
        self.layers(project, &of, quilt);
    }

    fn layers(&mut self, project: &Project, of: &str, quilt: &Quilt) {
        if let Some(binding) = &quilt.binding {
            self.known_fabric(project, of, &binding.fabric);
            let strips = BINDING_STRIPS_MM;
            self.number(of, "strip_mm", binding.strip_mm, strips);
            self.number(of, "extra_mm", binding.extra_mm, DISTANCES_MM);
        }
        if let Some(backing) = &quilt.backing {
            self.known_fabric(project, of, &backing.fabric);
            self.number(of, "overhang_mm", backing.overhang_mm, DISTANCES_MM);
        }
        if let Some(batting) = &quilt.batting {
            self.number(of, "overhang_mm", batting.overhang_mm, DISTANCES_MM);
            self.number(of, "price", batting.price.unwrap_or(0.0), PRICES);
            self.number(of, "per_mm", batting.per_mm, SIZES_MM);
            let width_mm = batting.width_mm.unwrap_or(MAX_SIZE_MM);
            self.number(of, "width_mm", width_mm, SIZES_MM);
        }
    }

    fn border(&mut self, project: &Project, quilt: &str, border: &Border) {
        let of = format!("{quilt}, border `{}`", border.name);
        self.name(&of, &border.name, MAX_NAME_CHARS);
        self.number(&of, "depth_mm", border.depth_mm, SIZES_MM);
        match &border.make {
            Make::Plain {
                fabric,
                corners,
                side_length_mm,
                end_length_mm,
            } => {
                self.known_fabric(project, &of, fabric);
                if let Corners::Squares(fabric) = corners {
                    self.known_fabric(project, &of, fabric);
                }
                for &length_mm in [side_length_mm, end_length_mm].into_iter().flatten() {
                    self.number(&of, "side_length_mm", length_mm, SIZES_MM);
                }
            }
            Make::Units {
                fabrics,
                unit_mm,
                across,
                along,
                corner,
            } => {
                self.count(&of, "fabrics", fabrics.len(), FABRICS_IN_TURN);
                for fabric in fabrics.iter().chain([corner]) {
                    self.known_fabric(project, &of, fabric);
                }
                self.number(&of, "unit_mm", *unit_mm, SIZES_MM);
                self.count(&of, "units across", *across, UNITS);
                self.count(&of, "units along", *along, UNITS);
            }
        }
    }

    fn place(&mut self, of: &str, quilt: &Quilt, site: &Site) {
        match site {
            Site::At(points) => {
                self.count(of, "places of one motif", points.len(), COPIES);
                for value in points.iter().flat_map(|p| [p.x, p.y]) {
                    self.number(of, "a place's distance", value, PLACES_MM);
                }
            }
            Site::Even { columns, rows } => {
                self.count(of, "columns of a motif", *columns, UNITS);
                self.count(of, "rows of a motif", *rows, UNITS);
            }
            Site::Seams { border, every } => {
                self.count(of, "seams to a motif", *every, EVERY);
                self.at_border(of, quilt, *border);
            }
            Site::Corners { border } => self.at_border(of, quilt, *border),
        }
    }

    fn at_border(&mut self, of: &str, quilt: &Quilt, border: usize) {
        if border >= quilt.borders.len() {
            let message = format!("motifs go on border {}, which is not there", border + 1);
            self.add(of, message, "name one of its borders, counted from 0");
        }
    }

    /// Whether the quilts go together, and their motifs on them.
    fn fit(&mut self, project: &Project) {
        for (i, quilt) in project.quilts.iter().enumerate() {
            let of = format!("quilt `{}`", quilt.name);
            let mut motifs = quilt.places.iter().map(|place| &place.motif);
            if !motifs.all(|motif| has_motif(project, motif)) {
                continue;
            }
            let quilt_top = lay_out(quilt);
            let all = spots(quilt, &project.motifs, &quilt_top);
            if !SPOTS.contains(&all.len()) {
                self.count(&of, "places for motifs", all.len(), SPOTS);
                continue;
            }
            for finding in check(quilt, &project.motifs, &quilt_top, &all) {
                let is_other = i > 0 && matches!(finding.misfit, Misfit::Copies { .. });
                if finding.stops && !is_other {
                    let message = finding.misfit.message(project.unit);
                    self.add(&of, message, finding.misfit.help(project.unit));
                }
            }
        }
        for motif in unplaced_anywhere(project) {
            let of = format!("motif `{}`", motif.name);
            let message = "no quilt has a place for it, though other motifs have one";
            self.add(&of, message, "add a place for it, or take the motif out");
        }
    }
}

fn has_motif(project: &Project, name: &str) -> bool {
    project.motifs.iter().any(|motif| motif.name == name)
}

/// Motifs without a place in any size of a pattern that places others.
fn unplaced_anywhere(project: &Project) -> Vec<&Motif> {
    let places_some = project.quilts.first().is_some_and(|q| !q.places.is_empty());
    let placed = |name: &str| {
        let mut places = project.quilts.iter().flat_map(|quilt| &quilt.places);
        places.any(|place| place.motif == name)
    };
    let motifs = project.motifs.iter();
    motifs
        .filter(|motif| places_some && !placed(&motif.name))
        .collect()
}

/// How many pieces all copies of a motif have.
pub(super) fn pieces_of(motif: &Motif) -> usize {
    let of_part = |part: &Part| match &part.form {
        Form::Fan(fan) => fan.wedges,
        Form::Outline(_) => 1,
    };
    let each = motif
        .parts
        .iter()
        .map(of_part)
        .fold(0, usize::saturating_add);
    motif.copies.saturating_mul(each)
}
