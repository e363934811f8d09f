//! How long the shutter may stay open before stars trail.

use super::{
    framing::{Orientation, Pointing, View},
    optics::Optics,
};

/// How fast the sky turns, arcseconds a second at declination 0.
///
/// # Source
/// One turn in a sidereal day of 86 164.0905 s.
pub const SIDEREAL_RATE_ARCSEC_S: f64 = 15.041_069;

/// Declination beyond which the shutter no longer grows, degrees.
///
/// Stars a few degrees from the pole stand in any frame centred on it; 5 deg
/// away is inside that of a 240 mm lens on 36 x 24 mm. The project's choice.
pub const DECLINATION_CAP_DEG: f64 = 85.0;

/// Trail allowed where none is named, pixels. The project's choice: about what
/// the full NPF rule allows with factor 1.5 to 2.
pub const DEFAULT_TRAIL_PX: f64 = 3.0;

/// How the longest shutter is found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TrailLimit {
    /// The full NPF rule with its factor, 1 strict to 3 lenient.
    Npf(f64),
    /// A trail of so many pixels on the axis.
    Pixels(f64),
}

impl TrailLimit {
    /// Longest shutter that keeps every star in the frame within the limit,
    /// seconds.
    ///
    /// From the declination at the frame's centre, degrees. The fastest star in
    /// the frame decides ([`fastest_in_frame_deg`]). Whatever prints a limit
    /// takes it from here.
    pub fn longest_shutter_s(self, optics: &Optics, centre_declination_deg: f64) -> f64 {
        let fastest_deg = fastest_in_frame_deg(optics, centre_declination_deg);
        match self {
            Self::Npf(factor) => shutter_npf_s(optics, fastest_deg, factor),
            Self::Pixels(pixels) => shutter_for_trail_s(optics, fastest_deg, pixels),
        }
    }
}

/// Arcseconds in a radian over a thousand: pixel scale for um over mm.
const ARCSEC_PER_UM_OVER_MM: f64 = 206.264_806_247_096_37;

fn capped_cos(declination_deg: f64) -> f64 {
    declination_deg
        .abs()
        .min(DECLINATION_CAP_DEG)
        .to_radians()
        .cos()
}

/// How far a star moves on the sky in an exposure.
///
/// From seconds and declination (degrees) to arcseconds; 0 at the pole.
pub fn trail_arcsec(shutter_s: f64, declination_deg: f64) -> f64 {
    SIDEREAL_RATE_ARCSEC_S
        * shutter_s
        * declination_deg
            .clamp(-90.0, 90.0)
            .to_radians()
            .cos()
            .max(0.0)
}

/// How long its trail is on the sensor.
///
/// From seconds and declination (degrees) to micrometres on the optical axis;
/// a rectilinear lens stretches it by up to 1/cos^2 of the angle off axis.
pub fn trail_um(optics: &Optics, shutter_s: f64, declination_deg: f64) -> f64 {
    optics.focal_mm() * trail_arcsec(shutter_s, declination_deg) / ARCSEC_PER_UM_OVER_MM
}

/// How long its trail is in pixels.
///
/// As [`trail_um`], over the pixel pitch.
pub fn trail_px(optics: &Optics, shutter_s: f64, declination_deg: f64) -> f64 {
    trail_um(optics, shutter_s, declination_deg) / optics.pixel_pitch_um()
}

/// Longest shutter that keeps trails within so many pixels.
///
/// From declination (degrees, capped at 85) and pixels (positive) to seconds;
/// on axis.
pub fn shutter_for_trail_s(optics: &Optics, declination_deg: f64, allowed_px: f64) -> f64 {
    allowed_px * optics.pixel_pitch_um() * ARCSEC_PER_UM_OVER_MM
        / (optics.focal_mm() * SIDEREAL_RATE_ARCSEC_S * capped_cos(declination_deg))
}

/// Longest shutter by the full NPF rule.
///
/// From declination (degrees, capped at 85) and the rule's factor (1 strict
/// to 3 lenient) to seconds.
///
/// # Source
/// F. Michaud, Societe Astronomique du Havre:
/// k (16.856 N + 0.0997 f + 13.713 p) / (f cos dec).
pub fn shutter_npf_s(optics: &Optics, declination_deg: f64, factor: f64) -> f64 {
    factor
        * (16.856 * optics.f_number()
            + 0.0997 * optics.focal_mm()
            + 13.713 * optics.pixel_pitch_um())
        / (optics.focal_mm() * capped_cos(declination_deg))
}

/// Longest shutter by the short NPF rule, seconds.
///
/// # Source
/// F. Michaud, Societe Astronomique du Havre: (35 N + 30 p) / f. About twice
/// the full rule's with factor 1.
pub fn shutter_npf_short_s(optics: &Optics) -> f64 {
    (35.0 * optics.f_number() + 30.0 * optics.pixel_pitch_um()) / optics.focal_mm()
}

/// Shutter by the 500 rule, seconds: 500 / (crop factor x focal length).
///
/// Common practice, no source. On 36 x 24 mm it trails 36.5 um at
/// declination 0.
pub fn shutter_500_s(optics: &Optics) -> f64 {
    500.0 / (optics.crop_factor() * optics.focal_mm())
}

/// How far the sky turns in a time: from seconds to degrees about the pole.
pub fn turn_deg(seconds: f64) -> f64 {
    SIDEREAL_RATE_ARCSEC_S * seconds / 3600.0
}

/// How long the sky takes for a turn: from degrees about the pole to seconds.
pub fn turn_s(degrees: f64) -> f64 {
    degrees * 3600.0 / SIDEREAL_RATE_ARCSEC_S
}

/// The declination whose stars move fastest in a lens's frame, degrees.
///
/// From the declination at the frame's centre, degrees, whose sign it has. The circle through the
/// frame's corners stands for the frame, so no way of holding the camera has a
/// faster star.
pub fn fastest_in_frame_deg(optics: &Optics, centre_declination_deg: f64) -> f64 {
    let view = View::new(optics, Orientation::Landscape, Pointing::new(0.0, 0.0));
    let fastest_deg = fastest_declination_deg(centre_declination_deg, 0.5 * view.diagonal_deg());
    // On the equator there is no sign.
    fastest_deg.copysign(centre_declination_deg) + 0.0
}

/// The declination in the frame whose stars move fastest.
///
/// From the frame centre's declination and the frame's half diagonal (degrees)
/// to the least absolute declination within it, degrees, 0..90.
pub fn fastest_declination_deg(centre_declination_deg: f64, half_diagonal_deg: f64) -> f64 {
    (centre_declination_deg.abs() - half_diagonal_deg.max(0.0)).clamp(0.0, 90.0)
}
