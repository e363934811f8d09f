//! The events of an iCalendar file, as they are written.

use super::ical_time::IcalTime;
use super::read_ical::times;
use super::recurrence::Recurrence;
use crate::scene::ValueError;
use chrono::TimeDelta;

/// An event as it is written.
pub(super) struct Event {
    pub line: usize,
    pub uid: String,
    pub cancelled: bool,
    pub start: Option<(usize, IcalTime)>,
    pub end: Option<(usize, IcalTime)>,
    pub duration: Option<TimeDelta>,
    pub recurrence: Option<(usize, Recurrence<IcalTime>)>,
    pub more: Vec<IcalTime>,
    pub except: Vec<IcalTime>,
    /// Which occurrence of the event of the same name it replaces.
    pub replaces: Option<IcalTime>,
    /// Whether a part of it was refused.
    pub broken: bool,
}

/// The properties that are read.
const READ: [&str; 9] = [
    "DTSTART",
    "DTEND",
    "DURATION",
    "RRULE",
    "RDATE",
    "EXDATE",
    "RECURRENCE-ID",
    "STATUS",
    "UID",
];
/// The most times in RDATE and EXDATE of one event.
const MOST_TIMES: usize = 10_000;

impl Event {
    /// An event that begins on a line.
    pub fn at(line: usize) -> Self {
        Self {
            line,
            uid: String::new(),
            cancelled: false,
            start: None,
            end: None,
            duration: None,
            recurrence: None,
            more: Vec::new(),
            except: Vec::new(),
            replaces: None,
            broken: false,
        }
    }

    /// Whether a property is read.
    pub fn reads(name: &str) -> bool {
        READ.contains(&name) || name == "EXRULE"
    }

    /// Sets a property.
    ///
    /// # Errors
    ///
    /// A value that it cannot have.
    pub fn set(
        &mut self,
        line: usize,
        name: &str,
        parameters: &[(String, &str)],
        value: &str,
    ) -> Result<(), ValueError> {
        let set = self.set_known(line, name, parameters, value);
        self.broken |= set.is_err();
        set
    }

    fn set_known(
        &mut self,
        line: usize,
        name: &str,
        parameters: &[(String, &str)],
        value: &str,
    ) -> Result<(), ValueError> {
        let parameter = |wanted: &str| {
            let found = parameters.iter().find(|(name, _)| name == wanted);
            found.map(|(_, value)| *value)
        };
        let one = || IcalTime::parse(parameters, value);
        match name {
            "DTSTART" => self.start = Some((line, one()?)),
            "DTEND" => self.end = Some((line, one()?)),
            "DURATION" => self.duration = Some(duration(value)?),
            "RRULE" => {
                if self.recurrence.is_some() {
                    let error = ValueError::new("a second RRULE", "one for each event");
                    return Err(error.with_remedy("make an event of each"));
                }
                let rule = Recurrence::parse(value, |until| IcalTime::parse(&[], until))?;
                self.recurrence = Some((line, rule));
            }
            "RDATE" | "EXDATE" => {
                if parameter("VALUE").is_some_and(|kind| kind.eq_ignore_ascii_case("PERIOD")) {
                    let error = ValueError::new("VALUE=PERIOD", "days or times");
                    return Err(error.with_remedy("make an event of each period"));
                }
                let to = match name {
                    "RDATE" => &mut self.more,
                    _ => &mut self.except,
                };
                to.extend(times(parameters, value)?);
                if to.len() > MOST_TIMES {
                    let expected = format!("at most {MOST_TIMES} for an event");
                    return Err(ValueError::new("more times", expected));
                }
            }
            "RECURRENCE-ID" => {
                if parameter("RANGE").is_some() {
                    let error = ValueError::new("RANGE", "one occurrence that is replaced");
                    return Err(error.with_remedy("make two events of it"));
                }
                self.replaces = Some(one()?);
            }
            "EXRULE" => {
                let error = ValueError::new("EXRULE", "EXDATE for what is left out");
                return Err(error.with_remedy("give EXDATE instead, a date each"));
            }
            "STATUS" => self.cancelled = value.eq_ignore_ascii_case("CANCELLED"),
            "UID" => value.clone_into(&mut self.uid),
            _ => {}
        }
        Ok(())
    }
}

/// `P1D`, `PT1H30M`, `P2W` (RFC 5545, section 3.3.6).
fn duration(text: &str) -> Result<TimeDelta, ValueError> {
    let refuse = || {
        ValueError::new(text, "a length such as PT1H30M, P1D or P2W")
            .with_remedy("for example PT1H30M")
    };
    let rest = text.strip_prefix('+').unwrap_or(text);
    let rest = rest.strip_prefix('P').ok_or_else(refuse)?;
    let mut seconds: i64 = 0;
    let mut digits = String::new();
    let mut in_time = false;
    let mut any = false;
    for character in rest.chars() {
        let unit = match (character, in_time) {
            ('0'..='9', _) if digits.len() < 9 => {
                digits.push(character);
                continue;
            }
            ('T', false) if digits.is_empty() => {
                in_time = true;
                continue;
            }
            ('W', false) => 604_800,
            ('D', false) => 86_400,
            ('H', true) => 3600,
            ('M', true) => 60,
            ('S', true) => 1,
            _ => return Err(refuse()),
        };
        let number: i64 = digits.parse().map_err(|_| refuse())?;
        digits.clear();
        any = true;
        seconds = seconds.saturating_add(number.saturating_mul(unit));
    }
    let length = TimeDelta::try_seconds(seconds).filter(|_| any && digits.is_empty());
    length
        .filter(|length| length.num_days() <= 73_000)
        .ok_or_else(refuse)
}
