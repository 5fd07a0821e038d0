//! What does not fit, by how much, and what would: typed, and in a maker's words.

use super::words::{as_said, count, down, mm, number, so_do, up};
use crate::length::Unit;
use std::fmt;

/// So many pairs that overlap are counted: each takes a look at two outlines, and who has so
/// many learns nothing from more.
pub(super) const MOST_PAIRS: usize = 5000;

/// What a seam can take up without a word (mm): 1/32 in, less than the width of a
/// pencil line and its needle. Common practice, no source.
pub(super) const SILENT_MM: f64 = 0.8;

/// One thing that was found.
#[derive(Debug, Clone, PartialEq)]
pub struct FitFinding {
    /// Whether it keeps the quilt from being sewn as planned; else it is a warning.
    pub stops: bool,
    /// What it is.
    pub misfit: Misfit,
}

/// What does not fit (lengths in mm).
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Misfit {
    /// Something is cut so narrow that its seams take it all.
    NothingLeft {
        /// What it is.
        what: Narrow,
        /// Its cut width.
        cut_mm: f64,
        /// What the two seams take.
        seams_mm: f64,
    },
    /// A run of units against the side it is sewn to.
    Run {
        /// The border's name.
        border: String,
        /// `top and bottom` or `left and right`.
        sides: &'static str,
        /// How many units.
        units: usize,
        /// Their cut length.
        unit_mm: f64,
        /// What they run when joined, from raw edge to raw edge.
        run_mm: f64,
        /// What they are sewn to: `the field` or a border.
        against: String,
        /// Its length, from raw edge to raw edge.
        side_mm: f64,
        /// The cut length of the units that would fit on all sides of the border, and upset
        /// no other, if there is one.
        unit_fits_mm: Option<f64>,
        /// Another count of these units that would fit, if one does.
        count_fits: Option<usize>,
        /// What the field's cut size would have to be, if that upsets no other border.
        field_fits: Option<FieldFit>,
    },
    /// A plain border strip whose cut length the maker has set.
    Strip {
        /// The border's name.
        border: String,
        /// `top and bottom` or `left and right`.
        sides: &'static str,
        /// As set.
        cut_mm: f64,
        /// As needed.
        needed_mm: f64,
    },
    /// A count of units that leaves one over.
    OddUnits {
        /// The border's name.
        border: String,
        /// `top and bottom` or `left and right`.
        sides: &'static str,
        /// How many units.
        units: usize,
        /// The motif that takes two at a time.
        motif: String,
    },
    /// A motif that does not go round as far as its place needs.
    Sweep {
        /// The motif.
        motif: String,
        /// How far it goes (degrees).
        sweep_deg: f64,
        /// How far it should (degrees).
        needed_deg: f64,
        /// Where it is placed.
        place: &'static str,
    },
    /// A place for a motif that has none there: a plain border has no units.
    NoUnits {
        /// The border's name.
        border: String,
        /// The motif.
        motif: String,
    },
    /// Places and copies differ in number.
    Copies {
        /// The motif.
        motif: String,
        /// As the motif says.
        copies: usize,
        /// As the quilt has places.
        places: usize,
    },
    /// A motif reaches beyond what it lies on.
    Beyond {
        /// The copy.
        motif: MotifCopy,
        /// What it leaves: `the quilt's finished edge`, `the field`, a border.
        edge: String,
        /// By how much.
        by_mm: f64,
        /// So many more copies of it do the same, none by more.
        more: usize,
    },
    /// Two motifs cover common ground.
    Overlap {
        /// The one.
        a: MotifCopy,
        /// The other.
        b: MotifCopy,
        /// By how much at most.
        by_mm: f64,
        /// The least distance of their centres that is clear.
        clear_mm: f64,
        /// The least distance of the centres of any two of these motifs that overlap.
        apart_mm: f64,
        /// So many more pairs of these motifs do the same, none by more.
        more: usize,
    },
    /// A seam of the background right under a joint of a motif.
    SeamUnderJoint {
        /// The copy.
        motif: MotifCopy,
        /// How far the joint is from the seam.
        off_mm: f64,
        /// So many more copies lie like it, none nearer.
        more: usize,
    },
}

/// What may be cut so narrow that its seams take it all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Narrow {
    /// A strip of the field.
    Field,
    /// A border, by name.
    Border(String),
    /// A unit of a border, by the border's name.
    Unit(String),
}

impl fmt::Display for Narrow {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Field => write!(f, "the field"),
            Self::Border(name) => write!(f, "{name}"),
            Self::Unit(border) => write!(f, "a unit of {border}"),
        }
    }
}

/// One copy of a motif; `wheel 3` in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MotifCopy {
    /// The motif's name.
    pub motif: String,
    /// Which copy of it, from 1.
    pub copy: usize,
}

impl fmt::Display for MotifCopy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.motif, self.copy)
    }
}

/// A change of the field that would make a border fit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FieldFit {
    /// Cut its strips this long.
    StripLength(f64),
    /// Cut its strips (so many) this wide.
    StripWidth(usize, f64),
}

impl Misfit {
    /// The finding in a maker's words, lengths in the project's unit.
    pub fn message(&self, unit: Unit) -> String {
        self.said(unit).0
    }

    /// What to do about it.
    pub fn help(&self, unit: Unit) -> String {
        self.said(unit).1
    }

