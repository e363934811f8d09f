//! How finely a night is computed.

use super::headings::PRINT;
use crate::cli::values;
use clap::Args;
use rakelight::plan::PlanSettings;

#[derive(Debug, Args)]
pub struct StepArgs {
    /// Minutes from one line to the next
    ///
    /// Of light and settings.
    #[arg(long, value_name = "MINUTES", default_value = "15", value_parser = minutes, help_heading = PRINT)]
    pub step: f64,

    /// Shutter by the NPF rule: 1 strict to 3 lenient
    ///
    /// The factor on the full rule.
    #[arg(long, hide_short_help = true, value_name = "FACTOR", default_value = "1", value_parser = factor, help_heading = PRINT)]
    pub npf_factor: f64,
}

fn minutes(text: &str) -> Result<f64, String> {
    values::measure(text, 1.0, 720.0, "minutes from 1 to 720")
}

fn factor(text: &str) -> Result<f64, String> {
    values::measure(text, 0.1, 10.0, "a factor from 0.1 to 10")
}

impl StepArgs {
    /// The settings of a plan.
    pub fn settings(&self) -> PlanSettings {
        PlanSettings {
            step_minutes: self.step,
            npf_factor: self.npf_factor,
            ..PlanSettings::default()
        }
    }
}
