//! Sentences that stand in more than one place: on the terminal, in the booklet, in lists. For
//! programs that show a plan to people; each function says one thing of it.
//!
//! Each is made here alone, so that a maker reads one thing in one way.

mod kits;
mod list;

pub use self::kits::{for_kits, kits, placed_alike, together};
pub use self::list::listed;
use self::list::numbered;
pub use crate::matching::share_words;
pub use crate::quote::quoted;

use crate::length::{Length, Unit};
use crate::record::{
    BesideNote, BoundKind, FabricPlan, Leftover, LikelyNote, PlacedPiece, Plan, SpareNote,
};

/// A gain of less than this (mm) is none that is told.
const SILENT_MM: f64 = 0.5;
/// A layout that is longer than its bound by no more than this share is near it.
const NEAR_SHARE: f64 = 0.1;
/// A longer search is worth a try where it must shorten the layout by no more than this
/// share: about what `patient` gains over `quick` (2 to 5 %) and over `steady` (up to 2 %) on
/// striped fabric (benches/README.md).
const PATIENT_GAINS: [(&str, f64); 2] = [("quick", 0.04), ("steady", 0.02)];

/// What comes first in an order of work.
pub const PREPARE: [&str; 3] = [
    "Wash and press the fabric now if you wash it before you cut, and measure it again. What to buy allows for shrinkage only where the project file gives a `shrinkage`.",
    "Square up the cut ends.",
    "Print the templates at actual size and measure their bars.",
];
/// When the motif pieces are cut, in an order of work ..
pub const CUT_BY_MAPS: &str = "Cut the motif pieces by the cutting maps.";
/// .. and in that of a pattern, whose makers have no map.
pub const CUT_BY_STRIPE: &str = "Cut the motif pieces, each where its stripe line says; lay the pieces of each motif side by side before you cut the next.";

/// An amount with what money is called: a sign stands close, a word apart.
pub fn money(name: &str, amount: f64) -> String {
    let space = if name.chars().count() > 1 { " " } else { "" };
    format!("{name}{space}{amount:.2}")
}

/// So many motif pieces.
pub fn motif_pieces(count: usize) -> String {
    match count {
        1 => "1 motif piece".to_owned(),
        n => format!("{n} motif pieces"),
    }
}

/// A share as whole per cent, without a sign on nothing.
pub fn percent(share: f64) -> String {
    format!("{} %", (100.0 * share).round() + 0.0)
}

/// What is cut from fabric that the maker has already, one sentence a fabric.
pub fn in_hand(plan: &Plan) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    let mut names: Vec<&str> = Vec::new();
    for fabric in plan
        .fabrics
        .iter()
        .filter(|fabric| fabric.in_hand.is_some())
    {
        if !names.contains(&fabric.fabric()) {
            names.push(fabric.fabric());
        }
    }
    for name in names {
        let here = || plan.fabrics.iter().filter(|fabric| fabric.fabric() == name);
        // In a rescue what was bought for the first plan is bought: only what comes beside it
        // is told.
        let goes_on = plan.recut.is_some();
        let (bought, had): (Vec<&FabricPlan>, Vec<&FabricPlan>) = here()
            .filter(|fabric| !goes_on || fabric.in_hand.is_some())
            .partition(|fabric| fabric.buy.length_mm > 0.0);
        let pieces: Vec<&str> = had
            .iter()
            .map(|fabric| fabric.name.strip_prefix(name).unwrap_or(&fabric.name))
            .map(|piece| piece.trim_start_matches(", "))
            .collect();
        let from = match pieces.len() {
            1 => format!("Cut from your {}", pieces[0]),
            count => format!("Cut from {count} of your pieces ({})", numbered(&pieces)),
        };
        said.push(match (bought.first(), goes_on) {
            (None, false) => format!("{name}: {from}; none of it has to be bought."),
            (None, true) => format!("{name}: {from}; nothing more has to be bought."),
            (Some(one), false) => {
                format!("{name}: {from}; {} of it has to be bought.", one.buy.shown)
            }
            (Some(one), true) => format!(
                "{name}: What is left of it is not enough. Buy {} more.",
                one.buy.shown
            ),
        });
    }
    said
}

/// What a list of purchases is called: in a rescue it is that of the plan before.
pub fn purchases(plan: &Plan) -> &'static str {
    if plan.recut.is_some() {
        "What the plan before this one had you buy"
    } else {
        "What to buy"
    }
}

