//! Where a site stands in its file.

/// Where the site or the fault stands that was read last.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
#[non_exhaustive]
pub struct Whence {
    /// The line on which it begins, from 1; none for a file of its own.
    pub line: Option<usize>,
    /// The name that is written there, if there is one.
    pub name: Option<String>,
}
