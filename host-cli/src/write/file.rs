//! Writing files: whole or not at all, and never over something that a person wrote.

use std::{io::Write as _, path::Path};

use crate::{problem::Problem, read::is_packed};

/// Writes a new file.
pub(crate) fn create(path: &Path, bytes: &[u8]) -> Result<(), Problem> {
    if path.exists() {
        return Err(Problem::file(path, "there is a file of this name already; it is left as it is")
            .help("name another file, or move this one away"));
    }
    place(path, bytes)
}

/// Writes a packed file, in place of an older packed one if need be.
pub(crate) fn replace_packed(path: &Path, bytes: &[u8]) -> Result<(), Problem> {
    let older = path.exists() && crate::read::bytes(path).is_ok_and(|older| is_packed(&older));
    if older { place(path, bytes) } else { create(path, bytes) }
}

/// Writes beside the place and then moves there, so that nobody ever sees half a file.
fn place(path: &Path, bytes: &[u8]) -> Result<(), Problem> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or_else(|| Path::new("."));
    let unwritable = |error: &dyn std::fmt::Display| Problem::file(path, format!("the file can't be written: {error}"));
    let mut file = tempfile::NamedTempFile::new_in(folder).map_err(|error| unwritable(&error))?;
    file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(|error| unwritable(&error))?;
    open_to_readers(&file).map_err(|error| unwritable(&error))?;
    file.persist(path).map_err(|error| unwritable(&error.error))?;
    Ok(())
}

/// A temporary file is for its owner alone; what it becomes is an ordinary file.
#[cfg(unix)]
fn open_to_readers(file: &tempfile::NamedTempFile) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt as _;
    file.as_file().set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn open_to_readers(_: &tempfile::NamedTempFile) -> std::io::Result<()> {
    Ok(())
}
