//! The files that a site refers to, while it is being read.

use super::fault::Faults;
use super::site_draft::{Context, SiteDraft};
use super::site_files::calendar_for;
use crate::scene::{Climate, ValueError};
use std::{convert::Infallible, sync::Arc};

impl SiteDraft {
    /// Reads the files that the rules name.
    pub(super) fn load_rule_files(&mut self, context: &Context<'_>) {
        let brief = std::mem::take(&mut self.brief);
        let loaded = brief.with_files(|key, name| {
            let of_rule = format!("brief.{key}");
            let calendar = |name: &str| calendar_for(key, name, context.files);
            let calendar = self.load(context, &of_rule, Some(name.to_owned()), calendar);
            Ok::<_, Infallible>(calendar)
        });
        match loaded {
            Ok(brief) => self.brief = brief,
            Err(never) => match never {},
        }
    }

    /// The climate that it gives, or that its file gives to the site of this
    /// name.
    pub(super) fn take_climate(&mut self, context: &Context<'_>, name: &str) -> Option<Climate> {
        let key = "climate.file";
        let given = self.clear_nights;
        let Some(file) = self.climate_file.take() else {
            return given.and_then(|shares| Climate::new(shares).ok());
        };
        if self.has("climate.clear_nights") {
            let error = ValueError::new(
                &format!("{file} beside clear_nights"),
                "the twelve shares or a file with them, not both",
            )
            .with_remedy("keep one of the two");
            self.complain(context, key, error);
            return None;
        }
        let load = |name: &str| context.files.climate(name);
        let climates = self.load(context, key, Some(file.clone()), load)?;
        let climate = climates.of(name).copied();
        if climate.is_none() {
            let error = ValueError::new(
                &format!("{file} without {name}"),
                "a file with the months of this site",
            )
            .with_remedy("add rows with its name in the column site, or take that column out");
            self.complain(context, key, error);
        }
        climate
    }

    /// What is in the file given by `key`; a file that can't be read is
    /// reported at the key, faults inside it at their own lines.
    pub(super) fn load<T>(
        &mut self,
        context: &Context<'_>,
        key: &str,
        file: Option<String>,
        load: impl FnOnce(&str) -> Result<Arc<T>, Faults>,
    ) -> Option<Arc<T>> {
        match load(&file?) {
            Ok(read) => Some(read),
            Err(faults) => {
                for fault in faults {
                    let fault = match fault.line {
                        Some(_) => fault,
                        None => {
                            let place = self.place(key, context.start);
                            fault.at_key(context.file, place, key)
                        }
                    };
                    self.fault(fault);
                }
                None
            }
        }
    }
}
