//! What a photographer can ask of a night, one file per rule.
//!
//! A [`Rule`] holds everything about itself: its option and key, how it is
//! read, its default, what it measures, when it holds, how it can be loosened,
//! and its words. [`RULES`] is the list of them; options, keys, templates,
//! letters, advice and reasons all come from that list. A [`Brief`] holds the
//! rules that were given; [`Rules`] is a brief with every blank filled.

mod arch_altitude;
mod arch_offset;
mod brief;
mod check;
mod clock;
mod conditions;
mod contrast;
mod contrast_bounds;
mod contrast_known;
mod dates;
mod facing;
mod frame_watch;
mod framing;
mod light;
mod light_angle;
mod light_side;
mod lighting;
mod limits;
mod list;
mod measure;
mod min_minutes;
mod min_score;
mod moon_altitude;
mod moon_fraction;
mod moon_in_frame;
mod moon_ridge;
mod not_dates;
mod pace;
mod prefer;
mod refusals;
mod ridge;
mod rule_basis;
mod rules;
mod sector;
mod sun_altitude;
mod target;
mod target_altitude;
mod target_azimuth;
mod target_offset;
mod target_place;
mod target_ridge;
mod tilt;
mod times;
mod value;
mod values_given;
mod wall;
mod weekdays;
mod weights;

pub use arch_altitude::ARCH_ALTITUDE;
pub use arch_offset::ARCH_OFFSET;
pub use brief::Brief;
pub(crate) use brief::given_twice;
pub use clock::CLOCK;
pub use conditions::Conditions;
pub use contrast::CONTRAST;
pub use dates::DATES;
pub use facing::FACING;
pub use framing::FRAMING;
pub use light::LIGHT;
pub use light_angle::LIGHT_ANGLE;
pub use light_side::LIGHT_SIDE;
pub use list::{RULES, typed_rules};
pub use measure::Measure;
pub use min_minutes::MIN_MINUTES;
pub use min_score::MIN_SCORE;
pub use moon_altitude::MOON_ALTITUDE;
pub use moon_fraction::MOON_FRACTION;
pub use moon_in_frame::MOON_IN_FRAME;
pub use moon_ridge::MOON_RIDGE;
pub use not_dates::NOT_DATES;
pub use prefer::PREFER;
pub use rule_basis::RuleBasis;
pub use rules::{NoCamera, NoSubject, Rules, RulesError};
pub use sun_altitude::SUN_ALTITUDE;
pub use target::TARGET;
pub use target_altitude::TARGET_ALTITUDE;
pub use target_azimuth::TARGET_AZIMUTH;
pub use target_offset::TARGET_OFFSET;
pub use target_place::TARGET_PLACE;
pub use target_ridge::TARGET_RIDGE;
pub use tilt::TILT;
pub use times::TIMES;
pub use value::RuleValue;
pub use weekdays::WEEKDAYS;
pub use weights::WEIGHTS;

pub(crate) use check::{Check, Circumstances, Part, Watched};
pub(crate) use conditions::offset_deg;
pub(crate) use facing::FROM_FACING;
pub(crate) use frame_watch::FrameWatch;
pub(crate) use lighting::Lighting;
pub(crate) use limits::Limits;
pub(crate) use moon_altitude::NO_MOON;
pub(crate) use ridge::{Ridge, Terrain};
pub(crate) use sector::Bearing;
pub(crate) use target_offset::BESIDE_SUBJECT;
pub(crate) use wall::Wall;

use crate::{
    ephemeris::Direction,
    scene::{Band, Facing, LightKind, ValueError, Zone},
};
use serde::{Serialize, Serializer};
use std::{
    cmp::Ordering,
    fmt::{self, Debug, Formatter},
    hash::{Hash, Hasher},
};

/// One rule, with everything that the program knows about it.
///
/// Two rules are equal if their keys are; their order is that in which they are
/// checked.
pub struct Rule {
    /// Its key in a brief, a site file and a table; with `-` for `_`, its
    /// option.
    pub key: &'static str,
    /// How it is typed; `None` for the land, which comes with the site.
    pub typed: Option<Typed>,
    /// Its default.
    pub default: fn(Asked) -> Option<RuleValue>,
    /// Whether it is about moonlight and so belongs to the kind of light that
    /// it was given with.
    pub of_moonlight: bool,
    /// When it holds; `None` for rules that only set what others refer to.
    pub limit: Option<Limit>,
}

