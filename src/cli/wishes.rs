//! The rules of a run, from options, files and sites, and which goes before
//! which.

use super::{
    args::brief::{BriefArgs, TypedRules},
    manners::{Failure, overwrite_guard},
};
use rakelight::{
    input::{Fault, Faults, read_brief_file},
    rule::{Brief, NoSubject, Rules, RulesError},
    scene::{Site, ValueError, shown},
};

/// Wishes by where they were given.
#[derive(Debug, Clone, Default)]
pub struct Wishes {
    /// Options on the command line.
    pub options: Brief,
    /// The `--brief` file.
    pub file: Brief,
}

impl Wishes {
    /// Reads the rules typed and the file that was named.
    pub fn read(args: &BriefArgs) -> Result<Self, Failure> {
        let typed = Self::typed(&args.typed)?;
        let file = match &args.brief {
            Some(path) => {
                overwrite_guard::note(path);
                read_brief_file(path)?
            }
            None => Brief::default(),
        };
        Ok(Self { file, ..typed })
    }

    /// The rules that were typed.
    pub fn typed(rules: &TypedRules) -> Result<Self, Failure> {
        let mut options = Brief::default();
        for (rule, text) in rules {
            options
                .set(rule.key, text)
                .map_err(|error| Failure::option(&rule.option_name(), &error))?;
        }
        Ok(Self {
            options,
            ..Self::default()
        })
    }

    /// The wishes for every site, whatever its own are.
    pub fn common(&self) -> Brief {
        self.options.clone().or(&self.file)
    }

    /// The wishes for a site: options before the brief file before the site's
    /// own.
    pub fn at(&self, site: &Site) -> Brief {
        self.common().or(&Brief::of_site(site))
    }

    /// The rules at a site, or what stands in their way as a fault of the
    /// input.
    pub fn rules(&self, site: &Site) -> Result<Rules, Faults> {
        Rules::new(&self.at(site), site).map_err(|error| match error {
            RulesError::NoSubject(error) => no_subject(&error),
            error => unruly(site, &error),
        })
    }

    /// Where the word on `key` came from at a site.
    pub fn origin(&self, key: &str, site: &Site) -> &'static str {
        // As merged, not as given: a wish about another kind of light's Moon
        // falls out on the way.
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

/// Rules that no option, brief or site file would have given.
fn unruly(site: &Site, error: &RulesError) -> Faults {
    let value = ValueError::new(&error.to_string(), "rules that can be kept");
    Faults::from(Fault::of_file(&site.name, value))
}

/// A facing direction that a site cannot give, as a fault of the input.
pub fn no_subject(error: &NoSubject) -> Faults {
    let value = ValueError::new(
        &format!("facing = subject at {}", shown(&error.site)),
        "a site with a subject",
    )
    .with_remedy("give the site a [subject] with bearing_deg, or face a bearing, target or arch");
    Faults::from(Fault::of_file("facing", value))
}
