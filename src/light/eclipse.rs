//! What the Earth's shadow leaves of the moonlight.

/// The Moon in the Earth's shadow at an instant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum MoonEclipse {
    /// No eclipse.
    #[default]
    None,
    /// In the penumbra only: said, but counted as full moonlight.
    Penumbral,
    /// Partly or wholly in the umbra: counted as no moonlight.
    Umbral,
}

impl MoonEclipse {
    /// Part of the uneclipsed moonlight that is counted, 0 or 1.
    ///
    /// The project's choice: the depth of the light in an umbral eclipse
    /// depends on dust in the stratosphere and is not predicted here.
    pub fn moonlight_factor(self) -> f64 {
        match self {
            Self::None | Self::Penumbral => 1.0,
            Self::Umbral => 0.0,
        }
    }
}
