//! Magnitudes, luminance, illuminance and exposure values.

use std::f64::consts::{LN_10, LOG2_E, PI};

/// Luminance of a sky of 0 mag/arcsec2, cd/m2.
///
/// # Source
/// The V-band convention L = 10.8e4 x 10^(-0.4 V) of night-sky meters.
pub const ZERO_MAG_CD_M2: f64 = 10.8e4;

/// One nanolambert in cd/m2, by the definition of the lambert.
pub const NANOLAMBERT_CD_M2: f64 = 1e-5 / PI;

/// One foot-candle in lux, by the definition of the foot.
pub const FOOT_CANDLE_LUX: f64 = 10.763_910_416_709_722;

/// Surface brightness of one star of magnitude 10 on each square degree, V
/// mag/arcsec2: the S10 of sky brightness.
///
/// # Source
/// Leinert, Ch. et al., *A&AS* 127, 1 (1998), table 2.
pub const S10_MAG_ARCSEC2: f64 = 27.78;

/// Luminance of one S10, cd/m2: [`S10_MAG_ARCSEC2`] on the scale of
/// [`ZERO_MAG_CD_M2`].
pub const S10_CD_M2: f64 = 8.345e-7;

/// Luminance of an EV100 of 0, cd/m2: K / 100 with K = 12.5.
///
/// # Source
/// ISO 2720:1974, reflected-light calibration constant.
pub const EV100_ZERO_CD_M2: f64 = 0.125;

/// Illuminance of an EV100 of 0, lux: C / 100 with C = 250.
///
/// # Source
/// ISO 2720:1974, incident-light calibration constant of a flat receptor.
pub const EV100_ZERO_LUX: f64 = 2.5;

/// Part of the light left after dimming by so many magnitudes.
///
/// Dimensionless, 10^(-0.4 mag): the definition of the magnitude (Pogson 1856).
pub fn dimmed_by_mag(magnitudes: f64) -> f64 {
    (-0.4 * LN_10 * magnitudes).exp()
}

/// Luminance of a surface brightness.
///
/// From V mag/arcsec2 to cd/m2. Source: see [`ZERO_MAG_CD_M2`].
pub fn luminance_cd_m2(mag_arcsec2: f64) -> f64 {
    ZERO_MAG_CD_M2 * dimmed_by_mag(mag_arcsec2)
}

/// Surface brightness of a luminance.
///
/// From cd/m2 (positive) to V mag/arcsec2. Source: see [`ZERO_MAG_CD_M2`].
pub fn mag_arcsec2(luminance_cd_m2: f64) -> f64 {
    -2.5 * (luminance_cd_m2 / ZERO_MAG_CD_M2).log10()
}

/// Luminance of a surface brightness on Krisciunas and Schaefer's own scale.
///
/// From V mag/arcsec2 to nanolamberts; 0.4 % above [`luminance_cd_m2`].
///
/// # Source
/// Krisciunas & Schaefer, *PASP* 103, 1033 (1991), eq. 1.
pub fn nanolamberts(mag_arcsec2: f64) -> f64 {
    34.08 * (20.7233 - 0.92104 * mag_arcsec2).exp()
}

/// Inverse of [`nanolamberts`].
///
/// From nanolamberts (positive) to V mag/arcsec2.
///
/// # Source
/// Krisciunas & Schaefer, *PASP* 103, 1033 (1991), eq. 1.
pub fn mag_arcsec2_of_nanolamberts(nanolamberts: f64) -> f64 {
    (20.7233 - (nanolamberts / 34.08).ln()) / 0.92104
}

/// Surface brightness of so many S10.
///
/// From S10 (positive) to V mag/arcsec2. Source: see [`S10_MAG_ARCSEC2`].
pub fn s10_to_mag_arcsec2(s10: f64) -> f64 {
    S10_MAG_ARCSEC2 - 2.5 * s10.log10()
}

/// Luminance of so many S10.
///
/// From S10 to cd/m2. Source: see [`S10_CD_M2`].
pub fn s10_to_cd_m2(s10: f64) -> f64 {
    S10_CD_M2 * s10
}

/// Exposure value at ISO 100 that renders a luminance as mid-tone.
///
/// From cd/m2 (positive) to EV100. Source: see [`EV100_ZERO_CD_M2`].
pub fn ev100_of_luminance(luminance_cd_m2: f64) -> f64 {
    (luminance_cd_m2 / EV100_ZERO_CD_M2).log2()
}

/// Exposure value at ISO 100 that an incident-light meter shows.
///
/// From lux (positive) to EV100. Source: see [`EV100_ZERO_LUX`].
pub fn ev100_of_illuminance(illuminance_lux: f64) -> f64 {
    (illuminance_lux / EV100_ZERO_LUX).log2()
}

/// Exposure value at ISO 100 of camera settings.
///
/// log2(N^2 / t) - log2(S / 100), all arguments positive; lower lets more
/// light count.
///
/// # Source
/// ISO 2720:1974.
pub fn ev100_of_settings(f_number: f64, shutter_s: f64, iso: f64) -> f64 {
    (f_number * f_number / shutter_s).log2() - (iso / 100.0).log2()
}

/// Luminance of a matt surface under a given illuminance.
///
/// From reflectance (0 to 1) and lux to cd/m2, E r / pi: Lambert's law.
pub fn diffuse_luminance_cd_m2(illuminance_lux: f64, reflectance: f64) -> f64 {
    illuminance_lux * reflectance / PI
}

/// Stops from luminance `b` up to luminance `a`.
///
/// log2(a / b), both positive and in one unit; negative where `a` is darker.
pub fn stops_between(a: f64, b: f64) -> f64 {
    (a / b).ln() * LOG2_E
}
