//! The mirror: the records of edits that were under way when the page was hidden. All windows share it, and each takes
//! away only what is its own.

use js_sys::Array;
use wasm_bindgen::JsValue;

use super::plain;
use super::record::{Record, number, text};

const KEY: &str = "counterpoise-mirror";
/// Where a mirror goes that cannot be read, so that the rescue page still shows it.
const UNREAD: &str = "counterpoise-mirror-unread";

/// Writes what this window, `writer`, has unwritten, beside what others have left there; whether it was taken.
pub(crate) fn write(records: &[Record], writer: &str) -> bool {
    let others = entries(&plain::get(KEY).unwrap_or_default()).into_iter().filter(|entry| !is_of(entry, writer));
    put(&others.chain(records.iter().filter_map(|record| record.to_object().ok())).collect())
}

/// What the mirror holds. One that cannot be read, or not wholly, is put aside.
pub(crate) fn read() -> Vec<Record> {
    let Some(text) = plain::get(KEY) else { return Vec::new() };
    let list = entries(&text);
    let records: Vec<Record> = list.iter().filter_map(|object| Record::from_object(object).ok()).collect();
    if records.is_empty() || records.len() < list.len() {
        plain::set(UNREAD, &text);
        take_out(|entry| Record::from_object(entry).is_err());
    }
    records
}

/// Whether there is none.
pub(crate) fn is_empty() -> bool {
    plain::get(KEY).is_none()
}

/// Removes what this window has written there: the database has it.
pub(crate) fn clear(writer: &str) {
    take_out(|entry| is_of(entry, writer));
}

/// Removes one record that it was read with: the database has it, or this window has taken it over.
pub(crate) fn clear_one(record: &Record) {
    take_out(|entry| {
        text(entry, "id").as_ref() == Some(&record.id)
            && is_of(entry, &record.writer)
            && number(entry, "updated_at") == Some(record.updated_at)
    });
}

/// The plain objects of a mirror's text.
fn entries(text: &str) -> Vec<JsValue> {
    match js_sys::JSON::parse(text) {
        Ok(list) if Array::is_array(&list) => Array::from(&list).iter().collect(),
        Ok(one) => vec![one],
        Err(_) => Vec::new(),
    }
}

fn is_of(entry: &JsValue, writer: &str) -> bool {
    text(entry, "writer").as_deref() == Some(writer)
}

fn put(list: &Array) -> bool {
    js_sys::JSON::stringify(list).is_ok_and(|text| plain::set(KEY, &String::from(text)))
}

fn take_out(is_done: impl Fn(&JsValue) -> bool) {
    let Some(text) = plain::get(KEY) else { return };
    let left: Array = entries(&text).into_iter().filter(|entry| !is_done(entry)).collect();
    if left.length() == 0 {
        plain::remove(KEY);
    } else {
        put(&left);
    }
}

/// What to do with a mirror beside the record that the database holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Mirrored {
    /// The database has it already.
    Old,
    /// It is newer: take it.
    Next,
    /// Both have gone on from the same state: keep both.
    Fork,
}

/// One state of a record: revision, time of writing (ms since 1970) and the window that wrote it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stamp<'a> {
    /// Its revision.
    pub(crate) rev: f64,
    /// When it was written.
    pub(crate) updated_at: f64,
    /// The window that wrote it.
    pub(crate) writer: &'a str,
}

/// Compares a mirror with what the database holds, if it holds anything.
///
/// A window writes one state after another, so between two of its own the later one is newer whatever the revision: the
/// mirror may have been written while the state before it was still on its way.
pub(crate) fn compare(mirror: Stamp<'_>, kept: Option<Stamp<'_>>) -> Mirrored {
    match kept {
        None => Mirrored::Next,
        Some(kept) if kept.writer == mirror.writer => {
            if mirror.updated_at > kept.updated_at {
                Mirrored::Next
            } else {
                Mirrored::Old
            }
        }
        Some(kept) if mirror.rev > kept.rev => Mirrored::Next,
        Some(_) => Mirrored::Fork,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stamp(rev: f64, updated_at: f64, writer: &str) -> Stamp<'_> {
        Stamp { rev, updated_at, writer }
    }

    #[test]
    fn an_edit_that_the_database_missed_is_taken() {
        assert_eq!(compare(stamp(5.0, 20.0, "a"), Some(stamp(4.0, 10.0, "a"))), Mirrored::Next);
        assert_eq!(compare(stamp(5.0, 20.0, "a"), Some(stamp(5.0, 10.0, "a"))), Mirrored::Next);
        assert_eq!(compare(stamp(5.0, 20.0, "b"), Some(stamp(4.0, 10.0, "a"))), Mirrored::Next);
        assert_eq!(compare(stamp(1.0, 20.0, "a"), None), Mirrored::Next);
    }

    #[test]
    fn an_edit_that_the_database_has_is_dropped() {
        assert_eq!(compare(stamp(5.0, 20.0, "a"), Some(stamp(5.0, 20.0, "a"))), Mirrored::Old);
    }

    #[test]
    fn two_windows_that_went_on_are_both_kept() {
        assert_eq!(compare(stamp(5.0, 20.0, "a"), Some(stamp(5.0, 10.0, "b"))), Mirrored::Fork);
        assert_eq!(compare(stamp(5.0, 20.0, "a"), Some(stamp(7.0, 30.0, "b"))), Mirrored::Fork);
    }
}
