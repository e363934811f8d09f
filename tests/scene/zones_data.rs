//! The clocks in the program (`src/scene/clocks/`) against the crate they are
//! made from, for every zone of it. With `WRITE_DATA=1` this writes them; without,
//! it finds where they differ.
//!
//! The form, numbers with the big end first:
//!
//! | file | record | holds |
//! | --- | --- | --- |
//! | `version.txt` | | the version of the IANA database |
//! | `names.txt` | a line | a name, sorted by bytes |
//! | `zones.bin` | 7 bytes a name | 2: where the name begins in `names.txt`; 1: its length; 2: the first of its runs; 2: how many |
//! | `runs.bin` | 12 bytes | 36 bits: Unix time of the first change + 2^35, 0 for since ever; 12 bits: the place of its setting; 2 bytes: that of the other setting; 2: the first of the times; 2: how many changes |
//! | `times.bin` | 4 bytes | seconds, so far apart as the changes of the runs that begin here |
//! | `settings.bin` | 16 bytes | 4: seconds ahead of UTC; 4: seconds of these that are summer time; 8: letters, then zeros |
//!
//! A run is changes to two settings in turn, as of summers and winters, or one
//! change alone. Zones with the same changes share their runs, and runs their
//! times: that of Europe serves many.

use chrono::{DateTime, MappedLocalTime, NaiveDateTime, Offset, TimeZone};
use chrono_tz::{IANA_TZDB_VERSION, OffsetComponents, OffsetName, TZ_VARIANTS, Tz};
use rakelight::{
    ephemeris::Moment,
    scene::{LocalReading, LocalTime, Zone, zone_data_version},
};
use std::{collections::HashMap, env, fs, path::PathBuf, thread};

/// Unix times of the first days of 1800 and 2200.
const YEARS: (i64, i64) = (-5_364_662_400, 7_258_118_400);
const DAY: i64 = 86_400;

/// Seconds ahead of UTC, of these summer time, letters.
type Setting<'a> = (i32, i64, Option<&'a str>);

fn utc(unix: i64) -> NaiveDateTime {
    let time = DateTime::from_timestamp(unix, 0).expect("a time");
    time.naive_utc()
}

fn moment(unix: i64) -> Moment {
    Moment::from_utc(utc(unix).and_utc())
}

