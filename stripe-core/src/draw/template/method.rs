//! Which way around a template is drawn, by how its maker works.

/// How templates are used, named by what is done.
///
/// # Source
/// The rule is geometry: where the printed side of the paper faces the same way as the
/// right side of the fabric, the template is drawn as seen, otherwise
/// mirrored (trade facts P-20 to P-27; most rows also on public pages).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// Ironed or pinned to the right side of the fabric (P-20).
    PaperOnRightSide,
    /// On the wrong side, edges pressed over it with starch or glue (P-21).
    PaperOnWrongSide,
    /// On the wrong side with its print against the fabric, edges ironed onto it (P-22).
    PrintAgainstWrongSide,
    /// A firm template, traced onto the right side (P-23).
    TracedOnRightSide,
    /// A firm template, traced onto the wrong side (P-24).
    TracedOnWrongSide,
    /// Traced onto fusible web, which is ironed to the wrong side (P-25).
    FusibleWeb,
    /// A clear overlay of the whole motif, laid over the work (P-26).
    Overlay,
    /// The whole motif traced onto the back of the background (P-27).
    TracedBehind,
}

/// Of paper that stays in while edges are pressed over it.
const OVER_PAPER: &str = "Cut the paper on the finished line where edges are turned under, and on the outer line elsewhere. Then cut the fabric around it, leaving the allowance that lies between the two lines.";

impl Method {
    /// All methods.
    pub const ALL: [Self; 8] = [
        Self::PaperOnRightSide,
        Self::PaperOnWrongSide,
        Self::PrintAgainstWrongSide,
        Self::TracedOnRightSide,
        Self::TracedOnWrongSide,
        Self::FusibleWeb,
        Self::Overlay,
        Self::TracedBehind,
    ];

