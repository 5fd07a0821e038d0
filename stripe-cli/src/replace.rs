//! One file of the user's in place of its older self: whole, or not at all.

use crate::failure::Failure;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::Path;

/// Writes a file that is there in whole or not at all; an older one of that name goes.
pub(crate) fn put(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let beside = path.with_file_name(format!(".{name}.{}.draft", std::process::id()));
    let done = File::create_new(&beside).and_then(|mut file| {
        file.write_all(bytes)?;
        file.sync_all()?;
        fs::rename(&beside, path)
    });
    done.map_err(|error| {
        let _ = fs::remove_file(&beside);
        Failure::io("write", path, &error)
    })
}

/// Replaces what a file holds. Its mode stays; a link to it stays a link.
pub(crate) fn replace(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let write = || -> io::Result<()> {
        let real = fs::canonicalize(path)?;
        let name = real.file_name().unwrap_or_default().to_string_lossy();
        let beside = real.with_file_name(format!(".{name}.{}.draft", std::process::id()));
        let done = File::create_new(&beside).and_then(|mut file| {
            file.write_all(bytes)?;
            file.set_permissions(fs::metadata(&real)?.permissions())?;
            file.sync_all()?;
            fs::rename(&beside, &real)
        });
        if done.is_err() {
            let _ = fs::remove_file(&beside);
        }
        done
    };
    write().map_err(|error| Failure::io("write", path, &error))
}
