//! How much memory a long forecast takes, alone in its process: no other test
//! may hold any beside it.
#![cfg(target_os = "linux")]

#[path = "common/endless.rs"]
mod endless;
#[path = "common/memory.rs"]
mod memory;

use endless::Endless;
use memory::most_memory;
use rakelight::{Moment, input::read_forecast};

/// A file of a million rows, made as it is read: of those outside the period
/// nothing is kept, and no more rows inside it than fit in some megabytes.
#[test]
fn a_forecast_of_any_length_takes_little_memory() {
    let moment = |text: &str| Moment::from_utc(text.parse().expect("a time"));
    let period = ["2027-05-20T00:00:00Z", "2027-05-21T00:00:00Z"].map(moment);
    let file = |again: &'static [u8]| Endless {
        begin: b"time_utc,cloud\n2027-05-20T01:00Z,40\n",
        again,
        times: 1_000_000,
        end: b"2027-05-20T02:00Z,60\n",
        at: 0,
    };
    let before = most_memory();
    let read = read_forecast("f.csv", file(b"2031-05-20T01:00Z,7\n"), period).expect("a good file");
    let cloud = read.of.of("").expect("every site");
    let at = cloud.cloud_percent_at(moment("2027-05-20T01:30:00Z"));
    assert_eq!(at, Some(50.0));
    let taken = most_memory() - before;
    assert!(taken < 8 << 20, "{taken} bytes");
    let faults =
        read_forecast("f.csv", file(b"2027-05-20T03:00Z,7\n"), period).expect_err("too many");
    assert_eq!(
        faults.to_string(),
        "f.csv:500002: found more rows, expected at most 500000 rows in range; ask about fewer \
         nights, or keep the sites that are needed"
    );
    let taken = most_memory() - before;
    assert!(taken < 64 << 20, "{taken} bytes");
}
