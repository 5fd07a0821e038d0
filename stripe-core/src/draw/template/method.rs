//! Which way round a template is drawn, by how its maker works.

/// How templates are used, named by what is done.
///
/// # Source
/// The rule is geometry: where the drawn face of the paper looks the same way as the
/// side of the fabric that will show, the template is drawn as seen, otherwise
/// mirrored (trade facts P-20 to P-27; most rows also on public pages).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// Ironed or pinned on the face of the fabric (P-20).
    PaperOnFace,
    /// On the back, edges pressed over it with starch or glue (P-21).
    PaperOnBack,
    /// On the back with its drawing against the fabric, edges ironed onto it (P-22).
    PaperFacingBack,
    /// A firm template, traced on the face (P-23).
    TracedOnFace,
    /// A firm template, traced on the back (P-24).
    TracedOnBack,
    /// Traced onto fusible web, which goes on the back (P-25).
    FusibleOnBack,
    /// A see-through overlay of the whole motif above the work (P-26).
    OverlayOnTop,
    /// The whole motif drawn on the back of the background (P-27).
    DrawnBehind,
}

impl Method {
    /// All methods.
    pub const ALL: [Self; 8] = [
        Self::PaperOnFace,
        Self::PaperOnBack,
        Self::PaperFacingBack,
        Self::TracedOnFace,
        Self::TracedOnBack,
        Self::FusibleOnBack,
        Self::OverlayOnTop,
        Self::DrawnBehind,
    ];

    /// The name by which it is asked for.
    pub fn name(self) -> &'static str {
        match self {
            Self::PaperOnFace => "paper-on-face",
            Self::PaperOnBack => "paper-on-back",
            Self::PaperFacingBack => "paper-facing-back",
            Self::TracedOnFace => "traced-on-face",
            Self::TracedOnBack => "traced-on-back",
            Self::FusibleOnBack => "fusible-on-back",
            Self::OverlayOnTop => "overlay-on-top",
            Self::DrawnBehind => "drawn-behind",
        }
    }

    /// The method of that name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|method| method.name() == name)
    }

    /// Whether the template is drawn as its mirror image.
    pub fn is_mirrored(self) -> bool {
        match self {
            Self::PaperOnFace | Self::PaperFacingBack | Self::TracedOnFace | Self::OverlayOnTop => {
                false
            }
            Self::PaperOnBack | Self::TracedOnBack | Self::FusibleOnBack | Self::DrawnBehind => {
                true
            }
        }
    }

    /// Whether each motif is drawn as a whole too, besides the templates of its pieces.
    pub fn wants_whole_motifs(self) -> bool {
        matches!(self, Self::OverlayOnTop | Self::DrawnBehind)
    }

    /// What is printed in the template: which way it lies.
    pub fn face_words(self) -> &'static str {
        match self {
            Self::PaperFacingBack => "this face to the fabric",
            _ => "this face up",
        }
    }

    /// How it lies, in a sentence.
    pub fn words(self) -> &'static str {
        match self {
            Self::PaperOnFace => {
                "Paper on the face of the fabric: lay it this face up on the side that will show. Drawn as seen."
            }
            Self::PaperOnBack => {
                "Paper on the back, edges pressed over it: lay it this face up on the side that will not show. Drawn mirrored."
            }
            Self::PaperFacingBack => {
                "Paper on the back, its drawing against the fabric, edges ironed onto it: lay it this wrong side up on the side that will not show. Drawn as seen."
            }
            Self::TracedOnFace => {
                "Firm template traced on the face: lay it this face up on the side that will show. Drawn as seen."
            }
            Self::TracedOnBack => {
                "Firm template traced on the back: lay it this face up on the side that will not show. Drawn mirrored."
            }
            Self::FusibleOnBack => {
                "Traced onto the paper of fusible web, which goes on the back: this face up while tracing. Drawn mirrored."
            }
            Self::OverlayOnTop => {
                "Overlay of clear film: trace the whole motif, lay it this face up above the work and slide each piece beneath its line. Drawn as seen."
            }
            Self::DrawnBehind => {
                "Drawn on the back of the background: trace the whole motif there, this face up; templates lie so on the back of their fabric. Drawn mirrored."
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Rows P-20 to P-27 of the trade facts: which are mirrored.
    #[test]
    fn mirrored_as_the_drawn_face_looks() {
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
