//! What keeps a plan from being drawn.

/// Why there is no drawing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum DrawError {
    /// The plan has no fabric of that name.
    #[error("this plan has no fabric called `{name}`; it has {known}")]
    NoFabric {
        /// The name asked for.
        name: String,
        /// The names there are.
        known: String,
    },
    /// The plan has no motif of that name.
    #[error("this plan has no motif called `{name}`; it has {known}")]
    NoMotif {
        /// The name asked for.
        name: String,
        /// The names there are.
        known: String,
    },
    /// The plan has motifs alone.
    #[error("this plan has no quilt, only motifs")]
    NoQuilt,
    /// Something in the plan cannot be drawn.
    #[error(
        "{place}: {what}. Plan it again with `stripelay lay`, or take the file as it was written"
    )]
    Unsound {
        /// Where in the plan.
        place: String,
        /// What is wrong there.
        what: String,
    },
    /// A resolution outside of what makes sense.
    #[error(
        "{0} dots an inch make no picture: choose between 10 and 2400, 150 for reading, 300 for print"
    )]
    Resolution(f64),
    /// A picture beyond the limit.
    #[error(
        "the picture would be {width} by {height} dots at {dpi} an inch, more than the limit of 40 million: ask for fewer dots an inch, or take the SVG"
    )]
    TooManyPixels {
        /// Dots across.
        width: u64,
        /// Dots down.
        height: u64,
        /// Dots an inch.
        dpi: f64,
    },
    /// More templates than anybody prints.
    #[error(
        "the plan needs {templates} different templates, more than the limit of {most}: let copies look alike, so that they share one"
    )]
    TooManyTemplates {
        /// How many there would be.
        templates: usize,
        /// The limit.
        most: usize,
    },
    /// More sheets than anybody prints.
    #[error("the templates would take {sheets} sheets, more than the limit of {most}")]
    TooManySheets {
        /// How many there would be.
        sheets: usize,
        /// The limit.
        most: usize,
    },
    /// The drawing itself is at fault.
    #[error("the drawing could not be made into a picture: {0}")]
    Picture(String),
}
