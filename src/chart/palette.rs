//! One ink on one ground.

/// The greys of a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Palette {
    /// Dark ink on white, for print.
    Light,
    /// Dim ink on black, for a screen in the dark.
    Dark,
}

impl Palette {
    fn pick(self, light: u8, dark: u8) -> u8 {
        match self {
            Self::Light => light,
            Self::Dark => dark,
        }
    }

    /// The paper.
    pub fn paper(self) -> String {
        grey(self.pick(255, 0))
    }

    /// Text and heavy lines.
    pub fn ink(self) -> String {
        grey(self.pick(17, 214))
    }

    /// Thin lines and textures.
    pub fn faint(self) -> String {
        grey(self.pick(68, 165))
    }

    /// Land, and bars behind text.
    pub fn land(self) -> String {
        grey(self.pick(205, 52))
    }

    /// Sky that is behind the camera.
    pub fn behind(self) -> String {
        grey(self.pick(236, 28))
    }

    /// The lit part of the Moon.
    pub fn lit(self) -> String {
        grey(self.pick(255, 214))
    }

    /// The unlit part of the Moon.
    pub fn unlit(self) -> String {
        grey(self.pick(60, 40))
    }

    /// The grey of a sky of this brightness, V mag/arcsec2: darkest at 22 and
    /// lightest at 13 (bright twilight). Between these it goes as the square, so
    /// that moonlight shows in a dark sky.
    pub fn sky(self, mag_arcsec2: f64) -> String {
        let dark = ((mag_arcsec2 - 13.0) / 9.0).clamp(0.0, 1.0).powi(2);
        let (bright_grey, dark_grey) = match self {
            Self::Light => (255.0, 150.0),
            Self::Dark => (78.0, 0.0),
        };
        grey((bright_grey + (dark_grey - bright_grey) * dark).round() as u8)
    }
}

fn grey(level: u8) -> String {
    format!("#{level:02x}{level:02x}{level:02x}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance of a grey, WCAG 2.2.
    fn luminance(color: &str) -> f64 {
        let level = u8::from_str_radix(&color[1..3], 16).expect("a grey");
        let c = f64::from(level) / 255.0;
        if c <= 0.04045 {
            c / 12.92
        } else {
            ((c + 0.055) / 1.055).powf(2.4)
        }
    }

    #[test]
    fn ink_is_readable_on_every_ground() {
        // WCAG 2.2, success criteria 1.4.3 (4.5:1, text) and 1.4.11 (3:1,
        // lines that carry meaning).
        for palette in [Palette::Light, Palette::Dark] {
            let skies = (12..=23).map(|mag| palette.sky(f64::from(mag)));
            for ground in skies.chain([palette.paper(), palette.land(), palette.behind()]) {
                let ratio = |color: &str| {
                    let (a, b) = (luminance(color), luminance(&ground));
                    (a.max(b) + 0.05) / (a.min(b) + 0.05)
                };
                assert!(ratio(&palette.ink()) >= 4.5, "{palette:?} {ground}");
                assert!(ratio(&palette.faint()) >= 3.0, "{palette:?} {ground}");
            }
        }
    }
}
