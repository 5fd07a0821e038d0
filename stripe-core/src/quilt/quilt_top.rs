//! Where every straight piece of the top comes to lie, from cut sizes and seams.

use super::{Border, Corners, Field, Make, Quilt};
use crate::shape::{Point, point};

/// An vertical rectangle of the quilt frame (mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// Left.
    pub x0: f64,
    /// Bottom.
    pub y0: f64,
    /// Right.
    pub x1: f64,
    /// Top.
    pub y1: f64,
}

impl Rect {
    /// From side to side (mm).
    pub fn width(&self) -> f64 {
        self.x1 - self.x0
    }

    /// From bottom to top (mm).
    pub fn height(&self) -> f64 {
        self.y1 - self.y0
    }

    /// Moved out on every side by `by` (mm).
    pub fn grown(&self, by: f64) -> Self {
        Self {
            x0: self.x0 - by,
            y0: self.y0 - by,
            x1: self.x1 + by,
            y1: self.y1 + by,
        }
    }
}

/// A side of a border.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Above the field.
    Top,
    /// To its right.
    Right,
    /// Below it.
    Bottom,
    /// To its left.
    Left,
}

impl Side {
    /// All four, clockwise from the top.
    pub const ALL: [Self; 4] = [Self::Top, Self::Right, Self::Bottom, Self::Left];

    /// The direction away from the field (degrees counter-clockwise from x).
    pub fn outward_deg(self) -> f64 {
        match self {
            Self::Top => 90.0,
            Self::Right => 0.0,
            Self::Bottom => -90.0,
            Self::Left => 180.0,
        }
    }

    /// Whether it runs from side to side.
    pub fn is_level(self) -> bool {
        matches!(self, Self::Top | Self::Bottom)
    }

    /// What it is called.
    pub fn word(self) -> &'static str {
        match self {
            Self::Top => "top",
            Self::Right => "right",
            Self::Bottom => "bottom",
            Self::Left => "left",
        }
    }
}

/// What a patch is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PatchRole {
    /// A strip of the field, counted from the left (or the bottom) from 0.
    Strip(usize),
    /// A side of a plain border.
    Plain {
        /// Which border, from the inside, from 0.
        border: usize,
        /// Which side.
        side: Side,
    },
    /// A border unit.
    Unit {
        /// Which border, from the inside, from 0.
        border: usize,
        /// Which side.
        side: Side,
        /// Counted from the left or from the top, from 0.
        number: usize,
    },
    /// A corner unit or square, clockwise from the top left, from 0.
    Corner {
        /// Which border, from the inside, from 0.
        border: usize,
        /// 0 top left, 1 top right, 2 bottom right, 3 bottom left.
        corner: usize,
    },
}

/// One straight piece of the top, finished.
#[derive(Debug, Clone, PartialEq)]
pub struct Patch {
    /// Where it lies.
    pub rect: Rect,
    /// Its fabric.
    pub fabric: String,
    /// What it is.
    pub role: PatchRole,
    /// Whether its corners are mitred (the rectangle is then its longest extent).
    pub mitred: bool,
}

/// A straight seam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeamLine {
    /// One end.
    pub a: Point,
    /// The other.
    pub b: Point,
}

/// The top laid out.
#[derive(Debug, Clone, PartialEq)]
pub struct QuiltTop {
    /// The finished field.
    pub field: Rect,
    /// The outer finished edge of each border, from the inside.
    pub rings: Vec<Rect>,
    /// Every straight piece.
    pub patches: Vec<Patch>,
    /// Every seam once.
    pub seams: Vec<SeamLine>,
}

impl QuiltTop {
    /// The finished edge of the whole top.
    pub fn edge(&self) -> Rect {
        *self.rings.last().unwrap_or(&self.field)
    }

    /// The finished edge that a border is sewn to.
    pub fn inside_of(&self, border: usize) -> Rect {
        if border == 0 {
            self.field
        } else {
            self.rings[border - 1]
        }
    }
}

/// The finished size of a field: width, height (mm).
pub(super) fn field_size(field: &Field, seam: f64) -> (f64, f64) {
    let joined = field.strips as f64 * (field.strip_width_mm - 2.0 * seam);
    let length = field.strip_length_mm - 2.0 * seam;
    if field.level {
        (length, joined)
    } else {
        (joined, length)
    }
}

