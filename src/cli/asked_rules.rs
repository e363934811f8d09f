//! The rules of a run, from options, files and sites, and which of them wins.

use super::{
    args::{
        self,
        brief::{BriefArgs, TypedRules, ViewArgs},
    },
    manners::{Failure, overwrite_guard},
};
use rakelight::{
    input::{BriefFile, Fault, Faults, SiteDefaults, load_rule_files},
    rule::{Brief, LIGHT, NoCamera, NoSubject, Rules, RulesError},
    scene::{LightKind, LightKinds, Site, ValueError, shown},
};
use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

/// Makes the rules of a brief at a site.
pub type OfBrief = fn(&Brief, &Site) -> Result<Vec<Rules>, RulesError>;

/// Rules by where they were given.
#[derive(Debug, Clone, Default)]
pub struct AskedRules {
    /// Options on the command line.
    options: Brief,
    /// The `--brief` files, in order, each with its name.
    files: Vec<(Arc<str>, Brief)>,
    /// The `--base-brief` file.
    base: Brief,
    /// What these files give to sites that say nothing of it.
    pub defaults: Arc<SiteDefaults>,
}

impl AskedRules {
    /// Reads the rules typed and the brief file; there may be one.
    pub fn read(args: &BriefArgs) -> Result<Self, Failure> {
        check_one(&args.brief)?;
        Self::read_several(args)
    }

    /// The same for a command that asks each of several brief files by itself.
    pub fn read_several(args: &BriefArgs) -> Result<Self, Failure> {
        Self::of(&args.brief, &args.typed)
    }

    /// The same for a command whose view alone is asked for.
    pub fn read_view(args: &ViewArgs) -> Result<Self, Failure> {
        check_one(&args.brief)?;
        Self::of(&args.brief, &args.typed)
    }

    /// The same for a command in which no rule is typed.
    pub fn read_file(args: &args::BriefFile) -> Result<Self, Failure> {
        check_one(args)?;
        Self::of(args, &Vec::new())
    }

    fn of(args: &args::BriefFile, typed: &TypedRules) -> Result<Self, Failure> {
        let mut asked = Self::typed(typed)?;
        let read = |path: &PathBuf| {
            overwrite_guard::note(path);
            BriefFile::read_at(path, &overwrite_guard::noting())
        };
        let mut defaults = SiteDefaults::default();
        for (name, path) in names(&args.brief)?.into_iter().zip(&args.brief) {
            let BriefFile {
                rules,
                defaults: own,
                ..
            } = read(path)?;
            if !defaults.is_empty() && !own.is_empty() {
                return Err(two_givers(&defaults, &own));
            }
            defaults = defaults.or(own);
            asked.files.push((name, rules));
        }
        if let Some(path) = &args.base_brief {
            let file = read(path)?;
            asked.base = file.rules;
            defaults = defaults.or(file.defaults);
        }
        asked.defaults = Arc::new(defaults);
        Ok(asked)
    }

    /// The rules that were typed.
    fn typed(rules: &TypedRules) -> Result<Self, Failure> {
        let mut options = Brief::default();
        for (rule, text) in rules {
            options
                .set(rule.key, text)
                .map_err(|error| Failure::option(&rule.option_name(), &error))?;
        }
        let options = load_rule_files(options, Path::new(""), &overwrite_guard::noting())?;
        Ok(Self {
            options,
            ..Self::default()
        })
    }

    /// The names of the brief files, in order; none of a run without one.
    fn names(&self) -> Vec<Option<&Arc<str>>> {
        match self.files.as_slice() {
            [] => vec![None],
            files => files.iter().map(|(name, _)| Some(name)).collect(),
        }
    }

    /// The rules of one brief file.
    fn file(&self, name: Option<&str>) -> Option<&Brief> {
        let mut files = self.files.iter();
        let found = files.find(|(of, _)| Some(&**of) == name);
        found.map(|(_, brief)| brief)
    }

    /// What options and one brief file give for every site.
    fn above_site(&self, name: Option<&str>) -> Brief {
        match self.file(name) {
            Some(file) => self.options.clone().or(file),
            None => self.options.clone(),
        }
    }

    /// The rules for every site, whatever its own are, of each brief file.
    pub fn common(&self) -> Vec<Brief> {
        let names = self.names().into_iter();
        names
            .map(|name| self.above_site(name.map(|name| &**name)))
            .collect()
    }

