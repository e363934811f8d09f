//! The questions that are the headings of options in the help.

pub const WHERE: &str = "Where and when";
pub const STAND: &str = "What must be where";
pub const DARK: &str = "How dark";
pub const LIGHT: &str = "Which light";
pub const PRINT: &str = "What to print";
pub const TRIP: &str = "Which trip";
