//! The word somebody probably meant.

/// The candidate closest to `word`, if any is close enough to suggest; letter
/// case is ignored.
///
/// A candidate that begins with the word (or the other way round, as
/// `latitude` for `latitude_deg`) counts as close.
pub(crate) fn nearest<'a>(
    word: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    nearest_within(word, candidates, 1 + word.chars().count() / 4)
}

/// The same, with at most `allowed` slips.
pub(crate) fn nearest_within<'a>(
    word: &str,
    candidates: impl IntoIterator<Item = &'a str>,
    allowed: usize,
) -> Option<&'a str> {
    // A longer word is no typing slip, and comparing it takes longer.
    if word.chars().count() > 60 {
        return None;
    }
    let word = word.to_lowercase();
    candidates
        .into_iter()
        .filter_map(|candidate| {
            let far = distance_within(allowed, &word, &candidate.to_lowercase())?;
            Some((far, candidate))
        })
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// The candidates closest to `word`, nearest first, at most `count`. Besides
/// what [`nearest`] finds close, a candidate that contains the word counts
/// (`tank` for `saltbush-tank`).
pub(crate) fn nearest_few<'a>(
    word: &str,
    candidates: impl IntoIterator<Item = &'a str>,
    count: usize,
) -> Vec<usize> {
    if word.chars().count() > 60 {
        return Vec::new();
    }
    let word = word.to_lowercase();
    let allowed = 1 + word.chars().count() / 4;
    let mut near: Vec<(usize, usize)> = candidates
        .into_iter()
        .enumerate()
        .filter_map(|(index, candidate)| {
            let candidate = candidate.to_lowercase();
            let holds = word.len() >= 3 && candidate.contains(&word);
            let far = match candidate == word {
                true => 0,
                false if holds => 1,
                false => distance_within(allowed, &word, &candidate)?,
            };
            Some((far, index))
        })
        .collect();
    near.sort();
    near.into_iter()
        .take(count)
        .map(|(_, index)| index)
        .collect()
}

/// The number of slips between two words; `None` if it is more than `allowed`.
fn distance_within(allowed: usize, word: &str, candidate: &str) -> Option<usize> {
    let is_start = word.len() >= 4 && (candidate.starts_with(word) || word.starts_with(candidate));
    if is_start {
        return Some(1);
    }
    // A slip changes the length by at most one and adds at most one new
    // character, so most candidates can be skipped: there are six hundred
    // zones.
    let lacks = |one: u64, other: u64| (one & !other).count_ones() as usize;
    let (ours, theirs) = (characters(word), characters(candidate));
    let least = (word.chars().count().abs_diff(candidate.chars().count()))
        .max(lacks(ours, theirs))
        .max(lacks(theirs, ours));
    if least > allowed {
        return None;
    }
    Some(strsim::damerau_levenshtein(word, candidate)).filter(|slips| *slips <= allowed)
}

/// The characters of a word, one bit each; some share a bit.
fn characters(word: &str) -> u64 {
    word.chars().fold(0, |set, c| set | 1 << (c as u32 % 64))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_found_and_strangers_are_not() {
        let keys = ["latitude_deg", "longitude_deg", "name", "notes"];
        assert_eq!(nearest("latitude", keys), Some("latitude_deg"));
        assert_eq!(nearest("Longitde_deg", keys), Some("longitude_deg"));
        assert_eq!(nearest("nmae", keys), Some("name"));
        assert_eq!(nearest("colour", keys), None);
        assert_eq!(nearest(&"x".repeat(100_000), keys), None);
    }

    /// Skipped candidates are as far off as a comparison would find.
    #[test]
    fn words_that_are_not_compared_are_too_far() {
        let words = [
            "",
            "a",
            "ab",
            "ba",
            "é",
            "Éire",
            "eire",
            "tank",
            "tanks",
            "a tank",
            "Zürich",
            "zurich",
            "Adelaide",
            "adelade",
            "Australia/Adelaide",
            "australia/adelade",
            "latitude",
            "latitude_deg",
            "longitude_deg",
            "ßß",
            "ssss",
            "日本",
            "日本語",
        ];
        for word in words {
            for candidate in words {
                let start =
                    word.len() >= 4 && (candidate.starts_with(word) || word.starts_with(candidate));
                let slips = match start {
                    true => 1,
                    false => strsim::damerau_levenshtein(word, candidate),
                };
                for allowed in 1..8 {
                    assert_eq!(
                        distance_within(allowed, word, candidate),
                        (slips <= allowed).then_some(slips),
                        "{word:?} {candidate:?}"
                    );
                }
            }
        }
    }

    #[test]
    fn a_few_are_found_nearest_first() {
        let sites = ["gratalm-hut", "saltbush-tank", "tonk", "tank"];
        assert_eq!(nearest_few("tank", sites, 3), [3, 1, 2]);
        assert_eq!(nearest_few("saltbsh-tank", sites, 3), [1]);
        assert_eq!(nearest_few("cairn", sites, 3), [0; 0]);
        assert_eq!(nearest_few(&"x".repeat(100_000), sites, 3), [0; 0]);
    }
}
