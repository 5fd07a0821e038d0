//! Fans, discs and rings: wedges about the centre, and spokes that keep to their own.

use super::limits::{ANGLES_DEG, DISTANCES_MM, MIN_SIZE_MM, SIZES_MM, SPOKES, SWEEPS_DEG, WEDGES};
use super::section::{Placed, Section};
use crate::length::{Length, Unit};
use crate::motif::{Fan, Spokes, Tip};
use std::f64::consts::FRAC_PI_2;
use toml::Spanned;

/// The words for shapes; all but the last are wedges about the centre.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Shape {
    Fan,
    Disc,
    Ring,
    Outline,
}

pub(super) fn read_fan(section: &Section<'_, '_>, shape: Shape) -> Option<Fan> {
    let from = section.number("from", ANGLES_DEG, " degrees");
    let sweep = section.number("sweep", SWEEPS_DEG, " degrees");
    let wedges = section.count("wedges", WEDGES);
    let rim = section.length("rim", SIZES_MM);
    if section.get("rim").is_none() {
        section.missing("rim", "give its outer radius: rim = \"4 in\"");
    }
    let hub = match shape {
        Shape::Disc => None,
        Shape::Ring => {
            if section.get("hub").is_none() {
                section.missing("hub", "give the radius of its hole: hub = \"2 in\"");
            }
            section.length("hub", SIZES_MM)
        }
        _ => section.length("hub", DISTANCES_MM),
    };
    let spokes = if shape == Shape::Fan {
        SpokeKeys::read(section)
    } else {
        None
    };
    let mut fan = Fan {
        from_deg: from.map_or(0.0, Spanned::into_inner),
        sweep_deg: sweep.map_or(360.0, Spanned::into_inner),
        wedges: wedges.map_or(1, Spanned::into_inner),
        hub_mm: hub.as_ref().map_or(0.0, |hub| *hub.get_ref()),
        rim_mm: rim.as_ref().map_or(0.0, |rim| *rim.get_ref()),
        spokes: None,
    };
    let shown = |mm: f64| Length::from_mm(mm).shown(section.context.unit);
    if let (Some(hub), Some(rim)) = (&hub, &rim)
        && hub.get_ref() + MIN_SIZE_MM > *rim.get_ref()
    {
        let message = format!(
            "the hub of {} reaches {} from the centre and its rim only {}",
            section.what,
            shown(fan.hub_mm),
            shown(fan.rim_mm)
        );
        section.fault(
            hub.span(),
            message,
            "make the hub smaller or the rim larger",
        );
        return None;
    }
    rim?;
    if let Some(spokes) = spokes {
        fan.spokes = Some(spokes.check(section, &fan));
    }
    Some(fan)
}

/// The keys of spokes, before they are held against the fan.
struct SpokeKeys {
    per_wedge: usize,
    root: Placed<f64>,
    root_width: Placed<f64>,
    tip_width: Placed<f64>,
    tip: Tip,
}

impl SpokeKeys {
    fn read(section: &Section<'_, '_>) -> Option<Self> {
        let count = section.count("spokes", 0..=*SPOKES.end());
        let root = section.length("root", SIZES_MM);
        let root_width = section.length("root_width", SIZES_MM);
        let tip_width = section.length("tip_width", SIZES_MM);
        let tips = [
            ("flat", Tip::Flat),
            ("round", Tip::Round),
            ("pointed", Tip::Pointed),
        ];
        let tip = section.choice("tip", &tips);
        let per_wedge = count.filter(|count| *count.get_ref() > 0)?.into_inner();
        for (key, help) in [
            (
                "root",
                "say how far from the centre the spokes begin: root = \"2 in\"",
            ),
            (
                "root_width",
                "say how wide they are there: root_width = \"1 in\"",
            ),
            (
                "tip_width",
                "say how wide they are at the tip: tip_width = \"1/2 in\"",
            ),
        ] {
            if section.get(key).is_none() {
                section.missing(key, help);
            }
        }
        Some(Self {
            per_wedge,
            root: root?,
            root_width: root_width?,
            tip_width: tip_width?,
            tip: tip.map_or(Tip::Flat, Spanned::into_inner),
        })
    }

