//! The sites of one part of a run: a block of those of all its files.

use super::{
    args::Part,
    manners::say,
    site_stream::{Step, Told},
};
use rakelight::report::words::plural;

/// Which sites of a file are in a part: those that follow the first so many.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Block {
    before: usize,
    take: usize,
}

/// Every site of a file, however many there are.
pub const WHOLE: Block = Block {
    before: 0,
    take: usize::MAX,
};

impl Block {
    /// Whether the file need not be opened; sites before the part are needed
    /// too if `with_before`.
    pub const fn is_empty(self, with_before: bool) -> bool {
        self.is_outside() && (self.before == 0 || !with_before)
    }

    /// Whether the part has none of the file's sites.
    pub const fn is_outside(self) -> bool {
        self.take == 0
    }

    /// Those of the sites that are in it; the ones before them are checked only
    /// if `with_before`.
    pub fn of(self, mut told: Told, with_before: bool) -> impl Iterator<Item = Step> + Send {
        // Who reads the end of a file tells what else is in it.
        told.quiet |= self.is_outside();
        let before = match with_before {
            true => self.before,
            false => {
                told.sites.pass_over(self.before);
                0
            }
        };
        let steps = told.take(before.saturating_add(self.take));
        steps.enumerate().filter_map(move |(index, step)| {
            if index < before {
                step.before()
            } else {
                Some(step)
            }
        })
    }
}

/// The block of each file that is in a part, where the files have so many
/// sites. Says if there is no site in it, unless it is to be `quiet`.
pub fn blocks(part: Part, counts: &[usize], quiet: bool) -> Vec<Block> {
    let all = counts.iter().sum();
    let range = part.range(all);
    if range.is_empty() && !quiet {
        let sites = plural(i64::try_from(all).unwrap_or(i64::MAX), "site", "sites");
        say(&format!("Part {part} of {sites} has none."));
    }
    let mut offset = 0_usize;
    let block = |count: &usize| {
        let within = |at: usize| at.saturating_sub(offset).min(*count);
        let (start, end) = (within(range.start), within(range.end));
        offset = offset.saturating_add(*count);
        // A file that is one thing may hold several sites.
        let until = |at: usize| if at == *count { usize::MAX } else { at };
        Block {
            before: until(start),
            take: if start == end {
                0
            } else {
                until(end).saturating_sub(start)
            },
        }
    };
    counts.iter().map(block).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_site_is_in_one_part() {
        let counts = [3, 1, 1, 8];
        for of in 1..=20_u32 {
            let mut taken = [0; 4];
            for number in 1..=of {
                let part = Part::of(number, of);
                for (index, block) in blocks(part, &counts, true).iter().enumerate() {
                    let count = counts[index];
                    if block.take > 0 {
                        assert_eq!(block.before, taken[index], "{number}/{of}");
                        taken[index] += block.take.min(count - block.before);
                    }
                }
            }
            assert_eq!(taken, counts, "{of} parts");
        }
    }
}
