//! A file of any length, made as it is read.

use std::io::{self, Read};

/// Gives `begin`, then `again` so many times, then `end`, and counts nothing but
/// what it gave.
pub struct Endless {
    pub begin: &'static [u8],
    pub again: &'static [u8],
    pub times: u64,
    pub end: &'static [u8],
    pub at: usize,
}

impl Read for Endless {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        let mut given = 0;
        while given < out.len() {
            let (piece, last) = match (self.begin.is_empty(), self.times) {
                (false, _) => (self.begin, false),
                (true, 0) => (self.end, true),
                (true, _) => (self.again, false),
            };
            let Some(rest) = piece.get(self.at..).filter(|rest| !rest.is_empty()) else {
                if last {
                    break;
                }
                if self.begin.is_empty() {
                    self.times -= 1;
                }
                self.begin = &[];
                self.at = 0;
                continue;
            };
            let count = rest.len().min(out.len() - given);
            out[given..given + count].copy_from_slice(&rest[..count]);
            self.at += count;
            given += count;
        }
        Ok(given)
    }
}
