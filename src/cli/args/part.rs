//! Which part of the sites, where a run is divided.

use super::headings::WHERE;
use clap::Args;
use rakelight::scene::shown;
use std::{
    fmt::{self, Display, Formatter},
    ops::Range,
};

/// The most parts of a run.
const MOST_PARTS: u32 = 1_000_000;

#[derive(Debug, Args)]
pub struct PartArgs {
    /// Only the K-th of N parts of the sites: 3/16
    ///
    /// Parts are blocks of rows, points and files in the order of the input, as
    /// many in each as can be. Put one behind the other they are what one run
    /// writes: in CSV the first part alone has the line of names. Give --from and
    /// --to, so that all parts are about the same evenings.
    #[arg(long, value_name = "K/N", value_parser = part, hide_short_help = true, help_heading = WHERE)]
    pub part: Option<Part>,
}

/// One of the parts of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Part {
    /// From 1.
    number: u32,
    of: u32,
}

impl Part {
    /// The part with this number, from 1.
    #[cfg(test)]
    pub const fn of(number: u32, of: u32) -> Self {
        Self { number, of }
    }

    /// Whether nothing comes before it.
    pub const fn is_first(self) -> bool {
        self.number == 1
    }

    /// Those of `count` things that are in it, from 0.
    pub fn range(self, count: usize) -> Range<usize> {
        let until = |parts: u32| {
            let before = count as u128 * u128::from(parts) / u128::from(self.of.max(1));
            usize::try_from(before).unwrap_or(count)
        };
        until(self.number.saturating_sub(1))..until(self.number)
    }
}

impl Display for Part {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.number, self.of)
    }
}

fn part(text: &str) -> Result<Part, String> {
    let found = shown(text);
    let whole = |text: &str| text.trim().parse::<u32>().ok();
    let read = text.split_once('/');
    let read = read.and_then(|(number, of)| Some((whole(number)?, whole(of)?)));
    let Some((number, of)) = read.filter(|(_, of)| (1..=MOST_PARTS).contains(of)) else {
        return Err(format!(
            "found {found}, expected a part and how many there are, at most {MOST_PARTS}; for \
             example 1/4"
        ));
    };
    if !(1..=of).contains(&number) {
        let near = number.clamp(1, of);
        return Err(format!(
            "found {found}, expected a part from 1 to {of}; write {near}/{of}"
        ));
    }
    Ok(Part { number, of })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_follow_each_other_and_differ_by_one_at_most() {
        for (count, of) in [(0, 3), (1, 7), (7, 3), (10, 10), (1_500_000, 64)] {
            let mut next = 0;
            for number in 1..=of {
                let range = Part { number, of }.range(count);
                assert_eq!(range.start, next, "{number}/{of} of {count}");
                let length = range.len();
                let least = count / of as usize;
                assert!((least..=least + 1).contains(&length), "{count} by {of}");
                next = range.end;
            }
            assert_eq!(next, count);
        }
    }
}
