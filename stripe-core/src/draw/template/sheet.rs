//! Template sheets: templates that share a sheet, and those that run over several.

use super::figure::Figure;
use super::frame::{Frame, corner, room, shared_corner};
use super::legend::{Key, Keys, diamond, join_stroke};
use super::nest::{Cover, Spot};
use super::pose::Pose;
use super::tile::{OVERLAP_MM, Size, Tiling, tile};
use crate::draw::lettering::{CAPITAL, width_mm, wrap};
use crate::draw::scene::{Anchor, Fill, Group, INK, Item, PAPER, Path, Scene, Stroke, Text};
use crate::shape::{Point, corners_of, point};
use geo::{Area, BooleanOps};
use geo_types::{Polygon, Rect};

/// Size of captions (mm).
const CAPTION_MM: f64 = 2.47;
const CAPTION_LINE_MM: f64 = 3.3;
/// A caption is at least this wide (mm).
const CAPTION_WIDTH_MM: f64 = 58.0;
/// Room for the outline's pen and for ticks about a template (mm).
const EDGE_MM: f64 = 1.5;

/// A sheet that would show less than this of a template (square mm) is not printed.
const LEAST_MM2: f64 = 1.0;

/// One way in which a template may stand, the top left corner of its box at the origin.
pub(super) struct Way {
    pub pose: Pose,
    pub width_mm: f64,
    pub height_mm: f64,
    /// How far a mark's arrow reaches below it: the caption stands clear of that.
    drop_mm: f64,
    caption: Vec<String>,
}

impl Way {
    fn new(figure: &Figure<'_>, mirrored: bool, quarters: u8) -> Self {
        let pose = Pose {
            mirrored,
            quarters,
            centre: point(0.0, 0.0),
        };
        let rings = pose.rings(figure.outlines());
        let [low, high] = corners_of(rings.iter().flatten());
        let width_mm = high.x - low.x + 2.0 * EDGE_MM;
        let tips = figure.tips().into_iter().map(|tip| pose.apply(tip).y);
        let lowest = tips.fold(high.y, f64::max);
        Self {
            pose: pose.moved(point(EDGE_MM - low.x, EDGE_MM - low.y)),
            width_mm,
            height_mm: high.y - low.y + 2.0 * EDGE_MM,
            drop_mm: (lowest - high.y - EDGE_MM).max(0.0),
            caption: wrap(
                &figure.caption(),
                CAPTION_MM,
                false,
                width_mm.max(CAPTION_WIDTH_MM),
            ),
        }
    }

    /// Whether it fits on a sheet with its caption.
    fn fits(&self, room: Size) -> bool {
        let high = self.height_mm + self.drop_mm + caption_height(&self.caption);
        self.width_mm.max(self.caption_width()) <= room.width_mm && high <= room.height_mm
    }

    fn caption_width(&self) -> f64 {
        let lines = self.caption.iter();
        lines
            .map(|line| width_mm(line, CAPTION_MM, false))
            .fold(0.0, f64::max)
    }

    /// What it covers of a sheet, its caption too.
    fn cover(&self, figure: &Figure<'_>) -> Option<Cover> {
        let (wide, top) = (self.caption_width(), self.height_mm + self.drop_mm);
        let bottom = top + caption_height(&self.caption) - 1.0;
        let caption = [(0.0, top), (wide, top), (wide, bottom), (0.0, bottom)];
        let mut rings = self.pose.rings(figure.outlines());
        rings.push(caption.map(|(x, y)| point(x, y)).to_vec());
        Cover::of(&rings)
    }
}

/// A template ready to be put on a sheet.
pub(super) struct Ready<'a> {
    pub figure: Figure<'a>,
    /// The ways in which it fits on one sheet; none where it is too large for one.
    pub ways: Vec<Way>,
    /// How it stands where it runs over several.
    vertical: Way,
}

impl<'a> Ready<'a> {
    pub(super) fn new(figure: Figure<'a>, mirrored: bool, room: Size) -> Self {
        let way = |quarters| Way::new(&figure, mirrored, quarters);
        Self {
            ways: (0..4).map(way).filter(|way| way.fits(room)).collect(),
            vertical: way(0),
            figure,
        }
    }

    /// What it covers of a shared sheet, way by way.
    pub(super) fn covers(&self) -> Vec<Cover> {
        let ways = self.ways.iter();
        ways.filter_map(|way| way.cover(&self.figure)).collect()
    }

