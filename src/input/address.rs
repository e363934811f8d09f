//! Which of the sites of a file is meant: what stands after the `#` of an
//! address, `table.csv#ROW`, `table.csv#ROW#VIEW` or `site.toml#VIEW`.

use super::fault::{Fault, Faults};
use super::points::PointsForm;
use crate::plain_words::printable;
use crate::scene::nearest::nearest_few;
use crate::scene::{Site, ValueError, shown};
use std::path::Path;

/// The most names that an error lists.
const LISTED: usize = 5;
/// The most names among which an error looks for a similar one.
const COMPARED: usize = 10_000;

/// How a file names its sites.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Layout {
    /// A table: each row by its name, and by its view behind another `#`.
    Table,
    /// A site file: each view by its name.
    SiteFile,
    /// Points: each by its name, else by its number in the file, from 1.
    Points,
}

impl Layout {
    /// The names that mean a site.
    fn names(self, name: &str, view: Option<&str>) -> Vec<String> {
        match (self, view) {
            (Self::Table, Some(view)) => vec![name.to_owned(), format!("{name}#{view}")],
            (Self::Table, None) => vec![name.to_owned()],
            (Self::SiteFile, Some(view)) => vec![view.to_owned()],
            (Self::SiteFile, None) => Vec::new(),
            (Self::Points, _) => vec![name.to_owned()],
        }
    }

    const fn word(self) -> &'static str {
        match self {
            Self::Table => "row",
            Self::SiteFile => "view",
            Self::Points => "point",
        }
    }
}

/// The kinds of files that an address may name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Addressed {
    /// A site file with views.
    SiteFile,
    /// A table of sites.
    Table,
    /// A file of points.
    Points,
}

impl Addressed {
    /// By the ending of the file.
    pub fn of(path: &Path) -> Self {
        let ending = path.extension().and_then(|ending| ending.to_str());
        match ending {
            Some(ending) if ending.eq_ignore_ascii_case("csv") => Self::Table,
            Some(ending) if PointsForm::of_ending(ending).is_some() => Self::Points,
            _ => Self::SiteFile,
        }
    }

    const fn layout(self) -> Layout {
        match self {
            Self::SiteFile => Layout::SiteFile,
            Self::Table => Layout::Table,
            Self::Points => Layout::Points,
        }
    }
}

/// What stands after the `#` of the address of a site in a file; nothing if the
/// whole file is meant.
pub fn address_of(site: &Site, file: Addressed) -> Option<String> {
    let names = file.layout().names(&site.name, site.view.as_deref());
    names.last().cloned()
}

/// Picks the sites that an address means, from those of a file one by one.
/// Names are compared as they are; only if none is the same, ignoring case.
pub(super) struct Picker<'a, T> {
    file: &'a str,
    layout: Layout,
    address: &'a str,
    /// The address in small letters.
    small: String,
    exact: Vec<Picked<T>>,
    ignoring_case: Vec<Picked<T>>,
    /// The point that the address means as a number.
    numbered: Option<Picked<T>>,
    /// The names that others have, some of them.
    others: Vec<String>,
    /// Sites so far.
    count: usize,
}

struct Picked<T> {
    /// Which site of the file it is, from 1.
    number: usize,
    name: String,
    view: Option<String>,
    /// Whether the address names the view too.
    by_view: bool,
    site: T,
}

impl<'a, T> Picker<'a, T> {
    pub fn new(file: &'a str, layout: Layout, address: &'a str) -> Self {
        Self {
            file,
            layout,
            address,
            small: address.to_lowercase(),
            exact: Vec::new(),
            ignoring_case: Vec::new(),
            numbered: None,
            others: Vec::new(),
            count: 0,
        }
    }

    /// Counts a site that cannot be read.
    pub fn pass(&mut self) {
        self.count = self.count.saturating_add(1);
    }

    /// Takes or leaves the next site of the file.
    pub fn offer(&mut self, name: &str, view: Option<&str>, site: T) {
        self.pass();
        let number = self.count;
        let names = self.layout.names(name, view);
        let picked = |place: usize, site| Picked {
            number,
            name: name.to_owned(),
            view: view.map(str::to_owned),
            by_view: self.layout == Layout::SiteFile || place > 0,
            site,
        };
        let is_small = |name: &String| name.to_lowercase() == self.small;
        // Points of the same name are never meant together: some tell enough.
        let room = |picked: &Vec<_>| self.layout != Layout::Points || picked.len() <= LISTED;
        if let Some(place) = names.iter().position(|name| name == self.address) {
            if room(&self.exact) {
                self.exact.push(picked(place, site));
            }
        } else if let Some(place) = names.iter().position(is_small) {
            if room(&self.ignoring_case) {
                self.ignoring_case.push(picked(place, site));
            }
        } else if self.layout == Layout::Points && self.address == number.to_string() {
            self.numbered = Some(picked(0, site));
        } else if self.others.len() < COMPARED
            && let Some(name) = names.last()
        {
            self.others.push(name.clone());
        }
    }

