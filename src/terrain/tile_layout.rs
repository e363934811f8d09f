//! What the files of elevation tiles may be.

/// Lowest and highest ground, metres above the sea: below the shore of the Dead
/// Sea (-430), above the top of Everest (8849). Anything beyond is no ground:
/// bytes in the other order, another layout, a depth of the sea.
pub const GROUND_HEIGHTS_M: (i16, i16) = (-500, 9000);
/// Posts along a side.
pub(super) const SIDES: [u16; 2] = [1201, 3601];

/// The size of a tile with so many posts along a side, bytes.
pub(super) const fn bytes_of(side: u16) -> u64 {
    2 * side as u64 * side as u64
}
