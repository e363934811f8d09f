//! What a kind of record is.

/// A kind of record. `Of<'a>` is one such record, borrowed for `'a`.
pub trait RowKind: 'static {
    /// One record.
    type Of<'a>: Copy;
}