/// What the crate says, given to `with`, whose letters are its own.
fn theirs<T>(tz: Tz, unix: i64, with: impl Fn(Setting<'_>) -> T) -> T {
    let offset = tz.offset_from_utc_datetime(&utc(unix));
    with((
        offset.fix().local_minus_utc(),
        offset.dst_offset().num_seconds(),
        offset.abbreviation(),
    ))
}

fn same_for_them(tz: Tz, a: i64, b: i64) -> bool {
    theirs(tz, a, |a| theirs(tz, b, |b| a == b))
}

/// The first second after `from`, up to `to`, at which the crate says something
/// else than at `from`; `to` must be such a second.
fn change_between(tz: Tz, from: i64, to: i64) -> i64 {
    let (mut same, mut other) = (from, to);
    while other - same > 1 {
        let middle = same + (other - same) / 2;
        if same_for_them(tz, from, middle) {
            same = middle;
        } else {
            other = middle;
        }
    }
    other
}

/// What `of` gives for each zone, on all cores.
fn of_each_zone<T: Send>(of: impl Fn(Tz) -> T + Sync) -> Vec<T> {
    let cores = thread::available_parallelism().map_or(1, usize::from);
    thread::scope(|scope| {
        let parts = TZ_VARIANTS.chunks(TZ_VARIANTS.len().div_ceil(cores));
        let of = &of;
        let running: Vec<_> = parts
            .map(|zones| scope.spawn(move || zones.iter().map(|tz| of(*tz)).collect::<Vec<_>>()))
            .collect();
        let done = running.into_iter().map(|part| part.join().expect("a part"));
        done.flatten().collect()
    })
}

mod writing {
    use super::*;

    /// Seconds between two looks for a change: no zone has changed its clocks
    /// twice within days, as the test below has it.
    const LOOK: i64 = 6 * 3600;

    /// Since when (`None` for ever), and what then.
    type Changes = Vec<(Option<i64>, (i32, i64, Option<String>))>;

    fn changes(tz: Tz) -> Changes {
        let owned = |(ahead, saving, letters): Setting<'_>| {
            let letters = letters.map(str::to_owned);
            (ahead, saving, letters)
        };
        let mut all = vec![(None, theirs(tz, YEARS.0, owned))];
        let mut at = YEARS.0;
        while at < YEARS.1 {
            let next = at + LOOK;
            let (_, before) = all.last().expect("the first");
            let (ahead, saving, letters) = before;
            let before = (*ahead, *saving, letters.as_deref());
            if theirs(tz, next, |now| now == before) {
                at = next;
            } else {
                at = change_between(tz, at, next);
                all.push((Some(at), theirs(tz, at, owned)));
            }
        }
        all
    }

    /// Times that runs share.
    #[derive(Default)]
    struct Times {
        all: Vec<u32>,
        /// Places of two that are so far apart.
        pairs: HashMap<u32, Vec<usize>>,
    }

    impl Times {
        /// Where the most of `times`, from the first on, are already, and how
        /// many.
        fn longest(&self, times: &[i64]) -> (usize, usize) {
            let apart = |index: usize| (times[index] - times[0]) as u32;
            let places = times.get(1).and_then(|_| self.pairs.get(&apart(1)));
            let lengths = places.into_iter().flatten().map(|&place| {
                let held = self.all[place..].iter();
                let same = held.zip(0..times.len()).take_while(|(held, index)| {
                    held.wrapping_sub(self.all[place]) == apart(*index)
                });
                (place, same.count())
            });
            lengths.max_by_key(|(_, count)| *count).unwrap_or_default()
        }

        fn push(&mut self, times: &[i64]) -> usize {
            let place = self.all.len();
            for (index, pair) in times.windows(2).enumerate() {
                let apart = (pair[1] - pair[0]) as u32;
                self.pairs.entry(apart).or_default().push(place + index);
            }
            self.all.extend(times.iter().map(|time| *time as u32));
            place
        }

        /// How many of `times`, from the first on, make the next run, and where.
        fn run(&mut self, times: &[i64]) -> (usize, usize) {
            let (place, count) = self.longest(times);
            if count >= 2 && count >= times.len().min(4) {
                return (place, count);
            }
            // New ones, until many that are there already begin.
            let many = |from: &usize| self.longest(&times[*from..]).1 >= 8;
            let count = (1..times.len()).find(many).unwrap_or(times.len());
            (self.push(&times[..count]), count)
        }
    }

    /// How many changes, from the first on, are to two settings in turn.
    fn in_turn(changes: &[(i64, u64)]) -> usize {
        let near = |index: usize| changes[index].0 - changes[0].0 < 1 << 32;
        let other = |index: usize| index >= 2 && changes[index].1 != changes[index - 2].1;
        (0..changes.len())
            .find(|&index| other(index) || !near(index))
            .unwrap_or(changes.len())
    }

    pub fn write() {
        let all = of_each_zone(changes);
        let (mut settings, mut places) = (Vec::new(), HashMap::new());
        let mut numbered: Vec<Vec<(i64, u64)>> = Vec::new();
        for changes in &all {
            let place = |(since, setting): &(Option<i64>, (i32, i64, Option<String>))| {
                let next = places.len() as u64;
                let place = *places.entry(setting.clone()).or_insert_with(|| {
                    let (ahead, saving, letters) = setting;
                    let letters = letters.as_deref().unwrap_or_default();
                    settings.extend(ahead.to_be_bytes());
                    settings.extend(i32::try_from(*saving).expect("hours").to_be_bytes());
                    settings.extend(letters.bytes().chain([0; 8]).take(8));
                    assert!(letters.len() <= 8, "{letters}");
                    next
                });
                assert!(place < 1 << 12);
                (since.unwrap_or(-1 << 35), place)
            };
            numbered.push(changes.iter().map(place).collect());
        }
        // Long ones first, whose times serve the others.
        let mut order: Vec<_> = numbered.iter().collect();
        order.sort_by_key(|changes| std::cmp::Reverse(changes.len()));
        let (mut runs, mut times) = (Vec::new(), Times::default());
        let mut held = HashMap::new();
        for changes in order {
            if held.contains_key(changes) {
                continue;
            }
            let first = runs.len() / 12;
            // What holds since ever is a run of its own.
            let (mut from, mut to) = (0, 1);
            while from < changes.len() {
                let rest = &changes[from..to];
                let moments: Vec<i64> = rest.iter().map(|(since, _)| *since).collect();
                let (place, count) = times.run(&moments);
                let (since, setting) = rest[0];
                let begin = ((since + (1 << 35)) as u64) << 12 | setting;
                runs.extend(&begin.to_be_bytes()[2..]);
                let other = rest.get(1).map_or(0, |(_, other)| *other as usize);
                for number in [other, place, count] {
                    runs.extend(u16::try_from(number).expect("few").to_be_bytes());
                }
                from += count;
                to = from + in_turn(&changes[from..]);
            }
            held.insert(changes, (first, runs.len() / 12 - first));
        }
        let (mut names, mut zones) = (String::new(), Vec::new());
        for (tz, changes) in TZ_VARIANTS.iter().zip(&numbered) {
            let name = tz.name();
            assert!(names.lines().all(|before| before < name), "{name} unsorted");
            let (first, count) = held[changes];
            zones.extend(u16::try_from(names.len()).expect("short").to_be_bytes());
            zones.push(u8::try_from(name.len()).expect("short"));
            for number in [first, count] {
                zones.extend(u16::try_from(number).expect("few").to_be_bytes());
            }
            names += name;
            names.push('\n');
        }
        let times: Vec<u8> = times
            .all
            .iter()
            .flat_map(|time| time.to_be_bytes())
            .collect();
        let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("src/scene/clocks");
        for (file, bytes) in [
            ("version.txt", IANA_TZDB_VERSION.as_bytes()),
            ("names.txt", names.as_bytes()),
            ("zones.bin", &zones),
            ("runs.bin", &runs),
            ("times.bin", &times),
            ("settings.bin", &settings),
        ] {
            fs::write(folder.join(file), bytes).expect("a file");
        }
    }
}

