//! Windows against plain sweeps and DE421: none is missed, none is invented, and
//! what is said of each is so.

mod asked_wrongly;
mod best_instants;
mod brute_force;
#[path = "../common/mod.rs"]
mod common;
mod contrast;
mod de421;
mod doubts;
mod moon_target;
mod next_window;
#[path = "../common/program.rs"]
mod program;
mod serialised;
mod sweep_framing;
mod whole_range;
mod windows;
