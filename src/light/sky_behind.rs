//! What the sky behind the target is made of.

use super::milky_way;

/// The sky behind the target, part by part, cd/m2.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct SkyBehind {
    /// Without Moon and twilight: airglow, starlight, zodiacal light, towns.
    pub dark_cd_m2: f64,
    /// Scattered moonlight.
    pub moonlit_cd_m2: f64,
    /// Twilight.
    pub twilight_cd_m2: f64,
    /// The Milky Way before it, as it reaches the ground; `None` where it is
    /// not known.
    pub milky_way_cd_m2: Option<f64>,
}

impl SkyBehind {
    /// All of it but the Milky Way, cd/m2.
    pub fn sky_cd_m2(&self) -> f64 {
        self.dark_cd_m2 + self.moonlit_cd_m2 + self.twilight_cd_m2
    }

    /// Luminance of the Milky Way over that of the sky before it.
    pub fn contrast(&self) -> Option<f64> {
        let milky_way = self.milky_way_cd_m2?;
        Some(milky_way::contrast(milky_way, self.sky_cd_m2()))
    }
}
