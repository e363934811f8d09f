//! The clocks of all time zones, out of the program itself.
//!
//! `clocks/` holds them, written by `tests/scene/zones_data.rs`, where the form is told.
//! They are read in place: no addresses in them, so a start writes nothing, and no
//! zone costs anything until it is asked for.
//!
//! # Source
//!
//! The IANA time zone database, public domain, as the crate `chrono-tz` carries it:
//! all changes of all zones, to the last that it has, in 2099. After that the
//! clocks stay as they are then, as they do in `chrono-tz`.

/// The version of the database, such as `2025b`.
pub(super) static VERSION: &str = include_str!("clocks/version.txt");
/// A name a line, sorted by bytes.
static NAMES: &str = include_str!("clocks/names.txt");
/// Per name: where it begins in the names (2 bytes), its length (1), the first
/// of its runs (2), how many it has (2).
static ZONES: &[[u8; 7]] = include_bytes!("clocks/zones.bin").as_chunks().0;
/// Per zone by time: [`Run`]s.
static RUNS: &[[u8; 12]] = include_bytes!("clocks/runs.bin").as_chunks().0;
/// Times that runs share, seconds; only how far they are apart counts.
static TIMES: &[[u8; 4]] = include_bytes!("clocks/times.bin").as_chunks().0;
/// How clocks go: seconds ahead of UTC (4 bytes), seconds of these that are
/// summer time (4), letters (8, zeros after them).
static SETTINGS: &[[u8; 16]] = include_bytes!("clocks/settings.bin").as_chunks().0;

/// Seconds from the zero of the runs to that of Unix time.
const ORIGIN: i64 = 1 << 35;
const PLACE_BITS: u32 = 12;

/// A zone of the database: its place among the names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct ZoneId(u16);

/// Changes to two settings in turn, as in summers and winters; or a single one.
#[derive(Debug, Clone, Copy)]
struct Run {
    /// Unix time of the first change; `i64::MIN` for since ever.
    first: i64,
    /// Places of the settings, that of the first change first.
    settings: [usize; 2],
    /// As far apart as the changes are.
    times: &'static [[u8; 4]],
}

/// How the clocks of a zone go for a while.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Setting(&'static [u8; 16]);

impl ZoneId {
    /// The zone of Coordinated Universal Time.
    pub(super) const UTC: Self = Self(place_of(b"UTC"));

    /// All zones, by name.
    pub(super) fn all() -> impl Iterator<Item = Self> {
        (0..).map(Self).take(ZONES.len())
    }

    /// The zone of this name, letter case ignored.
    pub(super) fn named(name: &str) -> Option<Self> {
        let exact = ZONES.binary_search_by(|record| bytes_of(record).cmp(name.as_bytes()));
        match exact {
            Ok(place) => u16::try_from(place).ok().map(Self),
            Err(_) => Self::all().find(|zone| zone.name().eq_ignore_ascii_case(name)),
        }
    }

    /// Its name.
    pub(super) fn name(self) -> &'static str {
        ZONES.get(usize::from(self.0)).map_or("", name_of)
    }

    /// How its clocks go at a Unix time.
    pub(super) fn setting_at(self, unix: i64) -> Setting {
        let run = self.runs_from(unix).first().map(Run::of);
        run.map_or(Setting(&[0; 16]), |run| {
            run.setting(run.count_until(unix).saturating_sub(1))
        })
    }

    /// When its clocks change after `from` and up to `to`, in Unix time, and how
    /// they go then.
    pub(super) fn changes_within(self, from: i64, to: i64) -> impl Iterator<Item = (i64, Setting)> {
        let runs = self.runs_from(from).iter().map(Run::of);
        runs.flat_map(move |run| {
            let after = run.count_until(from)..run.times.len();
            after.map(move |index| (run.unix(index), run.setting(index)))
        })
        .take_while(move |(unix, _)| *unix <= to)
    }

    /// When its clocks change next after a Unix time.
    pub(super) fn next_change(self, unix: i64) -> Option<i64> {
        let mut changes = self.changes_within(unix, i64::MAX);
        changes.next().map(|(at, _)| at)
    }

    /// The run in force at a Unix time, and those after it.
    fn runs_from(self, unix: i64) -> &'static [[u8; 12]] {
        let record = ZONES.get(usize::from(self.0));
        let runs = record.and_then(|&[_, _, _, a, b, c, d]| part(RUNS, [a, b], [c, d]));
        let runs = runs.unwrap_or(&[]);
        let begun = runs.partition_point(|run| Run::of(run).first <= unix);
        runs.get(begun.saturating_sub(1)..).unwrap_or(&[])
    }
}