    fn said(&self, unit: Unit) -> (String, String) {
        let mm = |length: f64| mm(length, unit);
        match self {
            Self::NothingLeft {
                what,
                cut_mm: cut,
                seams_mm: seams,
            } => (
                format!(
                    "{what} is cut {}, and its two seam allowances take {}: nothing is left of it",
                    mm(*cut),
                    mm(*seams)
                ),
                "cut it wider".to_owned(),
            ),
            Self::Run { .. } => self.run_said(unit),
            Self::Strip {
                border,
                sides,
                cut_mm: cut,
                needed_mm: needed,
            } => {
                let gap = cut - needed;
                let verdict = if gap > 0.0 { "too long" } else { "too short" };
                (
                    format!(
                        "{border}, {sides}: the strips are cut {}, but the side that they are \
                         sewn to needs {} (both from raw edge to raw edge): they are {} {verdict}",
                        mm(*cut),
                        mm(*needed),
                        mm(gap.abs())
                    ),
                    format!(
                        "cut them {}, or leave their length out and it is worked out for you",
                        mm(*needed)
                    ),
                )
            }
            Self::OddUnits {
                border,
                sides,
                units,
                motif,
            } => (
                format!(
                    "{border}, {sides}: {motif} takes two units at a time, and of {} one is \
                     left over",
                    count(*units, "unit", "units")
                ),
                format!(
                    "take {} or {} units",
                    number(units.saturating_sub(1)),
                    number(units + 1)
                ),
            ),
            Self::Sweep {
                motif,
                sweep_deg,
                needed_deg,
                place,
            } => (
                format!(
                    "{motif} goes {sweep_deg} degrees round, and {place} needs a motif of \
                     {needed_deg} degrees"
                ),
                "change the motif's `sweep`, or place it elsewhere".to_owned(),
            ),
            Self::NoUnits { border, motif } => (
                format!(
                    "{motif} is to sit on the seams between the units of {border}, but {border} \
                     is a plain border without units"
                ),
                "make the border of units, or place the motif elsewhere".to_owned(),
            ),
            Self::Copies {
                motif,
                copies,
                places,
            } => (
                format!(
                    "the quilt has {} for {motif}, but the motif asks for {}",
                    count(*places, "place", "places"),
                    count(*copies, "copy", "copies")
                ),
                format!(
                    "set `copies = {places}` in the motif or leave `copies` out, or change its places"
                ),
            ),
            Self::Beyond {
                motif,
                edge,
                by_mm: by,
                more,
            } => (
                format!(
                    "{motif} reaches {} beyond {edge}{}",
                    mm(*by),
                    so_do(*more, "", "")
                ),
                format!("move it in by {}, or make it smaller", up(*by, unit)),
            ),
            Self::Overlap {
                a,
                b,
                by_mm: by,
                clear_mm: clear,
                apart_mm: apart,
                more,
            } => {
                // Counting ends somewhere.
                let others = if more + 1 < MOST_PAIRS {
                    so_do(*more, " pair", " pairs")
                } else {
                    format!(", and so do more than {} pairs", MOST_PAIRS - 1)
                };
                let mut help = format!("set their centres at least {} apart", up(*clear, unit));
                // Shrunk to nothing is no size.
                if *apart > clear / 10.0 {
                    help += &format!(
                        ", or make them smaller: the two may reach {} together, each from its \
                         centre",
                        down(*apart, unit)
                    );
                }
                (format!("{a} and {b} overlap by {}{others}", mm(*by)), help)
            }
            Self::SeamUnderJoint {
                motif,
                off_mm: off,
                more,
            } => {
                let place = if *off < 0.05 {
                    "right under".to_owned()
                } else {
                    format!("{} beside", mm(*off))
                };
                (
                    format!(
                        "a seam of the background lies {place} a joint of {motif}: that is thick to \
                         sew through{}",
                        match more {
                            0 => String::new(),
                            n => format!(" ({} more like it)", number(*n)),
                        }
                    ),
                    "turn the motif a little, or move it".to_owned(),
                )
            }
        }
    }

    fn run_said(&self, unit: Unit) -> (String, String) {
        let Self::Run {
            border,
            sides,
            units,
            unit_mm: cut,
            run_mm: run,
            against,
            side_mm: side,
            unit_fits_mm: unit_fits,
            count_fits,
            field_fits,
        } = self
        else {
            return (String::new(), String::new());
        };
        let mm = |length: f64| mm(length, unit);
        let gap = run - side;
        let verdict = if gap > 0.0 {
            format!("{against} is {} too short for them", mm(gap))
        } else {
            format!("they are {} too short for {against}", mm(-gap))
        };
        let mut ways = Vec::new();
        // Rounded to what a ruler shows, so often beside each other, it must still fit.
        let holds = |length: f64, times: usize| {
            times as f64 * (as_said(length, unit) - length).abs() <= SILENT_MM
        };
        match field_fits {
            Some(FieldFit::StripLength(length)) => {
                ways.push(format!("cut the field's strips {} long", mm(*length)));
            }
            Some(FieldFit::StripWidth(1, width)) => {
                ways.push(format!("cut the field {} wide", mm(*width)));
            }
            Some(FieldFit::StripWidth(n, width)) if holds(*width, *n) => ways.push(format!(
                "cut the field's {} {} wide",
                count(*n, "strip", "strips"),
                mm(*width)
            )),
            Some(_) | None => {}
        }
        if let Some(length) = unit_fits
            && holds(*length, *units)
        {
            ways.push(format!("cut the units {} long", mm(*length)));
        }
        if let Some(n) = count_fits {
            ways.push(format!("take {}", count(*n, "unit", "units")));
        }
        if ways.is_empty() {
            ways.push(
                "change the field together with the units or their number: no one change fits \
                 all sides"
                    .to_owned(),
            );
        }
        (
            format!(
                "{border}, {sides}: {} cut {} run {} when joined, but {against} measures {} there \
                 (both from raw edge to raw edge): {verdict}",
                count(*units, "unit", "units"),
                mm(*cut),
                mm(*run),
                mm(*side),
            ),
            ways.join(", or "),
        )
    }
}
