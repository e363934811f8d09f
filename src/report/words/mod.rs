//! Facts in English: the one place for all sentences.
//!
//! Windows, plans and reasons hold facts. A format that needs a sentence about
//! one of them gets it here, so that a fact reads the same in every format.

mod advice;
mod answer;
mod at_best;
mod card;
mod caution;
mod clock;
mod cluster;
mod count;
mod doubt;
mod eclipse;
mod edge;
mod event;
mod framing;
mod hindrance;
mod light;
mod measure;
mod now;
mod photo;
mod picture;
mod ridge;
mod rule;
mod target;
mod town;
mod trip;
mod weather;
mod window;
mod year;

pub use advice::advice_sentence;
pub(super) use answer::{Answer, answer};
pub use at_best::{
    darkness_fact, doubts_fact, eclipse_fact, eclipse_name, exposure_facts, faint_words,
    frame_fact, moon_fact, no_window_answer, phase_fact, target_fact, window_answer, without_fact,
};
pub(super) use card::{
    LOG_SHOWN, heading_lines, line_view, place_lines, steps_note, sun_words, view_lines, view_name,
};
pub use caution::{caution_reason, caution_sentence};
pub(super) use clock::EVENING_OF_ITS_ZONE;
pub use clock::{NAMED_BY_EVENING, clock, clock_text, clocks, hours_text, night_words};
pub use cluster::{best_and_spare_words, cluster_window_words, evening_name, umbral_eclipse_words};
pub use count::{nights_words, plural};
pub(super) use count::{range_words, shown_words};
pub(super) use doubt::meter_note;
pub(crate) use doubt::{cloud_note, haze_note, is_marked};
pub use doubt::{doubt_phrases, doubt_words};
pub use eclipse::{eclipse_label, eclipse_words};
pub use edge::{closing_words, group_words, opening_words};
pub use event::{event_words, happening_words, sight_words};
pub use framing::{framed_word, framing_sentence, not_one_word, orientation_word};
pub(super) use framing::{framing_cell, framing_phrase, pitch_words};
pub use hindrance::{hindrance_sentence, sentences};
pub use light::{
    a_kind_of_night, eclipse_phrase, eclipse_word, land_words, light_words, lit_side_word, lux,
    one_exposure_word, shutter_text, side_word, stops, visibility_word,
};
pub(super) use light::{
    duration_text, light_cell, light_letters, mid_tone_words, moon_height_words, settings_of,
    settings_text, target_light_words,
};
pub(super) use measure::{away_words, far_words};
pub use measure::{
    bearing_words, distance_words, height_words, north_words, place_words, position_words,
};
pub use now::NIGHTS_AHEAD;
pub(super) use now::{answer_lines, care_words, countdown, settings_lines, state_lines};
pub(super) use photo::photo_sentences;
pub use picture::{
    both_bearings, frame_bearings_words, frames_words, in_picture_words, light_from_words,
    shadow_length_words, subject_in_frame_words, sun_height_words, window_at_words,
};
pub use ridge::{evening_words, ridge_facts, ridge_sentences, ridge_table};
pub use rule::{
    amount, no_window_of_any_kind_words, no_window_words, rule_option, rule_words, unit_name,
    unmet_words,
};
pub use target::target_words;
pub(super) use target::{capitalised, common_of, heading_for, night_common, target_of};
pub(super) use town::{near_town_ending, place_near_words, town_at_words};
pub use town::{near_town_words, toward_words, town_glow_lines};
pub use trip::evenings_words;
pub(super) use trip::{
    CHANCES_NOTE, FORETOLD_NOTE, clear_chances_line, drive_time_words, drive_words, moves_note,
    session_lines, short_night_words, trip_name, trip_words,
};
pub use weather::clear_nights_line;
pub use window::next_window_words;
pub(super) use window::{computed_by, window_line, window_words};
pub use year::{
    dates_words, evening_in, evening_window_words, more_nights_words, no_darkness_words,
    tally_words, would_add_words,
};
