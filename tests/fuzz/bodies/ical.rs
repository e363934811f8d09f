//! iCalendar files.

use super::times;

pub fn run(data: &[u8]) {
    times::check("c.ics", data);
}
