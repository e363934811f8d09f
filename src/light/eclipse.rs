//! What the Earth's shadow leaves of the moonlight.

use super::interpolation::{between, cell};

/// Umbral magnitudes at which the law is given. The first is the first touch
/// of the penumbra, for the Moon at 0.259 and the Sun at 0.267 deg.
const MAGNITUDES: [f64; 25] = [
    -1.05, -0.8, -0.6, -0.4, -0.2, 0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 1.0,
    1.05, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6, 1.8,
];
const DROPS_MAG: [f64; 25] = [
    0.0, 0.01, 0.05, 0.16, 0.37, 0.73, 0.98, 1.28, 1.64, 2.08, 2.61, 3.29, 4.19, 5.46, 7.47, 8.71,
    9.27, 9.65, 9.96, 10.47, 10.87, 11.19, 11.46, 11.66, 11.89,
];

/// How much fainter the Moon is in the Earth's shadow than outside.
///
/// From the umbral magnitude (share of the Moon's diameter in the umbra, 0 at
/// first contact, 1 at the beginning of totality, negative in the penumbra
/// alone) to magnitudes: 0 outside the penumbra, 0.73 at first contact, 9.3
/// just total, 11.9 from 1.8 up. For the disc and for moonlight alike.
/// Continuous, never falls. Good to a magnitude in totality; after a large
/// volcanic eruption totality can be darker by magnitudes. The same umbral
/// magnitude with another distance of Moon or Sun gives up to 0.1 mag else.
///
/// # Source
/// The project's law, between the values of its table: sunlight past the limb
/// of the Earth, the Sun darkened toward its own limb, and in the umbra
/// sunlight bent by the air, 500 times fainter at its edge (Espenak & Meeus,
/// *Five Millennium Catalog of Lunar Eclipses*, NASA), falling inward as
/// fitted to measured eclipses.
pub fn eclipse_drop_mag(umbral_magnitude: f64) -> f64 {
    let (lower, along) = cell(&MAGNITUDES, umbral_magnitude);
    between(DROPS_MAG[lower], DROPS_MAG[lower + 1], along)
}