    fn check(self, section: &Section<'_, '_>, fan: &Fan) -> Spokes {
        let spokes = Spokes {
            per_wedge: self.per_wedge,
            root_mm: *self.root.get_ref(),
            root_width_mm: *self.root_width.get_ref(),
            tip_width_mm: *self.tip_width.get_ref(),
            tip: self.tip,
        };
        if check_root(section, fan, &self.root) {
            let widths = [&self.root_width, &self.tip_width];
            for (limit, width) in spoke_limits(fan, &spokes).iter().zip(widths) {
                if !limit.is_kept() {
                    let (message, help) = limit.words(&section.what, section.context.unit);
                    section.fault(width.span(), message, help);
                }
            }
        }
        spokes
    }
}

fn check_root(section: &Section<'_, '_>, fan: &Fan, root: &Placed<f64>) -> bool {
    let shown = |mm: f64| Length::from_mm(mm).shown(section.context.unit);
    let root_mm = *root.get_ref();
    if is_root(fan, root_mm) {
        return true;
    }
    let message = format!(
        "the spokes of {} begin {} from the centre, not between hub and rim",
        section.what,
        shown(root_mm)
    );
    let help = format!(
        "give a root more than {} and less than {}",
        shown(fan.hub_mm),
        shown(fan.rim_mm)
    );
    section.fault(root.span(), message, help);
    false
}

/// How wide spokes may be at one of their ends.
pub(super) struct SpokeLimit {
    place: &'static str,
    width_mm: f64,
    widest_mm: f64,
}

impl SpokeLimit {
    pub(super) fn is_kept(&self) -> bool {
        self.width_mm <= self.widest_mm + 1e-9
    }

    /// What is wrong, and what to do.
    pub(super) fn words(&self, of: &str, unit: Unit) -> (String, String) {
        let message = format!(
            "the spokes of {of} are {} wide {}, wider than their share of the wedge",
            Length::from_mm(self.width_mm).shown(unit),
            self.place
        );
        let widest = Length::from_mm(self.widest_mm).down(unit).shown(unit);
        (message, format!("the widest that fits there is {widest}"))
    }
}

/// Whether spokes that begin so far from the centre begin between hub and rim.
pub(super) fn is_root(fan: &Fan, root_mm: f64) -> bool {
    root_mm > fan.hub_mm && root_mm < fan.rim_mm
}

/// Spokes must keep to their own cell, or neighbours would be one piece of fabric: at the
/// root, and at the tip.
///
/// With `b` half the cell's angle, a spoke `w` wide at distance `r` keeps within it
/// if `w / 2 <= r sin b` (its corners on the circle); a round tip's half circle
/// touches the cell's sides at `w / 2 = (rim - w / 2) sin b`, and a right-angled
/// point begins at `rim - w / 2`, so `w / 2 = (rim - w / 2) tan b`. Own derivation.
pub(super) fn spoke_limits(fan: &Fan, spokes: &Spokes) -> [SpokeLimit; 2] {
    let cell_rad = (fan.sweep_deg / (fan.wedges * spokes.per_wedge) as f64).to_radians();
    let half = (cell_rad / 2.0).min(FRAC_PI_2);
    let (sin, tan) = (half.sin(), half.tan());
    let rim = fan.rim_mm;
    let widest_tip = match spokes.tip {
        Tip::Flat => 2.0 * rim * sin,
        Tip::Round => 2.0 * rim * sin / (1.0 + sin),
        Tip::Pointed => 2.0 * rim * tan / (1.0 + tan),
    };
    // A round or pointed tip takes half its width from the spoke's length.
    let longest_tip = match spokes.tip {
        Tip::Flat => f64::INFINITY,
        Tip::Round | Tip::Pointed => 2.0 * (rim - spokes.root_mm),
    };
    [
        SpokeLimit {
            place: "at the root",
            width_mm: spokes.root_width_mm,
            widest_mm: 2.0 * spokes.root_mm * sin,
        },
        SpokeLimit {
            place: "at the tip",
            width_mm: spokes.tip_width_mm,
            widest_mm: widest_tip.min(longest_tip),
        },
    ]
}
