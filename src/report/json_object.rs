//! Objects of JSON that are built as a tree or written as text: what they hold
//! is said once.

use super::{
    cell::Cell,
    json_cell::{write_cell, write_words},
    row::{Field, RowKind},
};
use serde::Serialize;
use serde_json::{Map, Value};
use std::io;

/// An object that takes members in order.
pub trait Object: Sized {
    /// Takes the fields of a record.
    fn fields<K: RowKind>(&mut self, fields: &'static [Field<K>], record: &K::Of<'_>);

    /// Takes a value of any kind.
    fn value(&mut self, key: &str, value: Value);

    /// Takes a text.
    fn text(&mut self, key: &str, text: &str);

    /// Takes an object.
    fn object(&mut self, key: &str, fill: impl FnOnce(&mut Self));

    /// Takes a list with one object for each item.
    fn list<T>(&mut self, key: &str, items: impl Iterator<Item = T>, fill: impl Fn(&mut Self, &T));
}

impl Object for Map<String, Value> {
    fn fields<K: RowKind>(&mut self, fields: &'static [Field<K>], record: &K::Of<'_>) {
        let fields = fields.iter();
        self.extend(fields.map(|field| (field.name.to_owned(), field.cell(record).to_json())));
    }

    fn value(&mut self, key: &str, value: Value) {
        self.insert(key.to_owned(), value);
    }

    fn text(&mut self, key: &str, text: &str) {
        self.value(key, Value::from(text));
    }

    fn object(&mut self, key: &str, fill: impl FnOnce(&mut Self)) {
        let mut own = Self::new();
        fill(&mut own);
        self.value(key, Value::Object(own));
    }

    fn list<T>(&mut self, key: &str, items: impl Iterator<Item = T>, fill: impl Fn(&mut Self, &T)) {
        let object = |item: T| {
            let mut own = Self::new();
            fill(&mut own, &item);
            Value::Object(own)
        };
        self.value(key, items.map(object).collect());
    }
}

/// An object as text, written straight to memory: a batch has one for each site.
#[derive(Debug)]
pub struct ObjectText {
    text: Vec<u8>,
    written: io::Result<()>,
}

impl ObjectText {
    /// The text of the object that `fill` fills.
    ///
    /// # Errors
    ///
    /// A value that JSON cannot hold.
    pub fn of(fill: impl FnOnce(&mut Self)) -> io::Result<Vec<u8>> {
        let mut object = Self {
            text: Vec::with_capacity(1000),
            written: Ok(()),
        };
        object.braced(fill);
        object.written.map(|()| object.text)
    }

    fn braced(&mut self, fill: impl FnOnce(&mut Self)) {
        self.text.push(b'{');
        fill(self);
        self.text.push(b'}');
    }

    /// Begins a member.
    fn key(&mut self, key: &str) {
        if !self.text.ends_with(b"{") {
            self.text.push(b',');
        }
        self.with(|text| write_words(text, key));
        self.text.push(b':');
    }

    /// Takes what writes itself.
    pub fn serialized(&mut self, key: &str, value: &impl Serialize) {
        self.key(key);
        self.with(|text| Ok(serde_json::to_writer(text, value)?));
    }

    /// Takes a value of a record.
    pub fn cell(&mut self, key: &str, cell: &Cell<'_>) {
        self.key(key);
        self.with(|text| write_cell(text, cell));
    }

    fn with(&mut self, write: impl FnOnce(&mut Vec<u8>) -> io::Result<()>) {
        if self.written.is_ok() {
            self.written = write(&mut self.text);
        }
    }
}

impl Object for ObjectText {
    fn fields<K: RowKind>(&mut self, fields: &'static [Field<K>], record: &K::Of<'_>) {
        for field in fields {
            if !self.text.ends_with(b"{") {
                self.text.push(b',');
            }
            // The name of a field is plain.
            self.text.push(b'"');
            self.text.extend_from_slice(field.name.as_bytes());
            self.text.extend_from_slice(b"\":");
            self.with(|text| write_cell(text, &field.cell(record)));
        }
    }

    fn value(&mut self, key: &str, value: Value) {
        self.serialized(key, &value);
    }

    fn text(&mut self, key: &str, text: &str) {
        self.cell(key, &Cell::Text(text));
    }

    fn object(&mut self, key: &str, fill: impl FnOnce(&mut Self)) {
        self.key(key);
        self.braced(fill);
    }

    fn list<T>(&mut self, key: &str, items: impl Iterator<Item = T>, fill: impl Fn(&mut Self, &T)) {
        self.key(key);
        self.text.push(b'[');
        for (index, item) in items.enumerate() {
            if index > 0 {
                self.text.push(b',');
            }
            self.braced(|own| fill(own, &item));
        }
        self.text.push(b']');
    }
}
