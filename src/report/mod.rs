//! One writer a format, each over the same records; none computes.
