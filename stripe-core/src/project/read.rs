//! The file as a whole: its head, the habits of making, then fabrics and motifs,
//! then what can only be told from both.

use super::broken::report_broken;
use super::fabrics::read_fabrics;
use super::fault::{Fault, Faults, nearest_name};
use super::limits::{ALLOWANCES_MM, KITS, MAX_TITLE_CHARS, PIECES};
use super::motifs::{Drafts, read_motifs};
use super::quilts::read_quilts;
use super::renamed::report_renamed;
use super::section::{Context, FilesBeside, Section, thousands};
use super::validate::pieces_of;
use super::{Project, Unit};
use crate::motif::Making;
use std::ops::Range;
use toml::Spanned;
use toml::de::DeTable;

impl Project {
    /// Reads a project file.
    ///
    /// # Errors
    /// Every fault of the text, in the order of the file.
    ///
    /// ```
    /// use stripe_core::project::Project;
    ///
    /// let faults = Project::read("unit = \"in\"\n[fabric.deck]\nwidht = 42").unwrap_err();
    /// assert!(faults.iter().any(|fault| fault.help == "did you mean `width`?"));
    /// ```
    pub fn read(text: &str) -> Result<Self, Vec<Fault>> {
        Self::read_with(text, &|_| Err("no files are at hand here".to_owned()))
    }

    /// Reads a project file whose motifs may come from drawings, and its fabrics have pictures:
    /// `beside` gives the bytes of each by the name in the file. The library opens no file itself.
    ///
    /// # Errors
    /// Every fault of the text and of the files that it names, in the order of the file.
    pub fn read_with(text: &str, beside: &FilesBeside<'_>) -> Result<Self, Vec<Fault>> {
        let faults = Faults::default();
        let (document, broken) = DeTable::parse_recoverable(text);
        report_broken(text, &broken, &faults);
        let is_whole = broken.is_empty()
            && !report_misspelt(document.get_ref(), &faults)
            && !report_renamed(document.get_ref(), &faults);
        let project = if is_whole {
            read_document(&document, text.len(), &faults, beside)
        } else {
            // What stands behind a broken line, or hangs on a key of another name, would
            // be blamed for nothing.
            None
        };
        let faults = faults.into_sorted();
        match project {
            Some(project) if faults.is_empty() => Ok(project),
            _ => Err(faults),
        }
    }
}

/// The place of a key in a project file, by its way from the top: `fabric`, `deck`,
/// `width`. A key that is not there gives the nearest one above it.
pub fn place_of(text: &str, way: &[&str]) -> Option<Range<usize>> {
    let (document, _) = DeTable::parse_recoverable(text);
    let mut table = document.get_ref();
    let mut place = None;
    for step in way {
        let Some((key, value)) = table.iter().find(|(key, _)| key.get_ref() == step) else {
            break;
        };
        place = Some(key.span());
        match value.get_ref().as_table() {
            Some(inside) => table = inside,
            None => break,
        }
    }
    place
}

/// The place of a value in a project file, by its way from the top; none if it is not there.
pub fn place_of_value(text: &str, way: &[&str]) -> Option<Range<usize>> {
    let (document, _) = DeTable::parse_recoverable(text);
    let mut table = document.get_ref();
    let mut place = None;
    for (depth, step) in way.iter().enumerate() {
        let (_, value) = table.iter().find(|(key, _)| key.get_ref() == step)?;
        place = Some(value.span());
        if depth + 1 < way.len() {
            table = value.get_ref().as_table()?;
        }
    }
    place
}

/// Reports tables of the whole file whose name is misspelt; returns whether there was one.
/// What they were to say would be missed elsewhere, and the right table blamed for it.
fn report_misspelt(document: &DeTable<'_>, faults: &Faults) -> bool {
    const TABLES: [&str; 4] = ["making", "fabric", "motif", "quilt"];
    let mut found = false;
    for (key, value) in document {
        let word = key.get_ref().as_ref();
        let is_table = value.get_ref().as_table().is_some();
        if !is_table || TABLES.contains(&word) {
            continue;
        }
        if let Some(near) = nearest_name(word, TABLES) {
            let message = format!("a project has no table called `{word}`");
            faults.add(key.span(), message, format!("did you mean `{near}`?"));
            found = true;
        }
    }
    found
}

fn read_document(
    document: &Spanned<DeTable<'_>>,
    end: usize,
    faults: &Faults,
    drawings: &FilesBeside<'_>,
) -> Option<Project> {
    let mut context = Context {
        faults,
        unit: Unit::default(),
        drawings,
    };
    // What a whole file lacks is said at its end, where it would be added.
    let mut file = Section::new("the project".into(), document.get_ref(), end..end, context);
    let units = [
        ("in", Unit::Inch),
        ("cm", Unit::Centimetre),
        ("mm", Unit::Millimetre),
    ];
    if let Some(unit) = file.choice("unit", &units) {
        context.unit = unit.into_inner();
        file.context = context;
    }
    let title = file.text("title", MAX_TITLE_CHARS);
    let money = file.text("money", 8);
    let making = read_making(&file);
    let kits = file.count("kits", KITS).map_or(1, Spanned::into_inner);
    let fabrics = read_fabrics(&file);
    let mut drafts = read_motifs(&file, &fabrics);
    // A quilt's places give their number to motifs without one.
    let quilts = read_quilts(&file, &making, &mut drafts, &fabrics);
    check_total(&file, &drafts, kits);
    file.close();
    Some(Project {
        title: title.map_or_else(|| "Untitled".to_owned(), Spanned::into_inner),
        unit: context.unit,
        money: money.map_or_else(|| "$".to_owned(), Spanned::into_inner),
        making,
        kits,
        fabrics: fabrics
            .into_iter()
            .filter_map(|draft| draft.fabric)
            .collect(),
        motifs: drafts.motifs,
        quilts,
    })
}

/// As is usual, where the maker says nothing.
fn read_making(file: &Section<'_, '_>) -> Making {
    let mut making = Making::default();
    let Some(section) = file.section("making", "`making`".into()) else {
        return making;
    };
    let fields = [
        ("turn_under", &mut making.turn_under_mm),
        ("seam", &mut making.seam_mm),
        ("tuck_under", &mut making.tuck_under_mm),
        ("gap", &mut making.gap_mm),
        ("stripe_tolerance", &mut making.stripe_tolerance_mm),
    ];
    for (key, field) in fields {
        if let Some(length) = section.length(key, ALLOWANCES_MM) {
            *field = length.into_inner();
        }
    }
    section.close();
    making
}

/// More pieces than can be laid are refused before any of them is made.
fn check_total(file: &Section<'_, '_>, drafts: &Drafts, kits: usize) {
    let pieces = (drafts.motifs.iter().map(pieces_of)).fold(0, usize::saturating_add);
    let pieces = pieces.saturating_mul(kits);
    if PIECES.contains(&pieces) {
        return;
    }
    let message = format!("the project asks for {} pieces in all", thousands(pieces));
    let help = format!(
        "at most {} can be laid: use fewer copies or kits, or split the project",
        thousands(*PIECES.end())
    );
    file.fault(file.key_span("motif"), message, help);
}
