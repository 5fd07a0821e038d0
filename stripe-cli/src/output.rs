//! Results on stdout, messages on stderr; the one file that prints.

use crate::failure::Failure;
use crate::fault_view;
use crate::json_layout;
use std::io::{self, Write};

/// Prints a result.
pub(crate) fn print(text: &str) -> Result<(), Failure> {
    let mut out = anstream::stdout().lock();
    out.write_all(text.as_bytes())
        .and_then(|()| out.flush())
        .map_err(|error| match error.kind() {
            io::ErrorKind::BrokenPipe => Failure::ClosedPipe,
            _ => Failure::new(format!("cannot print: {error}"), "check where stdout goes"),
        })
}

/// Says something that is no result. Nobody listening is no failure.
pub(crate) fn tell(text: &str) {
    let _ = writeln!(anstream::stderr(), "{text}");
}

/// Says what went wrong.
pub(crate) fn complain(failure: &Failure) {
    let text = match failure {
        Failure::ClosedPipe => return,
        Failure::Faults { file, text, faults } => fault_view::show(file, text, faults),
        Failure::Plain { message, help } => fault_view::head(message) + &fault_view::help(help),
        Failure::Unsound { count: 1 } => fault_view::head("the plan has a fault"),
        Failure::Unsound { count } => fault_view::head(&format!("the plan has {count} faults")),
    };
    let _ = write!(anstream::stderr(), "{text}");
}

/// A value as JSON text for programs.
pub(crate) fn json(value: &impl serde::Serialize) -> String {
    let bytes = json_layout::to_bytes(value).ok();
    let text = bytes.and_then(|bytes| String::from_utf8(bytes).ok());
    text.expect("structs of numbers and texts can be written")
}
