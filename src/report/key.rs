//! What the columns of a table mean, in the lines below it.

use super::wrap::write_note;
use std::io::{self, Write};

/// A table whose columns a note explains.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Key {
    /// How the frames of windows are written.
    Frames,
    /// The positions of an instant.
    Sky,
    /// The positions of an instant with the Moon as target.
    SkyOfMoon,
    /// An exposure sheet.
    Exposure,
    /// Lenses side by side.
    Lenses,
    /// What each value of a rule costs.
    Vary,
    /// Nights side by side.
    Compare,
    /// Nights side by side with the Moon as target.
    CompareMoons,
    /// Nights by the bearing of the subject.
    ByBearing,
    /// Nights that just miss.
    NearMisses,
    /// What each rule costs.
    Advice,
}

impl Key {
    pub(super) const fn text(self) -> &'static str {
        match self {
            Self::Frames => {
                "Frame: lands, portr: one in landscape or portrait holds land and target; \
                 2x3: a panorama of 2 by 3 frames."
            }
            Self::Sky => {
                "Altitude: of the centre, as if there were no air; apparent: as seen, raised by \
                 refraction; azimuth: true, from north through east; arch: the Milky Way's top, \
                 and the feet where it meets the level horizon; mag/arcsec2: higher is darker; \
                 kept: of a moonless sky's contrast."
            }
            Self::SkyOfMoon => {
                "Altitude: of the centre, as if there were no air; apparent: as seen, raised by \
                 refraction; azimuth: true, from north through east; mag/arcsec2: higher is darker."
            }
            Self::Exposure => {
                "EV100: brightness as the exposure value that ISO 100 needs, each step a stop; \
                 mid-tone: middle grey; NPF, 500 rule: longest shutter without visible star \
                 trails; px: pixels."
            }
            Self::Lenses => {
                "Field: width and height in landscape; shutter limit: longest without visible star trails."
            }
            Self::Vary => {
                "Nights: with a window; in one frame: of these, nights in which one frame holds \
                 land and target for some time; best score: 0 to 100, and the evening that has it."
            }
            Self::Compare => {
                "Off centre: + right of the camera direction; Milky Way contrast: 1 as bright as \
                 the sky before it; kept: of a moonless sky's; land: - darker than the sky; of the \
                 score: 0 worst, 1 best."
            }
            Self::CompareMoons => {
                "Off centre: + right of the camera direction; disc: + brighter than land or sky; \
                 land: - darker than the sky beside the Moon; of the score: 0 worst, 1 best."
            }
            Self::ByBearing => {
                "Sector: of the subject's bearing; best bearing: the one in it with most nights; \
                 light left, right: nights with the Moon on that side; *: most nights."
            }
            Self::NearMisses => {
                "Off by: how far the night misses the rule; found with: the option that includes \
                 it."
            }
            Self::Advice => {
                "Lost to it: nights that this rule alone rejects; winnable: of those, found with \
                 a sensible value."
            }
        }
    }

    /// Writes the note, in lines of at most `width` columns.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write(self, out: &mut impl Write, width: usize) -> io::Result<()> {
        write_note(out, self.text(), width)
    }
}
