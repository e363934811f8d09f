//! The record of how far a file is that several runs write.

use chrono::NaiveDate;
use flate2::Crc;
use std::fmt::{self, Debug, Write};

/// How far the sites of a run are done.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct SitesDone {
    /// How many were read, those left out too.
    pub sites: usize,
    /// The sum of those that were answered, in their order.
    pub sum: u32,
    /// Whether anything was found.
    pub found: bool,
}

impl SitesDone {
    /// The same with one more site: its number and its own sum.
    #[must_use]
    pub fn with(self, number: usize, sum: u32) -> Self {
        let mut both = Crc::new();
        both.update(&self.sum.to_le_bytes());
        both.update(&sum.to_le_bytes());
        Self {
            sites: number,
            sum: both.sum(),
            ..self
        }
    }
}

/// What stands in a file.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Progress {
    pub done: SitesDone,
    /// Its length and the sum of its bytes.
    pub bytes: u64,
    pub sum: u32,
}

/// What a run asks: only a run that asks the same can go on.
#[derive(Debug, Clone, Copy)]
pub struct Asked {
    /// The sum of the question and of how its answer is written.
    pub question: u32,
    pub nights: [NaiveDate; 2],
}

/// What was found, what was expected, and a remedy.
type Wrong = (&'static str, String, String);

impl Asked {
    /// The record of this progress.
    pub fn record(&self, progress: Progress) -> String {
        let [version, question, nights] = self.lines();
        let Progress { done, bytes, sum } = progress;
        let SitesDone {
            sites,
            sum: sites_sum,
            found,
        } = done;
        let found = if found { "yes" } else { "no" };
        format!(
            "{version}\n{question}\n{nights}\nsites {sites} {sites_sum:08x}\nbytes {bytes} \
             {sum:08x}\nfound {found}\n"
        )
    }

    fn lines(&self) -> [String; 3] {
        let [first, last] = self.nights;
        [
            format!("rakelight {} progress", env!("CARGO_PKG_VERSION")),
            format!("question {:08x}", self.question),
            format!("nights {first} {last}"),
        ]
    }

    /// The progress in a record, if it is of the same question.
    pub fn progress_in(&self, record: &str) -> Result<Progress, Wrong> {
        let lines: Vec<&str> = record.lines().collect();
        let [version, question, nights, sites, bytes, found] = lines.as_slice() else {
            return Err(unreadable());
        };
        let own = self.lines();
        let [own_version, own_question, own_nights] = &own;
        if version != own_version {
            let found = "what another version began";
            let expected = format!("version {}", env!("CARGO_PKG_VERSION"));
            return Err((found, expected, "go on with that version".to_owned()));
        }
        if nights != own_nights {
            let mut words = nights.split(' ').skip(1);
            let words = (words.next(), words.next(), words.next());
            let (Some(first), Some(last), None) = words else {
                return Err(unreadable());
            };
            let dates = [first, last].map(str::parse::<NaiveDate>);
            let [Ok(first), Ok(last)] = dates else {
                return Err(unreadable());
            };
            let expected = format!("those from {first} to {last}, as it was begun");
            let remedy = format!("give --from {first} --to {last}");
            return Err(("other nights", expected, remedy));
        }
        if question != own_question {
            let expected = "the one it was begun with".to_owned();
            return Err(("another question", expected, "type it as it was".to_owned()));
        }
        let pair = |line: &str, word: &str| {
            let (number, sum) = line
                .strip_prefix(word)?
                .strip_prefix(' ')?
                .split_once(' ')?;
            let sum = u32::from_str_radix(sum, 16).ok()?;
            Some((number.parse::<u64>().ok()?, sum))
        };
        let read = || {
            let (sites, sites_sum) = pair(sites, "sites")?;
            let (bytes, sum) = pair(bytes, "bytes")?;
            let found = match *found {
                "found yes" => true,
                "found no" => false,
                _ => return None,
            };
            let done = SitesDone {
                sites: sites.try_into().ok()?,
                sum: sites_sum,
                found,
            };
            Some(Progress { done, bytes, sum })
        };
        read().ok_or_else(unreadable)
    }
}

fn unreadable() -> Wrong {
    let expected = "the record that a run left beside it".to_owned();
    (
        "a file with a broken record",
        expected,
        "put it back".to_owned(),
    )
}

/// The sum of everything in a value.
pub fn sum_of(value: &impl Debug) -> u32 {
    struct Summing(Crc);
    impl Write for Summing {
        fn write_str(&mut self, text: &str) -> fmt::Result {
            self.0.update(text.as_bytes());
            Ok(())
        }
    }
    let mut sum = Summing(Crc::new());
    // Adding never fails.
    let _ = write!(sum, "{value:?}");
    sum.0.sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked() -> Asked {
        let day = |day| NaiveDate::from_ymd_opt(2027, 5, day).expect("a day");
        Asked {
            question: 0xabc,
            nights: [day(1), day(31)],
        }
    }

    fn progress() -> Progress {
        let done = SitesDone::default().with(3, 7).with(5, 8);
        Progress {
            done: SitesDone {
                found: true,
                ..done
            },
            bytes: 1 << 40,
            sum: 9,
        }
    }

    #[test]
    fn a_record_is_read_as_it_is_written() {
        let record = asked().record(progress());
        assert_eq!(asked().progress_in(&record), Ok(progress()));
        for end in 0..record.len() - 1 {
            let cut = record.get(..end).expect("ASCII");
            let read = asked().progress_in(cut);
            assert!(read.is_err(), "{cut:?}");
        }
    }

    #[test]
    fn a_record_of_something_else_is_refused() {
        let record = asked().record(progress());
        for (from, to, found) in [
            ("rakelight 0", "rakelight 00", "what another version began"),
            ("abc", "abd", "another question"),
            ("-31", "-30", "other nights"),
            ("-31", "-32", "a file with a broken record"),
            ("found yes", "found", "a file with a broken record"),
            ("sites 5", "sites -5", "a file with a broken record"),
        ] {
            let read = asked().progress_in(&record.replace(from, to));
            assert_eq!(read.map_err(|(found, ..)| found), Err(found), "{to}");
        }
    }

    #[test]
    fn the_sum_of_sites_knows_their_order() {
        let one = SitesDone::default().with(1, 7).with(2, 8);
        let other = SitesDone::default().with(1, 8).with(2, 7);
        assert_ne!(one.sum, other.sum);
    }
}
