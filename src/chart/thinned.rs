//! Lines without the points that nobody sees.

use super::sheet::through;

/// How far a point may be left of a line that does without it, pixels: less than
/// a printer or a screen shows.
const UNSEEN: f64 = 0.04;

/// The path data of a line through points, without those that change nothing to
/// be seen.
pub fn through_thinned(points: &[(f64, f64)]) -> String {
    let mut kept: Vec<(f64, f64)> = Vec::new();
    let mut rest = points;
    while let [first, more @ ..] = rest {
        kept.push(*first);
        // The farthest point that a straight line may lead to.
        let reach = (1..more.len())
            .take_while(|last| {
                more.split_at_checked(*last)
                    .and_then(|(between, end)| Some((between, end.first()?)))
                    .is_some_and(|(between, end)| {
                        between
                            .iter()
                            .all(|point| away(*point, *first, *end) <= UNSEEN)
                    })
            })
            .last()
            .unwrap_or(0);
        rest = more.get(reach..).unwrap_or_default();
    }
    through(&kept)
}

/// How far a point is from the line between two others, pixels.
fn away(point: (f64, f64), from: (f64, f64), to: (f64, f64)) -> f64 {
    let along = (to.0 - from.0, to.1 - from.1);
    let square = along.0 * along.0 + along.1 * along.1;
    let off = (point.0 - from.0, point.1 - from.1);
    let part = if square > 0.0 {
        ((off.0 * along.0 + off.1 * along.1) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (off.0 - part * along.0).hypot(off.1 - part * along.1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use svg::node::element::path::{Command, Data};

    #[test]
    fn a_thinned_line_keeps_its_shape_and_its_ends() {
        let straight: Vec<(f64, f64)> = (0..50).map(|x| (f64::from(x), 7.0)).collect();
        assert_eq!(through_thinned(&straight), "M0 7H49");
        let arc: Vec<(f64, f64)> = (0..=360)
            .map(|step| f64::from(step).to_radians())
            .map(|angle| (100.0 * angle.cos(), 100.0 * angle.sin()))
            .collect();
        let data = through_thinned(&arc);
        let mut kept = vec![(0.0, 0.0)];
        for command in Data::parse(&data).expect("a path").iter() {
            let (x, y) = kept[kept.len() - 1];
            kept.push(match command {
                Command::Move(_, to) | Command::Line(_, to) => (to[0].into(), to[1].into()),
                Command::HorizontalLine(_, to) => (to[0].into(), y),
                Command::VerticalLine(_, to) => (x, to[0].into()),
                other => panic!("{other:?}"),
            });
        }
        kept.remove(0);
        assert!((30..150).contains(&kept.len()), "{}", kept.len());
        for point in &arc {
            let nearest = kept.windows(2).filter_map(|pair| match pair {
                [a, b] => Some(away(*point, *a, *b)),
                _ => None,
            });
            let nearest = nearest.fold(f64::INFINITY, f64::min);
            // Coordinates are rounded to a hundredth.
            assert!(nearest <= UNSEEN + 0.01, "{nearest}");
        }
        assert_eq!(through_thinned(&[]), "");
        assert_eq!(through_thinned(&[(1.0, 2.0)]), "M1 2");
    }
}
