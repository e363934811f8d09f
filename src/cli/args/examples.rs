//! The text below the options in `--help`: examples and exit codes. The manual
//! pages use the same examples.

macro_rules! exit_codes {
    () => {
        "Exit codes: 0 nights were found (or the command did its work); 1 the scan ran and found \
         none; 2 wrong usage or input, or an output that cannot be written; 3 there is an answer, \
         but sites were left out (--keep-going); 4 every site was left out."
    };
}

macro_rules! help_end {
    ($($what:literal: $typed:literal,)+) => {
        concat!(
            "Examples:\n",
            $("  ", $what, ":\n    ", $typed, "\n",)+
            "\n",
            exit_codes!(),
        )
    };
}

/// The text below the short help of the program.
pub const ROOT_SHORT: &str =
    "Begin with `rakelight scan`. Exit codes: 0 done, 1 no night found, 2 wrong input";

/// The text below the short help of `scan`.
pub const SCAN_SHORT: &str = "\
More with --help: arch, tilt, weights; --near-misses, --vary, --spare; examples.
Exit codes: 0 nights were found, 1 none was, 2 wrong usage or input.";

/// The text below the short help of commands that take the rules of `scan`.
pub const RULES_SHORT: &str =
    "More with --help: the rules of `scan` (--light, --facing, ...), examples";

/// The text below the short help of `trip`.
pub const TRIP_SHORT: &str = "\
More with --help: the rules of `scan` (--light, --not, ...), --detour, examples.
Exit codes: 0 a trip was found, 1 none was, 2 wrong usage or input.";

pub const ROOT: &str = concat!(
    "Examples:
  A year at the built-in demo site:
    rakelight scan
  A file for your own place:
    rakelight sites new tank.toml
  The timetable of one night:
    rakelight night tank --on 2027-05-29

Environment:
  RAKELIGHT_SITES    folders of site files, separated as in PATH:
                     `scan tank` finds tank.toml (or tank.csv) there
  NO_COLOR           no colour or weight, where set
  SOURCE_DATE_EPOCH  the time that counts as now, seconds since 1970

",
    exit_codes!()
);

pub const SCAN: &str = help_end! {
    "A year at the built-in demo site": "rakelight scan",
    "Weekends of a season": "rakelight scan tank --from 2027-03-01 --to 2027-10-31 --weekdays fri,sat",
    "No file, and a panorama of the whole arch": "rakelight scan --place -34,-70.5 --time-zone America/Santiago --facing arch",
    "Several sites into one table": "rakelight scan tank.toml mesa.toml --light dark --format csv -o dark.csv",
    "What two limits cost": "rakelight scan tank --vary moon_fraction=..0.3,..0.5",
    "What nearly fits": "rakelight scan mesa --min-minutes 60 --near-misses 5",
};

pub const TRIP: &str = help_end! {
    "Five evenings of the coming year": "rakelight trip tank mesa --light raking,blend,dark",
    "A dark week, two evenings of it free, long drives": "rakelight trip tank mesa --light dark --nights 7 --free 2 --max-km 500",
    "Weekends, for a spreadsheet": "rakelight trip tank mesa --nights 2 --weekdays fri,sat -o weekends.csv",
    "The sessions as a calendar, with an alarm the day before":
        "rakelight trip tank mesa --light raking,blend,dark -o weeks.ics --alarm 1d",
    "The best week as a booklet for phone and paper": "rakelight trip tank mesa --light raking,blend,dark -o week.html",
};

pub const NIGHT: &str = help_end! {
    "The timetable, light and settings every half hour": "rakelight night tank --on 2027-05-29 --step 30",
    "Why there is a window, or none": "rakelight night tank --on 2027-05-29 --rules",
    "Into a calendar": "rakelight night mesa.toml --on 2027-05-29 --format ical -o night.ics",
};

pub const HANDOUT: &str = help_end! {
    "A page for phone and paper": "rakelight handout tank --on 2027-05-29 -o night.html",
    "The same, facing elsewhere": "rakelight handout tank --on 2027-05-29 --facing 140 -o night.html",
};

pub const TRIPOD: &str = help_end! {
    "Onto a map or a device": "rakelight tripod tank --time 2027-06-05T21:30 -o tripod.gpx",
    "The core 8 degrees over the subject": "rakelight tripod tank --time 2027-06-05T21:30 --clearance 8",
    "At the best instant of an evening, for a map": "rakelight tripod mesa.toml --on 2027-05-29 --format geojson",
};

pub const SKY: &str = help_end! {
    "At local time": "rakelight sky tank --time 2027-05-30T21:00",
    "At a place without a file, for a script": "rakelight sky --place -31.4,139.2 --time 2027-05-30T11:30Z --format json",
    "When a photo was taken, and its settings": "rakelight sky --photo night.jpg",
};

pub const PHASES: &str = help_end! {
    "The coming year": "rakelight phases",
    "A season in local time": "rakelight phases --from 2027-03-01 --to 2027-10-31 --time-zone Asia/Tokyo",
};

