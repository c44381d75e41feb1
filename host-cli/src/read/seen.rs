//! Which files were read, and what was in them then: what is to be watched for a change.

use std::{
    cell::RefCell,
    hash::{DefaultHasher, Hash as _, Hasher as _},
    path::{Path, PathBuf},
};

thread_local! {
    /// Files that this thread read since it began to note them.
    static NOTED: RefCell<Option<Vec<Seen>>> = const { RefCell::new(None) };
}

/// A file that was read, or couldn't be.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Seen {
    pub(crate) path: PathBuf,
    pub(crate) content: Content,
}

/// What is in a file: two different ones have different contents, but for an accident in 2^64.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Content(Option<u64>);

impl Content {
    /// That of a file that can't be read.
    pub(crate) const MISSING: Self = Self(None);

    pub(super) fn of(bytes: &[u8]) -> Self {
        let mut hasher = DefaultHasher::new();
        bytes.hash(&mut hasher);
        Self(Some(hasher.finish()))
    }

    /// That of a file as it is now.
    pub(crate) fn of_file(path: &Path) -> Self {
        super::bytes_unnoted(path).map_or(Self::MISSING, |bytes| Self::of(&bytes))
    }
}

impl Seen {
    /// Runs something, and says what it read.
    pub(crate) fn during<T>(run: impl FnOnce() -> T) -> (T, Vec<Self>) {
        NOTED.with_borrow_mut(|noted| *noted = Some(Vec::new()));
        let result = run();
        (result, NOTED.take().unwrap_or_default())
    }

    /// Notes a file, if anybody asked.
    pub(super) fn note(path: &Path, content: impl FnOnce() -> Content) {
        NOTED.with_borrow_mut(|noted| {
            if let Some(noted) = noted {
                noted.push(Self { path: path.to_owned(), content: content() });
            }
        });
    }
}