/// The motif to cut first: of those with pieces to lay side by side the one that can best be cut
/// again, else the first.
fn test_motif<'a>(here: impl Iterator<Item = &'a SpareNote>) -> Option<&'a str> {
    // The motif, how many pieces it has of this fabric, the places for the scarcest of them.
    let mut motifs: Vec<(&str, usize, usize)> = Vec::new();
    for one in here {
        match motifs.iter_mut().find(|(name, ..)| *name == one.motif) {
            Some((_, pieces, places)) => {
                *pieces += 1;
                *places = one.places.min(*places);
            }
            None => motifs.push((&one.motif, 1, one.places)),
        }
    }
    let worth = |&(_, pieces, places): &(&str, usize, usize)| (pieces > 1, places);
    // The first of equals: `max_by_key` alone takes the last.
    let best = motifs.iter().rev().max_by_key(|motif| worth(motif))?;
    Some(best.0)
}

/// In which order to cut a fabric, so that a slip costs least: a motif to test first, then what
/// has no second place on the fabric, then the rest. Nothing where nothing was counted.
pub fn cutting_order(plan: &Plan, fabric: &str) -> Vec<String> {
    let here = || plan.spares.iter().filter(|one| one.fabric == fabric);
    let Some(first) = test_motif(here()) else {
        return vec![];
    };
    let name = |one: &SpareNote| {
        if one.piece == one.motif {
            one.motif.clone()
        } else {
            format!("{} {}", one.motif, one.piece)
        }
    };
    let mut said = Vec::new();
    let on = || plan.fabrics.iter().filter(|one| one.fabric() == fabric);
    let striped = on().any(|one| one.stripe.is_some());
    let uncut = on()
        .flat_map(|one| &one.placements)
        .filter(|piece| !piece.is_cut);
    let scarce: Vec<String> = here().filter(|one| one.places == 0).map(name).collect();
    let mut spare: Vec<&SpareNote> = here().filter(|one| one.places > 0).collect();
    if uncut.count() > here().count() {
        let test = if striped {
            "lay its pieces side by side: if the stripes do not run on"
        } else {
            "try it on the motif: if it does not fit"
        };
        let then = if spare.is_empty() {
            "stop before you cut more"
        } else {
            "little is lost"
        };
        said.push(format!("Cut {first} 1 first and {test}, {then}."));
    }
    if scarce.is_empty() {
        said.push("There is room to cut any one piece again.".to_owned());
    } else if spare.is_empty() {
        said.push(
            "Take care with every piece: the layout has no room to cut one again. If one goes wrong, `stripelay recut` looks for room among the pieces that are not cut yet.".to_owned(),
        );
    } else {
        said.push(format!(
            "Then cut what this fabric has no second place for: {}.",
            scarce.join("; ")
        ));
        spare.sort_by_key(|one| one.places);
        let spare: Vec<String> = spare.into_iter().map(name).collect();
        said.push(format!(
            "There is room to cut one of these again: {}.",
            spare.join("; ")
        ));
    }
    let room = on().filter_map(|one| Some(one.buy.room_mm? - one.length_mm));
    let room: f64 = room.fold(0.0, f64::max);
    if room > SPARE_MM {
        let spare = Length::from_mm(room).down(plan.unit).shown(plan.unit);
        let after = on().find(|one| !one.buy.counted_in.is_empty());
        let after = after.map_or_else(String::new, |one| format!(", after {}", one.buy.counted_in));
        said.push(format!("What you buy has {spare} to spare{after}."));
    }
    said
}

/// Less length (mm) to spare than this is none.
const SPARE_MM: f64 = 3.0;

/// What is new about a piece in a plan that goes on from another one.
pub fn changed(plan: &Plan, piece: &PlacedPiece) -> Option<&'static str> {
    let recut = plan.recut.as_ref()?;
    if recut.spoilt.contains(&piece.label) {
        Some("cut again")
    } else if recut.moved.contains(&piece.label) {
        Some("moved")
    } else {
        None
    }
}

/// Whether lengths are told beside those by hand: not in a rescue, where much of the fabric is cut
/// and more of it may have to be bought.
pub fn is_beside_hand(plan: &Plan) -> bool {
    plan.recut.is_none()
}