    /// The name by which it is asked for.
    pub fn name(self) -> &'static str {
        match self {
            Self::PaperOnRightSide => "paper-on-right-side",
            Self::PaperOnWrongSide => "paper-on-wrong-side",
            Self::PrintAgainstWrongSide => "print-against-wrong-side",
            Self::TracedOnRightSide => "traced-on-right-side",
            Self::TracedOnWrongSide => "traced-on-wrong-side",
            Self::FusibleWeb => "fusible-web",
            Self::Overlay => "overlay",
            Self::TracedBehind => "traced-behind",
        }
    }

    /// The method of that name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|method| method.name() == name)
    }

    /// What is done, in a few words.
    pub fn summary(self) -> &'static str {
        match self {
            Self::PaperOnRightSide => "Paper ironed or pinned to the right side of the fabric",
            Self::PaperOnWrongSide => {
                "Paper on the wrong side, edges pressed over it with starch or glue"
            }
            Self::PrintAgainstWrongSide => {
                "Paper on the wrong side, printed side against the fabric, edges ironed onto it"
            }
            Self::TracedOnRightSide => "A firm template, traced onto the right side",
            Self::TracedOnWrongSide => "A firm template, traced onto the wrong side",
            Self::FusibleWeb => "Traced onto fusible web, which is ironed to the wrong side",
            Self::Overlay => {
                "As well as the templates: each whole motif on a clear overlay, laid over the work"
            }
            Self::TracedBehind => {
                "As well as the templates: each whole motif, traced onto the back of the background"
            }
        }
    }

    /// Whether the template is drawn as its mirror image.
    pub fn is_mirrored(self) -> bool {
        match self {
            Self::PaperOnRightSide
            | Self::PrintAgainstWrongSide
            | Self::TracedOnRightSide
            | Self::Overlay => false,
            Self::PaperOnWrongSide
            | Self::TracedOnWrongSide
            | Self::FusibleWeb
            | Self::TracedBehind => true,
        }
    }

    /// Whether templates are laid on the wrong side of the fabric, which then lies wrong side up.
    ///
    /// # Source
    /// Trade facts P-21, P-22, P-24, P-25 and P-27: each names the wrong side.
    pub fn lies_on_wrong_side(self) -> bool {
        match self {
            Self::PaperOnWrongSide
            | Self::PrintAgainstWrongSide
            | Self::TracedOnWrongSide
            | Self::FusibleWeb
            | Self::TracedBehind => true,
            Self::PaperOnRightSide | Self::TracedOnRightSide | Self::Overlay => false,
        }
    }

    /// What else there is to know before anything is cut, by sentences.
    pub fn cautions(self) -> &'static [&'static str] {
        match self {
            Self::FusibleWeb => &[
                "Nothing is turned under: trace the finished line, and the outer line only where another piece covers the edge or the edge lies in a seam. Cut each traced piece of web out roughly, iron it to the fabric where the cutting map shows the piece, then cut on the traced line.",
            ],
            Self::PaperOnWrongSide => &[OVER_PAPER],
            Self::PrintAgainstWrongSide => &[
                "The print lies against the fabric: before you lay a template, push a pin through its cross, the tip of its arrow and its ticks, and mark them on the blank side.",
                OVER_PAPER,
            ],
            Self::PaperOnRightSide
            | Self::TracedOnRightSide
            | Self::TracedOnWrongSide
            | Self::Overlay
            | Self::TracedBehind => &[
                "If you trace the finished line instead of the cut line, add the allowances as you cut.",
            ],
        }
    }

    /// Whether each motif is drawn as a whole too, besides the templates of its pieces.
    pub fn wants_whole_motifs(self) -> bool {
        matches!(self, Self::Overlay | Self::TracedBehind)
    }

    /// What is printed in the template, which way up it lies; and where it is flipped.
    pub fn faces(self) -> [&'static str; 2] {
        match self {
            Self::PrintAgainstWrongSide => ["printed side to fabric", "printed side up"],
            _ => ["printed side up", "printed side down"],
        }
    }

    /// How it lies, in a sentence.
    pub fn words(self) -> &'static str {
        match self {
            Self::PaperOnRightSide => {
                "Lay the paper printed side up on the right side of the fabric. The templates look as the motif does."
            }
            Self::PaperOnWrongSide => {
                "Lay the paper printed side up on the wrong side of the fabric, and press the fabric's edges over it. The templates are mirrored."
            }
            Self::PrintAgainstWrongSide => {
                "Lay the paper printed side down on the wrong side of the fabric, and iron the fabric's edges onto it. The templates look as the motif does."
            }
            Self::TracedOnRightSide => {
                "Trace around a firm template, printed side up, on the right side of the fabric. The templates look as the motif does."
            }
            Self::TracedOnWrongSide => {
                "Trace around a firm template, printed side up, on the wrong side of the fabric. The templates are mirrored."
            }
            Self::FusibleWeb => {
                "Lay the template printed side up under the fusible web, trace it on the web's paper side, and iron the web to the wrong side of the fabric. The templates are mirrored."
            }
            Self::Overlay => {
                "Trace the whole motif onto clear film, lay the film over the work, and slide each piece under its line. Lay each template printed side up on the right side of its fabric. The templates look as the motif does."
            }
            Self::TracedBehind => {
                "Trace the whole motif, printed side up, onto the back of the background. Lay each template printed side up on the wrong side of its fabric. The templates are mirrored."
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Rows P-20 to P-27 of the trade facts: which are mirrored.
    #[test]
    fn mirrored_where_the_printed_side_faces_the_other_way() {
        let mirrored: Vec<bool> = Method::ALL.iter().map(|m| m.is_mirrored()).collect();
        assert_eq!(
            mirrored,
            [false, true, false, false, true, true, false, true]
        );
        for method in Method::ALL {
            assert_eq!(Method::from_name(method.name()), Some(method));
            assert_eq!(method.words().contains("mirrored"), method.is_mirrored());
        }
    }
}
