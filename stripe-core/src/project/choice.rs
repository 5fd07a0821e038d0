//! A project made another way: other widths, another tolerance, another size.

use super::Project;
use super::limits::{ALLOWANCES_MM, BANDS_MM, PRICES, REPEATS_MM};
use crate::fabric::{Fabric, Pattern, Sale};
use crate::length::{Length, Unit};
use crate::motif::Copies;
use crate::quilt::{MotifSpot, Quilt, lay_out, spots};

/// What to change in a project; what is left out stays as its file says.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Choice {
    /// Usable widths of fabrics, by name (mm).
    pub widths_mm: Vec<(String, f64)>,
    /// Repeats of striped fabrics, by name (mm): all bands are so much wider or narrower, and so
    /// are the fixed offsets that parts have on them.
    pub repeats_mm: Vec<(String, f64)>,
    /// Prices of fabrics, by name, for as much as their present price is for; of a fabric
    /// without a price, for a yard or a metre.
    pub prices: Vec<(String, f64)>,
    /// By how much a stripe may miss (mm).
    pub stripe_tolerance_mm: Option<f64>,
    /// Whether copies share their offset; parts with a fixed offset keep it.
    pub copies: Option<Copies>,
    /// `Some(false)`: every piece lies as it is drawn, none is turned about.
    pub turning: Option<bool>,
    /// Which of the pattern's sizes is planned, by its quilt's name: the first where
    /// nothing is said. There are as many copies of a motif as that size has places.
    pub size: Option<String>,
}

/// A choice that makes no sense for a project.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ChoiceError {
    /// A fabric that the project does not have.
    #[error("the project has no fabric `{name}`: it has {known}")]
    NoFabric {
        /// The name asked for.
        name: String,
        /// The names there are.
        known: String,
    },
    /// A width that no fabric has.
    #[error("fabric `{fabric}` cannot be {width} wide")]
    Width {
        /// The fabric.
        fabric: String,
        /// The width, in the project's unit.
        width: String,
    },
    /// A fabric whose stripe cannot be given another repeat.
    #[error("fabric `{fabric}` cannot have a repeat of {repeat}: {why}")]
    Stripe {
        /// The fabric.
        fabric: String,
        /// The repeat, in the project's unit.
        repeat: String,
        /// Why not.
        why: &'static str,
    },
    /// A price that is none.
    #[error("fabric `{fabric}` cannot cost {price}")]
    Price {
        /// The fabric.
        fabric: String,
        /// The price.
        price: f64,
    },
    /// A repeat wider than the fabric.
    #[error(
        "fabric `{fabric}` is narrower than one repeat: it is {width} wide, and its repeat is {repeat}"
    )]
    Repeat {
        /// The fabric.
        fabric: String,
        /// The width, in the project's unit.
        width: String,
        /// The repeat, in the project's unit.
        repeat: String,
    },
    /// A size that the pattern does not have.
    #[error("the project has no size `{name}`: it has {known}")]
    NoSize {
        /// The name asked for.
        name: String,
        /// The names there are.
        known: String,
    },
    /// A tolerance outside of what can be sewn.
    #[error("a stripe cannot be allowed to miss by {0}")]
    Match(String),
}