/// What a fabric's plan saves beside laying by hand.
pub fn saved(plan: &Plan, fabric: &FabricPlan) -> String {
    let unit = plan.unit;
    let shortest = fabric.shortest();
    let saved = fabric.by_hand_length_mm - shortest;
    let way = fabric.by_hand.words();
    let up = |mm: f64| Length::from_mm(mm).shown_up(unit);
    if !is_beside_hand(plan) {
        return format!("Takes {}.", up(shortest));
    }
    if saved <= SILENT_MM {
        return format!("Takes {}, the same as by hand ({way}).", up(shortest));
    }
    format!(
        "Saves {} ({}): takes {} instead of {} by hand ({way}).",
        // The difference of the two lengths as they are shown.
        Length::from_mm(fabric.by_hand_length_mm)
            .up(unit)
            .minus(Length::from_mm(shortest).up(unit))
            .shown(unit),
        share_words(saved / fabric.by_hand_length_mm),
        up(shortest),
        up(fabric.by_hand_length_mm),
    )
}

/// Whether a little less would cost a step less in the shop, and what to try; nothing where
/// the search was as long as it gets, or where so much less cannot be.
pub fn nearly(plan: &Plan, fabric: &FabricPlan) -> Option<String> {
    let unit = plan.unit;
    let less = fabric.buy.less.as_ref()?;
    let shortest = fabric.shortest();
    let gains = PATIENT_GAINS
        .iter()
        .find(|(effort, _)| *effort == plan.effort);
    let within =
        less.by_mm <= gains?.1 * shortest && shortest - less.by_mm >= fabric.bound.length_mm;
    within.then(|| {
        format!(
            "A layout {} shorter would save you {}: try `--effort patient`.",
            Length::from_mm(less.by_mm).shown_up(unit),
            less.saves
        )
    })
}

/// What lies beside straight cuts of the same fabric.
pub fn beside(beside: &BesideNote, unit: Unit) -> String {
    let lie = if beside.pieces == 1 { "lies" } else { "lie" };
    format!(
        "{} {lie} beside straight cuts, in the first {}. That saves {}.",
        motif_pieces(beside.pieces),
        Length::from_mm(beside.length_mm).shown_up(unit),
        Length::from_mm(beside.saved_mm).down(unit).shown(unit)
    )
}

/// The largest piece that a fabric leaves, and where it lies.
pub fn leftover(leftover: &Leftover, length_mm: f64, unit: Unit) -> String {
    let shown = |mm: f64| Length::from_mm(mm).shown(unit);
    let from_left = if leftover.left_mm < SILENT_MM {
        "at the left selvage".to_owned()
    } else {
        format!("{} from the left selvage", shown(leftover.left_mm))
    };
    let from_cut_end = if leftover.begin_mm < SILENT_MM {
        "at the cut end".to_owned()
    } else {
        format!("{} from the cut end", shown(leftover.begin_mm))
    };
    let mut words = format!(
        "Leaves a piece {} by {}: it begins {from_left} and {from_cut_end}.",
        shown(leftover.width_mm),
        shown(leftover.length_mm),
    );
    if let Some(shortest) = leftover.shortest_mm {
        words.push_str(&format!(
            " To keep that piece whole the layout uses {} instead of {}; you buy the same either way.",
            Length::from_mm(length_mm).shown_up(unit),
            Length::from_mm(shortest).shown_up(unit)
        ));
    }
    words
}

/// How many matched joints small errors will show, laid one way and the other.
pub fn likely(likely: &LikelyNote, unit: Unit) -> String {
    let shown = |mm: f64| Length::from_mm(mm).shown(unit);
    let LikelyNote { errors, joints, .. } = likely;
    let of = match *joints {
        1 => "the one matched joint".to_owned(),
        2 => "the two matched joints".to_owned(),
        joints => format!("the {joints} matched joints"),
    };
    // Finer than other lengths are shown.
    let noticed = match unit {
        Unit::Inch => shown(likely.noticed_mm),
        _ => format!("{:.1} mm", likely.noticed_mm),
    };
    let all = (likely.by_stripe.all, likely.by_ruler.all);
    format!(
        "If the repeat is off by up to {} %, the fabric out of square by up to {} %, and each piece by up to {}, then {} of {of} \
         will be more than {} out of line. That is if you lay each template on the stripe by its ticks; measured \
         from the selvage alone, {} will.",
        100.0 * errors.repeat,
        100.0 * errors.skew,
        // Finer than other lengths are shown.
        match unit {
            Unit::Inch => format!("{:.0}/32 in", errors.laying_mm / 25.4 * 32.0),
            _ => format!("{:.1} mm", errors.laying_mm),
        },
        some_of(all.0, *joints),
        noticed,
        some_of(all.1, *joints),
    )
}