/// What the defaults of rules depend on.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Asked {
    /// The kind of light.
    pub light: LightKind,
    /// Where the camera looks.
    pub facing: Facing,
    /// What must stand in the sky.
    pub target: Direction,
    /// Whether the site's camera is known.
    pub camera: bool,
}

impl Asked {
    /// What is asked where nothing is given: raking light on a site of which
    /// only the place is known.
    pub const NOTHING: Self = Self {
        light: LightKind::Raking,
        facing: Facing::Target,
        target: Direction::Core,
        camera: false,
    };
}

/// How a rule is typed.
pub struct Typed {
    /// Another key, and so another option, that means the same; empty if there
    /// is none.
    pub alias: &'static str,
    /// Reads its value.
    pub read: fn(&str) -> Result<RuleValue, ValueError>,
    /// The question that it answers.
    pub topic: Topic,
    /// The placeholder of its value in the help: `A..B`.
    pub value_name: &'static str,
    /// The words that it accepts, if any.
    pub words: &'static [&'static str],
    /// Whether its value may begin with a minus sign.
    pub may_be_negative: bool,
    /// Its help in a line, without its default.
    pub help: &'static str,
    /// What the long help adds; may be empty.
    pub more: &'static str,
    /// Whether the short help leaves it out.
    pub seldom: bool,
    /// The value in the template of a site file.
    pub example: &'static str,
    /// The remark beside it; may be empty.
    pub remark: &'static str,
}

/// The question that a rule answers, in the order of the help.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Topic {
    /// Where and when.
    When,
    /// Where things must be.
    Stand,
    /// How dark.
    Dark,
    /// Which light.
    Light,
    /// What to print.
    Print,
}

/// When a rule holds.
pub struct Limit {
    /// Its place in the order in which a night's rules are checked for the
    /// first that leaves no time.
    pub asked: u8,
    /// Its place in the order of the search: cheap rules and those that most
    /// nights fail come first.
    pub swept: u8,
    /// Its letter in the season calendar.
    pub letter: char,
    /// What a letter says of a night, with the target's name.
    pub unmet: fn(&str) -> String,
    /// What it measures, with the target's name: `the core's altitude`.
    pub words: fn(&str) -> String,
    /// The unit of its values.
    pub unit: Unit,
    /// Whether its values run round a circle.
    pub around: bool,
    /// What it measures at one instant, in its unit; `None` if it has no value
    /// then.
    pub value: fn(&Conditions, Zone) -> Option<f64>,
    /// How far it can sensibly be loosened; `None` if that does not depend on
    /// the rule.
    pub reach: Option<fn(LightKind, Band) -> Band>,
    /// The amount of its unit that matters as much to a photographer as the
    /// steps of other rules. Common practice, no source.
    pub step: f64,
    /// Its check, if it is in use.
    pub(crate) check: fn(Option<RuleValue>, &Circumstances) -> Option<Check>,
}

/// The unit in which a rule is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Unit {
    /// Degrees.
    Degrees,
    /// A fraction of the Moon's disc, 0 to 1, or a ratio of two lights.
    Fraction,
    /// Minutes of time.
    Minutes,
    /// A score, 0 to 100.
    Score,
    /// A word, which holds or does not.
    Word,
}

impl Rule {
    /// The option, without its dashes: `moon-altitude`.
    pub fn option_name(&self) -> String {
        self.key.replace('_', "-")
    }

    /// The other option that means the same, without its dashes.
    pub fn alias_name(&self) -> Option<String> {
        let alias = self.typed.as_ref()?.alias;
        (!alias.is_empty()).then(|| alias.replace('_', "-"))
    }

    /// The unit of its values; a word for rules that limit nothing.
    pub fn unit(&self) -> Unit {
        self.limit.as_ref().map_or(Unit::Word, |limit| limit.unit)
    }

    fn order(&self) -> (u8, &'static str) {
        (
            self.limit.as_ref().map_or(u8::MAX, |limit| limit.asked),
            self.key,
        )
    }
}

impl Debug for Rule {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        f.write_str(self.key)
    }
}

impl PartialEq for Rule {
    fn eq(&self, other: &Self) -> bool {
        self.key == other.key
    }
}

impl Eq for Rule {}

impl PartialOrd for Rule {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Rule {
    fn cmp(&self, other: &Self) -> Ordering {
        self.order().cmp(&other.order())
    }
}

impl Hash for Rule {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.key.hash(state);
    }
}

/// The default of a rule that is off until it is given.
pub(crate) fn off(_: Asked) -> Option<RuleValue> {
    None
}

/// By its key.
impl Serialize for Rule {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.key)
    }
}
