//! The site file to start from.

/// A commented TOML site file with every key, which reads as it stands.
pub fn site_template() -> &'static str {
    include_str!("site_template.toml")
}
