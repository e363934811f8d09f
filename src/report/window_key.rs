//! What the columns of a table of windows mean: of those that are shown.

use super::{
    key::Key, record_grid::Column, row::Common, rows::window::Windows, words::capitalised,
    wrap::write_note,
};
use std::io::{self, Write};

/// The columns that a table of windows shows.
#[derive(Debug, Clone, Default)]
pub struct ShownColumns {
    /// The fields.
    names: Vec<&'static str>,
    /// What the windows have in common.
    common: Common,
}

impl ShownColumns {
    pub(super) fn of(columns: &[Column<Windows>], common: Common) -> Self {
        Self {
            names: columns.iter().map(|(field, _)| field.name).collect(),
            common,
        }
    }

    fn has(&self, name: &str) -> bool {
        self.names.contains(&name)
    }

    /// What they mean, each in a clause.
    fn clauses(&self) -> Vec<&'static str> {
        let of_moon = self.common.of_moon;
        let contrast = self.has("milky_way_contrast");
        let clauses = [
            (
                self.has("moonlit_start_local"),
                match self.common.is_of_blends() {
                    true => {
                        "dark, moonlit: when to take the sky and when the land, under the Moon given"
                    }
                    false => {
                        "window, moonlit: of a blend, when to take the sky and when the land, under \
                         the Moon given"
                    }
                },
            ),
            (
                self.has("clear_chance"),
                "clear nights: share of the month's nights",
            ),
            (
                self.has("cloud_forecast_percent"),
                "cloud: forecast over the window",
            ),
            (
                self.has("light_angle_deg"),
                "light 79°L: Moon 79° left of the camera direction, R right",
            ),
            (
                self.has("target_altitude_deg") || self.has("moon_altitude_deg"),
                match of_moon {
                    true => "alt: its altitude",
                    false => "alt: altitude",
                },
            ),
            (
                contrast,
                match self.common.blend {
                    true => "Milky Way: contrast, 1 as bright as the sky before it",
                    false => "Milky Way: 1 as bright as the sky",
                },
            ),
            (self.has("moon_diameter_px"), "disc px: pixels across it"),
            (
                self.has("moon_disc_vs_land_stops"),
                "disc stops: brighter than the land",
            ),
            (
                self.has("land_vs_sky_stops"),
                match (of_moon, contrast) {
                    (true, _) => "land stops: - darker than the sky beside it",
                    (false, true) => "land stops: - darker than it",
                    (false, false) => "land stops: - darker than the sky",
                },
            ),
        ];
        let shown = clauses.into_iter().filter(|(is_shown, _)| *is_shown);
        shown.map(|(_, clause)| clause).collect()
    }

    /// Writes what they mean, in lines of at most `width` columns.
    ///
    /// # Errors
    ///
    /// Any error of `out`.
    pub fn write_key(&self, out: &mut impl Write, width: usize) -> io::Result<()> {
        let clauses = self.clauses();
        if !clauses.is_empty() {
            write_note(
                out,
                &format!("{}.", capitalised(&clauses.join("; "))),
                width,
            )?;
        }
        if self.has("framing") {
            Key::Frames.write(out, width)?;
        }
        Ok(())
    }
}
