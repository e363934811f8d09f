//! What the sky does to land, sky and exposure.
