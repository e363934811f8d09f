//! A site that a run left out, in JSON.

use crate::report::row::{Field, RowKind};

/// A site that a run left out because it could not be read.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct LeftOutSite {
    /// The file, as it was given; `standard input` for a pipe, none for a place.
    pub file: Option<String>,
    /// The line on which it begins, from 1.
    pub line: Option<usize>,
    /// The name that is written there.
    pub name: Option<String>,
    /// Everything wrong with it, a line each.
    pub message: String,
}

/// Sites that were left out.
#[derive(Debug, Clone, Copy)]
pub struct LeftOutSites;

impl RowKind for LeftOutSites {
    type Of<'a> = &'a LeftOutSite;
}

type F = Field<LeftOutSites>;

/// A site that was left out.
pub static LEFT_OUT: &[F] = &[
    F::text("file", |site| site.file.as_deref())
        .empty("a place that was typed")
        .doc("file as it was given, or standard input"),
    F::whole("line", |site| {
        site.line.and_then(|line| line.try_into().ok())
    })
    .empty("nothing in the file is at fault, such as one that is not there")
    .doc("line on which the site begins; in a file of one site that of the first fault"),
    F::text("name", |site| site.name.as_deref())
        .empty("a file of one site, or one that cannot be read as far")
        .doc("name of the site as it is written"),
    F::text("message", |site| Some(&site.message))
        .doc("what is wrong, as on standard error; a line for each fault"),
];