    /// What options and the first brief file give for every site.
    pub fn first_common(&self) -> Brief {
        let mut common = self.common().into_iter();
        common.next().unwrap_or_default()
    }

    /// The rules of the first brief file for a site: options override it, it
    /// overrides the site's own, and these the base brief.
    pub fn at(&self, site: &Site) -> Brief {
        self.at_site(
            site,
            self.names().first().copied().flatten().map(|name| &**name),
        )
    }

    fn at_site(&self, site: &Site, name: Option<&str>) -> Brief {
        let own = Brief::of_site(site);
        self.above_site(name).or(&own).or(&self.base)
    }

    /// The rules of each brief file for a site, with its name.
    pub fn each_at(&self, site: &Site) -> Vec<(Option<Arc<str>>, Brief)> {
        let names = self.names().into_iter();
        names
            .map(|name| (name.cloned(), self.at_site(site, name.map(|name| &**name))))
            .collect()
    }

    /// The brief from which some rules at a site were made, with their kind of
    /// light.
    pub fn brief_of(&self, site: &Site, rules: &Rules) -> Brief {
        let asked = self.at_site(site, rules.brief.as_deref());
        match asked.get::<LightKinds>(&LIGHT) {
            Some(kinds) if kinds.are_several() => {
                Brief::default().with(&LIGHT, rules.light).or(&asked)
            }
            _ => asked,
        }
    }

    /// The rules at a site, of each brief file and each kind of light; one at
    /// least. A fault of the input if they cannot be met there.
    pub fn all_rules(&self, site: &Site) -> Result<Vec<Rules>, Faults> {
        self.rules_by(site, Rules::of_kinds)
    }

    /// The rules of each kind of night that a season at a site shows, of each
    /// brief file; see [`Rules::of_season`].
    pub fn season_rules(&self, site: &Site) -> Result<Vec<Rules>, Faults> {
        self.rules_by(site, Rules::of_season)
    }

    fn rules_by(&self, site: &Site, of_brief: OfBrief) -> Result<Vec<Rules>, Faults> {
        self.rules_of(self.each_at(site), site, of_brief)
    }

    /// The rules at a site of its briefs, which [`Self::each_at`] gives.
    pub fn rules_of(
        &self,
        briefs: Vec<(Option<Arc<str>>, Brief)>,
        site: &Site,
        of_brief: OfBrief,
    ) -> Result<Vec<Rules>, Faults> {
        let mut all = Vec::new();
        let mut kinds_given = false;
        for (name, brief) in briefs {
            kinds_given |= brief.value_of(&LIGHT).is_some();
            let rules = of_brief(&brief, site).map_err(|error| match error {
                RulesError::NoSubject(error) => no_subject(&error),
                RulesError::NoCamera(error) => no_camera(&error),
                RulesError::Value { key, error } => self.refused(key, error, site, name.as_deref()),
                error => unruly(site, &error),
            })?;
            all.extend(rules.into_iter().map(|mut rules| {
                rules.brief.clone_from(&name);
                rules
            }));
        }
        let kinds: Vec<LightKind> = all.iter().map(|rules| rules.light).collect();
        if self.files.len() > 1 && kinds_given {
            for rules in &mut all {
                let prefer = rules.prefer.unwrap_or_default();
                rules.preference = prefer.beside(rules.light, &kinds);
            }
        }
        Ok(all)
    }

    /// A fault of a value that the other rules do not allow, where it was given.
    fn refused(&self, key: &str, error: ValueError, site: &Site, brief: Option<&str>) -> Faults {
        let place = match self.origins_of(site, brief, None).of(key) {
            "option" => format!("--{}", key.replace('_', "-")),
            "site" => format!("{}: {key}", site.name),
            origin => format!("{origin}: {key}"),
        };
        Faults::from(Fault::of_file(&place, error))
    }

    /// Where the values of some rules at a site come from.
    pub fn origins(&self, site: &Site, rules: &Rules) -> Origins {
        let several = self
            .at_site(site, rules.brief.as_deref())
            .get::<LightKinds>(&LIGHT);
        let kind = several.filter(LightKinds::are_several).map(|_| rules.light);
        self.origins_of(site, rules.brief.as_deref(), kind)
    }

