//! The value of a rule.

use super::Rule;
use crate::{
    ephemeris::Direction,
    scene::{
        AzimuthBand, Band, ClockBand, DateList, Facing, Framing, LightKind, LightKinds,
        MoonInFrame, Preferences, Side, TargetPlace, ValueError, Weights, weekdays_text,
    },
};
use chrono::WeekdaySet;
use std::{
    fmt::{self, Display, Formatter},
    mem::discriminant,
};

/// The value of a rule; it prints as it is typed.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum RuleValue {
    /// Kinds of light.
    Light(LightKinds),
    /// What kinds of light are worth.
    Prefer(Preferences),
    /// A direction among the stars.
    Target(Direction),
    /// Where the camera looks.
    Facing(Facing),
    /// A range of numbers.
    Band(Band),
    /// A range of azimuths.
    Azimuths(AzimuthBand),
    /// A side of the camera direction.
    Side(Side),
    /// A number of minutes.
    Minutes(f64),
    /// A score.
    Score(f64),
    /// Hours of the wall clock.
    Clock(ClockBand),
    /// What one frame must hold.
    Framing(Framing),
    /// Whether the Moon may be in it.
    MoonInFrame(MoonInFrame),
    /// Where the target stands to the subject.
    TargetPlace(TargetPlace),
    /// Days of the week.
    Days(WeekdaySet),
    /// Evenings, and files of evenings and times.
    Dates(DateList),
    /// Weights of the score.
    Weights(Weights),
}

impl RuleValue {
    /// Checks that the value is possible: no NaN, the lower end first. Typed
    /// values always pass.
    ///
    /// # Errors
    ///
    /// What is wrong with it.
    fn check(&self) -> Result<(), ValueError> {
        if let Self::Dates(list) = self
            && let Some(file) = list.unread()
        {
            let expected = "a file that has been read";
            return Err(ValueError::new(file, expected).with_remedy("read it first"));
        }
        let sound = match self {
            Self::Band(band) => band.low <= band.high,
            Self::Azimuths(band) => {
                band.from_deg.is_finite() && (0.0..=360.0).contains(&band.width_deg)
            }
            Self::Minutes(number) | Self::Score(number) => number.is_finite() && *number >= 0.0,
            Self::Facing(Facing::Bearing(bearing) | Facing::Magnetic(bearing)) => {
                bearing.is_finite()
            }
            Self::Target(direction) => direction.is_finite(),
            Self::TargetPlace(place) => place
                .clearance_deg()
                .is_none_or(|degrees| degrees.is_finite()),
            Self::Weights(weights) => are_sound(&weights.entries()),
            Self::Prefer(preferences) => are_sound(&preferences.entries()),
            _ => true,
        };
        if sound {
            Ok(())
        } else {
            let expected = "numbers, the lower end first";
            Err(ValueError::new(&self.to_string(), expected))
        }
    }
}

impl Rule {
    /// Checks that the rule accepts a value, however it was made: its typed
    /// form is read as an option is.
    ///
    /// # Errors
    ///
    /// What is wrong with it, in the words of the command line.
    pub fn check(&self, value: &RuleValue) -> Result<(), ValueError> {
        value.check()?;
        let Some(typed) = &self.typed else {
            return Ok(());
        };
        let text = value.to_string();
        let read = (typed.read)(&text)?;
        if discriminant(&read) == discriminant(value) {
            return Ok(());
        }
        let expected = format!("a value of {}, such as {}", self.key, typed.example);
        Err(ValueError::new(&text, expected))
    }
}

impl Display for RuleValue {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        match self {
            Self::Light(kinds) => kinds.fmt(f),
            Self::Prefer(preferences) => preferences.fmt(f),
            Self::Target(direction) => direction.fmt(f),
            Self::Facing(facing) => facing.fmt(f),
            Self::Band(band) => band.fmt(f),
            Self::Azimuths(band) => band.fmt(f),
            Self::Side(side) => side.fmt(f),
            Self::Minutes(number) | Self::Score(number) => number.fmt(f),
            Self::Clock(band) => band.fmt(f),
            Self::Framing(framing) => framing.fmt(f),
            Self::MoonInFrame(asked) => asked.fmt(f),
            Self::TargetPlace(place) => place.fmt(f),
            Self::Days(days) => f.write_str(&weekdays_text(*days)),
            Self::Dates(list) => list.fmt(f),
            Self::Weights(weights) => weights.fmt(f),
        }
    }
}

/// Whether each of these numbers is one and not negative.
fn are_sound(entries: &[(&str, f64)]) -> bool {
    let mut numbers = entries.iter().map(|(_, number)| *number);
    numbers.all(|number| number.is_finite() && number >= 0.0)
}

impl From<LightKind> for RuleValue {
    fn from(kind: LightKind) -> Self {
        Self::Light(kind.into())
    }
}

/// A type that is the value of some rules.
pub trait OfRule: Sized {
    /// The value as this type, if it is one.
    fn of(value: RuleValue) -> Option<Self>;
}

/// Conversions between a type and its variant.
macro_rules! of_rule {
    ($($variant:ident: $kind:ty),* $(,)?) => {
        $(
            impl From<$kind> for RuleValue {
                fn from(value: $kind) -> Self {
                    Self::$variant(value)
                }
            }

            impl OfRule for $kind {
                fn of(value: RuleValue) -> Option<Self> {
                    match value {
                        RuleValue::$variant(value) => Some(value),
                        _ => None,
                    }
                }
            }
        )*
    };
}

of_rule!(
    Light: LightKinds,
    Prefer: Preferences,
    Target: Direction,
    Facing: Facing,
    Band: Band,
    Azimuths: AzimuthBand,
    Side: Side,
    Minutes: f64,
    Clock: ClockBand,
    Framing: Framing,
    MoonInFrame: MoonInFrame,
    TargetPlace: TargetPlace,
    Days: WeekdaySet,
    Dates: DateList,
    Weights: Weights,
);

/// Reads a value whose type reads itself.
pub(super) fn read<T>(text: &str) -> Result<RuleValue, T::Err>
where
    T: std::str::FromStr + Into<RuleValue>,
{
    text.parse::<T>().map(Into::into)
}
