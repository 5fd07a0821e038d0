//! Files read with a limit, text as UTF-8.

use crate::failure::Failure;
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// The largest project file (bytes): thousands of times a real one.
pub(crate) const MAX_PROJECT_BYTES: u64 = 4 << 20;
/// The largest plan (bytes): about the most pieces that a project may have.
pub(crate) const MAX_PLAN_BYTES: u64 = 256 << 20;

/// Reads a whole file of at most `most_bytes`.
pub(crate) fn read_bytes(path: &Path, most_bytes: u64) -> Result<Vec<u8>, Failure> {
    let fail = |error| Failure::io("read", path, &error);
    let file = File::open(path).map_err(fail)?;
    let about = file.metadata().map_err(fail)?;
    if about.is_dir() {
        return Err(Failure::new(
            format!("{} is a folder", path.display()),
            "give a file inside it",
        ));
    }
    if about.len() > most_bytes {
        return Err(too_large(path, most_bytes));
    }
    // A pipe has no length, so the limit is kept while reading as well.
    let mut bytes = Vec::new();
    file.take(most_bytes + 1)
        .read_to_end(&mut bytes)
        .map_err(fail)?;
    if bytes.len() as u64 > most_bytes {
        return Err(too_large(path, most_bytes));
    }
    Ok(bytes)
}

/// Reads a whole text file of at most `most_bytes`.
pub(crate) fn read_text(path: &Path, most_bytes: u64) -> Result<String, Failure> {
    let bytes = read_bytes(path, most_bytes)?;
    String::from_utf8(bytes).map_err(|wrong| {
        let good = &wrong.as_bytes()[..wrong.utf8_error().valid_up_to()];
        let line = good.iter().filter(|&&byte| byte == b'\n').count() + 1;
        Failure::new(
            format!("line {line} of {} is not UTF-8 text", path.display()),
            "save the file as UTF-8 in your editor, then try again",
        )
    })
}

fn too_large(path: &Path, most_bytes: u64) -> Failure {
    Failure::new(
        format!("{} is larger than {} MB", path.display(), most_bytes >> 20),
        "check that it is the file you meant; it was not read",
    )
}
