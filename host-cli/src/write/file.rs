//! Writing files: whole or not at all, and never over something that a person wrote.

use std::{
    io::{self, ErrorKind, Write as _},
    path::Path,
};

use tempfile::NamedTempFile;

use crate::{problem::Problem, read::holds_packed};

/// Writes a new file.
pub(crate) fn create(path: &Path, bytes: &[u8]) -> Result<(), Problem> {
    if path.exists() {
        return Err(already_there(path));
    }
    written(path, bytes)?.persist_noclobber(path).map(drop).map_err(|error| match error.error.kind() {
        ErrorKind::AlreadyExists => already_there(path),
        _ => unwritable(path, &error.error),
    })
}

/// Writes a packed file, in place of an older packed one if need be.
pub(crate) fn replace_packed(path: &Path, bytes: &[u8]) -> Result<(), Problem> {
    replace_if(path, bytes, holds_packed)
}

/// Writes a file, in place of an older one that may be replaced.
pub(crate) fn replace_if(path: &Path, bytes: &[u8], may_be: impl Fn(&Path) -> bool) -> Result<(), Problem> {
    if !may_be(path) {
        return create(path, bytes);
    }
    written(path, bytes)?.persist(path).map(drop).map_err(|error| unwritable(path, &error.error))
}

/// What is to become the file at `path`, written beside it: nobody ever sees half of it.
fn written(path: &Path, bytes: &[u8]) -> Result<NamedTempFile, Problem> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or_else(|| Path::new("."));
    let mut file = NamedTempFile::new_in(folder).map_err(|error| unwritable(path, &error))?;
    let whole = file.write_all(bytes).and_then(|()| file.as_file().sync_all()).and_then(|()| open_to_readers(&file));
    whole.map_err(|error| unwritable(path, &error))?;
    Ok(file)
}

/// A file that is there already and isn't ours to replace.
pub(crate) fn already_there(path: &Path) -> Problem {
    Problem::file(path, "there is a file of this name already; it is left as it is")
        .help("name another file, or move this one away")
}

fn unwritable(path: &Path, error: &io::Error) -> Problem {
    Problem::file(path, format!("the file can't be written: {}", error.kind()))
}

/// A temporary file is for its owner alone; what it becomes is an ordinary file.
#[cfg(unix)]
fn open_to_readers(file: &NamedTempFile) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt as _;
    file.as_file().set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn open_to_readers(_: &NamedTempFile) -> std::io::Result<()> {
    Ok(())
}