    /// The sites meant, in the order of the file.
    ///
    /// # Errors
    ///
    /// None, or several that are not the views of one place.
    pub fn end(mut self) -> Result<Vec<T>, Faults> {
        if self.exact.is_empty() && self.ignoring_case.is_empty() {
            self.exact.extend(self.numbered.take());
        }
        let picked = match self.exact.is_empty() {
            true => &self.ignoring_case,
            false => &self.exact,
        };
        let fault = |error| Err(Faults::from(Fault::of_file(self.file, error)));
        let Some(first) = picked.first() else {
            return fault(self.not_found());
        };
        let word = self.layout.word();
        for (index, one) in picked.iter().enumerate() {
            let mut before = picked.iter().take(index);
            if before.any(|other| other.full_name() == one.full_name()) {
                let differ = match self.layout {
                    Layout::Points => "name",
                    Layout::Table | Layout::SiteFile => "name or view",
                };
                let error = ValueError {
                    found: format!("two {word}s called {}", shown(&one.full_name())),
                    ..ValueError::new("", format!("{word}s that differ in {differ}"))
                };
                if self.layout != Layout::Points {
                    return fault(error.with_remedy("give each a name of its own"));
                }
                let numbers: Vec<String> = picked
                    .iter()
                    .filter(|other| other.full_name() == one.full_name())
                    .map(|other| format!("#{}", other.number))
                    .collect();
                let numbers = numbers.join(" or ");
                return fault(error.with_remedy(format!("give its number in the file: {numbers}")));
            }
        }
        // The views of one row's name are meant together, whatever they are.
        let together = |other: &&Picked<T>| other.name == first.name && !first.by_view;
        if let Some(other) = picked.iter().skip(1).find(|other| !together(other)) {
            let name = |of: &Picked<T>| match (self.layout, &of.view) {
                (Layout::SiteFile, Some(view)) => shown(view),
                _ => shown(&of.full_name()),
            };
            let error = ValueError {
                found: format!(
                    "#{}, which means {} and {}",
                    shown(self.address),
                    name(first),
                    name(other)
                ),
                ..ValueError::new("", format!("the name of one {word}"))
            };
            return fault(error.with_remedy("write it with the same capitals and small letters"));
        }
        let picked = match self.exact.is_empty() {
            true => self.ignoring_case,
            false => self.exact,
        };
        Ok(picked.into_iter().map(|picked| picked.site).collect())
    }

    fn not_found(&self) -> ValueError {
        let word = self.layout.word();
        let found = format!("#{}", printable_start(self.address));
        if self.others.is_empty() {
            let error = ValueError {
                found,
                ..ValueError::new("", "a site with views behind the #")
            };
            return error.with_remedy("leave out the # and what stands after it");
        }
        let listed = self.others.iter().take(LISTED);
        let mut listed: Vec<String> = listed.map(|other| format!("#{}", shown(other))).collect();
        let more = self.others.len() - listed.len();
        if more > 0 {
            listed.push(format!("{more} more"));
        }
        let listed = match listed.split_last() {
            Some((last, before)) if !before.is_empty() => {
                format!("{} and {last}", before.join(", "))
            }
            _ => listed.concat(),
        };
        let error = ValueError {
            found,
            ..ValueError::new("", format!("the address of one of its {word}s: {listed}"))
        };
        let names = self.others.iter().map(String::as_str);
        let near = nearest_few(self.address, names, 1);
        match near.first().and_then(|index| self.others.get(*index)) {
            Some(near) => error.with_remedy(format!("did you mean #{}?", printable(near))),
            None => error,
        }
    }
}

/// The text, shortened; nothing if there is none.
fn printable_start(text: &str) -> String {
    match text {
        "" => String::new(),
        text => shown(text),
    }
}

impl<T> Picked<T> {
    fn full_name(&self) -> String {
        match &self.view {
            Some(view) => format!("{}#{view}", self.name),
            None => self.name.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROWS: [(&str, Option<&str>); 6] = [
        ("Tank", None),
        ("tank", None),
        ("Mesa", Some("arch")),
        ("Mesa", Some("Arch")),
        ("Mesa", Some("wall")),
        ("Mesa#wall 2", None),
    ];

    fn picked(layout: Layout, address: &str) -> Result<Vec<usize>, String> {
        let mut picker = Picker::new("t.csv", layout, address);
        for (index, (name, view)) in ROWS.into_iter().enumerate() {
            picker.offer(name, view, index);
        }
        picker.end().map_err(|faults| faults.to_string())
    }

    #[test]
    fn a_row_is_meant_by_its_name_and_view_as_they_are_or_ignoring_case() {
        let row = |address| picked(Layout::Table, address);
        assert_eq!(row("Tank"), Ok(vec![0]));
        assert_eq!(row("tank"), Ok(vec![1]));
        assert!(row("TANK").is_err_and(|told| told.contains("means Tank and tank")));
        assert_eq!(row("Mesa"), Ok(vec![2, 3, 4]));
        assert_eq!(row("mesa"), Ok(vec![2, 3, 4]));
        assert_eq!(row("Mesa#Arch"), Ok(vec![3]));
        assert_eq!(row("MESA#WALL"), Ok(vec![4]));
        assert_eq!(row("Mesa#wall 2"), Ok(vec![5]));
        assert!(row("MESA#ARCH").is_err_and(|told| told.contains("Mesa#arch and Mesa#Arch")));
        assert!(row("Mesa#wal").is_err_and(|told| told.contains("did you mean #Mesa#wall?")));
        assert!(row("").is_err());
        let view = |address| picked(Layout::SiteFile, address);
        assert_eq!(view("arch"), Ok(vec![2]));
        assert_eq!(view("Wall"), Ok(vec![4]));
        assert!(view("ARCH").is_err_and(|told| told.contains("means arch and Arch")));
        assert!(view("Mesa").is_err());
    }
}
