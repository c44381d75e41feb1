//! Which files a brief may replace: those that one wrote.

use std::{fs::File, io::Read as _, path::Path};

use super::{page, picture};
use crate::{problem::Problem, write::file};

/// What kind of file is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    Page,
    Svg,
    Png,
}

impl Kind {
    /// What every file of this kind begins with that a brief wrote.
    fn is_ours(self, begin: &[u8]) -> bool {
        match self {
            Self::Page => begin.starts_with(page::MARK.as_bytes()),
            Self::Svg => begin.starts_with(picture::MARK.as_bytes()),
            Self::Png => begin.windows(picture::PNG_MARK.len()).any(|part| part == picture::PNG_MARK),
        }
    }

    /// Whether a file may be written there.
    pub(crate) fn may_write(self, path: &Path) -> Result<(), Problem> {
        if path.exists() && !self.is_ours(&begin(path)) { Err(file::already_there(path)) } else { Ok(()) }
    }

    /// Writes a file, in place of an older one of the same kind that a brief wrote.
    pub(crate) fn write(self, path: &Path, bytes: &[u8]) -> Result<(), Problem> {
        file::replace_if(path, bytes, |path| self.is_ours(&begin(path)))
    }
}

/// The first bytes of an ordinary file; none of anything else.
fn begin(path: &Path) -> Vec<u8> {
    let mut bytes = Vec::new();
    if std::fs::metadata(path).is_ok_and(|data| data.is_file()) {
        // What can't be read is nobody's to replace.
        let _ = File::open(path).and_then(|file| file.take(256).read_to_end(&mut bytes));
    }
    bytes
}
