//! The JSON document of many sites, written piece by piece.

use super::{
    json::{SCHEMA, list},
    rows::left_out::{LEFT_OUT, LeftOutSite},
};
use serde_json::Value;
use std::io::{self, Write};

/// Writes the document piece by piece, so that no batch is held in memory.
#[derive(Debug)]
pub struct Document<W: Write> {
    out: W,
    sites: usize,
    /// Those left out, if the document lists them.
    left_out: Option<Vec<u8>>,
}

impl<W: Write> Document<W> {
    /// Begins a document whose `query` says what was asked.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn begin(mut out: W, query: &Value) -> io::Result<Self> {
        write!(
            out,
            "{{\n  \"rakelight\": {},\n  \"schema\": {SCHEMA},\n  \"query\": {query},\n  \"sites\": [",
            Value::from(env!("CARGO_PKG_VERSION"))
        )?;
        Ok(Self {
            out,
            sites: 0,
            left_out: None,
        })
    }

    /// The same document, which lists at its end the sites that were left out.
    #[must_use]
    pub fn listing_left_out(self) -> Self {
        Self {
            left_out: Some(Vec::new()),
            ..self
        }
    }

    /// Where it is written to. Between two sites the output may be ended with
    /// [`stopped`].
    pub const fn output(&mut self) -> &mut W {
        &mut self.out
    }

    /// Writes one site, made by [`write_site_block`](super::json::write_site_block).
    ///
    /// # Errors
    ///
    /// Any error of the output.
    pub fn site(&mut self, block: &[u8]) -> io::Result<()> {
        self.site_by(|out| out.write_all(block))
    }

    /// The same for a site that is written as it is made.
    ///
    /// # Errors
    ///
    /// Any error of the output, or of `write`.
    pub fn site_by(&mut self, write: impl FnOnce(&mut W) -> io::Result<()>) -> io::Result<()> {
        self.out
            .write_all(if self.sites > 0 { b",\n" } else { b"\n" })?;
        self.sites += 1;
        write(&mut self.out)
    }

    /// Takes note of a site that was left out, if the document lists them.
    pub fn left_out(&mut self, site: &LeftOutSite) {
        if let Some(list_so_far) = &mut self.left_out {
            if !list_so_far.is_empty() {
                list_so_far.push(b',');
            }
            let object = list(LEFT_OUT, &site);
            list_so_far.extend_from_slice(format!("\n    {object}").as_bytes());
        }
    }

    /// Ends the document and gives the output back.
    ///
    /// # Errors
    ///
    /// Any error of the output.
    pub fn end(self) -> io::Result<W> {
        self.end_with(&[])
    }

    /// Ends it with these fields, which are about all sites.
    ///
    /// # Errors
    ///
    /// Any error of the output.
    pub fn end_with(mut self, more: &[(&str, Value)]) -> io::Result<W> {
        let close = if self.sites > 0 { "\n  " } else { "" };
        write!(self.out, "{close}]")?;
        for (key, value) in more {
            write!(self.out, ",\n  {}: {value}", Value::from(*key))?;
        }
        if let Some(left_out) = self.left_out {
            let close = if left_out.is_empty() { "" } else { "\n  " };
            self.out.write_all(b",\n  \"left_out\": [")?;
            self.out.write_all(&left_out)?;
            write!(self.out, "{close}]")?;
        }
        writeln!(self.out, "\n}}")?;
        Ok(self.out)
    }
}

/// What ends a document behind any of its sites where the run stops early, for
/// this reason.
pub fn stopped(reason: &str) -> String {
    let reason = Value::from(reason);
    format!("\n  ],\n  \"stopped\": {reason}\n}}\n")
}
