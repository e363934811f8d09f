//! How much each factor counts in the score.

use super::{Rule, Topic, Typed, off, value::read};
use crate::scene::Weights;

/// The weights of the score; by default those of [`Weights::default`].
pub static WEIGHTS: Rule = Rule {
    key: "weights",
    typed: Some(Typed {
        alias: "",
        read: read::<Weights>,
        topic: Topic::Print,
        value_name: "NAME=N,...",
        words: &[],
        may_be_negative: false,
        help: "What counts how much in the score, such as contrast=2,length=0",
        more: "",
        seldom: true,
        example: "contrast=1,length=0",
        remark: "what counts how much in the score",
    }),
    default: off,
    of_moonlight: false,
    limit: None,
};
