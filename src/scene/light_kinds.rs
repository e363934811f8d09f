//! The kinds of light asked for together.

use super::{light_kind::LightKind, value_error::ValueError};
use std::fmt::{self, Display, Formatter};
use std::str::FromStr;

/// The most kinds that can be asked for together: raking, dark and blend.
const MOST: usize = 3;

/// One kind of light or several, in the order in which they were given, each
/// once. [`LightKind::Any`] stands alone: it contains the others.
///
/// # Example
///
/// ```
/// use rakelight::scene::{LightKind, LightKinds};
/// let kinds: LightKinds = "raking,dark".parse()?;
/// assert_eq!(kinds.as_slice(), [LightKind::Raking, LightKind::Dark]);
/// assert_eq!(kinds.to_string(), "raking,dark");
/// # Ok::<(), rakelight::scene::ValueError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LightKinds {
    /// The first `count` count.
    kinds: [LightKind; MOST],
    count: usize,
}

impl LightKinds {
    /// The kinds, in order; one at least.
    pub fn as_slice(&self) -> &[LightKind] {
        self.kinds.get(..self.count).unwrap_or_default()
    }

    /// The kinds, in order.
    pub fn iter(&self) -> impl Iterator<Item = LightKind> + '_ {
        self.as_slice().iter().copied()
    }

    /// The first kind.
    pub const fn first(&self) -> LightKind {
        let [first, ..] = self.kinds;
        first
    }

    /// Whether there is more than one.
    pub const fn are_several(&self) -> bool {
        self.count > 1
    }

    /// Whether one of them needs a Moon that lights the land from the side.
    pub fn are_sidelit(&self) -> bool {
        self.iter().any(LightKind::is_sidelit)
    }
}

impl From<LightKind> for LightKinds {
    fn from(kind: LightKind) -> Self {
        Self {
            kinds: [kind; MOST],
            count: 1,
        }
    }
}

impl FromStr for LightKinds {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let mut all: Option<Self> = None;
        for word in text.split(',') {
            let kind: LightKind = word.parse()?;
            all = Some(match all {
                None => Self::from(kind),
                Some(before) => before.and(kind)?,
            });
        }
        // `split` gives one part at least.
        all.ok_or_else(|| ValueError::new(text, "a kind of light"))
    }
}

impl LightKinds {
    fn and(mut self, kind: LightKind) -> Result<Self, ValueError> {
        if self.iter().any(|before| before == kind) {
            let found = format!("{kind} again");
            let expected = "each kind of light once";
            return Err(ValueError::new(&found, expected).with_remedy("keep one of the two"));
        }
        let expected = "any alone: it contains the other kinds";
        let found = format!("{self},{kind}");
        let error = || ValueError::new(&found, expected);
        if kind == LightKind::Any || self.first() == LightKind::Any {
            return Err(error().with_remedy("write any or raking,blend,dark"));
        }
        match self.kinds.get_mut(self.count) {
            Some(slot) => *slot = kind,
            None => return Err(error()),
        }
        self.count += 1;
        Ok(self)
    }
}

impl Display for LightKinds {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        let words: Vec<&str> = self.iter().map(LightKind::word).collect();
        f.pad(&words.join(","))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_are_read_in_order_and_shown_as_they_are_typed() {
        for text in ["any", "dark", "dark,raking", "raking,blend,dark"] {
            assert_eq!(text.parse::<LightKinds>().expect(text).to_string(), text);
        }
        let spaced: LightKinds = "Raking, dark".parse().expect("two kinds");
        assert_eq!(spaced.to_string(), "raking,dark");
    }

    #[test]
    fn what_is_no_list_of_kinds_is_refused() {
        let told = |text: &str| text.parse::<LightKinds>().expect_err(text).to_string();
        assert_eq!(
            told("raking,dark,raking"),
            "found raking again, expected each kind of light once; keep one of the two"
        );
        assert!(told("any,dark").starts_with("found any,dark, expected any alone"));
        assert!(told("raking,").contains("expected one of raking, dark, blend, any"));
        assert!(told("raking,dakr").ends_with("did you mean dark?"));
    }
}
