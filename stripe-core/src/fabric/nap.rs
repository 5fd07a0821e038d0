//! Plain fabric that looks other ways by its direction.

use serde::{Deserialize, Serialize};

/// How the look of plain fabric depends on the direction that it is laid in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Nap {
    /// It does not.
    #[default]
    #[serde(rename = "none")]
    None,
    /// Warp and weft differ: along the grain it looks other than across it, turned about the
    /// same.
    #[serde(rename = "shot")]
    Shot,
    /// A pile lies one way, as of velvet and corduroy: turned about it looks darker or lighter.
    #[serde(rename = "one way")]
    OneWay,
}

impl Nap {
    /// Whether it matters which way a piece lies.
    pub fn matters(self) -> bool {
        self != Self::None
    }

    /// How different fabric looks whose grain is turned by so much from upright (degrees): 0 as
    /// upright, 1 most.
    ///
    /// A model for pictures, no more: light comes back as the square of the sine of the turn
    /// from the thread of shot fabric, and evenly with the cosine from a pile.
    pub fn shade(self, turned_deg: f64) -> f64 {
        let (sin, cos) = turned_deg.to_radians().sin_cos();
        match self {
            Self::None => 0.0,
            Self::Shot => sin * sin,
            Self::OneWay => (1.0 - cos) / 2.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Nap;

    /// Shot fabric looks the same upside down and most different on its side; a pile is most
    /// different upside down.
    #[test]
    fn shades_go_with_the_turn() {
        let shades = |nap: Nap| [0.0, 90.0, 180.0].map(|deg| (nap.shade(deg) * 1e9).round() / 1e9);
        assert_eq!(shades(Nap::None), [0.0, 0.0, 0.0]);
        assert_eq!(shades(Nap::Shot), [0.0, 1.0, 0.0]);
        assert_eq!(shades(Nap::OneWay), [0.0, 0.5, 1.0]);
        assert!(!Nap::None.matters() && Nap::Shot.matters() && Nap::OneWay.matters());
    }
}