pub const EXPOSURE: &str = help_end! {
    "A lens by itself": "rakelight exposure --focal-mm 14 --f-number 2.8",
    "The light of a site at an instant": "rakelight exposure tank --time 2027-05-30T21:00",
    "Land under a low Moon": "rakelight exposure --sky-mag 21 --land-lux 0.02 --reflectance 0.3",
    "Land a stop darker than mid-tone, four frames at f/4": "rakelight exposure --land-placement -1 --land-frames 4 --land-f-number 4",
    "Two minutes on a mount that follows the stars": "rakelight exposure --focal-mm 35 --tracked 120s",
    "Star trails of 20 degrees around the pole": "rakelight exposure --trails 20deg --pause 1s",
    "A time-lapse from dusk on": "rakelight exposure tank --time 2027-05-30T18:30 --time-lapse 2h",
};

pub const CHART: &str = help_end! {
    "The view from the camera": "rakelight chart frame tank --time 2027-05-30T21:00 -o view.svg",
    "A season on one sheet": "rakelight chart season tank --from 2027-03-01 --to 2027-10-31 -o season.svg",
};

pub const CHART_NIGHT: &str = help_end! {
    "For paper": "rakelight chart night tank --on 2027-05-29 -o night.svg",
    "Dim, for the dark": "rakelight chart night tank --on 2027-05-29 --paper dark -o night.svg",
};

pub const CHART_FRAME: &str = help_end! {
    "What the camera sees": "rakelight chart frame tank --time 2027-05-30T21:00 -o view.svg",
    "Facing the arch": "rakelight chart frame tank --time 2027-05-30T21:00 --facing arch -o arch.svg",
};

pub const CHART_SEASON: &str = help_end! {
    "The season of two sites": "rakelight chart season tank mesa --from 2027-03-01 -o year.svg",
    "Dark nights only": "rakelight chart season tank --from 2027-03-01 --light dark -o dark.svg",
};

pub const CHART_SKYLINE: &str = help_end! {
    "When the Moon clears the ridge": "rakelight chart skyline mesa --on 2027-05-29 -o ridge.svg",
    "For the phone": "rakelight chart skyline mesa --on 2027-05-29 --size phone -o ridge.svg",
};

pub const CHART_YEAR: &str = help_end! {
    "The year of a site by the hour": "rakelight chart year tank --from 2027-01-01 -o year.svg",
    "Two sites, for a phone": "rakelight chart year tank mesa --from 2027-01-01 --size phone -o years.svg",
};

pub const CHART_CLUSTER: &str = help_end! {
    "Which evening, and which in case of cloud": "rakelight chart cluster mesa --on 2027-05-29 -o evenings.svg",
    "A week around a date": "rakelight chart cluster tank --on 2027-07-09 --nights 7 -o week.png",
};

pub const SITES: &str = help_end! {
    "Begin a file, edit it, prove it": "rakelight sites new my-tank.toml",
    "What a name finds": "rakelight sites list",
};

pub const SITES_CHECK: &str = help_end! {
    "One file": "rakelight sites check tank.toml",
    "Several, every error of each": "rakelight sites check tank.toml mesa.toml",
    "Its elevations against the ground": "rakelight sites check tank.toml --elevation S32E139.hgt",
};

pub const SITES_LIST: &str = help_end! {
    "What is in RAKELIGHT_SITES": "rakelight sites list",
    "What is in another folder": "rakelight sites list winter-sites",
    "The views of a site, as they are typed": "rakelight sites list --addresses mesa.toml",
};

pub const SITES_NEW: &str = help_end! {
    "A commented file": "rakelight sites new my-tank.toml",
    "A table for a spreadsheet with decimal commas": "rakelight sites new places.csv --csv-style semicolon",
    "To look at it only": "rakelight sites new -",
};

pub const SITES_HORIZON: &str = help_end! {
    "A site's skylines into its file, over older ones": "rakelight sites horizon tank S32E139.hgt --replace",
    "From the elevation files of a folder, 90 km": "rakelight sites horizon tank elevation --replace --distance-km 90",
    "Of a table of sites, into a new one": "rakelight sites horizon hills.csv elevation -o completed.csv",
};

pub const SITES_SKYLINE: &str = help_end! {
    "A skyline for a site's [skyline]": "rakelight sites skyline S32E139.hgt --place -31.4,139.2 -o tank.skyline.csv",
    "On the coast, where tiles end at the sea": "rakelight sites skyline S32E139.hgt --place -31.4,139.2 --sea -o sea.csv",
};

pub const COMPLETIONS: &str = help_end! {
    "bash, a line of ~/.bashrc": "source <(rakelight completions bash)",
    "zsh, into a folder of $fpath": "rakelight completions zsh > ~/.zfunc/_rakelight",
    "fish": "rakelight completions fish > ~/.config/fish/completions/rakelight.fish",
    "PowerShell, into the profile": "rakelight completions powershell >> $PROFILE",
};

pub const MAN: &str = help_end! {
    "Read the main page": "rakelight man | man -l -",
    "Every page, beside the program, where man looks for it": "rakelight man ~/.cargo/share/man/man1",
};