/// So large a share of so many, as people count.
fn some_of(share: f64, all: usize) -> String {
    let count = share * all as f64;
    if share == 0.0 {
        "none".to_owned()
    } else if count < 0.5 {
        "hardly any".to_owned()
    } else if share == 1.0 {
        "all".to_owned()
    } else {
        format!("about {}", count.round())
    }
}

/// What gap keeps cut lines clear of each other under the same errors.
pub fn safe_gap(plan: &Plan, likely: &LikelyNote) -> String {
    let up = |mm: f64| Length::from_mm(mm).shown_up(plan.unit);
    let gap_mm = plan.making.gap_mm;
    if likely.nearer_mm < SILENT_MM {
        return "Cut lines lie far enough apart on the map: none of these errors brings two together.".to_owned();
    }
    let nearer = up(likely.nearer_mm);
    if likely.safe_gap_mm <= gap_mm + SILENT_MM {
        return format!(
            "Two cut lines may come up to {nearer} nearer to each other than on the map. The gap of {} leaves room for that.",
            up(gap_mm)
        );
    }
    format!(
        "Two cut lines may come up to {nearer} nearer to each other than on the map, and the plan keeps them only {} apart. \
         Trace around every template and see that no two outlines meet before you cut the first piece, or set `gap` to {} and plan again.",
        up(gap_mm),
        up(likely.safe_gap_mm)
    )
}

/// The length that no layout can be below, and why.
pub fn least(fabric: &FabricPlan, unit: Unit) -> String {
    let why = match (fabric.bound.kind, &fabric.bound.band) {
        (BoundKind::Area, _) => "the pieces have that much area".to_owned(),
        (BoundKind::Phase, Some(band)) => {
            format!("the fabric has the band {band} only so often across its width")
        }
        (BoundKind::Phase, None) => {
            "the fabric has each part of the stripe only so often across its width".to_owned()
        }
        (BoundKind::Stack, _) => "so many pieces must lie one behind another".to_owned(),
        (BoundKind::Gaps, _) => {
            "between pieces that keep to the stripe there are gaps that no other piece fits into"
                .to_owned()
        }
        (BoundKind::Tallest, _) => "one piece is that long".to_owned(),
        (BoundKind::Few, _) => "a few of the pieces need that much".to_owned(),
    };
    let (bound, shortest) = (fabric.bound.length_mm, fabric.shortest());
    let how_near = if shortest - bound <= NEAR_SHARE * shortest {
        format!(
            "This one is within {} of that.",
            Length::from_mm((shortest - bound).max(SILENT_MM)).shown_up(unit)
        )
    } else {
        "Real layouts seldom come near that.".to_owned()
    };
    format!(
        "No layout can take less than {}, since {why}. {how_near}",
        Length::from_mm(bound).shown(unit)
    )
}

/// When straight pieces are cut, where motif pieces share the fabric; nothing where none do.
/// Stripes that do not run along the selvages are counted from the cut end, so the motif
/// pieces go first there.
pub fn straight_when(plan: &Plan, fabric: &str) -> Option<String> {
    let lay = plan.fabrics.iter().find(|lay| lay.name == fabric)?;
    let crosswise = lay
        .stripe
        .as_ref()
        .is_some_and(|stripe| stripe.normal_rad().to_degrees().abs() > 1e-6);
    let unit = plan.unit;
    Some(match (lay.beside, crosswise) {
        (Some(beside), _) => format!(
            "The first {} also holds motif pieces: cut it as the steps say.",
            Length::from_mm(beside.length_mm).shown_up(unit)
        ),
        (None, true) => "Cut these after the motif pieces of this fabric.".to_owned(),
        (None, false) => "Cut these before the motif pieces of this fabric.".to_owned(),
    })
}

