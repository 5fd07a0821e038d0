//! Bands, columns, rows and pieces: what straight cuts make, as plain data.

/// What stands in a row.
#[derive(Debug, Clone, PartialEq)]
pub enum CutPart {
    /// A piece, by its index into those asked for.
    Piece(usize),
    /// A block that is cut across again, as a column is.
    Block(Vec<Row>),
}

/// Equal pieces, or blocks, side by side in a row.
#[derive(Debug, Clone, PartialEq)]
pub struct Cell {
    /// What they are.
    pub part: CutPart,
    /// Side by side.
    pub beside: usize,
    /// Width of one (mm).
    pub across_mm: f64,
    /// Length of one along the fabric (mm); where the row is longer, it is trimmed.
    pub along_mm: f64,
}

impl Cell {
    /// A block of some rows.
    pub(super) fn block(rows: Vec<Row>) -> Self {
        let column = CutColumn::of(rows);
        Self {
            beside: 1,
            across_mm: column.across_mm,
            along_mm: column.along_mm(),
            part: CutPart::Block(column.rows),
        }
    }

    /// A column of such parts: a block's rows are the column's.
    fn column(&self) -> CutColumn {
        CutColumn::of(match &self.part {
            CutPart::Piece(_) => vec![Row::of(vec![Self {
                beside: 1,
                ..self.clone()
            }])],
            CutPart::Block(rows) => rows.clone(),
        })
    }

    /// The first piece in it: what else is alike is sorted by that.
    fn first(&self) -> usize {
        match &self.part {
            CutPart::Piece(piece) => *piece,
            CutPart::Block(rows) => rows[0].cells[0].first(),
        }
    }
}

/// Equal rows of a column, one behind another.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// How many.
    pub times: usize,
    /// Length of one along the fabric (mm).
    pub along_mm: f64,
    /// From its left side.
    pub cells: Vec<Cell>,
}

/// Equal columns of a band.
#[derive(Debug, Clone, PartialEq)]
pub struct CutColumn {
    /// Side by side.
    pub beside: usize,
    /// Width of one (mm).
    pub across_mm: f64,
    /// From its near end; the fabric left behind them is waste.
    pub rows: Vec<Row>,
}

/// A band cut across the whole width.
#[derive(Debug, Clone, PartialEq)]
pub struct CutBand {
    /// Its length along the fabric (mm).
    pub along_mm: f64,
    /// From the left selvage.
    pub columns: Vec<CutColumn>,
    /// How many bands like this one after another.
    pub times: usize,
}

impl Row {
    /// One row of some parts, equal ones counted together, widest first.
    pub(super) fn of(mut cells: Vec<Cell>) -> Self {
        cells.sort_by(|a, b| {
            b.across_mm
                .total_cmp(&a.across_mm)
                .then(b.along_mm.total_cmp(&a.along_mm))
                .then(a.first().cmp(&b.first()))
        });
        let is_same = |a: &Cell, b: &Cell| {
            (a.across_mm, a.along_mm) == (b.across_mm, b.along_mm) && a.part == b.part
        };
        let cells = counted(cells, is_same, |kept, more| kept.beside += more.beside);
        Self {
            times: 1,
            along_mm: cells.iter().map(|c| c.along_mm).fold(0.0, f64::max),
            cells,
        }
    }

    pub(super) fn across_mm(&self) -> f64 {
        self.cells
            .iter()
            .map(|c| c.beside as f64 * c.across_mm)
            .sum()
    }

    /// The only piece in it, if there is no more to it: its index and itself.
    pub(super) fn single(&self) -> Option<(usize, &Cell)> {
        match self.cells.as_slice() {
            [cell] if cell.beside == 1 => match cell.part {
                CutPart::Piece(piece) => Some((piece, cell)),
                CutPart::Block(_) => None,
            },
            _ => None,
        }
    }
}

impl CutColumn {
    /// One column of some rows, equal ones counted together, longest first.
    pub(super) fn of(rows: Vec<Row>) -> Self {
        let mut rows = rows;
        rows.sort_by(|a, b| {
            b.along_mm
                .total_cmp(&a.along_mm)
                .then(b.across_mm().total_cmp(&a.across_mm()))
                .then(a.cells[0].first().cmp(&b.cells[0].first()))
        });
        let is_same = |a: &Row, b: &Row| a.cells == b.cells;
        let rows = counted(rows, is_same, |kept, more| kept.times += more.times);
        Self {
            beside: 1,
            across_mm: rows.iter().map(Row::across_mm).fold(0.0, f64::max),
            rows,
        }
    }

