//! The chance that some of several nights turn out clear.

/// The chance that at least `k` of several nights are good, each of them good
/// with its own chance (0 to 1; a number outside counts as its nearer end, NaN
/// as 0), if the nights are **independent** of each other.
///
/// With `k` of 0 it is 1, with more than there are nights 0. The answer is
/// exact but for rounding (below 1e-12): the number of good nights has the
/// Poisson binomial distribution, which is built up night by night.
///
/// Weather in truth comes in spells: a clear night makes the next one likelier
/// to be clear too. Nights that lie close together are then good, or bad, in
/// common more often than independent ones, so that in truth the chance of at
/// least one good night is lower than this, and that of all of them higher.
/// [`chance_in_one_weather`] is the other extreme.
///
/// # Source
///
/// Wang, *On the number of successes in independent trials*, Statistica Sinica
/// 3 (1993), 295-312 (cited from memory); the recurrence follows from adding
/// one trial.
///
/// # Example
///
/// ```
/// use rakelight::chance_of_at_least;
/// // Of two nights, each clear in one of two years: three chances in four.
/// assert_eq!(chance_of_at_least(&[0.5, 0.5], 1), 0.75);
/// ```
pub fn chance_of_at_least(chances: &[f64], k: usize) -> f64 {
    if k == 0 {
        return 1.0;
    }
    if k > chances.len() {
        return 0.0;
    }
    // Of the nights so far, the chances of exactly 0, 1, ... k - 1 good ones,
    // and of k and more, which nothing leaves again.
    let mut exactly = vec![0.0; k];
    if let Some(none) = exactly.first_mut() {
        *none = 1.0;
    }
    let mut enough = 0.0;
    for good in chances.iter().copied().map(as_chance) {
        enough += good * exactly.last().copied().unwrap_or(0.0);
        let mut one_less = 0.0;
        for chance in &mut exactly {
            let before = *chance;
            *chance = before * (1.0 - good) + one_less * good;
            one_less = before;
        }
    }
    f64::min(enough, 1.0)
}

/// The chance that at least `k` of several nights are good if they all share
/// **one weather**: the better a night's chance, the more weathers it is good
/// in, and it is good in all those in which a worse one is. It is the `k`-th
/// best of the chances.
///
/// For at least one of them (`k` of 1) no other way in which the nights can hang
/// together has a lower chance, and for all of them none has a higher one (the
/// bounds of Fréchet, 1935, cited from memory); for numbers between it is an
/// example, not a bound. Chances as in [`chance_of_at_least`].
pub fn chance_in_one_weather(chances: &[f64], k: usize) -> f64 {
    if k == 0 {
        return 1.0;
    }
    let mut sorted: Vec<f64> = chances.iter().copied().map(as_chance).collect();
    sorted.sort_by(|a, b| b.total_cmp(a));
    sorted.get(k - 1).copied().unwrap_or(0.0)
}

/// A number as a chance.
fn as_chance(number: f64) -> f64 {
    match number.is_nan() {
        true => 0.0,
        false => number.clamp(0.0, 1.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Every outcome of the nights, one by one.
    fn counted(chances: &[f64], k: usize) -> f64 {
        (0_u32..1 << chances.len())
            .filter(|outcome| outcome.count_ones() as usize >= k)
            .map(|outcome| {
                let factor = |(night, chance): (usize, &f64)| match outcome >> night & 1 {
                    1 => *chance,
                    _ => 1.0 - chance,
                };
                chances.iter().enumerate().map(factor).product::<f64>()
            })
            .sum()
    }

    proptest! {
        #[test]
        fn counting_every_outcome_gives_the_same(
            chances in prop::collection::vec(0.0_f64..=1.0, 0..11),
            k in 0_usize..12,
        ) {
            let found = chance_of_at_least(&chances, k);
            prop_assert!((found - counted(&chances, k)).abs() < 1e-12);
        }

        /// At least one in one weather is no likelier, all no less likely.
        #[test]
        fn one_weather_bounds_both_ends(
            chances in prop::collection::vec(0.0_f64..=1.0, 1..30),
        ) {
            let all = chances.len();
            let slack = 1e-12;
            prop_assert!(
                chance_in_one_weather(&chances, 1) <= chance_of_at_least(&chances, 1) + slack
            );
            prop_assert!(
                chance_in_one_weather(&chances, all) + slack >= chance_of_at_least(&chances, all)
            );
        }

        #[test]
        fn whatever_is_asked_the_answer_is_a_chance(
            chances in prop::collection::vec(any::<f64>(), 0..40),
            k in any::<u16>(),
        ) {
            for answer in [chance_of_at_least, chance_in_one_weather] {
                prop_assert!((0.0..=1.0).contains(&answer(&chances, usize::from(k))));
            }
        }
    }

    #[test]
    fn the_ends_are_exact() {
        for answer in [chance_of_at_least, chance_in_one_weather] {
            assert_eq!(answer(&[], 0), 1.0);
            assert_eq!(answer(&[], 1), 0.0);
            assert_eq!(answer(&[0.3, 1.0], 1), 1.0);
            assert_eq!(answer(&[0.3, 1.0, 0.0], 2), 0.3);
            assert_eq!(answer(&[0.3, 1.0], usize::MAX), 0.0);
            assert_eq!(answer(&[f64::NAN, 2.0, -1.0], 1), 1.0);
        }
    }
}
