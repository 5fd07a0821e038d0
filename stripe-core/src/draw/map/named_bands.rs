//! The bands by name beside the fabric: two of one greyness can still be told apart.

use super::labels::{SMALL_MM, small_mm};
use crate::draw::bands::Fall;
use crate::draw::lettering::{CAPITAL, fit};
use crate::draw::scene::{Anchor, Fill, Item, Path, Stroke, Text};
use crate::draw::view::View;
use crate::fabric::{Band, Stripe};
use crate::shape::{Point, dot, point};

/// Thickness of the strip that shows the bands once more (mm).
const STRIP_MM: f64 = 2.2;
/// From the strip to the names: leaders fan out in between (mm).
const FAN_MM: f64 = 3.0;
/// Below the fabric: ruler and numbers come first (mm).
const UNDER_RULER_MM: f64 = 6.6;
/// What the strip below takes, from the ruler's numbers on (mm).
pub(super) const BELOW_MM: f64 = STRIP_MM + FAN_MM + 4.0;
/// The longest name beside the fabric (mm).
const NAME_MM: f64 = 24.0;
/// Between two names side by side, and from line to line (mm).
const APART_MM: f64 = 2.2;
const LINE_MM: f64 = 3.3;

/// The bands that follow each other across a fabric, and those along it on a plaid.
pub(super) struct Named<'a> {
    across: Option<Fall<'a>>,
    along: Option<Fall<'a>>,
}

impl<'a> Named<'a> {
    pub(super) fn new(stripe: Option<&'a Stripe>) -> Self {
        let mut named = Self {
            across: None,
            along: None,
        };
        let Some(stripe) = stripe else {
            return named;
        };
        let main = (stripe.bands().len() > 1).then(|| Fall::on_fabric(stripe));
        let falls = [main, Fall::crossing_on_fabric(stripe)];
        for fall in falls
            .into_iter()
            .flatten()
            .filter(|fall| fall.bands().len() > 1)
        {
            let normal = fall.normal();
            if normal.x.abs() > normal.y.abs() {
                named.across = Some(fall);
            } else {
                named.along = Some(fall);
            }
        }
        named
    }

    /// What the names take below the fabric (mm).
    pub(super) fn below_mm(&self) -> f64 {
        if self.across.is_some() { BELOW_MM } else { 0.0 }
    }

    /// What they take to the right of it (mm).
    pub(super) fn right_mm(&self) -> f64 {
        let Some(fall) = &self.along else {
            return 0.0;
        };
        let widest = fall
            .bands()
            .iter()
            .enumerate()
            .map(|(i, band)| small_mm(&named(band, i)));
        1.0 + STRIP_MM + FAN_MM + widest.fold(0.0, f64::max).min(NAME_MM) + 2.0
    }

    /// Both, for fabric seen from `low` up to `high` along it, so wide.
    pub(super) fn items(&self, view: &View, [low, high]: [f64; 2], width_mm: f64) -> Vec<Item> {
        let mut items = Vec::new();
        if let Some(fall) = &self.across {
            let bands = seen(fall, point(0.0, low), point(width_mm, low));
            let bands = on_page(&bands, |x| view.apply(point(x, low)).x);
            let edge = view.apply(point(0.0, low)).y + UNDER_RULER_MM;
            items.extend(below(fall, &bands, edge));
        }
        if let Some(fall) = &self.along {
            let bands = seen(fall, point(width_mm, low), point(width_mm, high));
            let bands = on_page(&bands, |y| view.apply(point(width_mm, y + low)).y);
            let edge = view.apply(point(width_mm, 0.0)).x + 1.0;
            let bottom = view.apply(point(0.0, low)).y;
            items.extend(beside(fall, &bands, edge, bottom));
        }
        items
    }
}

/// A band along a line: its number, from where to where.
#[derive(Clone, Copy)]
struct Stretch {
    band: usize,
    from: f64,
    to: f64,
}

/// The bands from one point of the fabric to another, by the distance from the first.
fn seen(fall: &Fall<'_>, from: Point, to: Point) -> Vec<Stretch> {
    let way = point(to.x - from.x, to.y - from.y);
    let long = way.x.hypot(way.y);
    let (start, end) = (dot(fall.normal(), from), dot(fall.normal(), to));
    let at = |u: f64| (u - start) / (end - start) * long;
    let mut borders: Vec<(f64, usize)> = fall
        .borders([start.min(end), start.max(end)])
        .iter()
        .map(|border| {
            (
                at(border.u_mm),
                if end > start {
                    border.after
                } else {
                    border.before
                },
            )
        })
        .collect();
    borders.sort_by(|a, b| a.0.total_cmp(&b.0));
    let first = fall.band_of(fall.phase_at(from) + if end > start { 1e-6 } else { -1e-6 });
    let mut bands = vec![Stretch {
        band: first,
        from: 0.0,
        to: long,
    }];
    for (at, band) in borders
        .into_iter()
        .filter(|(at, _)| *at > 1e-6 && *at < long - 1e-6)
    {
        if let Some(last) = bands.last_mut() {
            last.to = at;
        }
        bands.push(Stretch {
            band,
            from: at,
            to: long,
        });
    }
    bands
}

