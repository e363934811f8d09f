//! Where a value stands in a table.

/// The cell of ascending `nodes` that holds `value`, and how far along it the
/// value stands, 0 to 1.
///
/// A value outside counts as the nearer end. There are at least two nodes; the
/// cell is the index of its lower one, so that both ends of it exist.
pub(super) fn cell(nodes: &[f64], value: f64) -> (usize, f64) {
    let last = nodes.len().saturating_sub(2);
    let mut lower = 0;
    while lower < last && value >= nodes[lower + 1] {
        lower += 1;
    }
    let (low, high) = (nodes[lower], nodes[lower + 1]);
    (lower, ((value - low) / (high - low)).clamp(0.0, 1.0))
}

/// The value `along` (0 to 1) from `a` to `b`; exact at both ends.
pub(super) fn between(a: f64, b: f64, along: f64) -> f64 {
    a * (1.0 - along) + b * along
}