    pub(super) fn tiling(&self, room: Size) -> Tiling {
        tile(
            Size {
                width_mm: self.vertical.width_mm,
                height_mm: self.vertical.height_mm,
            },
            room,
            // Where all pieces of a motif meet, paper is not joined.
            self.figure
                .is_whole()
                .then(|| self.vertical.pose.apply(point(0.0, 0.0)))
                .map(|centre| [centre.x, centre.y]),
        )
    }

    /// Columns and rows of the sheets that show a part of it.
    pub(super) fn tiles(&self, room: Size) -> Vec<[usize; 2]> {
        let tiling = self.tiling(room);
        let rings = self.vertical.pose.rings(self.figure.outlines());
        let outlines: Vec<Polygon> = rings
            .into_iter()
            .map(|ring| Polygon::new(ring.into(), Vec::new()))
            .collect();
        let mut tiles = Vec::new();
        let (columns, rows) = (tiling.starts_x.len(), tiling.starts_y.len());
        // What a neighbour shows beyond the join needs no sheet of its own.
        let seen = OVERLAP_MM / 2.0 - 1.0;
        let core = |start: f64, room: f64, first: bool, last: bool| {
            let from = if first {
                start
            } else {
                start + OVERLAP_MM / 2.0 + seen
            };
            let end = start + room;
            let to = if last {
                end
            } else {
                end - OVERLAP_MM / 2.0 - seen
            };
            [from, to]
        };
        for (row, &y) in tiling.starts_y.iter().enumerate() {
            for (column, &x) in tiling.starts_x.iter().enumerate() {
                let [x0, x1] = core(x, room.width_mm, column == 0, column + 1 == columns);
                let [y0, y1] = core(y, room.height_mm, row == 0, row + 1 == rows);
                let window = Rect::new(point(x0, y0), point(x1, y1)).to_polygon();
                let shown = outlines
                    .iter()
                    .map(|outline| outline.intersection(&window).unsigned_area());
                if shown.sum::<f64>() > LEAST_MM2 {
                    tiles.push([column, row]);
                }
            }
        }
        tiles
    }
}

fn caption_height(lines: &[String]) -> f64 {
    lines.len() as f64 * CAPTION_LINE_MM + 1.5
}

/// A sheet that several templates share.
pub(super) fn shared(frame: &Frame<'_>, ready: &[Ready<'_>], spots: &[Spot]) -> Scene {
    let keys: Keys = spots
        .iter()
        .flat_map(|spot| ready[spot.index].figure.keys())
        .collect();
    let mut items = frame.draw("", &keys);
    let from = shared_corner();
    let mut names = Vec::new();
    for spot in spots {
        let one = &ready[spot.index];
        let way = &one.ways[spot.way];
        let at = point(from.x + spot.x_mm, from.y + spot.y_mm);
        let pose = way.pose.moved(at);
        let name = format!("template-{}", spot.index + 1);
        items.push(Group::named(&name, one.figure.draw(&pose)).into());
        for (i, line) in way.caption.iter().enumerate() {
            let down = at.y + way.height_mm + way.drop_mm + 2.5 + CAPTION_LINE_MM * i as f64;
            items.push(Text::new(point(at.x, down), CAPTION_MM, line).into());
        }
        names.push(one.figure.name());
    }
    scene(frame, &format!("Templates {}", names.join(", ")), items)
}

/// One of the sheets that a large template runs over.
pub(super) fn tiled(
    frame: &Frame<'_>,
    one: &Ready<'_>,
    [column, row]: [usize; 2],
    part: [usize; 2],
    numbers: &[([usize; 2], usize)],
) -> Scene {
    let space = room(frame.paper);
    let tiling = one.tiling(space);
    let from = corner();
    let shift = point(
        from.x - tiling.starts_x[column],
        from.y - tiling.starts_y[row],
    );
    let pose = one.vertical.pose.moved(shift);
    let note = format!("Part {} of {}. {}", part[0], part[1], one.figure.caption());
    let mut keys = one.figure.keys();
    keys.insert(Key::Join);
    let mut items = frame.draw(&note, &keys);
    let window = [
        from,
        point(from.x + space.width_mm, from.y),
        point(from.x + space.width_mm, from.y + space.height_mm),
        point(from.x, from.y + space.height_mm),
    ];
    let drawn = one.figure.draw(&pose);
    items.push(Group::clipped(vec![window.to_vec()], drawn).into());
    let tiles: Vec<[usize; 2]> = numbers.iter().map(|(at, _)| *at).collect();
    items.push(joins(&tiling, &tiles, [column, row], shift, space));
    items.push(page_plan(frame, numbers));
    scene(
        frame,
        &format!(
            "Template {}, part {} of {}",
            one.figure.name(),
            part[0],
            part[1]
        ),
        items,
    )
}

