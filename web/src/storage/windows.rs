//! More than one window, or one that came back: nothing that was entered in either is given up.

use std::sync::Arc;

use leptos::prelude::*;
use leptos::task::spawn_local;
use wasm_bindgen::JsValue;

use super::database::Put;
use super::keeper::{Choice, Holding, Keeper, Kept};
use super::mirror::{self, Mirrored, Stamp};
use super::queue::Draft;
use super::record::{Record, SCHEMA, marked, number, text};
use crate::browser::fresh_id;
use crate::later;

/// How often the mirror is compared anew with what another window has just written.
const ATTEMPTS: u32 = 4;

impl Keeper {
    /// Another window has written the same record since: keep both, this one under a new id, and let the person choose.
    pub(super) fn fork(self, draft: Draft) {
        let (mine, other) = (fresh_id(), draft.id.clone());
        self.opened.update_value(|opened| {
            opened.iter_mut().filter(|(id, _)| *id == draft.id).for_each(|(id, _)| id.clone_from(&mine));
        });
        if self.id().as_ref() == Some(&draft.id) {
            // What waits behind it is on the screen.
            self.queue.drop_waiting(&draft.id);
            self.now_holding(Holding::Record { id: mine.clone(), archived_at: None });
            self.document.edit(|package| package.name = self.free_name(&marked(&package.name, "this window")));
        } else {
            let mut package = (*draft.package).clone();
            package.name = self.free_name(&marked(&package.name, "this window"));
            self.queue.push(Draft { id: mine.clone(), archived_at: None, package: Arc::new(package), ..draft });
        }
        self.choice.set(Some(Choice { mine, other }));
        spawn_local(self.list());
    }

    /// Goes on with one of two records and puts the other into the archive.
    pub(crate) async fn choose(self, go_on: &str, put_away: &str) {
        self.archive(put_away, true).await;
        if self.id().as_deref() != Some(go_on) {
            self.open(go_on).await;
        }
        self.choice.set(None);
    }

    /// Another window has written a record: follow it, unless an edit here is not written yet.
    pub(super) fn heard(self, id: String) {
        spawn_local(async move {
            self.list().await;
            if self.id().as_ref() == Some(&id) && self.queue.unwritten_of(&id).is_none() {
                self.open(&id).await;
            }
        });
    }

    /// Takes over an edit that only the mirror has; whether the database has it now. Two windows that come back together
    /// do it both, and must not make two of one.
    pub(super) async fn recover(self, record: Record) -> bool {
        later::there().await;
        for _ in 0..ATTEMPTS {
            let Ok(kept) = self.read(&record.id).await else { break };
            let (compared, rev) = next_to(&record, &kept.unwrap_or_default());
            let (next, expected) = match compared {
                Mirrored::Old => return true,
                Mirrored::Next => (Record { rev: rev.unwrap_or(0.0) + 1.0, ..record.clone() }, rev),
                Mirrored::Fork => (recovered(&record), None),
            };
            match self.put(&next, expected).await {
                Ok(Put::Done) => {
                    self.list().await;
                    return true;
                }
                // The other window has recovered it.
                Ok(Put::Conflict) if compared == Mirrored::Fork => return true,
                Ok(Put::Conflict) => {}
                Err(_) => break,
            }
        }
        self.go_on_with(record);
        false
    }

    /// Puts a mirrored record on the screen and lets the line try again to write it: the mirror stays until then.
    fn go_on_with(self, record: Record) {
        if record.rev > 1.0 {
            self.queue.known(&record.id, record.rev - 1.0);
        }
        self.queue.push(Draft {
            id: record.id.clone(),
            archived_at: record.archived_at,
            package: Arc::new(record.document.package.clone()),
            foreign: Arc::new(record.document.foreign.clone()),
            undo: record.undo.clone(),
            redo: record.redo.clone(),
            at_ms: record.updated_at,
        });
        // From now on it is this window's to clear away.
        if self.queue.mirror(&self.queue.unwritten()) {
            mirror::clear_one(&record);
        }
        self.hold(record, Kept::Saving);
    }
}

/// What to do with a mirrored record beside the one that is kept, and the revision of that.
fn next_to(record: &Record, kept: &JsValue) -> (Mirrored, Option<f64>) {
    let (rev, writer) = (number(kept, "rev"), text(kept, "writer").unwrap_or_default());
    if number(kept, "schema").is_some_and(|schema| schema > SCHEMA) {
        return (Mirrored::Fork, rev);
    }
    let updated_at = number(kept, "updated_at").unwrap_or(0.0);
    let stamp = Stamp { rev: record.rev, updated_at: record.updated_at, writer: &record.writer };
    (mirror::compare(stamp, rev.map(|rev| Stamp { rev, updated_at, writer: &writer })), rev)
}

/// A record of its own with what only the mirror had. Its id follows from what it holds: it is made once only.
fn recovered(record: &Record) -> Record {
    let mut document = record.document.clone();
    document.package.name = marked(&document.package.name, "recovered");
    let id = format!("{}-{}-{}", record.id, record.rev, record.writer);
    Record { id, document, rev: 1.0, ..record.clone() }
}
