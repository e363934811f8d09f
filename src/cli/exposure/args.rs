//! What `rakelight exposure` is asked.

use crate::cli::{
    args::{BriefFile, Format, PRINT, SiteArgs, SiteOutputArgs, WHERE, format},
    values,
};
use clap::Args;
use rakelight::light::TrailLength;
use std::path::PathBuf;

const LENS: &str = "Lens and sensor";
const SETTINGS: &str = "Settings and frames";
/// Longest `--interval`, seconds.
pub const LONGEST_INTERVAL_S: f64 = 3600.0;

#[derive(Debug, Args)]
pub struct ExposureArgs {
    #[command(flatten)]
    pub place: SiteArgs,

    /// Local time (2027-05-13T21:30), now, 21:30
    ///
    /// The instant whose light it is, at a site: its local time, RFC 3339, now,
    /// or a time of day in the night that goes on.
    #[arg(long, value_name = "T", help_heading = WHERE)]
    pub time: Option<String>,

    /// A photo: its place, time and lens
    ///
    /// By its Exif; its settings stand beside the plan's. --time and --place
    /// replace its own; a SITE gives what it lacks.
    #[arg(long, hide_short_help = true, value_name = "FILE", help_heading = WHERE)]
    pub photo: Option<PathBuf>,

    #[command(flatten)]
    pub brief: BriefFile,

    /// Focal length, mm [default: the site's, else 14]
    ///
    /// Several, such as 14,20,35, stand side by side: which lens holds land and
    /// target, in which holding, and its longest shutter.
    #[arg(long, value_name = "MM,...", value_delimiter = ',', value_parser = values::number(1.0, 3000.0), help_heading = LENS)]
    pub focal_mm: Vec<f64>,

    /// f-number [default: the site's, else 2.8]
    #[arg(long, value_name = "N", value_parser = values::number(0.5, 128.0), help_heading = LENS)]
    pub f_number: Option<f64>,

    /// Sensor size, mm [default: the site's, else 36x24]
    ///
    /// Width and height, mm.
    #[arg(long, value_name = "WxH", allow_hyphen_values = true, value_parser = values::pair(1.0, 200.0), help_heading = LENS)]
    pub sensor_mm: Option<[f64; 2]>,

    /// Pixels across [default: the site's, else 6000]
    #[arg(long, value_name = "N", value_parser = values::count::<u32>(1, 1_000_000), help_heading = LENS)]
    pub pixels_across: Option<u32>,

    /// Declination at the frame's centre, degrees
    ///
    /// By default that of the frame that holds land and target, at a site, else
    /// the core's. The fastest star in the frame sets the shutter.
    #[arg(long, hide_short_help = true, value_name = "DEG", allow_hyphen_values = true, value_parser = values::number(-90.0, 90.0), help_heading = SETTINGS)]
    pub declination: Option<f64>,

    /// NPF rule, 1 strict to 3 lenient
    #[arg(long, hide_short_help = true, value_name = "K", default_value = "1", value_parser = values::number(0.1, 10.0), help_heading = SETTINGS)]
    pub npf_factor: f64,

    /// Allow a trail of so many pixels instead
    #[arg(long, hide_short_help = true, value_name = "PX", value_parser = values::number(0.1, 1000.0), help_heading = SETTINGS)]
    pub trail_px: Option<f64>,

    /// Sky, V mag/arcsec2 [default: computed, else 21.8]
    ///
    /// Behind the target; by default as at the site's instant, else 21.8.
    #[arg(long, value_name = "MAG", value_parser = values::number(10.0, 25.0), help_heading = SETTINGS)]
    pub sky_mag: Option<f64>,

    /// Light on the land, lux [default: computed]
    ///
    /// By default as at the site's instant, else the dark sky's own.
    #[arg(long, hide_short_help = true, value_name = "LUX", value_parser = values::number(0.0, 200_000.0), help_heading = SETTINGS)]
    pub land_lux: Option<f64>,

    /// Reflectance of the land with --land-lux, 0.01 to 1
    #[arg(long, hide_short_help = true, value_name = "R", default_value = "0.15", value_parser = values::number(0.01, 1.0), help_heading = SETTINGS)]
    pub reflectance: f64,

    /// Land against sky in a frame of yours, stops
    ///
    /// At a site: finds the reflectance of its land from a raw frame taken at
    /// --time, best on a moonless night. Take the median of the green pixels of
    /// the land and of the sky behind the target, the black level taken off:
    /// log2(land / sky), -1.4 where the land is 1.4 stops darker.
    #[arg(long, hide_short_help = true, value_name = "STOPS", allow_hyphen_values = true, value_parser = values::number(-15.0, 15.0), help_heading = SETTINGS)]
    pub land_measured: Option<f64>,

