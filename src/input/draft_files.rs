//! The files that a site refers to, while it is being read.

use super::fault::Faults;
use super::site_draft::{Context, SiteDraft};
use super::site_files::calendar_for;
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