    /// The same of the brief file with this name, and one of several kinds of
    /// light.
    fn origins_of(&self, site: &Site, name: Option<&str>, kind: Option<LightKind>) -> Origins {
        // Look at the merged rules, not at those given: merging drops a rule
        // about the Moon of another kind of light.
        let given = |brief: &Brief| -> Vec<&'static str> {
            let Some(kind) = kind else {
                return brief.given().collect();
            };
            let kept = Brief::default().with(&LIGHT, kind).or(brief);
            let others = kept.given().filter(|key| *key != LIGHT.key);
            let light = brief.given().filter(|key| *key == LIGHT.key);
            others.chain(light).collect()
        };
        let above = self.above_site(name);
        Origins([
            ("option", given(&self.options)),
            ("brief file", given(&above)),
            ("site", given(&above.or(&Brief::of_site(site)))),
            ("base brief", given(&self.at_site(site, name))),
        ])
    }
}

/// Where the values of some rules come from: the first of these that has the
/// key.
pub struct Origins([(&'static str, Vec<&'static str>); 4]);

impl Origins {
    /// Where the value of `key` comes from.
    pub fn of(&self, key: &str) -> &'static str {
        let has = |(_, given): &&(&str, Vec<&'static str>)| given.contains(&key);
        self.0.iter().find(has).map_or("default", |(from, _)| from)
    }
}

/// Refuses several brief files for a command that asks one.
fn check_one(args: &args::BriefFile) -> Result<(), Failure> {
    if args.brief.len() < 2 {
        return Ok(());
    }
    let found = format!("{} files", args.brief.len());
    let error = ValueError::new(&found, "one: scan and trip alone take several");
    Err(Failure::option(
        "brief",
        &error.with_remedy("keep one --brief"),
    ))
}

/// The names by which brief files are told apart: without folders and ending,
/// else as they were given.
fn names(paths: &[PathBuf]) -> Result<Vec<Arc<str>>, Failure> {
    let stem = |path: &PathBuf| {
        path.file_stem()
            .map(|stem| stem.to_string_lossy().into_owned())
    };
    let mut names: Vec<Arc<str>> = Vec::new();
    for (index, path) in paths.iter().enumerate() {
        if paths.iter().take(index).any(|before| before == path) {
            let found = format!("{} again", path.display());
            let error = ValueError::new(&found, "each brief file once");
            return Err(Failure::option(
                "brief",
                &error.with_remedy("keep one of the two"),
            ));
        }
        let others = || paths.iter().filter(|other| *other != path);
        let name =
            stem(path).filter(|name| others().all(|other| stem(other).as_ref() != Some(name)));
        names.push(name.unwrap_or_else(|| path.display().to_string()).into());
    }
    Ok(names)
}

/// The refusal of two brief files that both give something to sites.
fn two_givers(one: &SiteDefaults, other: &SiteDefaults) -> Failure {
    let found = format!(
        "{} and {}, which both give something to sites",
        one.file(),
        other.file()
    );
    let expected = "time_zone, [camera], [sky], [air] and [subject] in one --brief";
    let error = ValueError::new(&found, expected);
    Failure::option(
        "brief",
        &error.with_remedy("move them to a file for --base-brief"),
    )
}

/// A fault for rules that no option, brief or site file would give.
fn unruly(site: &Site, error: &RulesError) -> Faults {
    let value = ValueError::new(&error.to_string(), "rules that can be kept");
    Faults::from(Fault::of_file(&site.title(), value))
}

/// A fault for a camera direction that a site cannot give.
pub fn no_subject(error: &NoSubject) -> Faults {
    let value = ValueError::new(
        &format!("facing = subject at {}", shown(&error.site)),
        "a site with a subject",
    )
    .with_remedy("give the site a [subject] with bearing_deg, or face a bearing, target or arch");
    Faults::from(Fault::of_file("facing", value))
}

/// A fault for a rule about the frame of a camera that is not known.
pub fn no_camera(error: &NoCamera) -> Faults {
    let key = error.rule;
    let value = ValueError::new(
        &format!("{key} at {}", shown(&error.site)),
        "a site whose camera is known",
    )
    .with_remedy(format!(
        "give the site a [camera] with focal_mm, or ask for {key} = any"
    ));
    Faults::from(Fault::of_file(key, value))
}