/// Lays the top out. Borders are drawn onto the sides they are sewn to, also where
/// their units do not fit: [`super::check`] says so.
pub fn lay_out(quilt: &Quilt) -> QuiltTop {
    let seam = quilt.seam_mm;
    let (width, height) = field_size(&quilt.field, seam);
    let field = Rect {
        x0: 0.0,
        y0: 0.0,
        x1: width,
        y1: height,
    };
    let mut quilt_top = QuiltTop {
        field,
        rings: Vec::new(),
        patches: Vec::new(),
        seams: Vec::new(),
    };
    lay_field(&quilt.field, &mut quilt_top);
    for (idx, border) in quilt.borders.iter().enumerate() {
        lay_border(idx, border, seam, &mut quilt_top);
    }
    quilt_top
}

fn lay_field(field: &Field, quilt_top: &mut QuiltTop) {
    let all = quilt_top.field;
    let n = field.strips.max(1);
    for i in 0..n {
        let (from, to) = (i as f64 / n as f64, (i + 1) as f64 / n as f64);
        let rect = if field.level {
            Rect {
                y0: all.height() * from,
                y1: all.height() * to,
                ..all
            }
        } else {
            Rect {
                x0: all.width() * from,
                x1: all.width() * to,
                ..all
            }
        };
        quilt_top.patches.push(Patch {
            rect,
            fabric: in_turn(&field.fabrics, i),
            role: PatchRole::Strip(i),
            mitred: false,
        });
        if i > 0 {
            let line = if field.level {
                SeamLine {
                    a: point(rect.x0, rect.y0),
                    b: point(rect.x1, rect.y0),
                }
            } else {
                SeamLine {
                    a: point(rect.x0, rect.y0),
                    b: point(rect.x0, rect.y1),
                }
            };
            quilt_top.seams.push(line);
        }
    }
}

fn in_turn(fabrics: &[String], i: usize) -> String {
    fabrics
        .get(i % fabrics.len().max(1))
        .cloned()
        .unwrap_or_default()
}

fn lay_border(idx: usize, border: &Border, seam: f64, quilt_top: &mut QuiltTop) {
    let inner = quilt_top.edge();
    let depth = (border.depth_mm - 2.0 * seam).max(0.0);
    let outer = inner.grown(depth);
    for side in Side::ALL {
        lay_side(idx, border, side, inner, outer, quilt_top);
    }
    let corner_fabric = match &border.make {
        Make::Units { corner, .. } => Some(corner),
        Make::Plain {
            corners: Corners::Squares(fabric),
            ..
        } => Some(fabric),
        Make::Plain { .. } => None,
    };
    if let Some(fabric) = corner_fabric {
        let squares = [
            (outer.x0, inner.y1, inner.x0, outer.y1),
            (inner.x1, inner.y1, outer.x1, outer.y1),
            (inner.x1, outer.y0, outer.x1, inner.y0),
            (outer.x0, outer.y0, inner.x0, inner.y0),
        ];
        for (corner, (x0, y0, x1, y1)) in squares.into_iter().enumerate() {
            quilt_top.patches.push(Patch {
                rect: Rect { x0, y0, x1, y1 },
                fabric: fabric.clone(),
                role: PatchRole::Corner {
                    border: idx,
                    corner,
                },
                mitred: false,
            });
        }
    }
    corner_seams(border, inner, outer, quilt_top);
    quilt_top.rings.push(outer);
}

/// The strip of the ring on one side, its ends as the corners ask.
fn side_rect(border: &Border, side: Side, inner: Rect, outer: Rect) -> Rect {
    let Make::Plain { corners, .. } = &border.make else {
        return side_between(side, inner, outer, inner);
    };
    let whole = match corners {
        Corners::SidesFirst => side.is_level(),
        Corners::EndsFirst => !side.is_level(),
        Corners::Mitred => true,
        Corners::Squares(_) => false,
    };
    side_between(side, inner, outer, if whole { outer } else { inner })
}

