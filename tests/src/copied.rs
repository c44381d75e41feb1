//! A copy of the project, to change something in it.

use std::{fs, path::Path, process::Command};

/// Copies what git knows of the project, or would take, where it is wanted.
///
/// # Panics
/// If git doesn't start, or a file can't be read or written.
pub fn bring_up_to_date(root: &Path, copy: &Path, wanted: impl Fn(&str) -> bool) {
    let listed = Command::new("git")
        .args(["ls-files", "-z", "--cached", "--others", "--exclude-standard"])
        .current_dir(root)
        .output()
        .expect("git starts");
    for name in
        String::from_utf8(listed.stdout).expect("names are text").split_terminator('\0').filter(|name| wanted(name))
    {
        put(&copy.join(name), &fs::read(root.join(name)).expect("a file"));
    }
}

/// Writes a file unless it has these bytes: what is untouched needn't be built again.
///
/// # Panics
/// If it can't be written.
pub fn put(path: &Path, bytes: &[u8]) {
    if fs::read(path).is_ok_and(|there| there == bytes) {
        return;
    }
    fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
    fs::write(path, bytes).expect("written");
}
