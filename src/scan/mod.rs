//! Which nights keep every rule.
