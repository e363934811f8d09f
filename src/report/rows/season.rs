//! A night of a season, as a record: what it offers, or what prevents it.

use super::site::{LATITUDE, LONGITUDE, NO_VIEW, VIEW_DOC};
use crate::{
    report::row::{Field, Range, RowKind},
    scene::{LightKind, Site},
    search::{NightMark, Window},
};
use chrono::{Datelike, NaiveDateTime};

/// A night of a season at a site.
#[derive(Debug, Clone, Copy)]
pub struct SeasonNight<'a> {
    /// The site.
    pub site: &'a Site,
    /// What the night offers.
    pub mark: &'a NightMark,
    /// The letter of the rule that leaves no time; empty where there is a
    /// window.
    pub letter: &'a str,
    /// What that letter means.
    pub text: &'a str,
}

/// Nights of seasons.
#[derive(Debug, Clone, Copy)]
pub struct SeasonNights;

impl RowKind for SeasonNights {
    type Of<'a> = SeasonNight<'a>;
}

impl<'a> SeasonNight<'a> {
    fn window(&self) -> Option<&'a Window> {
        self.mark.found.as_ref().map(|(_, window)| window)
    }

    fn local(&self, moment: fn(&Window) -> crate::ephemeris::Moment) -> Option<NaiveDateTime> {
        Some(self.site.zone.local(moment(self.window()?)))
    }
}

/// Days of the week as `--weekdays` takes them.
const WEEKDAYS: &[&str] = &["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

const NO_WINDOW: &str = "the night has no window";
const A_WINDOW: &str = "the night has a window";

type F = Field<SeasonNights>;

/// The fields of a night.
pub static NIGHT: &[F] = &[
    F::text("site", |n| Some(&n.site.name)).doc("name of the site"),
    F::text("view", |n| n.site.view.as_deref())
        .empty(NO_VIEW)
        .doc(VIEW_DOC),
    F::exact("latitude_deg", |n| Some(n.site.latitude_deg))
        .range(LATITUDE)
        .doc("of the camera, WGS84, degrees, north positive"),
    F::exact("longitude_deg", |n| Some(n.site.longitude_deg))
        .range(LONGITUDE)
        .doc("of the camera, WGS84, degrees, east positive"),
    F::text("time_zone", |n| Some(n.site.zone.name()))
        .doc("of the site: name in the IANA database, or an offset from UTC such as +05:30"),
    F::date("night", |n| Some(n.mark.night.date)).doc("YYYY-MM-DD, the civil date of the evening"),
    F::word("weekday", WEEKDAYS, |n| {
        let day = n.mark.night.date.weekday().num_days_from_monday();
        WEEKDAYS.get(day as usize).copied()
    })
    .doc("day of the week of that date"),
    F::word("light", LightKind::WORDS, |n| Some(n.mark.found.as_ref()?.0.word()))
        .empty(NO_WINDOW)
        .doc(
            "kind of light of the night's best window: the best of all kinds that `--light` or \
             `--prefer` asks for; without them of the first of raking, blend, dark that has one",
        ),
    F::text("brief", |n| n.window()?.brief.as_deref())
        .empty("no window, or no brief file")
        .doc("name of the brief file that asked for it"),
    F::number("score", 1, |n| Some(n.window()?.score))
        .range(Range::Within(0.0, 100.0))
        .empty(NO_WINDOW)
        .doc("its score, 0 to 100"),
    F::local("start_local", |n| n.local(|w| w.interval.first()))
        .empty(NO_WINDOW)
        .doc("its start; YYYY-MM-DD HH:MM:SS, site's zone; of a `blend` that of the dark period"),
    F::local("end_local", |n| n.local(|w| w.interval.last()))
        .empty(NO_WINDOW)
        .doc("its end"),
    F::local("best_local", |n| n.local(|w| w.best.moment()))
        .empty(NO_WINDOW)
        .doc("its best instant"),
    F::offset("utc_offset", |n| {
        let best = n.window()?.best.moment();
        Some(n.site.zone.offset_seconds_at(best))
    })
    .empty(NO_WINDOW)
    .doc("+HH:MM at the best instant"),
    F::utc("start_utc", |n| Some(n.window()?.interval.first()))
        .empty(NO_WINDOW)
        .doc("start; RFC 3339 with Z"),
    F::utc("end_utc", |n| Some(n.window()?.interval.last()))
        .empty(NO_WINDOW)
        .doc("end; RFC 3339 with Z"),
    F::utc("best_utc", |n| Some(n.window()?.best.moment()))
        .empty(NO_WINDOW)
        .doc("best instant; RFC 3339 with Z"),
    F::number("minutes", 1, |n| Some(n.window()?.interval.minutes()))
        .range(Range::AtLeast(0.0))
        .empty(NO_WINDOW)
        .doc("length, minutes"),
    F::whole("windows", |n| i64::try_from(n.mark.windows).ok())
        .range(Range::AtLeast(0.0))
        .doc("windows of that kind in the night"),
    F::text("failing_rule", |n| Some(n.mark.unmet?.key))
        .empty(A_WINDOW)
        .doc(
            "the first rule that leaves no time, of the first kind of light asked; its key, with - \
             for _ its option",
        ),
    F::text("failing_letter", |n| some(n.letter))
        .empty(A_WINDOW)
        .doc("the letter that stands for it in the text of `--season`"),
    F::text("failing_text", |n| some(n.text))
        .empty(A_WINDOW)
        .doc("what that letter means, in words"),
    F::number("moon_fraction", 3, |n| Some(n.mark.moon_fraction))
        .range(Range::Within(0.0, 1.0))
        .doc("lit part of the Moon's disc in the middle of the night, 0 to 1"),
    F::utc("new_moon_utc", |n| n.mark.new_moon)
        .empty("before the first new Moon of 1900")
        .doc("last new Moon before the middle of the night, which names the lunar month; RFC 3339 with Z"),
    F::number("moon_age_days", 2, |n| n.mark.moon_age_days())
        .range(Range::AtLeast(0.0))
        .empty("before the first new Moon of 1900")
        .doc("days from that new Moon to the middle of the night"),
];

fn some(text: &str) -> Option<&str> {
    (!text.is_empty()).then_some(text)
}