impl Run {
    /// Since when (36 bits, from [`ORIGIN`] on, 0 for ever), place of the first
    /// setting (12), of the other (16), of the first of the times (16), how many
    /// (16).
    fn of(&[a, b, c, d, e, f, other, r, t, s, n, m]: &[u8; 12]) -> Self {
        let begin = u64::from_be_bytes([0, 0, a, b, c, d, e, f]);
        Self {
            first: match begin >> PLACE_BITS {
                0 => i64::MIN,
                seconds => seconds as i64 - ORIGIN,
            },
            settings: [
                begin as usize & ((1 << PLACE_BITS) - 1),
                usize::from(u16::from_be_bytes([other, r])),
            ],
            times: part(TIMES, [t, s], [n, m]).unwrap_or(&[]),
        }
    }

    /// Seconds from the first change to another.
    fn seconds(&self, time: [u8; 4]) -> u32 {
        let first = self.times.first().copied().unwrap_or_default();
        u32::from_be_bytes(time).wrapping_sub(u32::from_be_bytes(first))
    }

    /// How many of the changes are at a Unix time or before it.
    fn count_until(&self, unix: i64) -> usize {
        let Ok(after) = u64::try_from(unix.saturating_sub(self.first)) else {
            return 0;
        };
        let is_past = |time: &[u8; 4]| u64::from(self.seconds(*time)) <= after;
        self.times.partition_point(is_past)
    }

    /// Unix time of a change.
    fn unix(&self, index: usize) -> i64 {
        let time = self.times.get(index).copied().unwrap_or_default();
        self.first.saturating_add(i64::from(self.seconds(time)))
    }

    /// How clocks go from a change on.
    fn setting(&self, index: usize) -> Setting {
        let [first, other] = self.settings;
        let place = if index.is_multiple_of(2) {
            first
        } else {
            other
        };
        Setting(SETTINGS.get(place).unwrap_or(&[0; 16]))
    }
}

impl Setting {
    /// Seconds by which local time is ahead of UTC.
    pub(super) fn offset_seconds(self) -> i32 {
        let [a, b, c, d, ..] = *self.0;
        i32::from_be_bytes([a, b, c, d])
    }

    /// Seconds of these by which it is ahead of the zone's standard time.
    pub(super) fn saving_seconds(self) -> i32 {
        let [_, _, _, _, a, b, c, d, ..] = *self.0;
        i32::from_be_bytes([a, b, c, d])
    }

    /// Its letters, such as CEST, where it has any.
    pub(super) fn abbreviation(self) -> Option<&'static str> {
        let (_, letters) = self.0.split_at(8);
        let letters = std::str::from_utf8(letters).ok()?;
        Some(letters.trim_end_matches('\0')).filter(|letters| !letters.is_empty())
    }
}

fn name_of(record: &[u8; 7]) -> &'static str {
    std::str::from_utf8(bytes_of(record)).unwrap_or("")
}

/// The bytes of a name.
fn bytes_of(&[a, b, length, ..]: &[u8; 7]) -> &'static [u8] {
    let from = usize::from(u16::from_be_bytes([a, b]));
    let name = NAMES.as_bytes().get(from..from + usize::from(length));
    name.unwrap_or_default()
}

/// So many of them from a place on.
fn part<T>(all: &'static [T], from: [u8; 2], count: [u8; 2]) -> Option<&'static [T]> {
    let [from, count] = [from, count].map(|number| usize::from(u16::from_be_bytes(number)));
    all.get(from..from + count)
}

/// The line of the names that holds `name`, while the program is built.
const fn place_of(name: &[u8]) -> u16 {
    let all = NAMES.as_bytes();
    let (mut at, mut begin, mut line) = (0, 0, 0);
    while at < all.len() {
        if all[at] == b'\n' {
            let mut same = at - begin == name.len();
            let mut letter = 0;
            while same && letter < name.len() {
                same = all[begin + letter] == name[letter];
                letter += 1;
            }
            if same {
                return line;
            }
            (begin, line) = (at + 1, line + 1);
        }
        at += 1;
    }
    panic!("no such name")
}
