//! One file of the user's, or one that goes with it: whole, or not at all.

use crate::failure::Failure;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::Path;

/// Writes a file, in place of what it holds if it is there: its mode stays then, and a link to it
/// stays a link.
pub(crate) fn put(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let write = || -> io::Result<()> {
        let older = fs::canonicalize(path).ok();
        let real = older.as_deref().unwrap_or(path);
        let name = real.file_name().unwrap_or_default().to_string_lossy();
        let beside = real.with_file_name(format!(".{name}.{}.draft", std::process::id()));
        let done = File::create_new(&beside).and_then(|mut file| {
            file.write_all(bytes)?;
            if older.is_some() {
                file.set_permissions(fs::metadata(real)?.permissions())?;
            }
            file.sync_all()?;
            fs::rename(&beside, real)
        });
        if done.is_err() {
            let _ = fs::remove_file(&beside);
        }
        done
    };
    write().map_err(|error| Failure::io("write", path, &error))
}