    /// Length that its rows take (mm).
    pub fn along_mm(&self) -> f64 {
        self.rows.iter().map(|r| r.times as f64 * r.along_mm).sum()
    }

    /// The only piece of its only row, if there is no more to it: its index and itself.
    pub(super) fn single(&self) -> Option<(usize, &Cell)> {
        match self.rows.as_slice() {
            [row] if row.times == 1 => row.single(),
            _ => None,
        }
    }
}

impl CutBand {
    /// One band of some columns, equal ones counted together, widest first.
    pub(super) fn of(columns: Vec<CutColumn>) -> Self {
        // A column of one row only is as many columns as there are parts in it.
        let mut columns: Vec<CutColumn> = columns
            .into_iter()
            .flat_map(|column| match column.rows.as_slice() {
                [row] if row.times == 1 => {
                    let alone = |cell: &Cell| CutColumn {
                        beside: column.beside * cell.beside,
                        ..cell.column()
                    };
                    row.cells.iter().map(alone).collect()
                }
                _ => vec![column],
            })
            .collect();
        columns.sort_by(|a, b| {
            b.across_mm
                .total_cmp(&a.across_mm)
                .then(b.along_mm().total_cmp(&a.along_mm()))
                .then(a.rows[0].cells[0].first().cmp(&b.rows[0].cells[0].first()))
        });
        let is_same = |a: &CutColumn, b: &CutColumn| a.rows == b.rows;
        let columns = counted(columns, is_same, |kept, more| kept.beside += more.beside);
        Self {
            along_mm: columns.iter().map(CutColumn::along_mm).fold(0.0, f64::max),
            columns,
            times: 1,
        }
    }

    /// Width that its columns take (mm).
    pub fn used_mm(&self) -> f64 {
        self.columns
            .iter()
            .map(|c| c.beside as f64 * c.across_mm)
            .sum()
    }

    /// Every part in one of them, and how often: blocks, and the parts of these after them.
    pub(super) fn parts(&self) -> Vec<(usize, &Cell)> {
        let mut open: Vec<(usize, &Row)> = Vec::new();
        for column in self.columns.iter().rev() {
            open.extend(column.rows.iter().rev().map(|row| (column.beside, row)));
        }
        let mut parts = Vec::new();
        while let Some((n, row)) = open.pop() {
            for cell in &row.cells {
                let n = n * row.times * cell.beside;
                parts.push((n, cell));
                if let CutPart::Block(rows) = &cell.part {
                    open.extend(rows.iter().rev().map(|row| (n, row)));
                }
            }
        }
        parts
    }

    /// Every piece in one of them, and how often.
    fn pieces(&self) -> impl Iterator<Item = (usize, usize, &Cell)> {
        self.parts()
            .into_iter()
            .filter_map(|(n, cell)| match cell.part {
                CutPart::Piece(piece) => Some((n, piece, cell)),
                CutPart::Block(_) => None,
            })
    }

    /// How many pieces of a kind one of them gives.
    pub fn made(&self, piece: usize) -> usize {
        let made = self.pieces().filter(|&(_, made, _)| made == piece);
        made.map(|(n, ..)| n).sum()
    }

    /// How many pieces one of them gives.
    pub(super) fn count(&self) -> usize {
        self.pieces().map(|(n, ..)| n).sum()
    }

    /// Whether some part of it is cut again as a column is.
    pub(super) fn has_blocks(&self) -> bool {
        let is_block = |(_, cell): &(usize, &Cell)| matches!(cell.part, CutPart::Block(_));
        self.parts().iter().any(is_block)
    }

    pub(super) fn area_mm2(&self) -> f64 {
        self.pieces()
            .map(|(n, _, cell)| n as f64 * cell.across_mm * cell.along_mm)
            .sum()
    }
}

/// Things without repetition; `add` counts one that is the same into the one kept.
fn counted<T>(all: Vec<T>, is_same: impl Fn(&T, &T) -> bool, add: impl Fn(&mut T, &T)) -> Vec<T> {
    let mut kept: Vec<T> = Vec::new();
    for one in all {
        match kept.iter_mut().find(|k| is_same(k, &one)) {
            Some(known) => add(known, &one),
            None => kept.push(one),
        }
    }
    kept
}

/// Counts equal bands together, longest first.
pub(super) fn merge(bands: &mut Vec<CutBand>) {
    let is_same = |a: &CutBand, b: &CutBand| a.columns == b.columns;
    let all = std::mem::take(bands);
    *bands = counted(all, is_same, |kept, more| kept.times += more.times);
    bands.sort_by(|a, b| {
        b.along_mm
            .total_cmp(&a.along_mm)
            .then(b.used_mm().total_cmp(&a.used_mm()))
    });
}
