//! What a photograph says about when, where and with which settings it was taken.

use super::fixed_offset::{offset_name, offset_text};
use super::value_error::ValueError;
use super::zone::Zone;
use crate::ephemeris::Moment;
use chrono::NaiveDateTime;

/// What a photograph says about itself; each fact may be missing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[non_exhaustive]
pub struct Photo {
    /// What the camera's clock showed as the shutter opened.
    pub clock: Option<NaiveDateTime>,
    /// Minutes by which the camera thought that clock ahead of UTC, 14 hours at
    /// most.
    pub offset_minutes: Option<i32>,
    /// The time of its satellite receiver, to the second.
    pub gps_time: Option<NaiveDateTime>,
    /// Latitude and longitude, degrees, north and east positive.
    pub place_deg: Option<(f64, f64)>,
    /// Height above the sea, metres.
    pub elevation_m: Option<f64>,
    /// Focal length, millimetres.
    pub focal_mm: Option<f64>,
    /// f-number.
    pub f_number: Option<f64>,
    /// Exposure time, seconds.
    pub shutter_s: Option<f64>,
    /// ISO speed.
    pub iso: Option<u32>,
}

/// Which time of a photograph counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum PhotoTimeFrom {
    /// The user says another.
    Given,
    /// That of the satellite receiver.
    Gps,
    /// The camera's clock, with the offset that the camera gives.
    Offset,
    /// The camera's clock, read in the zone of the place.
    Zone,
}

impl PhotoTimeFrom {
    /// In one word, for machines.
    pub const WORDS: &'static [&'static str] = &["given", "gps", "offset", "zone"];

    /// Its word of [`Self::WORDS`].
    pub fn word(self) -> &'static str {
        match self {
            Self::Given => "given",
            Self::Gps => "gps",
            Self::Offset => "offset",
            Self::Zone => "zone",
        }
    }
}

/// When a photograph was taken, and how its clocks disagree.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PhotoTime {
    /// The time that counts.
    pub moment: Moment,
    /// Where it comes from.
    pub from: PhotoTimeFrom,
    /// Seconds by which the camera's clock was ahead of that time, where the
    /// photograph has a clock: read with its offset, else in the zone.
    pub clock_ahead_s: Option<f64>,
    /// Seconds by which the zone of the place was ahead of UTC.
    pub zone_offset_s: i32,
}

/// A camera's clock may be so far from the true time without a word, seconds.
const CLOCK_TOLERANCE_S: f64 = 60.0;

impl PhotoTime {
    /// A time that the user gives instead.
    pub fn given(photo: &Photo, moment: Moment, zone: Zone) -> Self {
        Self {
            moment,
            from: PhotoTimeFrom::Given,
            clock_ahead_s: photo.ahead_of(moment, zone),
            zone_offset_s: zone.offset_seconds_at(moment),
        }
    }

    /// Seconds by which the camera's clock was ahead, if that is more than a
    /// minute.
    pub fn clock_wrong_by_s(&self) -> Option<f64> {
        self.clock_ahead_s
            .filter(|seconds| seconds.abs() > CLOCK_TOLERANCE_S)
    }
}

impl Photo {
    /// When it was taken at a place in `zone`: the receiver's time if there is
    /// one, else the camera's clock with its offset, else that clock in the
    /// zone; to the second.
    ///
    /// # Errors
    ///
    /// No time; one before 1900 or after 2099; a local time that a clock change
    /// skips or repeats.
    pub fn time(&self, zone: Zone) -> Result<PhotoTime, ValueError> {
        let (moment, from) = if let Some(utc) = self.gps_time {
            let text = format!("{}Z", utc.format("%Y-%m-%dT%H:%M:%S"));
            (zone.parse_time(&text)?, PhotoTimeFrom::Gps)
        } else {
            let clock = self.clock.ok_or_else(|| {
                ValueError::new("a photo that does not say when it was taken", "a time")
            })?;
            let local = clock.format("%Y-%m-%dT%H:%M:%S%.f");
            match self.offset_minutes.and_then(offset_name) {
                Some(offset) => (
                    zone.parse_time(&format!("{local}{offset}"))?,
                    PhotoTimeFrom::Offset,
                ),
                None => (zone.parse_time(&local.to_string())?, PhotoTimeFrom::Zone),
            }
        };
        Ok(PhotoTime {
            moment,
            from,
            clock_ahead_s: self.ahead_of(moment, zone),
            zone_offset_s: zone.offset_seconds_at(moment),
        })
    }

    /// Seconds by which the camera's clock is ahead of a time, read with its own
    /// offset, else as clocks in `zone` were then.
    fn ahead_of(&self, moment: Moment, zone: Zone) -> Option<f64> {
        let offset_s = self
            .offset_minutes
            .map_or(zone.offset_seconds_at(moment), |minutes| 60 * minutes);
        let shown = Moment::from_utc(self.clock?.and_utc()).plus_seconds(-f64::from(offset_s));
        Some(shown.seconds() - moment.seconds())
    }

    /// The offset that the camera gives and that of the zone at that time, where
    /// they differ: `+02:00` and `+01:00`.
    pub fn offsets_that_differ(&self, time: &PhotoTime) -> Option<(String, String)> {
        let camera_s = 60 * self.offset_minutes?;
        (camera_s != time.zone_offset_s)
            .then(|| (offset_text(camera_s), offset_text(time.zone_offset_s)))
    }
}
