//! The first sheets of the templates: how to print and use them, what each line means,
//! and what there is.

use super::Stripes;
use super::frame::{Frame, corner, room};
use super::legend::{Keys, sentences, sentences_height};
use super::method::Method;
use super::sheet::Ready;
use super::words::named;
use crate::draw::lettering::wrap;
use crate::draw::paper::Paper;
use crate::draw::scene::{Item, Scene, Text};
use crate::draw::table::{Column, HEAD_MM, ROW_MM, table};
use crate::shape::point;

const PRINT: &str = "Print this sheet first, at actual size (100 %, not fitted to the page). Measure both bars below. If one is off by more than 1/32 in (half a millimetre), change the print setting and print again.";
const STRIPES: &str = "Lay each template so that the ticks at its edges meet the stripes of the fabric, each band on the band of its name and colour. Stripes are drawn pale inside the finished line and in full colour on the allowance: the darker rim is the same fabric.";
const NO_STRIPES: &str =
    "These templates do not show the stripes. Lay each by its cross, as the cutting map shows.";
const ANY_STRIPE: &str = "These templates are for any stripe. Lay each as the pages \"On your own stripe\" say: its stripe line along your stripe, measured from a centre line.";
/// Under light from behind, or with pins where it does not pass.
const WRONG_SIDE: &str = "Where the stripe does not show through to the wrong side, work on a light box or against a window; where no light comes through, put pins through the fabric along the edges of its bands.";
/// Which column of the list says how many are reversed.
const REVERSED: usize = 5;
const SIZE_MM: f64 = 2.6;
const LINE_MM: f64 = 3.6;
const GAP_MM: f64 = 1.4;

/// What the first sheets tell.
pub(super) struct Index<'a, 'p> {
    pub ready: &'a [Ready<'p>],
    pub stripes: Stripes,
    pub paper: Paper,
    pub method: Method,
}

impl Index<'_, '_> {
    fn words(&self) -> Vec<&'static str> {
        let mut words = vec![PRINT];
        let pieces = || self.ready.iter().filter(|one| !one.figure.is_whole());
        let has_ticks = pieces().any(|one| !one.figure.ticks().is_empty());
        match self.stripes {
            Stripes::Shown if has_ticks => words.push(STRIPES),
            Stripes::Shown => {}
            Stripes::Left => words.push(NO_STRIPES),
            Stripes::Line => words.push(ANY_STRIPE),
        }
        if has_ticks && self.method.lies_on_wrong_side() {
            words.push(WRONG_SIDE);
        }
        words.extend(self.method.cautions());
        words
    }

    fn keys(&self) -> Keys {
        let mut keys: Keys = self
            .ready
            .iter()
            .flat_map(|one| one.figure.keys())
            .collect();
        if self.ready.iter().any(|one| one.ways.is_empty()) {
            keys.insert(super::legend::Key::Join);
        }
        keys
    }

    /// How high words and legend stand (mm).
    fn words_height(&self) -> f64 {
        let wide = room(self.paper).width_mm;
        let words = self.words();
        let lines: usize = words
            .iter()
            .map(|words| wrap(words, SIZE_MM, false, wide).len())
            .sum();
        lines as f64 * LINE_MM
            + words.len() as f64 * GAP_MM
            + sentences_height(&self.keys(), self.method, wide)
            + 8.0
    }

    /// Where each sheet's rows begin; the first sheet has the words too.
    pub(super) fn begins(&self) -> Vec<usize> {
        let high = room(self.paper).height_mm - HEAD_MM;
        let rows = |high: f64| (high / ROW_MM).floor().max(1.0) as usize;
        let mut begins = vec![0];
        let mut next = rows(high - self.words_height());
        while next < self.ready.len() {
            begins.push(next);
            next += rows(high - 4.0);
        }
        begins
    }

    /// One sheet of the index: the templates from `first` on, up to `end`.
    pub(super) fn sheet(
        &self,
        frame: &Frame<'_>,
        sheets_of: &[Vec<usize>],
        [first, end]: [usize; 2],
    ) -> Scene {
        let space = room(frame.paper);
        let mut items = frame.draw("", &Keys::new());
        let from = corner();
        let mut down = from.y;
        if first == 0 {
            for words in self.words() {
                for line in wrap(words, SIZE_MM, false, space.width_mm) {
                    items.push(Text::new(point(from.x, down), SIZE_MM, line).into());
                    down += LINE_MM;
                }
                down += GAP_MM;
            }
            let keys = self.keys();
            let corner = point(from.x, down + 1.0);
            items.extend(sentences(corner, &keys, self.method, space.width_mm));
            down += sentences_height(&keys, self.method, space.width_mm) + 3.0;
        }
        // A column that says nothing on any sheet is left out.
        let reversed = self.ready.iter().any(|one| one.figure.face_down() > 0);
        let mut columns = vec![
            Column::words("", 4.0),
            Column::words("name", 46.0).bold(),
            Column::words("motif, piece", space.width_mm - 123.0),
            Column::words("fabric", 30.0),
            Column::numbers(if reversed { "cut|in all" } else { "cut" }, 10.0),
            Column::numbers("of these,|reversed", 17.0),
            Column::numbers("sheet", 16.0),
        ];
        let mut rows: Vec<Vec<String>> = self.ready[first..end]
            .iter()
            .zip(&sheets_of[first..end])
            .map(|(one, sheets)| row(one, sheets))
            .collect();
        if !reversed {
            columns.remove(REVERSED);
            rows.iter_mut().for_each(|row| {
                row.remove(REVERSED);
            });
        }
        let listing: Vec<Item> = table(point(from.x, down), &columns, &rows);
        items.extend(listing);
        let [width_mm, height_mm] = frame.paper.size_mm();
        Scene {
            width_mm,
            height_mm,
            title: format!("Templates of {}: what there is", frame.title),
            about: format!("{} templates on {} sheets", self.ready.len(), frame.sheets),
            items,
        }
    }
}

fn row(one: &Ready<'_>, sheets: &[usize]) -> Vec<String> {
    let one = &one.figure;
    let sheets = match sheets[..] {
        [] => String::new(),
        [only] => only.to_string(),
        [from, .., to] => format!("{from} to {to}"),
    };
    let reversed = match one.face_down() {
        0 => String::new(),
        some => some.to_string(),
    };
    vec![
        String::new(),
        one.name().to_owned(),
        named(one.motif(), one.piece()),
        one.fabric().to_owned(),
        match one.count() {
            0 => String::new(),
            some => some.to_string(),
        },
        reversed,
        sheets,
    ]
}