/// A sentence with every length in it told in inches and in centimetres: after each that stands
/// there the other in brackets, rounded to a millimetre or to 1/16 in.
///
/// ```
/// use stripe_core::wording::side_by_side;
///
/// let step = "Cut 3 strips 9 1/2 in x width of fabric.";
/// assert_eq!(side_by_side(step), "Cut 3 strips 9 1/2 in (24.1 cm) x width of fabric.");
/// ```
pub fn side_by_side(words: &str) -> String {
    let mut told = String::with_capacity(words.len() * 5 / 4);
    let mut rest = words;
    while let Some(at) = rest.find(|c: char| c.is_ascii_digit()) {
        let starts = !rest[..at].ends_with(|c: char| c.is_alphanumeric() || c == '.' || c == '/');
        let from = &rest[at..];
        let number = number_end(from);
        let found = length_after(&from[number..]).filter(|_| starts);
        let end = at + number + found.map_or(0, |(_, end)| end);
        told.push_str(&rest[..end]);
        if let Some((unit, _)) = found
            && let Ok(length) = Length::read(&from[..number], unit)
        {
            let other = match unit {
                Unit::Inch => Unit::Centimetre,
                Unit::Centimetre | Unit::Millimetre => Unit::Inch,
            };
            // The other unit is asked for first, so that it stands before the bracket.
            let both = length.shown_both(other);
            let one = both.split(" (").next().unwrap_or_default();
            told.push_str(&format!(" ({one})"));
        }
        rest = &rest[end..];
    }
    told.push_str(rest);
    told
}

/// Where a number that begins a text ends: `9 1/2`, `31.75`, `3/16`.
fn number_end(text: &str) -> usize {
    let digits = |from: usize| {
        let rest = &text[from..];
        from + rest
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(rest.len())
    };
    let part = |from: usize, sign: char| {
        let after = from + 1;
        let goes_on = text[from..].starts_with(sign)
            && text[after..].starts_with(|c: char| c.is_ascii_digit());
        goes_on.then(|| digits(after))
    };
    let whole = digits(0);
    if let Some(end) = part(whole, '.').or_else(|| part(whole, '/')) {
        return end;
    }
    // A fraction after the whole: `9 1/2`.
    let fraction = part(whole, ' ').and_then(|top| part(top, '/'));
    fraction.unwrap_or(whole)
}

/// The unit of a length whose number stands before the text, and where it ends. "2 in each" is
/// no length.
fn length_after(text: &str) -> Option<(Unit, usize)> {
    const NO_LENGTH: [&str; 8] = ["each", "all", "turn", "order", "the", "a", "this", "one"];
    let rest = text.strip_prefix(' ')?;
    let units = [
        ("in", Unit::Inch),
        ("cm", Unit::Centimetre),
        ("mm", Unit::Millimetre),
    ];
    let (sign, unit) = units.into_iter().find(|(sign, _)| {
        let after = rest.strip_prefix(sign);
        after.is_some_and(|after| !after.starts_with(|c: char| c.is_alphanumeric()))
    })?;
    let next = rest[sign.len()..]
        .split_whitespace()
        .next()
        .unwrap_or_default();
    let next = next.trim_end_matches(|c: char| !c.is_alphanumeric());
    let preposition =
        unit == Unit::Inch && rest[sign.len()..].starts_with(' ') && NO_LENGTH.contains(&next);
    (!preposition).then_some((unit, 1 + sign.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_length_is_told_in_both_units() {
        for (words, told) in [
            (
                "Cut 7 strips 3/16 in wide, 12 in all.",
                "Cut 7 strips 3/16 in (0.5 cm) wide, 12 in all.",
            ),
            (
                "2 1/4 in left of it, 31 1/2 in above.",
                "2 1/4 in (5.7 cm) left of it, 31 1/2 in (80 cm) above.",
            ),
            ("24.5 cm by 8 mm", "24.5 cm (9 5/8 in) by 8 mm (5/16 in)"),
            ("W12 inside strip 4", "W12 inside strip 4"),
            ("", ""),
        ] {
            assert_eq!(side_by_side(words), told);
        }
    }

    #[test]
    fn a_sign_stands_close_and_a_word_apart() {
        assert_eq!(money("$", 5.0), "$5.00");
        assert_eq!(money("EUR", 15.4), "EUR 15.40");
        assert_eq!(percent(-0.001), "0 %");
        assert_eq!(
            [motif_pieces(1), motif_pieces(2)],
            ["1 motif piece", "2 motif pieces"]
        );
    }
}
