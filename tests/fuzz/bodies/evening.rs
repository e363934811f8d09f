//! A date, a site, a brief and skylines in one text, parted by lines `===`.

use super::{NOWHERE, said, text};
use chrono::NaiveDate;
use rakelight::{
    input::{parse_site, read_brief},
    rule::{Brief, Rules},
    scene::{Site, Skyline, parse_date},
};
use std::path::Path;

/// All that a scan of one evening needs.
pub struct Evening {
    pub date: NaiveDate,
    pub site: Site,
    pub rules: Rules,
}

impl Evening {
    /// What `data` says, if all of it can be read; a skyline that cannot is
    /// left out.
    pub fn read(data: &[u8]) -> Option<Self> {
        let mut parts = text(data).split("\n===\n");
        let date = parse_date(parts.next()?).ok()?;
        let site = parse_site("s.toml", parts.next()?, Path::new(NOWHERE));
        let brief = read_brief("b.toml", parts.next().unwrap_or_default());
        let mut skyline = || Skyline::read("h.csv", parts.next()?.as_bytes()).ok();
        let (camera, subject) = (skyline(), skyline());
        for faults in [site.as_ref().err(), brief.as_ref().err()]
            .into_iter()
            .flatten()
        {
            said::check_faults(faults);
        }
        let (mut site, brief) = (site.ok()?, brief.ok()?);
        site.skyline = camera;
        site.subject_skyline = subject;
        let rules = Rules::new(&brief.or(&Brief::of_site(&site)), &site).ok()?;
        Some(Self { date, site, rules })
    }
}
