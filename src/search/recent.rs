//! What was made lately for one site and serves for the next.

use std::sync::{PoisonError, RwLock};

/// The most things that are kept: a run asks few different ones by turns, and
/// each is looked at.
const MOST: usize = 16;

/// A few things made lately, shared by all threads. It grows to [`MOST`], then
/// the eldest goes.
#[derive(Debug)]
pub struct Recent<T>(RwLock<Vec<T>>);

impl<T> Default for Recent<T> {
    fn default() -> Self {
        Self(RwLock::new(Vec::new()))
    }
}

impl<T> Recent<T> {
    /// What is found in the first of them in which anything is.
    pub fn find<U>(&self, found: impl FnMut(&T) -> Option<U>) -> Option<U> {
        // A list of things that are complete is none the worse for a thread that
        // failed beside it.
        let kept = self.0.read().unwrap_or_else(PoisonError::into_inner);
        kept.iter().rev().find_map(found)
    }

    /// Keeps another.
    pub fn keep(&self, made: T) {
        let mut kept = self.0.write().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= MOST {
            kept.remove(0);
        }
        kept.push(made);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_eldest_goes() {
        let recent = Recent::default();
        let most = u32::try_from(MOST).expect("a small number");
        for made in 0..=most {
            recent.keep(made);
        }
        let has = |wanted: u32| recent.find(|kept| (*kept == wanted).then_some(()));
        assert_eq!(has(0), None);
        assert!((1..=most).all(|made| has(made).is_some()));
    }
}
