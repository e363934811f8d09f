//! Calendars, read by other libraries and brought up to date.

#[path = "../common/calendar.rs"]
mod calendar;
#[path = "../common/program.rs"]
mod program;
mod property;
mod read_back;
mod recurrence;
mod trips;
mod update;
mod zones;
