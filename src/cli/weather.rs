//! The weather that the command line gives to sites.

use super::{
    args::WeatherArgs,
    manners::{Failure, overwrite_guard, say},
};
use rakelight::{
    ephemeris::Moment,
    input::{Faults, ForecastFile, read_climate_file, read_forecast_file},
    plain_words::printable_path,
    scene::{BySite, Climate, Dates, Site, shown},
};
use std::path::{Path, PathBuf};

/// What `--climate` and `--forecast` give.
#[derive(Debug, Default)]
pub struct Weather {
    climate: Option<Given<BySite<Climate>>>,
    forecast: Option<Given<ForecastFile>>,
}

/// What a file gives, and whom not.
#[derive(Debug)]
struct Given<T> {
    file: PathBuf,
    gives: T,
    /// Sites that have nothing in it: the first, and how many.
    without: Option<(String, usize)>,
    /// How many have something.
    with: usize,
}

impl<T> Given<T> {
    fn of(file: &Path, gives: T) -> Self {
        Self {
            file: file.to_owned(),
            gives,
            without: None,
            with: 0,
        }
    }

    fn count(&mut self, site: &Site, is_given: bool) {
        match (&mut self.without, is_given) {
            (_, true) => self.with += 1,
            (Some((_, count)), false) => *count += 1,
            (without, false) => *without = Some((site.name.clone(), 1)),
        }
    }

    /// Says which sites have nothing in the file.
    fn say(&self) {
        let Some((first, count)) = &self.without else {
            return;
        };
        let file = printable_path(&self.file);
        let others = match count {
            1 => String::new(),
            2 => " and 1 more".to_owned(),
            _ => format!(" and {} more", count - 1),
        };
        let none = match self.with {
            0 => ": it names other sites alone",
            _ => "",
        };
        say(&format!(
            "{file}: nothing for {}{others}{none}",
            shown(first)
        ));
    }
}

/// Days before the first evening and after the last one within which each
/// moment of their nights lies, whatever the zone.
const DAYS_AROUND: u64 = 2;

impl Weather {
    /// Reads the files, the forecast as far as it is about these evenings.
    pub fn read(args: &WeatherArgs, dates: Dates, quiet: bool) -> Result<Self, Failure> {
        let mut faults = Faults::default();
        let mut weather = Self::default();
        if let Some(file) = &args.climate {
            overwrite_guard::note(file);
            match read_climate_file(file) {
                Ok(climates) => weather.climate = Some(Given::of(file, climates)),
                Err(wrong) => faults.extend(wrong),
            }
        }
        if let Some(file) = &args.forecast {
            overwrite_guard::note(file);
            let period = around(dates);
            match read_forecast_file(file, period) {
                Ok(forecast) => {
                    if !quiet {
                        say_reach(file, &forecast, period);
                    }
                    weather.forecast = Some(Given::of(file, forecast));
                }
                Err(wrong) => faults.extend(wrong),
            }
        }
        match faults.0.is_empty() {
            true => Ok(weather),
            false => Err(faults.into()),
        }
    }

    /// Gives a site its weather.
    pub fn give(&mut self, site: &mut Site) {
        if let Some(given) = &mut self.climate {
            let climate = given.gives.of(&site.name).copied();
            given.count(site, climate.is_some());
            site.climate = climate.or(site.climate);
        }
        if let Some(given) = &mut self.forecast {
            site.forecast = given.gives.of.of(&site.name).cloned();
            given.count(site, site.forecast.is_some());
        }
    }

    /// Says which sites have no rows in the files.
    pub fn say(&self) {
        if let Some(given) = &self.climate {
            given.say();
        }
        // Where it does not reach the nights, that was said.
        if let Some(given) = self
            .forecast
            .as_ref()
            .filter(|given| !given.gives.of.is_empty())
        {
            given.say();
        }
    }
}

/// The moments that the nights of these evenings can have.
fn around(dates: Dates) -> [Moment; 2] {
    let wide = dates.widened(DAYS_AROUND);
    [wide.first(), wide.last()]
        .map(|date| Moment::from_utc(date.and_time(chrono::NaiveTime::MIN).and_utc()))
}

/// Says when a forecast is not about the evenings at all.
fn say_reach(file: &Path, forecast: &ForecastFile, [from, to]: [Moment; 2]) {
    let Some([first, last]) = forecast.reach else {
        return;
    };
    if last < from || to < first {
        let words = |moment: Moment| moment.to_utc().format("%Y-%m-%dT%H:%MZ");
        say(&format!(
            "{}: a forecast from {} to {}, for none of the evenings",
            printable_path(file),
            words(first),
            words(last)
        ));
    }
}
