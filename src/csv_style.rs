//! How the tables of spreadsheets differ: the sign between the fields, and the
//! sign before the decimals.

/// How a table is laid out. Only the words of dates and times are the same in
/// all of them: they are ISO.
///
/// # Example
///
/// ```
/// use rakelight::CsvStyle;
/// assert_eq!(CsvStyle::Semicolon.number("-31.40"), "-31,40");
/// assert_eq!(CsvStyle::default(), CsvStyle::Comma);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum CsvStyle {
    /// Commas between the fields, decimal points (RFC 4180).
    #[default]
    Comma,
    /// Semicolons between the fields, decimal commas.
    Semicolon,
    /// Tabs between the fields, decimal points.
    Tab,
}

impl CsvStyle {
    /// All of them, the usual one first.
    pub const ALL: [Self; 3] = [Self::Comma, Self::Semicolon, Self::Tab];

    /// The byte between two fields.
    pub const fn separator(self) -> u8 {
        match self {
            Self::Comma => b',',
            Self::Semicolon => b';',
            Self::Tab => b'\t',
        }
    }

    /// What that byte is called.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Comma => "comma",
            Self::Semicolon => "semicolon",
            Self::Tab => "tab",
        }
    }

    /// Whether numbers are written with a decimal comma.
    pub const fn has_decimal_comma(self) -> bool {
        matches!(self, Self::Semicolon)
    }

    /// A number, or numbers in one field, with the decimal sign of this style.
    pub fn number(self, text: &str) -> String {
        match self.has_decimal_comma() {
            true => text.replace('.', ","),
            false => text.to_owned(),
        }
    }
}
