//! Linear programs: the one file that names a solver.
//!
//! Two solvers stand behind it, both in pure Rust: an interior-point method for
//! programs without whole numbers, and a simplex method with branch and bound
//! for the few with them. The simplex method is also the second opinion when
//! the first gives up.

use good_lp::{
    Expression, ProblemVariables, Solution as _, SolverModel, Variable, clarabel, microlp, variable,
};

/// `minimise cost . x` over bounded `x`, subject to rows.
#[derive(Debug, Clone, Default)]
pub struct Program {
    columns: Vec<Column>,
    rows: Vec<Row>,
}

#[derive(Debug, Clone, Copy)]
struct Column {
    cost: f64,
    least: f64,
    most: f64,
    whole: bool,
}

/// `sum of factor * x[column] >= at_least`.
#[derive(Debug, Clone)]
struct Row {
    terms: Vec<(usize, f64)>,
    at_least: f64,
}

/// Which solver to ask.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Solver {
    /// Interior point: fast on hundreds of columns; no whole numbers.
    InteriorPoint,
    /// Simplex, with branch and bound for whole numbers; for small programs.
    Simplex,
}

/// The best values found, one a column.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// The value of every column.
    pub values: Vec<f64>,
    /// `cost . values`.
    pub cost: f64,
}

/// Why there is no solution.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Trouble {
    /// No values keep every row.
    #[error("no values keep every row of the linear program")]
    Infeasible,
    /// The solver gave up; the lay it was to better stays as it is.
    #[error("the linear program could not be solved: {0}")]
    GaveUp(String),
    /// A whole-number column was given to a solver that has none.
    #[error("this solver knows no whole numbers")]
    NoWholeNumbers,
}

impl Program {
    /// An empty program.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a column with its cost and bounds, and returns its index.
    ///
    /// Every column is bounded: an unbounded program would come back from an
    /// interior-point method as if it were solved.
    pub fn column(&mut self, cost: f64, least: f64, most: f64) -> usize {
        self.columns.push(Column {
            cost,
            least,
            most,
            whole: false,
        });
        self.columns.len() - 1
    }

    /// Adds a column that takes whole numbers only.
    pub fn whole_column(&mut self, cost: f64, least: f64, most: f64) -> usize {
        let column = self.column(cost, least, most);
        self.columns[column].whole = true;
        column
    }

    /// Adds the row `sum of factor * x[column] >= at_least`.
    pub fn row(&mut self, terms: Vec<(usize, f64)>, at_least: f64) {
        self.rows.push(Row { terms, at_least });
    }

    /// The largest amount by which `values` break a row or a bound.
    pub fn violation(&self, values: &[f64]) -> f64 {
        let rows = self.rows.iter().map(|row| {
            let sum: f64 = row.terms.iter().map(|&(c, f)| f * values[c]).sum();
            row.at_least - sum
        });
        let bounds = self
            .columns
            .iter()
            .zip(values)
            .map(|(c, &x)| (c.least - x).max(x - c.most));
        rows.chain(bounds).fold(0.0, f64::max)
    }

    /// Solves with the solver that suits, and asks the other when that fails.
    ///
    /// # Errors
    /// [`Trouble`] when there is no solution or both solvers give up.
    pub fn minimise(&self) -> Result<Solution, Trouble> {
        if self.columns.iter().any(|c| c.whole) {
            return self.minimise_with(Solver::Simplex);
        }
        match self.minimise_with(Solver::InteriorPoint) {
            Err(Trouble::GaveUp(_)) => self.minimise_with(Solver::Simplex),
            answer => answer,
        }
    }

    /// Solves with one solver.
    ///
    /// # Errors
    /// [`Trouble`] when there is no solution or the solver gives up.
    pub fn minimise_with(&self, solver: Solver) -> Result<Solution, Trouble> {
        let mut variables = ProblemVariables::new();
        let columns: Vec<Variable> = self
            .columns
            .iter()
            .map(|c| {
                let definition = variable().min(c.least).max(c.most);
                variables.add(if c.whole {
                    definition.integer()
                } else {
                    definition
                })
            })
            .collect();
        let mut cost = Expression::with_capacity(columns.len());
        for (column, variable) in self.columns.iter().zip(&columns) {
            if column.cost != 0.0 {
                cost.add_mul(column.cost, *variable);
            }
        }
        let problem = variables.minimise(cost);
        let values = match solver {
            Solver::InteriorPoint if self.columns.iter().any(|c| c.whole) => {
                return Err(Trouble::NoWholeNumbers);
            }
            Solver::InteriorPoint => self.solve(problem.using(clarabel), &columns)?,
            Solver::Simplex => self.solve(problem.using(microlp), &columns)?,
        };
        if values.iter().any(|x| !x.is_finite()) {
            return Err(Trouble::GaveUp("its answer is no number".into()));
        }
        let cost = self
            .columns
            .iter()
            .zip(&values)
            .map(|(c, x)| c.cost * x)
            .sum();
        Ok(Solution { values, cost })
    }

