//! Linear programs: the one file that names a solver.
