//! A line of sight followed over the mosaic, cell by cell.

use super::{AbsentTiles, ElevationMosaic, ElevationTile};

/// A point of the line: where it is and how far along.
#[derive(Debug, Clone, Copy)]
pub(super) struct Knot {
    pub latitude_deg: f64,
    /// May exceed 180, so that neighbouring knots never jump.
    pub longitude_deg: f64,
    pub distance_m: f64,
}

/// A stretch of the line in one cell.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stretch {
    pub from_m: f64,
    pub to_m: f64,
    /// Height of the ground at `from_m`, its slope and half its bend: with s
    /// metres from there it is `h[0] + h[1] s + h[2] s^2` (a bilinear surface
    /// cut by a straight line). `None` where nothing is known.
    pub surface: Option<[f64; 3]>,
}

/// Visits every stretch between two knots, in order of distance.
///
/// Latitude, longitude and distance are linear between knots.
pub(super) fn walk_tiles(
    mosaic: &ElevationMosaic,
    absent: AbsentTiles,
    from: Knot,
    to: Knot,
    visit: &mut impl FnMut(Stretch),
) {
    let at = |share: f64| {
        [
            from.latitude_deg + share * (to.latitude_deg - from.latitude_deg),
            from.longitude_deg + share * (to.longitude_deg - from.longitude_deg),
        ]
    };
    let distance = |share: f64| from.distance_m + share * (to.distance_m - from.distance_m);
    // Whole degrees first: between them the line stays in one tile.
    split(at(0.0), at(1.0), |start, end| {
        let (a, b) = (at(start), at(end));
        let corner = [0, 1].map(|axis| (0.5 * (a[axis] + b[axis])).floor());
        let (from_m, to_m) = (distance(start), distance(end));
        match mosaic.tile(corner[0] as i64, corner[1] as i64) {
            Some(tile) => walk_tile(tile, [a, b], corner, [from_m, to_m], visit),
            None => visit(Stretch {
                from_m,
                to_m,
                surface: match absent {
                    AbsentTiles::Unknown => None,
                    AbsentTiles::Sea => Some([0.0; 3]),
                },
            }),
        }
    });
}

fn walk_tile(
    tile: &ElevationTile,
    ends: [[f64; 2]; 2],
    corner: [f64; 2],
    [from_m, to_m]: [f64; 2],
    visit: &mut impl FnMut(Stretch),
) {
    let cells = f64::from(tile.cells_per_degree());
    let [a, b] = ends.map(|end| [0, 1].map(|axis| (end[axis] - corner[axis]) * cells));
    let at = |share: f64| [0, 1].map(|axis| a[axis] + share * (b[axis] - a[axis]));
    let distance = |share: f64| from_m + share * (to_m - from_m);
    split(a, b, |start, end| {
        let (p, q) = (at(start), at(end));
        let cell = [0, 1].map(|axis| {
            let middle: f64 = 0.5 * (p[axis] + q[axis]);
            middle.floor().clamp(0.0, cells - 1.0)
        });
        let (from_m, to_m) = (distance(start), distance(end));
        let posts = tile.cell_m(cell[0] as usize, cell[1] as usize);
        let surface = match posts {
            [[Some(sw), Some(se)], [Some(nw), Some(ne)]] => Some(cell_surface(
                [[sw, se], [nw, ne]],
                cell,
                [p, q],
                to_m - from_m,
            )),
            _ => None,
        };
        visit(Stretch {
            from_m,
            to_m,
            surface,
        });
    });
}

/// The surface along the line from `p` to `q`, `length` metres apart, in the
/// cell of four posts: those on its first row and those on the next. The
/// corner of the cell and the line are in posts.
#[inline]
pub(super) fn cell_surface(
    [[sw, se], [nw, ne]]: [[f64; 2]; 2],
    corner: [f64; 2],
    [p, q]: [[f64; 2]; 2],
    length: f64,
) -> [f64; 3] {
    let (v, u) = (p[0] - corner[0], p[1] - corner[1]);
    let (dv, du) = ((q[0] - p[0]) / length, (q[1] - p[1]) / length);
    let (north, east, twist) = (nw - sw, se - sw, sw + ne - se - nw);
    [
        sw + east * u + north * v + twist * u * v,
        east * du + north * dv + twist * (u * dv + v * du),
        twist * du * dv,
    ]
}

/// Calls `piece` for the parts, as shares 0 to 1, into which the whole-number
/// lines of a grid cut the straight line from `a` to `b`; empty parts are left
/// out.
pub(super) fn split(a: [f64; 2], b: [f64; 2], mut piece: impl FnMut(f64, f64)) {
    let mut lines = [0, 1].map(|axis| Lines::between(a[axis], b[axis]));
    let mut start = 0.0;
    loop {
        let end = lines[0].share().min(lines[1].share()).min(1.0);
        if end > start {
            piece(start, end);
            start = end;
        }
        if end >= 1.0 {
            return;
        }
        for line in &mut lines {
            if line.share() <= end {
                line.next += line.step;
            }
        }
    }
}

/// The whole numbers that a coordinate passes on its way.
struct Lines {
    start: f64,
    change: f64,
    next: f64,
    step: f64,
}

impl Lines {
    fn between(start: f64, end: f64) -> Self {
        let change = end - start;
        let (next, step) = if change > 0.0 {
            (start.floor() + 1.0, 1.0)
        } else {
            (start.ceil() - 1.0, -1.0)
        };
        Self {
            start,
            change,
            next,
            step,
        }
    }

    /// The share of the way at which the next one is passed.
    fn share(&self) -> f64 {
        if self.change == 0.0 {
            f64::INFINITY
        } else {
            (self.next - self.start) / self.change
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parts(a: [f64; 2], b: [f64; 2]) -> Vec<(f64, f64)> {
        let mut parts = Vec::new();
        split(a, b, |start, end| parts.push((start, end)));
        parts
    }

    #[test]
    fn a_line_is_cut_at_every_grid_line() {
        assert_eq!(parts([0.5, 0.5], [0.9, 0.1]), vec![(0.0, 1.0)]);
        assert_eq!(
            parts([0.5, 0.0], [2.5, 0.0]),
            vec![(0.0, 0.25), (0.25, 0.75), (0.75, 1.0)]
        );
        // At a corner both lines are passed at once.
        assert_eq!(parts([0.5, 0.5], [1.5, 1.5]), vec![(0.0, 0.5), (0.5, 1.0)]);
        assert_eq!(parts([1.5, 0.5], [0.5, 1.5]), vec![(0.0, 0.5), (0.5, 1.0)]);
        // From a grid line backward, and from a grid line to the next.
        assert_eq!(parts([1.0, 0.2], [0.5, 0.2]), vec![(0.0, 1.0)]);
        assert_eq!(parts([-1.0, 0.2], [-2.0, 0.2]), vec![(0.0, 1.0)]);
        assert_eq!(parts([3.0, 3.0], [3.0, 3.0]), vec![(0.0, 1.0)]);
    }

    #[test]
    fn parts_follow_each_other_and_no_part_holds_a_line() {
        let (a, b) = ([-3.7, 12.31], [41.2, -7.9]);
        let mut last = 0.0;
        for (start, end) in parts(a, b) {
            assert_eq!(start, last);
            last = end;
            for axis in [0, 1] {
                let at = |share: f64| a[axis] + share * (b[axis] - a[axis]);
                let (p, q) = (at(start), at(end));
                assert!((p.max(q) - 1e-9).floor() <= (p.min(q) + 1e-9).floor());
            }
        }
        assert_eq!(last, 1.0);
    }
}
