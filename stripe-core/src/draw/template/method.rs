//! Which way round a template is drawn, by how its maker works.

/// How templates are used, named by what is done.
///
/// # Source
/// The rule is geometry: where the drawn face of the paper looks the same way as the
/// side of the cloth that will show, the template is drawn as seen, otherwise
/// mirrored (trade facts P-20 to P-25; most rows also on public pages).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// Ironed or pinned on the face of the cloth (P-20).
    PaperOnFace,
    /// On the back, edges pressed over it with starch or glue (P-21).
    PaperOnBack,
    /// On the back with its drawing against the cloth, edges ironed onto it (P-22).
    PaperFacingBack,
    /// A firm template, traced on the face (P-23).
    TracedOnFace,
    /// A firm template, traced on the back (P-24).
    TracedOnBack,
    /// Traced onto fusible web, which goes on the back (P-25).
    FusibleOnBack,
}

impl Method {
    /// All methods.
    pub const ALL: [Self; 6] = [
        Self::PaperOnFace,
        Self::PaperOnBack,
        Self::PaperFacingBack,
        Self::TracedOnFace,
        Self::TracedOnBack,
        Self::FusibleOnBack,
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
        }
    }

    /// The method of that name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|method| method.name() == name)
    }

    /// Whether the template is drawn as its mirror image.
    pub fn is_mirrored(self) -> bool {
        match self {
            Self::PaperOnFace | Self::PaperFacingBack | Self::TracedOnFace => false,
            Self::PaperOnBack | Self::TracedOnBack | Self::FusibleOnBack => true,
        }
    }

    /// What is printed in the template: which way it lies.
    pub fn face_words(self) -> &'static str {
        match self {
            Self::PaperFacingBack => "this face to the cloth",
            _ => "this face up",
        }
    }

    /// How it lies, in a sentence.
    pub fn words(self) -> &'static str {
        match self {
            Self::PaperOnFace => {
                "Paper on the face of the cloth: lay it this face up on the side that will show. Drawn as seen."
            }
            Self::PaperOnBack => {
                "Paper on the back, edges pressed over it: lay it this face up on the side that will not show. Drawn mirrored."
            }
            Self::PaperFacingBack => {
                "Paper on the back, its drawing against the cloth, edges ironed onto it: lay it this face down on the side that will not show. Drawn as seen."
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
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Rows P-20 to P-25 of the trade facts: which are mirrored.
    #[test]
    fn mirrored_as_the_drawn_face_looks() {
        let mirrored: Vec<bool> = Method::ALL.iter().map(|m| m.is_mirrored()).collect();
        assert_eq!(mirrored, [false, true, false, false, true, true]);
        for method in Method::ALL {
            assert_eq!(Method::from_name(method.name()), Some(method));
            assert_eq!(method.words().contains("mirrored"), method.is_mirrored());
        }
    }
}
