//! The rules that were given.

use super::{
    CLOCK, DATES, FACING, LIGHT, NOT_DATES, RULES, Rule, RuleValue, RulesError, TARGET, TIMES,
    WEEKDAYS, WEIGHTS, typed_rules, value::OfRule, values_given::ValuesGiven,
};
use crate::ephemeris::Direction;
use crate::scene::{Calendar, DateItem, LightKinds, Site, ValueError};
use std::{convert::Infallible, sync::Arc};

/// The rules that one source gives (options, a brief file or a site file); for
/// a rule that is not given the next source decides.
///
/// # Example
///
/// ```
/// use rakelight::rule::Brief;
/// let mut typed = Brief::default();
/// typed.set("target_altitude", "12..")?;
/// let mut site = Brief::default();
/// site.set("target_altitude", "10..")?;
/// site.set("light", "dark")?;
/// let both = typed.or(&site);
/// assert_eq!(both.entries(), [
///     ("light", "dark".to_owned()),
///     ("target_altitude", "12..".to_owned()),
/// ]);
/// # Ok::<(), rakelight::scene::ValueError>(())
/// ```
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Brief {
    values: ValuesGiven,
}

impl Brief {
    /// The standing rules of a site.
    pub fn of_site(site: &Site) -> Self {
        let mut brief = Self::default();
        for (key, text) in &site.standing_rules {
            // They were checked when the site was read; what a caller put there
            // and no rule accepts is ignored.
            let _ = brief.set(key, text);
        }
        let known = |file: &str| {
            let mut calendars = site.calendars.iter();
            let found = calendars.find(|(name, _)| name == file);
            Ok::<_, Infallible>(found.map(|(_, calendar)| Arc::clone(calendar)))
        };
        match brief.with_files(|_, file| known(file)) {
            Ok(brief) => brief,
            Err(never) => match never {},
        }
    }