fn on_page(bands: &[Stretch], place: impl Fn(f64) -> f64) -> Vec<Stretch> {
    bands
        .iter()
        .map(|stretch| Stretch {
            band: stretch.band,
            from: place(stretch.from),
            to: place(stretch.to),
        })
        .collect()
}

fn named(band: &Band, index: usize) -> String {
    if band.name.is_empty() {
        format!("band {}", index + 1)
    } else {
        band.name.clone()
    }
}

/// The bands of the first whole repeat, or what there is.
fn one_repeat<'b>(fall: &Fall<'_>, bands: &'b [Stretch]) -> &'b [Stretch] {
    let count = fall.bands().len();
    let whole = bands
        .iter()
        .position(|stretch| stretch.band == 0)
        .filter(|at| at + count <= bands.len());
    let first = whole.unwrap_or(0);
    &bands[first..(first + count).min(bands.len())]
}

/// Middles for words of these widths as near as may be to where they are wanted, in a row
/// from `low` to `high`; words that have no room in it are left out.
fn spread(wanted: &[f64], widths: &[f64], apart: f64, [low, high]: [f64; 2]) -> Vec<f64> {
    let mut middles: Vec<f64> = Vec::new();
    let mut end = low - apart;
    for (want, width) in wanted.iter().zip(widths) {
        let middle = want.max(end + apart + width / 2.0);
        end = middle + width / 2.0;
        middles.push(middle);
    }
    // Pushed back where they would go beyond the end.
    let mut begin = high + apart;
    for (middle, width) in middles.iter_mut().zip(widths).rev() {
        *middle = middle.min(begin - apart - width / 2.0);
        begin = *middle - width / 2.0;
    }
    // What then begins before the row is too much for it.
    if begin < low - 1e-6 {
        return spread(
            &wanted[..wanted.len() - 1],
            &widths[..widths.len() - 1],
            apart,
            [low, high],
        );
    }
    middles
}

fn strip(fall: &Fall<'_>, bands: &[Stretch], place: impl Fn(f64, f64) -> Point) -> Vec<Item> {
    let line = Stroke::ink(0.12);
    bands
        .iter()
        .map(|stretch| {
            let ring = vec![
                place(stretch.from, 0.0),
                place(stretch.to, 0.0),
                place(stretch.to, STRIP_MM),
                place(stretch.from, STRIP_MM),
            ];
            let fill = Fill::solid(fall.bands()[stretch.band].colour);
            Path::rings(vec![ring], Some(fill), Some(line)).into()
        })
        .collect()
}

fn below(fall: &Fall<'_>, bands: &[Stretch], top: f64) -> Vec<Item> {
    let mut items = strip(fall, bands, |x, down| point(x, top + down));
    let repeat = one_repeat(fall, bands);
    let names: Vec<String> = repeat
        .iter()
        .map(|s| named(&fall.bands()[s.band], s.band))
        .collect();
    let wanted: Vec<f64> = repeat.iter().map(|s| (s.from + s.to) / 2.0).collect();
    let widths: Vec<f64> = names.iter().map(|name| small_mm(name)).collect();
    let (left, right) = (bands[0].from, bands[bands.len() - 1].to);
    let middles = spread(&wanted, &widths, APART_MM, [left, right]);
    let leaders = wanted.iter().zip(&middles).map(|(&from, &to)| {
        let foot = top + STRIP_MM;
        [point(from, foot - 0.8), point(to, foot + FAN_MM - 0.3)]
    });
    items.extend(leaders_of(leaders.collect()));
    let names_end = middles.last().zip(widths.last());
    let names_end = names_end.map_or(left, |(middle, width)| middle + width / 2.0);
    items.extend(repeat_numbers(bands, top + STRIP_MM, names_end));
    for (name, middle) in names.iter().zip(&middles) {
        let at = point(*middle, top + STRIP_MM + FAN_MM + SMALL_MM * CAPITAL + 0.2);
        items.push(
            Text::new(at, SMALL_MM, name.as_str())
                .anchored(Anchor::Middle)
                .into(),
        );
    }
    items
}

