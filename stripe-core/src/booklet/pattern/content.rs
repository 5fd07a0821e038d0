//! What a pattern's pages hold, before it is HTML or pages of paper.

use crate::draw::Scene;

/// A chapter.
#[derive(Debug, Clone)]
pub(super) struct Chapter {
    /// Its name in the page's address.
    pub id: &'static str,
    pub heading: String,
    /// Whether it begins a page of its own.
    pub on_new_page: bool,
    pub blocks: Vec<Block>,
}

/// A part of a chapter.
#[derive(Debug, Clone)]
pub(super) enum Block {
    /// A heading within the chapter.
    Heading(String),
    /// A paragraph.
    Words(String),
    /// A paragraph that begins with a word or two in bold.
    Lead(String, String),
    /// Numbered steps.
    Steps(Vec<String>),
    /// Words to be filled in by hand: a question, and a line to write on.
    Ask(String),
    Table(Grid),
    /// Pictures side by side, each with its caption.
    Pictures(Vec<Picture>),
    /// So many empty lines to write on.
    Lines(usize),
}

/// A table.
#[derive(Debug, Clone)]
pub(super) struct Grid {
    /// The heading of each column.
    pub heads: Vec<&'static str>,
    /// How much of the width each takes.
    pub shares: Vec<f64>,
    pub rows: Vec<Vec<String>>,
}

/// A picture at the size in which it is printed.
#[derive(Debug, Clone)]
pub(super) struct Picture {
    pub scene: Scene,
    pub caption: String,
}
