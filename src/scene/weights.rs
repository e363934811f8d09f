//! How much each factor counts in a score.

use super::named_numbers::{NamedNumbers, named_numbers_text};
use super::value_error::ValueError;
use std::fmt::{self, Display, Formatter};
use std::str::FromStr;

/// The greatest weight accepted.
const HEAVIEST: f64 = 100.0;

/// How much each factor of a score counts; a weight of 0 leaves its factor
/// out.
///
/// Written `contrast=2,length=0`; what is left out keeps its default. The
/// defaults are common practice: light before place before time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weights {
    /// Weight of the Milky Way's contrast.
    pub contrast: f64,
    /// Weight of the balance of land and sky.
    pub balance: f64,
    /// Weight of how well the light rakes.
    pub raking: f64,
    /// Weight of whether one frame holds land and target.
    pub framing: f64,
    /// Weight of the target's place within what was asked for.
    pub position: f64,
    /// Weight of the window's length.
    pub length: f64,
}

impl Default for Weights {
    fn default() -> Self {
        Self {
            contrast: 1.0,
            balance: 1.0,
            raking: 1.0,
            framing: 0.6,
            position: 0.6,
            length: 0.4,
        }
    }
}

const NAMES: [&str; 6] = [
    "contrast", "balance", "raking", "framing", "position", "length",
];
const EXPECTED: NamedNumbers<'_> = NamedNumbers {
    names: &NAMES,
    most: HEAVIEST,
    expected: "weights such as contrast=2,length=0 of contrast, balance, raking, framing, position, length",
    what: "weight",
    example: "contrast=2",
};

impl Weights {
    /// Names and weights in order.
    pub fn entries(&self) -> [(&'static str, f64); 6] {
        let values = [
            self.contrast,
            self.balance,
            self.raking,
            self.framing,
            self.position,
            self.length,
        ];
        std::array::from_fn(|index| (NAMES[index], values[index]))
    }

    fn slot(&mut self, name: &str) -> Option<&mut f64> {
        match name {
            "contrast" => Some(&mut self.contrast),
            "balance" => Some(&mut self.balance),
            "raking" => Some(&mut self.raking),
            "framing" => Some(&mut self.framing),
            "position" => Some(&mut self.position),
            "length" => Some(&mut self.length),
            _ => None,
        }
    }
}

impl FromStr for Weights {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let mut weights = Self::default();
        for (name, value) in EXPECTED.read(text)? {
            if let Some(slot) = weights.slot(name) {
                *slot = value;
            }
        }
        if weights.entries().iter().all(|(_, weight)| *weight == 0.0) {
            return Err(ValueError::new(text, "at least one weight above 0")
                .with_remedy("for example contrast=1"));
        }
        Ok(weights)
    }
}

impl Display for Weights {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.pad(&named_numbers_text(&self.entries()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_are_read_and_shown() {
        let weights: Weights = "contrast=2, length=0".parse().expect("weights");
        assert_eq!(
            (weights.contrast, weights.length, weights.raking),
            (2.0, 0.0, 1.0)
        );
        assert_eq!(weights.to_string().parse::<Weights>(), Ok(weights));
    }

    #[test]
    fn what_is_no_weight_is_refused_with_the_remedy() {
        let told = |text: &str| text.parse::<Weights>().expect_err(text).to_string();
        assert!(told("contrats=1").ends_with("did you mean contrast?"));
        assert!(told("contrast=nan").contains("found nan"));
        assert!(told("contrast").contains("expected weights such as"));
        let none = "contrast=0,balance=0,raking=0,framing=0,position=0,length=0";
        assert!(
            told(none).ends_with("expected at least one weight above 0; for example contrast=1")
        );
        assert!(told("contrast=1,contrast=2").starts_with("found contrast again"));
    }
}
