//! What a frame holds: lenses, solid subjects, panoramas and where to stand.

mod camera_frame;
#[path = "../common/mod.rs"]
mod common;
mod framing;
mod panorama_coverage;
mod stand_loop;
