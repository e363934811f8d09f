//! What the score of a window is made of.

use super::{framing, instant, window_record::Windows, window_texts::factor};
use crate::report::row::{Field, Importance::Elsewhere, Range, Shown};

type F = Field<Windows>;
type S = Shown<Windows>;

/// A factor of the score, from its place in a table, its name, its line's title
/// and its figure. This is a macro because a field holds plain functions.
macro_rules! part_of_score {
    ($place:literal, $name:literal, $title:literal, $figure:ident) => {
        F::number(concat!("score_", $name), 4, |r| r.window.factors.$figure)
            .range(Range::Within(0.0, 1.0))
            .doc(concat!($name, ": factor 0 to 1 of the score"))
            .shown(
                S::new($place, ["", "", $title], Elsewhere, |r, _| {
                    factor(r.window.factors.$figure)
                })
                .off_page()
                .good(|r| r.window.factors.$figure),
            )
    };
}

/// How bright the Milky Way is.
pub(super) const CONTRAST: F =
    part_of_score!(22, "contrast", "of the score: contrast", contrast).empty(instant::NOT_KNOWN);

/// How nearly one exposure holds land and sky.
pub(super) const BALANCE: F = part_of_score!(23, "balance", "  balance", balance)
    .empty("`dark`, `blend`; `any` without moonlight unless the Moon is the target");

/// How well the light rakes.
pub(super) const RAKING: F =
    part_of_score!(24, "raking", "  raking", raking).empty("`dark`, `any`");

/// Whether one frame does.
pub(super) const FRAMING: F = part_of_score!(24, "framing", "  framing", framing)
    .doc("framing: factor of the score, 1 one frame, 0.5 panorama, 0.05 neither")
    .empty(framing::NO_PLAN);

/// How far inside its limits the target stands.
pub(super) const POSITION: F = part_of_score!(25, "position", "  position", position)
    .doc("position: factor 0.5 to 1 of the score");

/// How much time there is.
pub(super) const LENGTH: F = part_of_score!(26, "length", "  length", length);

/// What the score is multiplied by.
pub(super) const PREFERENCE: F = F::number("score_preference", 4, |r| Some(r.window.preference))
        .range(Range::Within(0.0, 1.0))
        .doc("what the score is multiplied by: what this kind of light is worth beside the others asked for, 1 for one alone");