/// Each repeat by its number, counted from the left selvage, where the names leave room: a
/// piece is found by counting where the fabric is not as planned.
fn repeat_numbers(bands: &[Stretch], foot: f64, names_end: f64) -> Vec<Item> {
    let mut items = Vec::new();
    let begins = bands.iter().enumerate();
    let begins = begins.filter(|(i, s)| s.band == 0 && (*i > 0 || s.from < bands[0].from + 1e-6));
    let mut end = names_end;
    for (number, (_, stretch)) in begins.enumerate() {
        let what = if items.is_empty() { "repeat " } else { "" };
        let words = format!("{what}{}", number + 1);
        let from = stretch.from - small_mm(&words) / 2.0;
        if from < end + APART_MM {
            continue;
        }
        end = from + small_mm(&words);
        let mark = [point(stretch.from, foot), point(stretch.from, foot + 1.2)];
        items.push(Path::segments([mark], Stroke::ink(0.18)).into());
        let at = point(stretch.from, foot + FAN_MM + SMALL_MM * CAPITAL + 0.2);
        items.push(
            Text::new(at, SMALL_MM, words)
                .anchored(Anchor::Middle)
                .into(),
        );
    }
    items
}

fn beside(fall: &Fall<'_>, bands: &[Stretch], left: f64, bottom: f64) -> Vec<Item> {
    let mut items = strip(fall, bands, |y, out| point(left + out, y));
    let repeat = one_repeat(fall, bands);
    let names = repeat.iter().map(|s| named(&fall.bands()[s.band], s.band));
    let names: Vec<String> = names
        .map(|name| fit(&name, SMALL_MM, false, NAME_MM))
        .collect();
    // From the lower end of the page upwards.
    let wanted: Vec<f64> = repeat
        .iter()
        .map(|s| bottom - (s.from + s.to) / 2.0)
        .collect();
    let heights = vec![LINE_MM; names.len()];
    let top = bands.iter().map(|s| s.to).fold(bottom, f64::min);
    let middles = spread(&wanted, &heights, 0.0, [0.0, (bottom - top).max(LINE_MM)]);
    let leaders = wanted.iter().zip(&middles).map(|(&from, &to)| {
        let foot = left + STRIP_MM;
        [
            point(foot - 0.8, bottom - from),
            point(foot + FAN_MM - 0.4, bottom - to),
        ]
    });
    items.extend(leaders_of(leaders.collect()));
    for (name, middle) in names.iter().zip(&middles) {
        let at = point(
            left + STRIP_MM + FAN_MM,
            bottom - middle + SMALL_MM * CAPITAL / 2.0,
        );
        items.push(Text::new(at, SMALL_MM, name.as_str()).into());
    }
    items
}

fn leaders_of(leaders: Vec<[Point; 2]>) -> [Item; 2] {
    let pale = Stroke::ink(0.5).coloured(crate::draw::scene::PAPER);
    let heads = leaders.iter().map(|&[a, b]| {
        // The pale one ends with the strip.
        let share = 0.8 / (b.y - a.y).abs().max(0.8);
        [
            a,
            point(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share),
        ]
    });
    [
        Path::segments(heads.collect::<Vec<_>>(), pale).into(),
        Path::segments(leaders, Stroke::ink(0.18)).into(),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_stand_in_order_and_apart() {
        let wanted = [10.0, 11.0, 12.0, 58.0];
        let widths = [8.0, 6.0, 8.0, 9.0];
        let middles = spread(&wanted, &widths, 2.0, [0.0, 60.0]);
        assert_eq!(middles.len(), 4);
        for i in 1..4 {
            let gap = middles[i] - middles[i - 1] - (widths[i] + widths[i - 1]) / 2.0;
            assert!(gap > 2.0 - 1e-9, "{middles:?}");
        }
        assert!(
            middles[0] >= 4.0 && middles[3] <= 55.5 + 1e-9,
            "{middles:?}"
        );
        assert_eq!(spread(&wanted, &widths, 2.0, [0.0, 20.0]).len(), 2);
    }

    #[test]
    fn bands_follow_from_the_selvage() {
        let stripe = crate::draw::fixture::stripe(0.0);
        let fall = Fall::on_fabric(&stripe);
        // Navy begins 7 mm from the selvage; before it lies the end of sand.
        let bands = seen(&fall, point(0.0, 50.0), point(60.0, 50.0));
        let told: Vec<(usize, f64, f64)> = bands
            .iter()
            .map(|s| (s.band, s.from.round(), s.to.round()))
            .collect();
        assert_eq!(
            told,
            [
                (3, 0.0, 7.0),
                (0, 7.0, 25.0),
                (1, 25.0, 31.0),
                (2, 31.0, 35.0),
                (3, 35.0, 47.0),
                (0, 47.0, 60.0)
            ]
        );
        let repeat = one_repeat(&fall, &bands);
        assert_eq!(
            repeat.iter().map(|s| s.band).collect::<Vec<_>>(),
            [0, 1, 2, 3]
        );
    }
}
