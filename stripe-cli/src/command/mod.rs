//! The commands, one file each.

mod check;
mod compare;
mod draw;
mod lay;
mod new;
mod recut;
mod swatch;

use crate::args::Command;
use crate::failure::Failure;

/// Does what was asked for.
pub(crate) fn run(command: Command) -> Result<(), Failure> {
    match command {
        Command::New(args) => new::run(&args),
        Command::Lay(args) => lay::run(&args),
        Command::Compare(args) => compare::run(&args),
        Command::Check(args) => check::run(&args),
        Command::Draw(args) => draw::run(&args),
        Command::Recut(args) => recut::run(&args),
        Command::Swatch(args) => swatch::run(&args),
    }
}