    /// The keys of all rules that can be typed, in the order of
    /// [`Brief::entries`].
    pub fn keys() -> impl Iterator<Item = &'static str> {
        typed_rules().map(|(rule, _)| rule.key)
    }

    /// Sets one rule from its key and the text that an option, a brief file or
    /// a table gives; all of these go through here.
    ///
    /// # Errors
    ///
    /// An unknown key, or a value that the key does not accept.
    pub fn set(&mut self, key: &str, text: &str) -> Result<(), ValueError> {
        let known = Rule::of_key(key).and_then(|rule| Some((rule, rule.typed.as_ref()?)));
        let (rule, typed) = known.ok_or_else(|| unknown_key(key))?;
        self.put(rule, Some((typed.read)(text)?));
        Ok(())
    }

    /// This brief with each file that its rules name read by `read`, which gets
    /// the rule's key and the path as typed.
    ///
    /// # Errors
    ///
    /// Those of `read`.
    pub fn with_files<E>(
        mut self,
        mut read: impl FnMut(&'static str, &str) -> Result<Option<Arc<Calendar>>, E>,
    ) -> Result<Self, E> {
        for (rule, value) in self.values.given_mut() {
            if let RuleValue::Dates(list) = value {
                *list = list.with_files(|file| read(rule.key, file))?;
            }
        }
        Ok(self)
    }

    /// What the files list that its rules name, each with its path as typed.
    pub(crate) fn calendars(&self) -> Vec<(String, Arc<Calendar>)> {
        let lists = self.values.given().filter_map(|(_, value)| match value {
            RuleValue::Dates(list) => Some(list),
            _ => None,
        });
        lists
            .flat_map(|list| list.items())
            .filter_map(|item| match item {
                DateItem::File {
                    name,
                    calendar: Some(calendar),
                } => Some((name.clone(), Arc::clone(calendar))),
                _ => None,
            })
            .collect()
    }

    /// This brief with a rule given a value, which is not checked.
    #[must_use]
    pub fn with(mut self, rule: &Rule, value: impl Into<RuleValue>) -> Self {
        self.put(rule, Some(value.into()));
        self
    }

    /// Sets the value of a rule, or removes it.
    pub fn put(&mut self, rule: &Rule, value: Option<RuleValue>) {
        self.values.put(rule, value);
    }

    /// Checks that each rule accepts its value. Typed values always pass.
    ///
    /// # Errors
    ///
    /// The first that is refused.
    pub fn check(&self) -> Result<(), RulesError> {
        for (rule, value) in self.values.given() {
            let key = rule.key;
            let checked = rule.check(value);
            checked.map_err(|error| RulesError::Value { key, error })?;
        }
        Ok(())
    }

    /// Every rule with its value, in the order of [`RULES`]; `None` if it is not
    /// given.
    pub(super) fn all(&self) -> impl Iterator<Item = (&'static Rule, Option<&RuleValue>)> {
        self.values.all()
    }

    /// The value of a rule, if it is given.
    pub fn value_of(&self, rule: &Rule) -> Option<RuleValue> {
        self.values.get(rule).cloned()
    }

    /// The value of a rule as its own type, if it is given.
    pub fn get<T: OfRule>(&self, rule: &Rule) -> Option<T> {
        self.value_of(rule).and_then(T::of)
    }

    /// This brief, and for each rule that it does not give, what `fallback`
    /// gives.
    ///
    /// Rules about moonlight belong to the kind of light they were given with:
    /// where this brief asks for another kind than `fallback` does, those of
    /// `fallback` do not count. A site whose raking Moon must be at 4 to 25
    /// degrees still has dark nights.
    ///
    /// In the same way the rules of a picture of the stars are not those of one
    /// of the Moon: where this brief has the Moon as target and `fallback` has
    /// not, or the other way round, only camera direction, hours, days and
    /// weights of `fallback` count.
    #[must_use]
    pub fn or(mut self, fallback: &Self) -> Self {
        let sidelit = |brief: &Self| {
            let kinds = brief.get::<LightKinds>(&LIGHT);
            kinds.map(|kinds| kinds.are_sidelit())
        };
        // Without a word on it, raking light is asked for.
        let of_fallback = sidelit(fallback).unwrap_or(true);
        let other_light = sidelit(&self).is_some_and(|sidelit| sidelit != of_fallback);
        let of_moon = |brief: &Self| brief.get(&TARGET).map(|target: Direction| target.is_moon());
        let other_target = of_moon(&self)
            .is_some_and(|of_moon_here| of_moon_here != of_moon(fallback).unwrap_or(false));
        let mut fallback = fallback.clone();
        if other_target {
            fallback.keep_only(&OF_ANY_TARGET);
        }
        if other_light {
            fallback.forget_moonlight();
        }
        self.values.fill(fallback.values);
        self
    }

    /// Removes every rule that is not one of these.
    fn keep_only(&mut self, kept: &[&Rule]) {
        for rule in RULES.iter().filter(|rule| !kept.contains(rule)) {
            self.put(rule, None);
        }
    }

    /// Removes every rule about moonlight.
    pub fn forget_moonlight(&mut self) {
        for rule in RULES.iter().filter(|rule| rule.of_moonlight) {
            self.put(rule, None);
        }
    }

    /// What is given, as key and text that can be typed, in a fixed order.
    pub fn entries(&self) -> Vec<(&'static str, String)> {
        let given = self.values.given();
        given
            .map(|(rule, value)| (rule.key, value.to_string()))
            .collect()
    }

    /// The keys of the rules that are given.
    pub fn given(&self) -> impl Iterator<Item = &'static str> {
        self.values.given().map(|(rule, _)| rule.key)
    }
}

/// The rules that mean the same whether the Moon is the target or not.
static OF_ANY_TARGET: [&Rule; 7] = [
    &FACING, &CLOCK, &WEEKDAYS, &DATES, &NOT_DATES, &TIMES, &WEIGHTS,
];

/// The error for a rule that is given under both of its keys.
pub(crate) fn given_twice(key: &str, other: &str) -> ValueError {
    ValueError::new(key, "each rule once")
        .with_remedy(format!("{other} says the same: take one out"))
}

