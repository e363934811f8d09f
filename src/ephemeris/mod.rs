//! Where the Sun, the Moon and the galaxy stand.

mod moment;

pub use moment::Moment;
