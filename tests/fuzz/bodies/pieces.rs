//! A reader that gives few bytes at a time.

use std::io::Read;

/// Gives so many bytes at a time, as a pipe may.
pub struct Pieces<'a>(pub &'a [u8], pub usize);

impl Read for Pieces<'_> {
    fn read(&mut self, out: &mut [u8]) -> std::io::Result<usize> {
        let count = self.1.min(self.0.len()).min(out.len());
        let (now, later) = self.0.split_at(count);
        out[..count].copy_from_slice(now);
        self.0 = later;
        Ok(count)
    }
}