/// The error for a key that no rule has, with the nearest known one.
fn unknown_key(key: &str) -> ValueError {
    let error = ValueError::new(key, "a key of a brief");
    match Rule::nearest_key(key) {
        Some(word) => error.with_remedy(format!("did you mean {word}?")),
        None => {
            let known: Vec<&str> = Brief::keys().collect();
            error.with_remedy(format!("known keys: {}", known.join(", ")))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        rule::{MIN_MINUTES, MOON_ALTITUDE, TARGET_ALTITUDE, WEEKDAYS},
        scene::Band,
    };

    const SAID: [(&str, &str); 27] = [
        ("light", "raking"),
        ("prefer", "raking=1,blend=0.8,dark=0.9"),
        ("target", "gal:0,0"),
        ("target_altitude", "10..60"),
        ("target_azimuth", "320..40"),
        ("facing", "subject"),
        ("target_offset", "-60..60"),
        ("target_place", "over:5"),
        ("framing", "one"),
        ("arch_altitude", "20..45"),
        ("arch_offset", "..0"),
        ("tilt", "30..90"),
        ("sun_altitude", "..-18"),
        ("contrast", "0.3.."),
        ("moon_altitude", "3..30"),
        ("moon_fraction", "0.03..0.5"),
        ("light_angle", "40..150"),
        ("light_side", "left"),
        ("moon_in_frame", "no"),
        ("min_minutes", "20"),
        ("clock", "21:00..02:30"),
        ("weekdays", "fri,sat"),
        ("dates", "2027-05-01..2027-05-09,2027-06-04,free.ics"),
        ("not", "2027-12-24"),
        ("times", "tides.csv"),
        (
            "weights",
            "contrast=2,balance=1,raking=1,framing=0.6,position=0.6,length=0",
        ),
        ("min_score", "45"),
    ];

    #[test]
    fn rules_about_the_moon_belong_to_their_kind_of_light() {
        let mut site = Brief::default();
        site.set("moon_altitude", "4..25").expect("a band");
        site.set("target_altitude", "12..").expect("a band");
        let asked = |light: &str| {
            let mut asked = Brief::default();
            asked.set("light", light).expect("a kind");
            asked.or(&site)
        };
        assert_eq!(asked("dark").get::<Band>(&MOON_ALTITUDE), None);
        assert_eq!(asked("any").get::<Band>(&MOON_ALTITUDE), None);
        assert_eq!(asked("dark").get(&TARGET_ALTITUDE), Some(Band::from(12.0)));
        assert_eq!(
            asked("raking").get(&MOON_ALTITUDE),
            Some(Band::new(4.0, 25.0))
        );
        assert_eq!(
            asked("blend").get(&MOON_ALTITUDE),
            Some(Band::new(4.0, 25.0))
        );
    }

    #[test]
    fn each_key_gives_back_what_was_typed() {
        let mut brief = Brief::default();
        for (key, text) in SAID {
            brief.set(key, text).expect(key);
        }
        let said = SAID.map(|(key, text)| (key, text.to_owned()));
        assert_eq!(brief.entries(), said);
        let names: Vec<&str> = Brief::keys().collect();
        assert_eq!(names, SAID.map(|(key, _)| key));
    }

    #[test]
    fn each_key_falls_back_by_itself() {
        let mut fallback = Brief::default();
        for (key, text) in SAID {
            fallback.set(key, text).expect(key);
        }
        assert_eq!(Brief::default().or(&fallback), fallback);
        assert_eq!(fallback.clone().or(&Brief::default()), fallback);
        let mut first = Brief::default();
        first.set("min_minutes", "45").expect("a number");
        let merged = first.or(&fallback);
        assert_eq!(merged.get(&MIN_MINUTES), Some(45.0));
        assert_eq!(merged.value_of(&WEEKDAYS), fallback.value_of(&WEEKDAYS));
    }

    #[test]
    fn limits_and_unknown_keys() {
        let refuse = |key: &str, text: &str| match Brief::default().set(key, text) {
            Ok(()) => String::from("accepted"),
            Err(error) => error.to_string(),
        };
        for (key, text, message) in [
            (
                "target_altitude",
                "10..95",
                "found 10..95, expected a band within -90..90; write 10..90",
            ),
            (
                "target_offset",
                "..181",
                "found ..181, expected a band within -180..180; write ..180",
            ),
            (
                "tilt",
                "-1..",
                "found -1.., expected a band within 0..90; write 0..",
            ),
            (
                "light_angle",
                "..200",
                "found ..200, expected a band within 0..180; write ..180",
            ),
            (
                "min_minutes",
                "-5",
                "found -5, expected a number from 0 to 1440",
            ),
            (
                "core_alt",
                "10..",
                "found core_alt, expected a key of a brief; did you mean target_altitude?",
            ),
            (
                "light",
                "rakng",
                "found rakng, expected one of raking, dark, blend, any; did you mean raking?",
            ),
        ] {
            assert_eq!(refuse(key, text), message);
        }
    }
}
