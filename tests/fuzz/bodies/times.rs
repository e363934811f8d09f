//! Tables of times, lists of dates and logs.

use super::{pieces::Pieces, said};
use rakelight::{
    input::{Faults, read_calendar, read_log},
    scene::{Calendar, Zone},
};

pub fn run(data: &[u8]) {
    check("t.csv", data);
    if let Err(faults) = read_log("log.csv", data) {
        said::check_faults(&faults);
    }
}

/// Reads a file of evenings and periods in one piece and in several.
pub fn check(file: &str, data: &[u8]) {
    let read = read_calendar(file, data);
    for size in [1, 7] {
        let again = read_calendar(file, Pieces(data, size));
        assert_eq!(again, read, "by {size} bytes");
    }
    match &read {
        Ok(calendar) => hold(calendar),
        Err(faults) => refused(faults),
    }
}

fn refused(faults: &Faults) {
    said::check_faults(faults);
}

/// What is true of any calendar.
fn hold(calendar: &Calendar) {
    let Some([first, last]) = calendar.reach() else {
        assert!(calendar.is_empty());
        return;
    };
    assert!(first <= last, "{first} to {last}");
    let [before, after] = [first.pred_opt(), last.succ_opt()];
    for outside in [before, after].into_iter().flatten() {
        assert!(!calendar.has_evening(outside), "{outside}");
    }
    let zone = Zone::named("Australia/Lord_Howe").expect("a zone");
    for date in [first, last] {
        for [from, to] in calendar.periods_near(zone, date).take(100) {
            assert!(from.seconds().is_finite() && to.seconds().is_finite());
        }
    }
}