impl Project {
    /// The project made the other way.
    ///
    /// # Errors
    /// See [`ChoiceError`].
    pub fn with(&self, choice: &Choice) -> Result<Self, ChoiceError> {
        let mut project = self.clone();
        if let Some(size) = &choice.size {
            project.take_size(size)?;
        }
        let shown = |mm: f64| Length::from_mm(mm).shown(self.unit);
        for (name, width_mm) in &choice.widths_mm {
            let fabric = project.fabric_to_change(name)?;
            if !REPEATS_MM.contains(width_mm) {
                return Err(ChoiceError::Width {
                    fabric: name.clone(),
                    width: shown(*width_mm),
                });
            }
            fabric.width_mm = *width_mm;
        }
        for (name, repeat_mm) in &choice.repeats_mm {
            project.take_repeat(name, *repeat_mm)?;
        }
        for fabric in &project.fabrics {
            let asked = (choice.widths_mm.iter().chain(&choice.repeats_mm))
                .any(|(name, _)| *name == fabric.name);
            if let Some(stripe) = fabric.stripe()
                && asked
                && stripe.repeat_mm() > fabric.width_mm
            {
                return Err(ChoiceError::Repeat {
                    fabric: fabric.name.clone(),
                    width: shown(fabric.width_mm),
                    repeat: shown(stripe.repeat_mm()),
                });
            }
        }
        for (name, price) in &choice.prices {
            if !PRICES.contains(price) {
                return Err(ChoiceError::Price {
                    fabric: name.clone(),
                    price: *price,
                });
            }
            let usual = Sale::default(self.unit == Unit::Inch);
            if let Some(fabric) = project.fabrics.iter_mut().find(|f| f.name == *name) {
                fabric.sale.get_or_insert(usual).price = Some(*price);
            }
        }
        if let Some(stripe_tolerance_mm) = choice.stripe_tolerance_mm {
            if !ALLOWANCES_MM.contains(&stripe_tolerance_mm) {
                return Err(ChoiceError::Match(shown(stripe_tolerance_mm)));
            }
            project.making.stripe_tolerance_mm = stripe_tolerance_mm;
        }
        if let Some(copies) = choice.copies {
            let parts = project.motifs.iter_mut().flat_map(|motif| &mut motif.parts);
            for part in parts.filter(|part| part.phase_mm.is_none()) {
                part.copies = copies;
            }
        }
        if choice.turning == Some(false) {
            for fabric in &mut project.fabrics {
                fabric.one_way = true;
                fabric.may_rotate_deg = vec![0.0];
            }
        }
        Ok(project)
    }

    fn fabric_to_change(&mut self, name: &str) -> Result<&mut Fabric, ChoiceError> {
        let known: Vec<&str> = self.fabrics.iter().map(|c| c.name.as_str()).collect();
        let wrong = ChoiceError::NoFabric {
            name: name.to_owned(),
            known: known.join(", "),
        };
        let mut fabrics = self.fabrics.iter_mut();
        fabrics.find(|fabric| fabric.name == *name).ok_or(wrong)
    }

    /// Gives a striped fabric another repeat: its bands, and the places in them that parts show.
    fn take_repeat(&mut self, name: &str, repeat_mm: f64) -> Result<(), ChoiceError> {
        let repeat = Length::from_mm(repeat_mm).shown(self.unit);
        let fabric = self.fabric_to_change(name)?;
        let wrong = |why| ChoiceError::Stripe {
            fabric: name.to_owned(),
            repeat,
            why,
        };
        let Pattern::Striped(stripe) = &fabric.pattern else {
            return Err(wrong("it is plain, and has no stripe"));
        };
        if stripe.along().is_some() {
            return Err(wrong(
                "its stripe repeats lengthwise too, as a plaid or a print does",
            ));
        }
        let times = repeat_mm / stripe.repeat_mm();
        let can_be = |width_mm: f64| BANDS_MM.contains(&(width_mm * times));
        if !REPEATS_MM.contains(&repeat_mm)
            || !stripe.bands().iter().all(|band| can_be(band.width_mm))
        {
            return Err(wrong("its bands would be too narrow or too wide"));
        }
        let Ok(grown) = stripe.grown(times, stripe.lean_deg()) else {
            return Err(wrong("its bands would be too narrow or too wide"));
        };
        fabric.pattern = Pattern::Striped(grown);
        let parts = self.motifs.iter_mut().flat_map(|motif| &mut motif.parts);
        for part in parts.filter(|part| part.fabric == name) {
            part.phase_mm = part.phase_mm.map(|phase_mm| phase_mm * times);
        }
        Ok(())
    }

