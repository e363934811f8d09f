//! Conditions of the light for tests of what always holds.

use proptest::prelude::*;
use rakelight::light::LightInput;

/// Conditions a night can have.
pub fn night() -> impl Strategy<Value = LightInput> {
    (
        (-90.0..-18.0, -20.0..90.0, 0.0..360.0, 0.0..180.0),
        (350_000.0..410_000.0, 0.0..90.0, 0.0..360.0, 0.3..180.0),
        (17.5..22.1, 0.05..0.6, 0.02..0.9),
        (
            56.0..3000.0,
            prop_oneof![Just(0.0), 0.0..1e-3],
            prop_oneof![Just(-90.0), 0.0..30.0],
            prop_oneof![Just(0.0), 0.0..12.0],
        ),
    )
        .prop_map(|(a, b, c, d)| LightInput {
            sun_altitude_deg: a.0,
            moon_altitude_deg: a.1,
            moon_azimuth_deg: a.2,
            moon_phase_angle_deg: a.3,
            moon_distance_km: b.0,
            target_altitude_deg: b.1,
            target_azimuth_deg: 180.0,
            facing_deg: b.2,
            moon_target_separation_deg: b.3,
            zenith_mag_arcsec2: c.0,
            extinction_mag: c.1,
            reflectance: c.2,
            zodiacal_s10: d.0,
            glow_cd_m2: d.1,
            skyline_altitude_deg: d.2,
            eclipse_drop_mag: d.3,
            ..LightInput::default()
        })
}