    /// Where the sky should fall, stops from mid-tone [default: -2]
    #[arg(long, hide_short_help = true, value_name = "STOPS", allow_hyphen_values = true, value_parser = values::number(-10.0, 10.0), help_heading = SETTINGS)]
    pub sky_placement: Option<f64>,

    /// ISO speeds to choose from [default: 100..25600]
    #[arg(long, value_name = "A..B", value_parser = values::iso, help_heading = SETTINGS)]
    pub iso: Option<[u32; 2]>,

    /// Where the land should fall in its own frame [default: 0]
    ///
    /// Stops from mid-tone: -1 is a stop darker than a light meter would have
    /// it.
    #[arg(long, hide_short_help = true, value_name = "STOPS", allow_hyphen_values = true, value_parser = values::number(-10.0, 10.0), help_heading = SETTINGS)]
    pub land_placement: Option<f64>,

    /// Longest shutter time of the land's frame [default: 4min]
    #[arg(long, hide_short_help = true, value_name = "TIME", value_parser = values::duration(1.0, 3600.0, "1s to 1h"), help_heading = SETTINGS)]
    pub land_shutter: Option<f64>,

    /// f-number of the land's frame [default: as for the sky]
    #[arg(long, hide_short_help = true, value_name = "N", value_parser = values::number(0.5, 128.0), help_heading = SETTINGS)]
    pub land_f_number: Option<f64>,

    /// Frames of the land, to be averaged [default: 1]
    #[arg(long, hide_short_help = true, value_name = "N", value_parser = values::count::<u32>(1, 1000), help_heading = SETTINGS)]
    pub land_frames: Option<u32>,

    /// The sky by this shutter time on a mount, such as 120s
    ///
    /// The mount follows the stars: no trails and a lower ISO, but the land
    /// blurs.
    #[arg(long, value_name = "TIME", value_parser = values::duration(0.1, 3600.0, "0.1s to 1h"), help_heading = SETTINGS)]
    pub tracked: Option<f64>,

    /// Star trails, 20deg around the pole or 60min
    #[arg(long, value_name = "LENGTH", value_parser = values::trail_length, help_heading = SETTINGS)]
    pub trails: Option<TrailLength>,

    /// A time-lapse, such as 2h or 90min
    ///
    /// At a site it begins at --time, and the settings change with the light.
    #[arg(long, value_name = "TIME", value_parser = values::duration(60.0, 86_400.0, "1min to 24h"), help_heading = SETTINGS)]
    pub time_lapse: Option<f64>,

    /// From one frame of --time-lapse to the next
    ///
    /// By default the longest shutter time and the pause, in whole seconds.
    #[arg(long, hide_short_help = true, value_name = "TIME", value_parser = values::duration(1.0, LONGEST_INTERVAL_S, "1s to 1h"), help_heading = SETTINGS)]
    pub interval: Option<f64>,

    /// Frames per second of film, with --time-lapse [default: 25]
    #[arg(long, hide_short_help = true, value_name = "N", value_parser = values::number(1.0, 240.0), help_heading = SETTINGS)]
    pub frame_rate: Option<f64>,

    /// Shutter time of each frame of --trails or --time-lapse
    ///
    /// By default 30 s for trails and the longest without trails for a
    /// time-lapse, which shortens it where the sky is bright.
    #[arg(long, hide_short_help = true, value_name = "TIME", value_parser = values::duration(0.001, 3600.0, "0.001s to 1h"), help_heading = SETTINGS)]
    pub frame_shutter: Option<f64>,

    /// Pause between frames [default: 2s]
    ///
    /// To write a frame, or to turn the camera to the next of a panorama.
    #[arg(long, hide_short_help = true, value_name = "TIME", value_parser = values::duration(0.0, 3600.0, "0s to 1h"), help_heading = SETTINGS)]
    pub pause: Option<f64>,

    /// Panorama, degrees [default: the arch, else 180x0]
    ///
    /// Width and height, degrees; by default the arch at the site's instant.
    #[arg(long, value_name = "WxH", value_parser = values::pair(0.0, 360.0), help_heading = SETTINGS)]
    pub panorama: Option<[f64; 2]>,

    /// Overlap of neighbouring frames [default: 0.3]
    #[arg(long, hide_short_help = true, value_name = "SHARE", value_parser = values::number(0.0, 0.9), help_heading = SETTINGS)]
    pub overlap: Option<f64>,

    #[arg(long, value_name = "FORMAT", help = format::help(super::FORMATS), value_parser = format::parser(super::FORMATS), hide_possible_values = true, help_heading = PRINT)]
    pub format: Option<Format>,

    #[command(flatten)]
    pub output: SiteOutputArgs,
}