    /// Puts the quilt of that name first, with as many copies of each motif as it has
    /// places for. What no size has a place for stays as the file says.
    fn take_size(&mut self, name: &str) -> Result<(), ChoiceError> {
        let Some(at) = self.quilts.iter().position(|quilt| quilt.name == name) else {
            let known: Vec<&str> = self.quilts.iter().map(|q| q.name.as_str()).collect();
            return Err(ChoiceError::NoSize {
                name: name.to_owned(),
                known: if known.is_empty() {
                    "no quilt".to_owned()
                } else {
                    known.join(", ")
                },
            });
        };
        if at == 0 {
            return Ok(());
        }
        let places = |quilt: &Quilt| spots(quilt, &self.motifs, &lay_out(quilt));
        let before = places(&self.quilts[0]);
        let wanted = places(&self.quilts[at]);
        for motif in &mut self.motifs {
            let count =
                |spots: &[MotifSpot]| spots.iter().filter(|s| s.motif == motif.name).count();
            let (had, has) = (count(&before), count(&wanted));
            if had + has > 0 {
                motif.copies = has;
            }
        }
        self.motifs.retain(|motif| motif.copies > 0);
        self.quilts[..=at].rotate_right(1);
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn changes_what_is_asked_for_and_nothing_else() {
        let text = include_str!("../../../data/harbour/harbour.toml");
        let harbour = Project::read(text).unwrap();
        assert_eq!(harbour.with(&Choice::default()), Ok(harbour.clone()));
        let choice = Choice {
            widths_mm: vec![("deck".into(), 1000.0)],
            // Twice as wide: the middle of the first band is twice as far in.
            repeats_mm: vec![("deck".into(), 152.4)],
            prices: vec![("deck".into(), 22.5), ("chalk".into(), 3.0)],
            stripe_tolerance_mm: Some(0.5),
            copies: Some(Copies::Own),
            turning: Some(false),
            size: None,
        };
        let other = harbour.with(&choice).unwrap();
        assert_eq!(other.fabrics[0].width_mm, 1000.0);
        let deck = other.fabrics[0].sale.as_ref().unwrap();
        let before = harbour.fabrics[0].sale.as_ref().unwrap();
        assert_eq!((deck.price, deck.per_mm), (Some(22.5), before.per_mm));
        assert_eq!(other.fabrics[3].sale.as_ref().unwrap().price, Some(3.0));
        assert_eq!(other.fabrics[1].width_mm, harbour.fabrics[1].width_mm);
        assert!(other.fabrics.iter().all(|fabric| fabric.one_way));
        let wheel = &other.motifs[0];
        assert_eq!(other.fabrics[0].stripe().unwrap().repeat_mm(), 152.4);
        let phase_mm = wheel.parts[0].phase_mm.unwrap();
        assert!((phase_mm - 2.0 * 19.05).abs() < 1e-9, "{phase_mm}");
        assert_eq!(wheel.parts[0].copies, Copies::Alike, "its offset is fixed");
        assert_eq!(wheel.parts[1].copies, Copies::Own);
    }

    #[test]
    fn another_size_has_its_own_counts() {
        let text = include_str!("../../../data/skerry/skerry.toml");
        let broad = "[quilt.broad.field]\nfabric = \"dune\"\nwidth = 81.5\nlength = 41.5\n\
                     [[quilt.broad.place]]\nmotif = \"lantern\"\neven = [2, 1]\n";
        let skerry = Project::read(&format!("{text}\n{broad}")).unwrap();
        let size = |name: &str| {
            skerry.with(&Choice {
                size: Some(name.to_owned()),
                ..Choice::default()
            })
        };
        assert_eq!(size("skerry"), Ok(skerry.clone()));
        let broad = size("broad").unwrap();
        assert_eq!(broad.quilts[0].name, "broad");
        assert_eq!(broad.quilts[1].name, "skerry");
        // The buoys have no place there.
        assert_eq!(broad.motifs.len(), 1);
        assert_eq!(broad.motifs[0].copies, 2);
        let told = size("braod").unwrap_err().to_string();
        assert!(told.contains("skerry, broad"), "{told}");
    }

    #[test]
    fn makes_no_fabric_that_cannot_be() {
        let text = include_str!("../../../data/harbour/harbour.toml");
        let harbour = Project::read(text).unwrap();
        for (name, width_mm) in [
            ("dock", 1000.0),
            ("deck", 0.0),
            ("deck", 1e9),
            ("deck", 50.0),
        ] {
            let choice = Choice {
                widths_mm: vec![(name.into(), width_mm)],
                ..Choice::default()
            };
            assert!(harbour.with(&choice).is_err(), "{name} {width_mm}");
        }
        for price in [-1.0, f64::NAN, f64::INFINITY, 1e7] {
            let choice = Choice {
                prices: vec![("deck".into(), price)],
                ..Choice::default()
            };
            assert!(harbour.with(&choice).is_err(), "{price}");
        }
    }
}
