//! JSON for people and programs: one line a field, but lists of numbers on one.
//!
//! Outlines are long lists of pairs; a line for every number would bury the plan.

use serde::Serialize;
use serde_json::ser::Formatter;
use std::io::{self, Write};

/// A value as JSON text, ending in a line break.
pub(crate) fn to_bytes(value: &impl Serialize) -> serde_json::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let mut writer = serde_json::Serializer::with_formatter(&mut bytes, QuiltTop::default());
    value.serialize(&mut writer)?;
    bytes.push(b'\n');
    Ok(bytes)
}

/// Breaks the line before every object and every key, and nowhere else.
#[derive(Debug, Default)]
struct QuiltTop {
    depth: usize,
    /// An entry of a list begins: if it is an object, it takes a line of its own.
    entry: bool,
    /// Whether each open list holds objects.
    lists: Vec<bool>,
}

impl QuiltTop {
    fn line<W: ?Sized + Write>(&self, to: &mut W) -> io::Result<()> {
        to.write_all(b"\n")?;
        to.write_all(&b" ".repeat(self.depth))
    }
}

impl Formatter for QuiltTop {
    fn begin_array<W: ?Sized + Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.lists.push(false);
        self.depth += 1;
        to.write_all(b"[")
    }

    fn begin_array_value<W: ?Sized + Write>(&mut self, to: &mut W, first: bool) -> io::Result<()> {
        self.entry = true;
        if first { Ok(()) } else { to.write_all(b",") }
    }

    fn end_array<W: ?Sized + Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.depth -= 1;
        self.entry = false;
        if self.lists.pop() == Some(true) {
            self.line(to)?;
        }
        to.write_all(b"]")
    }

    fn begin_object<W: ?Sized + Write>(&mut self, to: &mut W) -> io::Result<()> {
        if std::mem::take(&mut self.entry) {
            if let Some(list) = self.lists.last_mut() {
                *list = true;
            }
            self.line(to)?;
        }
        self.depth += 1;
        to.write_all(b"{")
    }

    fn begin_object_key<W: ?Sized + Write>(&mut self, to: &mut W, first: bool) -> io::Result<()> {
        if !first {
            to.write_all(b",")?;
        }
        self.line(to)
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.entry = false;
        to.write_all(b": ")
    }

    fn end_object<W: ?Sized + Write>(&mut self, to: &mut W) -> io::Result<()> {
        self.depth -= 1;
        self.line(to)?;
        to.write_all(b"}")
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn outlines_stay_on_their_line() {
        let value = serde_json::json!({ "a": [[1, 2], [3, 4.5]], "b": [{ "c": [] }, { "d": "x" }], "e": {} });
        let text = String::from_utf8(super::to_bytes(&value).unwrap()).unwrap();
        let wanted = "{\n \"a\": [[1,2],[3,4.5]],\n \"b\": [\n  {\n   \"c\": []\n  },\n  {\n   \"d\": \"x\"\n  }\n ],\n \"e\": {\n }\n}\n";
        assert_eq!(text, wanted);
        assert_eq!(
            serde_json::from_str::<serde_json::Value>(&text).unwrap(),
            value
        );
    }
}