fn side_between(side: Side, inner: Rect, outer: Rect, ends: Rect) -> Rect {
    match side {
        Side::Top => Rect {
            x0: ends.x0,
            y0: inner.y1,
            x1: ends.x1,
            y1: outer.y1,
        },
        Side::Bottom => Rect {
            x0: ends.x0,
            y0: outer.y0,
            x1: ends.x1,
            y1: inner.y0,
        },
        Side::Left => Rect {
            x0: outer.x0,
            y0: ends.y0,
            x1: inner.x0,
            y1: ends.y1,
        },
        Side::Right => Rect {
            x0: inner.x1,
            y0: ends.y0,
            x1: outer.x1,
            y1: ends.y1,
        },
    }
}

fn lay_side(
    idx: usize,
    border: &Border,
    side: Side,
    inner: Rect,
    outer: Rect,
    quilt_top: &mut QuiltTop,
) {
    let rect = side_rect(border, side, inner, outer);
    let corner = |x, y| point(x, y);
    let (a, b) = match side {
        Side::Top => (corner(inner.x0, inner.y1), corner(inner.x1, inner.y1)),
        Side::Right => (corner(inner.x1, inner.y0), corner(inner.x1, inner.y1)),
        Side::Bottom => (corner(inner.x0, inner.y0), corner(inner.x1, inner.y0)),
        Side::Left => (corner(inner.x0, inner.y0), corner(inner.x0, inner.y1)),
    };
    quilt_top.seams.push(SeamLine { a, b });
    match &border.make {
        Make::Plain {
            fabric, corners, ..
        } => quilt_top.patches.push(Patch {
            rect,
            fabric: fabric.clone(),
            role: PatchRole::Plain { border: idx, side },
            mitred: *corners == Corners::Mitred,
        }),
        Make::Units {
            fabrics,
            across,
            along,
            ..
        } => {
            let n = if side.is_level() { *across } else { *along };
            for number in 0..n {
                let (from, to) = (number as f64 / n as f64, (number + 1) as f64 / n as f64);
                // Level sides are counted from the left, vertical ones from the top.
                let unit = if side.is_level() {
                    Rect {
                        x0: rect.x0 + rect.width() * from,
                        x1: rect.x0 + rect.width() * to,
                        ..rect
                    }
                } else {
                    Rect {
                        y0: rect.y1 - rect.height() * to,
                        y1: rect.y1 - rect.height() * from,
                        ..rect
                    }
                };
                quilt_top.patches.push(Patch {
                    rect: unit,
                    fabric: in_turn(fabrics, number),
                    role: PatchRole::Unit {
                        border: idx,
                        side,
                        number,
                    },
                    mitred: false,
                });
                if number > 0 {
                    let line = if side.is_level() {
                        SeamLine {
                            a: point(unit.x0, unit.y0),
                            b: point(unit.x0, unit.y1),
                        }
                    } else {
                        SeamLine {
                            a: point(unit.x0, unit.y1),
                            b: point(unit.x1, unit.y1),
                        }
                    };
                    quilt_top.seams.push(line);
                }
            }
        }
    }
}

/// The seams at the ends of the sides.
fn corner_seams(border: &Border, inner: Rect, outer: Rect, quilt_top: &mut QuiltTop) {
    let corners = [
        (point(inner.x0, inner.y1), point(outer.x0, outer.y1)),
        (point(inner.x1, inner.y1), point(outer.x1, outer.y1)),
        (point(inner.x1, inner.y0), point(outer.x1, outer.y0)),
        (point(inner.x0, inner.y0), point(outer.x0, outer.y0)),
    ];
    let (level, vertical, mitre) = match &border.make {
        Make::Plain { corners, .. } => match corners {
            Corners::SidesFirst => (true, false, false),
            Corners::EndsFirst => (false, true, false),
            Corners::Squares(_) => (true, true, false),
            Corners::Mitred => (false, false, true),
        },
        Make::Units { .. } => (true, true, false),
    };
    for (near, far) in corners {
        if level {
            quilt_top.seams.push(SeamLine {
                a: near,
                b: point(far.x, near.y),
            });
        }
        if vertical {
            quilt_top.seams.push(SeamLine {
                a: near,
                b: point(near.x, far.y),
            });
        }
        if mitre {
            quilt_top.seams.push(SeamLine { a: near, b: far });
        }
    }
}