fn scene(frame: &Frame<'_>, title: &str, items: Vec<Item>) -> Scene {
    let [width_mm, height_mm] = frame.paper.size_mm();
    Scene {
        width_mm,
        height_mm,
        title: title.to_owned(),
        about: format!(
            "Sheet {} of {}, true size, with bars of 4 in and 100 mm. {}",
            frame.number, frame.sheets, frame.method
        ),
        items,
    }
}

/// The lines on which neighbouring sheets are joined, with marks that must meet.
fn joins(
    tiling: &Tiling,
    tiles: &[[usize; 2]],
    [column, row]: [usize; 2],
    shift: Point,
    room: Size,
) -> Item {
    let mut items = Vec::new();
    let (left, top) = (tiling.starts_x[column], tiling.starts_y[row]);
    let (right, bottom) = (left + room.width_mm, top + room.height_mm);
    let line = join_stroke();
    let mark_at = |items: &mut Vec<Item>, p: Point, name: String| {
        let at = p + shift;
        items.push(diamond(at, 2.6));
        items.push(
            Text::new(point(at.x + 1.6, at.y - 1.9), 2.6, name)
                .bold()
                .coloured(INK)
                .into(),
        );
    };
    let columns = tiling.starts_x.len();
    for (i, &x) in tiling.joins_x.iter().enumerate() {
        let both = [i, i + 1]
            .iter()
            .all(|&column| tiles.contains(&[column, row]));
        if both && (left..right).contains(&x) {
            let ends = [point(x, top) + shift, point(x, bottom) + shift];
            items.push(Path::segments([ends], line).into());
            for (j, share) in [0.25, 0.75].into_iter().enumerate() {
                let number = (row * (columns - 1) + i) * 2 + j + 1;
                let p = point(x, top + share * room.height_mm);
                mark_at(&mut items, p, format!("A{number}"));
            }
        }
    }
    for (i, &y) in tiling.joins_y.iter().enumerate() {
        let both = [i, i + 1].iter().all(|&row| tiles.contains(&[column, row]));
        if both && (top..bottom).contains(&y) {
            let ends = [point(left, y) + shift, point(right, y) + shift];
            items.push(Path::segments([ends], line).into());
            for (j, share) in [0.25, 0.75].into_iter().enumerate() {
                let number = (i * columns + column) * 2 + j + 1;
                let p = point(left + share * room.width_mm, y);
                mark_at(&mut items, p, format!("B{number}"));
            }
        }
    }
    Group::named("joins", items).into()
}

/// A small plan of the sheets that make up one template; this one is dark.
fn page_plan(frame: &Frame<'_>, numbers: &[([usize; 2], usize)]) -> Item {
    let (width, height) = (6.0, 4.0);
    let columns = numbers.iter().map(|(at, _)| at[0]).max().unwrap_or(0) + 1;
    let from = corner();
    let right = from.x + room(frame.paper).width_mm;
    let left = right - columns as f64 * width - 1.0;
    let mut items = Vec::new();
    for ([column, row], number) in numbers {
        let at = point(
            left + *column as f64 * width,
            from.y + 1.0 + *row as f64 * height,
        );
        let here = *number == frame.number;
        let (ground, ink) = if here { (INK, PAPER) } else { (PAPER, INK) };
        let fill = Some(Fill::solid(ground));
        items.push(Path::rect(at, width, height, fill, Some(Stroke::ink(0.2))).into());
        let middle = point(
            at.x + width / 2.0,
            at.y + height / 2.0 + 2.47 * CAPITAL / 2.0,
        );
        items.push(
            Text::new(middle, 2.47, number.to_string())
                .anchored(Anchor::Middle)
                .coloured(ink)
                .bold()
                .into(),
        );
    }
    Group::named("page-plan", items).into()
}
