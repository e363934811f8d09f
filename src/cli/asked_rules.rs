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
    rule::{Brief, NoCamera, NoSubject, Rules, RulesError},
    scene::{Site, ValueError, shown},
};
use std::{path::Path, sync::Arc};

/// Rules by where they were given.
#[derive(Debug, Clone, Default)]
pub struct AskedRules {
    /// Options on the command line.
    pub options: Brief,
    /// The `--brief` file.
    pub file: Brief,
    /// What that file gives to sites that say nothing of it.
    pub defaults: Arc<SiteDefaults>,
}

impl AskedRules {
    /// Reads the rules typed and the brief file.
    pub fn read(args: &BriefArgs) -> Result<Self, Failure> {
        Self::of(args.brief.as_deref(), &args.typed)
    }

    /// The same for a command whose view alone is asked for.
    pub fn read_view(args: &ViewArgs) -> Result<Self, Failure> {
        Self::of(args.brief.as_deref(), &args.typed)
    }

    /// The same for a command in which no rule is typed.
    pub fn read_file(args: &args::BriefFile) -> Result<Self, Failure> {
        Self::of(args.brief.as_deref(), &Vec::new())
    }

    fn of(brief: Option<&Path>, typed: &TypedRules) -> Result<Self, Failure> {
        let typed = Self::typed(typed)?;
        let file = match brief {
            Some(path) => {
                overwrite_guard::note(path);
                BriefFile::read_at(path, &overwrite_guard::noting())?
            }
            None => BriefFile::default(),
        };
        Ok(Self {
            file: file.rules,
            defaults: Arc::new(file.defaults),
            ..typed
        })
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

    /// The rules for every site, whatever its own are.
    pub fn common(&self) -> Brief {
        self.options.clone().or(&self.file)
    }

    /// The rules for a site: options override the brief file, which overrides
    /// the site's own.
    pub fn at(&self, site: &Site) -> Brief {
        self.common().or(&Brief::of_site(site))
    }

    /// The rules at a site, or a fault of the input if they cannot be met there.
    pub fn rules(&self, site: &Site) -> Result<Rules, Faults> {
        Rules::new(&self.at(site), site).map_err(|error| match error {
            RulesError::NoSubject(error) => no_subject(&error),
            RulesError::NoCamera(error) => no_camera(&error),
            RulesError::Value { key, error } => self.refused(key, error, site),
            error => unruly(site, &error),
        })
    }

    /// A fault of a value that the other rules do not allow, where it was given.
    fn refused(&self, key: &str, error: ValueError, site: &Site) -> Faults {
        let place = match self.origin(key, site) {
            "option" => format!("--{}", key.replace('_', "-")),
            "site" => format!("{}: {key}", site.name),
            origin => format!("{origin}: {key}"),
        };
        Faults::from(Fault::of_file(&place, error))
    }

    /// Where the value of `key` comes from at a site.
    pub fn origin(&self, key: &str, site: &Site) -> &'static str {
        // Look at the merged rules, not at those given: merging drops a rule
        // about the Moon of another kind of light.
        let has = |brief: &Brief| brief.entries().iter().any(|(given, _)| *given == key);
        if has(&self.options) {
            "option"
        } else if has(&self.common()) {
            "brief file"
        } else if has(&self.at(site)) {
            "site"
        } else {
            "default"
        }
    }
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