    fn solve<M: SolverModel>(&self, mut model: M, columns: &[Variable]) -> Result<Vec<f64>, Trouble>
    where
        M::Error: std::fmt::Display + Into<good_lp::ResolutionError>,
    {
        for row in &self.rows {
            let mut sum = Expression::with_capacity(row.terms.len());
            for &(column, factor) in &row.terms {
                sum.add_mul(factor, columns[column]);
            }
            model.add_constraint(sum.geq(row.at_least));
        }
        match model.solve() {
            Ok(solution) => Ok(columns.iter().map(|&c| solution.value(c)).collect()),
            Err(error) => match error.into() {
                good_lp::ResolutionError::Infeasible => Err(Trouble::Infeasible),
                other => Err(Trouble::GaveUp(other.to_string())),
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_small_program_by_hand() {
        // x + y >= 4, x - y >= -2: the least of 2x + y is at (1, 3).
        let mut program = Program::new();
        let x = program.column(2.0, 0.0, 10.0);
        let y = program.column(1.0, 0.0, 10.0);
        program.row(vec![(x, 1.0), (y, 1.0)], 4.0);
        program.row(vec![(x, 1.0), (y, -1.0)], -2.0);
        for solver in [Solver::InteriorPoint, Solver::Simplex] {
            let found = program.minimise_with(solver).unwrap();
            assert!((found.cost - 5.0).abs() < 1e-6, "{solver:?} {found:?}");
        }
    }

    #[test]
    fn whole_numbers_are_whole() {
        // 3x + 2y >= 7 in whole numbers: the least of x + y is 3.
        let mut program = Program::new();
        let x = program.whole_column(1.0, 0.0, 9.0);
        let y = program.whole_column(1.0, 0.0, 9.0);
        program.row(vec![(x, 3.0), (y, 2.0)], 7.0);
        let found = program.minimise().unwrap();
        assert!((found.cost - 3.0).abs() < 1e-6);
    }

    #[test]
    fn says_when_nothing_fits() {
        let mut program = Program::new();
        let x = program.column(1.0, 0.0, 1.0);
        program.row(vec![(x, 1.0)], 2.0);
        assert_eq!(
            program.minimise_with(Solver::Simplex),
            Err(Trouble::Infeasible)
        );
        assert!(program.minimise().is_err());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        /// Two independent solvers, one optimum: programs of the settle kind,
        /// feasible because a solution is planted first.
        #[test]
        fn both_solvers_find_one_optimum(
            planted in prop::collection::vec(0.0..100.0f64, 3..24),
            links in prop::collection::vec((0usize..24, 0usize..24, 0.0..5.0f64), 2..60),
        ) {
            let mut program = Program::new();
            let top = program.column(1.0, 0.0, 1000.0);
            let columns: Vec<usize> =
                planted.iter().map(|_| program.column(1e-3, 0.0, 1000.0)).collect();
            for &c in &columns {
                program.row(vec![(top, 1.0), (c, -1.0)], 1.0);
            }
            for &(a, b, slack) in &links {
                let (a, b) = (a % planted.len(), b % planted.len());
                if a != b {
                    let apart = planted[b] - planted[a] - slack;
                    program.row(vec![(columns[b], 1.0), (columns[a], -1.0)], apart);
                }
            }
            let first = program.minimise_with(Solver::InteriorPoint).unwrap();
            let second = program.minimise_with(Solver::Simplex).unwrap();
            prop_assert!((first.cost - second.cost).abs() <= 1e-6 * (1.0 + second.cost.abs()));
            prop_assert!(program.violation(&first.values) < 1e-6);
            prop_assert!(program.violation(&second.values) < 1e-6);
        }
    }
}