/// At an instant both say the same.
fn same_at(tz: Tz, zone: Zone, unix: i64) {
    let ours = zone.clock_at(moment(unix));
    let letters = ours.abbreviation.as_deref();
    let ours = (ours.offset_seconds, ours.saving_seconds, letters);
    theirs(tz, unix, |theirs| {
        assert_eq!(ours, theirs, "{tz} at {}", utc(unix));
    });
}

/// A local time means the same to both.
fn same_on_clocks(tz: Tz, zone: Zone, local: NaiveDateTime) {
    let ours = match zone.resolve(local) {
        LocalTime::Once(only) => vec![only],
        LocalTime::Twice(both) => both.map(|reading: LocalReading| reading.moment).to_vec(),
        LocalTime::Skipped(_) => Vec::new(),
    };
    let at = |time: DateTime<Tz>| Moment::from_utc(time.to_utc());
    let theirs = match tz.from_local_datetime(&local) {
        MappedLocalTime::Single(only) => vec![at(only)],
        MappedLocalTime::Ambiguous(first, second) => vec![at(first), at(second)],
        MappedLocalTime::None => Vec::new(),
    };
    assert_eq!(ours, theirs, "{tz} when clocks show {local}");
}

/// Every zone, every change of 1800 to 2199 and the seconds beside it, the local
/// times around it, and instants all through these years.
#[test]
fn the_clocks_in_the_program_are_those_of_the_crate() {
    if env::var_os("WRITE_DATA").is_some() {
        return writing::write();
    }
    assert_eq!(zone_data_version(), IANA_TZDB_VERSION);
    // Odd seconds, so that the instants fall on every hour of a day. Days enough
    // for summer times of a week, as in Boa Vista in 2000.
    let step = 3 * DAY + 4_391;
    let changes = of_each_zone(|tz| {
        let zone = Zone::named(tz.name()).expect("a zone of the crate");
        assert_eq!(zone.name(), tz.name());
        let mut changes = Vec::new();
        let mut at = YEARS.0;
        while at < YEARS.1 {
            same_at(tz, zone, at);
            let next = at + step;
            if same_for_them(tz, at, next) {
                at = next;
                continue;
            }
            let change = change_between(tz, at, next);
            let ahead = [change - 1, change].map(|unix| {
                same_at(tz, zone, unix);
                i64::from(theirs(tz, unix, |(ahead, ..)| ahead))
            });
            same_at(tz, zone, change + 1);
            for beside in ahead {
                for seconds in [-DAY, -1, 0, 1, DAY] {
                    same_on_clocks(tz, zone, utc(change + beside + seconds));
                }
            }
            same_on_clocks(tz, zone, utc(change + (ahead[0] + ahead[1]) / 2));
            if ahead[0] != ahead[1] {
                changes.push((moment(change), ahead[1] as i32));
            }
            at = change;
        }
        // Long before and after.
        for years in [-12_000, -1_500, -1_000, 1_000, 8_000] {
            same_at(tz, zone, years * 365 * DAY);
        }
        let ours = zone.offset_changes(moment(YEARS.0), moment(YEARS.1));
        assert_eq!(ours, changes, "{tz}");
        changes.len()
    });
    // Not all of them are without changes.
    assert!(changes.iter().sum::<usize>() > 30_000, "{changes:?}");
}

/// So a look each six hours, with which the changes were found, misses none.
#[test]
fn changes_are_days_apart() {
    let all = of_each_zone(|tz| {
        let zone = Zone::named(tz.name()).expect("a zone");
        let changes = zone.offset_changes(moment(YEARS.0), moment(YEARS.1));
        let apart = changes.windows(2).map(|pair| match pair {
            [first, second] => second.0.seconds() - first.0.seconds(),
            _ => f64::INFINITY,
        });
        apart.fold(f64::INFINITY, f64::min)
    });
    let least = all.into_iter().fold(f64::INFINITY, f64::min);
    assert!(least > 3.0 * DAY as f64, "{least}");
}

/// A time that is no full second falls on the nearest.
#[test]
fn times_between_seconds_are_rounded() {
    let zone = Zone::named("Europe/Zurich").expect("a zone");
    let changes = zone.offset_changes(moment(1_798_761_600), moment(1_814_400_000));
    let [(change, 7_200)] = changes.as_slice() else {
        panic!("{changes:?}");
    };
    assert_eq!(zone.offset_seconds_at(change.plus_seconds(-0.4)), 7_200);
    assert_eq!(zone.offset_seconds_at(change.plus_seconds(-0.6)), 3_600);
}
