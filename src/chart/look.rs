//! What a picture is drawn for: its greys, its width, its place among others.

use super::Palette;

/// What a picture is drawn for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Look {
    /// Its greys.
    pub palette: Palette,
    /// How wide it is.
    pub size: Size,
    /// Its number, from 1, among the pictures of its kind on one page.
    pub number: usize,
}

impl Look {
    /// The only picture of its kind on its page.
    pub fn new(palette: Palette, size: Size) -> Self {
        Self {
            palette,
            size,
            number: 1,
        }
    }

    /// The picture of this number, from 1, of its kind on one page: each then
    /// finds its own textures.
    #[must_use]
    pub fn numbered(self, number: usize) -> Self {
        Self { number, ..self }
    }
}

/// How wide a picture is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Size {
    /// As wide as a sheet of A4 (ISO 216) within margins of 10 mm: 718 of its
    /// pixels.
    A4,
    /// As wide as the screen of a small phone: 390 pixels (common practice, no
    /// source).
    Phone,
}

impl Size {
    /// Pixels from the edge of the sheet to what is drawn on it.
    pub const MARGIN: f64 = 14.0;

    /// Width of the sheet, pixels at 96 per inch.
    pub fn width(self) -> f64 {
        match self {
            Self::A4 => 718.0,
            Self::Phone => 390.0,
        }
    }

    /// Height of one sheet of paper within margins of 10 mm, pixels; `None` for a
    /// screen, which scrolls.
    pub fn sheet_height(self) -> Option<f64> {
        match self {
            Self::A4 => Some(1047.0),
            Self::Phone => None,
        }
    }

    /// Left edge of what is drawn, pixels.
    pub fn left(self) -> f64 {
        Self::MARGIN
    }

    /// Right edge of what is drawn, pixels.
    pub fn right(self) -> f64 {
        self.width() - Self::MARGIN
    }

    /// The smallest type, pixels: 7 points in print, 11 pixels on a screen.
    pub fn least_type(self) -> f64 {
        match self {
            Self::A4 => 7.0 / 72.0 * 96.0,
            Self::Phone => 11.0,
        }
    }
}
