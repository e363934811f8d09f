//! Finds nights for landscape photographs of the Milky Way, above all nights
//! when a low Moon lights the foreground from the side.
//!
//! A [`Planner`] combines a [`Site`], a [`Brief`] of rules and some [`Dates`].
//! It owns its data, can be shared between threads, and answers questions about
//! windows, nights and instants; a question it cannot answer gives a
//! [`PlanError`]. To plan many sites over the same dates, fit the sky once as a
//! [`Season`].
//!
//! Altitudes and azimuths are degrees, azimuths from true north through east;
//! a value in another unit has it in its name (`_km`, `_lux`, `_mag_arcsec2`).
//! A [`Moment`] is UTC. Dates may be from 1900 to 2099. `docs/accuracy.md` says
//! how good the numbers are, `docs/model.md` where they come from.
//!
//! # In ten lines
//!
//! ```
#![doc = include_str!("../examples/ten_lines.rs")]
//! ```
//!
//! # A night, and an instant
//!
//! ```
#![doc = include_str!("../examples/one_night.rs")]
//! ```

// The layers, each of which knows only those before it. They are public for
// the program and the tests; what callers need is exported below.
mod csv_style;
mod figure;
#[doc(hidden)]
pub mod parallel;
#[doc(hidden)]
pub mod plain_words;
mod serial;
mod turn;

#[doc(hidden)]
pub mod ephemeris;
#[doc(hidden)]
pub mod terrain;

#[doc(hidden)]
pub mod scene;

#[doc(hidden)]
pub mod light;

pub mod rule;

#[doc(hidden)]
pub mod input;

#[doc(hidden)]
pub mod search;

#[doc(hidden)]
pub mod why;

#[doc(hidden)]
pub mod plan;

#[doc(hidden)]
pub mod report;

#[doc(hidden)]
pub mod chart;

pub use csv_style::CsvStyle;
pub use ephemeris::{
    Arch, Direction, Eclipse, EclipseKind, Event, EventKind, Horizontal, Moment, MoonPhase,
    SkyState,
};
pub use figure::Figure;
pub use input::{
    Fault, Faults, demo_site, parse_site, parse_sites, read_brief, read_brief_file,
    read_site_table, read_sites, site_table_template, site_template,
};
pub use light::{
    Assessment, Exposure, ExposureAims, ExposureQuestion, ExposureSheet, IsoRange, LandAims,
    LandFrame, LightError, NotOneFrame, Optics, Orientation, Panorama, PanoramaSpan, Reach,
    StarTrails, TimeLapse, TimeLapseAims, Tracked, TrailLength, TrailLimit,
};
pub use plan::{
    Caution, LightChange, NightEvent, NightPlan, NightStep, Periods, PlanSettings, TimetableEntry,
    chance_in_one_weather, chance_of_at_least,
};
pub use rule::{Brief, Conditions, Measure, NoCamera, NoSubject, Rules, RulesError};
pub use scene::{
    Air, AzimuthBand, Band, Camera, Climate, ClockBand, DarkSky, DateError, Dates, Facing,
    Forecast, Framing, LightKind, LightKinds, MoonInFrame, OwnValues, Preferences, Side, Site,
    SiteError, Skyline, Subject, SubjectPlace, SubjectShape, TargetPlace, ValueError, Weights,
    Zone, parse_date,
};
pub use search::{
    CalendarPeriod, Caveats, Factors, FramePlan, FrameSettings, FramedAs, Interval, Intervals,
    Lunation, MoonlitPeriod, Night, NightMark, Order, PlanError, Planner, Season, Selection,
    SpareNights, SparePlace, SparePlaces, Window, lunations, months, rank_together, season_nights,
    spare_nights, spare_places, years,
};
pub use terrain::{ElevationMosaic, MagneticField, SkylineProfile};
pub use why::{
    Admission, Advice, BearingResult, BearingSector, Compared, Hindrance, Loosening, Miss,
    NearMiss, NightReasons, Rejections, RuleAdvice, RuleThrough, Variant, VaryError, WindowEnds,
};
