//! Where the Sun, the Moon and the galaxy stand.

mod bounded;
mod direction;
mod moment;
mod moon_phase;
mod observer;
mod refraction;
mod search;
mod span;
mod time_scale;
mod track;

pub use direction::{Direction, separation_deg};
pub use bounded::Reading;
pub use moment::Moment;
pub use moon_phase::MoonPhase;
pub use observer::{LocalFrame, Observer, SKY_RATE, altitude_deg, azimuth_deg};
pub use refraction::Refraction;
pub use span::{Span, StarTrack};
pub use time_scale::tt_minus_utc_seconds;
