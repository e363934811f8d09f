//! Which columns of a table were asked for, as typed.

use crate::{
    plain_words::printable,
    scene::{ValueError, nearest},
};
use csv::{ReaderBuilder, Trim};

/// Reads the names of columns as they are typed: with commas between them, as in
/// a line of CSV, so that a name with a comma stands in quotation marks. Blanks
/// around a name go.
///
/// # Errors
///
/// No name, an empty one, or several lines.
fn names(typed: &str) -> Result<Vec<String>, ValueError> {
    let refused = || {
        let expected = "names of columns with commas between them";
        Err(ValueError::new(typed, expected).with_remedy("for example site,night,score"))
    };
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .trim(Trim::All)
        .from_reader(typed.as_bytes());
    let mut lines = reader.records();
    let (Some(Ok(line)), None) = (lines.next(), lines.next()) else {
        return refused();
    };
    if line.iter().any(str::is_empty) {
        return refused();
    }
    Ok(line.iter().map(str::to_owned).collect())
}

/// The places, in `all`, of the columns that are typed. The name of one of the
/// user's own counts with `own.` before it too, and a name that ends in `*`
/// means each column that begins so and is not named itself.
///
/// # Errors
///
/// A name that none has, a name twice, and what [`names`] refuses.
pub(super) fn places(typed: &str, all: &[Asked<'_>]) -> Result<Vec<usize>, ValueError> {
    let typed = names(typed)?;
    let mut meant: Vec<Meant> = Vec::new();
    for (index, name) in typed.iter().enumerate() {
        let found = meaning(name, all)?;
        let is_again = match &found {
            Meant::One(_) => meant.contains(&found),
            Meant::Each(_) => typed.iter().take(index).any(|before| before == name),
        };
        if is_again {
            let error = ValueError::new(&format!("{name} again"), "each column once");
            return Err(error.with_remedy("keep one of the two"));
        }
        meant.push(found);
    }
    let mut taken: Vec<bool> = vec![false; all.len()];
    let mut take = |place: usize| {
        let was_free = taken.get(place) == Some(&false);
        taken
            .iter_mut()
            .skip(place)
            .take(1)
            .for_each(|it| *it = true);
        was_free
    };
    for one in &meant {
        if let Meant::One(place) = one {
            take(*place);
        }
    }
    let mut places = Vec::new();
    for one in meant {
        match one {
            Meant::One(place) => places.push(place),
            Meant::Each(each) => places.extend(each.into_iter().filter(|place| take(*place))),
        }
    }
    Ok(places)
}

/// A column that can be asked for.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asked<'a> {
    /// What it is called in the table.
    pub heading: &'a str,
    /// Its other name, if it is one of the user's own.
    pub own: Option<&'a str>,
}

impl Asked<'_> {
    fn is(&self, name: &str) -> bool {
        let with_own = |own| name.strip_prefix("own.") == Some(own);
        self.heading == name || self.own.is_some_and(with_own)
    }
}

/// What a name means: one column, or each of several that nothing else names.
#[derive(Debug, PartialEq)]
enum Meant {
    One(usize),
    Each(Vec<usize>),
}

fn meaning(name: &str, all: &[Asked<'_>]) -> Result<Meant, ValueError> {
    if let Some(place) = all.iter().position(|column| column.is(name)) {
        return Ok(Meant::One(place));
    }
    let headings = || all.iter().map(|column| column.heading);
    let beginning = name.strip_suffix('*');
    if let Some(beginning) = beginning {
        let begins = headings().enumerate();
        let begins = begins.filter(|(_, heading)| heading.starts_with(beginning));
        let each: Vec<usize> = begins.map(|(place, _)| place).collect();
        if !each.is_empty() {
            return Ok(Meant::Each(each));
        }
    }
    let wanted = match beginning {
        Some(_) => "a column of this output that begins so",
        None => "a column of this output",
    };
    let first: Vec<&str> = headings().take(5).collect();
    let expected = format!("{wanted}, such as {}", first.join(", "));
    let error = ValueError::new(name, expected);
    Err(match nearest(beginning.unwrap_or(name), headings()) {
        Some(near) => error.with_remedy(format!("did you mean {}?", printable(near))),
        None => error,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [(&str, Option<&str>); 6] = [
        ("site", None),
        ("score", None),
        ("score_contrast", None),
        ("score_raking", None),
        ("guide", Some("guide")),
        ("own.Score", Some("Score")),
    ];

    fn asked(typed: &str) -> Result<Vec<usize>, String> {
        let all = ALL.map(|(heading, own)| Asked { heading, own });
        places(typed, &all).map_err(|error| error.to_string())
    }

    #[test]
    fn columns_are_those_named_in_that_order() {
        assert_eq!(asked("score,site"), Ok(vec![1, 0]));
        assert_eq!(asked(" score , site "), Ok(vec![1, 0]));
        assert_eq!(asked("guide,own.Score"), Ok(vec![4, 5]));
        assert_eq!(asked("own.guide"), Ok(vec![4]));
    }

    #[test]
    fn a_star_stands_for_what_is_not_named() {
        assert_eq!(asked("score_*"), Ok(vec![2, 3]));
        assert_eq!(asked("score*,score"), Ok(vec![2, 3, 1]));
        assert_eq!(asked("*,site"), Ok(vec![1, 2, 3, 4, 5, 0]));
        assert_eq!(asked("score_*,*"), Ok(vec![2, 3, 0, 1, 4, 5]));
    }

    #[test]
    fn what_no_column_has_is_refused() {
        let told = |typed: &str| asked(typed).expect_err(typed);
        assert!(told("scroe").ends_with("; did you mean score?"));
        assert!(told("Site").ends_with("; did you mean site?"));
        assert!(told("score_b*").starts_with("found score_b*, expected a column"));
        assert!(told("site,site").starts_with("found site again"));
        assert!(told("guide,own.guide").starts_with("found own.guide again"));
        assert!(told("sc*,sc*").starts_with("found sc* again"));
        assert!(told("").starts_with("found nothing"));
        assert!(told("site,").starts_with("found site,, expected names"));
        assert!(told("site\nscore").starts_with("found site\\nscore, expected names"));
        assert!(told("ni\u{1b}[31mght").starts_with("found ni\\u{1b}[31mght"));
        // One of the program's is none of the user's own.
        assert!(told("own.site").starts_with("found own.site"));
    }
}
