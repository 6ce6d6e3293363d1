//! The line of committed edits on their way to the database, one write at a time.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::Duration;

use codec::{Document, Foreign};
use leptos::prelude::*;
use leptos::task::spawn_local;
use solver::Package;
use wasm_bindgen::prelude::*;
use web_sys::BroadcastChannel;

use super::database::{Database, Put};
use super::keeper::{Keeper, Kept};
use super::mirror;
use super::record::Record;
use super::snapshot::Snapshot;
use crate::browser::{fresh_id, now_ms};
use crate::later;

/// How long after a failed write it is tried again.
const AGAIN: Duration = Duration::from_secs(5);
/// Working time between two snapshots, ms.
const SNAPSHOT_EVERY_MS: f64 = 600_000.0;
/// The channel by which windows tell each other that a record has changed.
const CHANNEL: &str = "counterpoise";

/// A committed state that the database does not have yet.
#[derive(Debug, Clone)]
pub(crate) struct Draft {
    /// The record that it is.
    pub(crate) id: String,
    /// When that was put into the archive, ms since 1970.
    pub(crate) archived_at: Option<f64>,
    /// The package.
    pub(crate) package: Arc<Package>,
    /// What else came with it.
    pub(crate) foreign: Arc<Vec<Foreign>>,
    /// Its history as links.
    pub(crate) undo: Vec<String>,
    /// What has been undone, as links.
    pub(crate) redo: Vec<String>,
    /// When it was committed, ms since 1970.
    pub(crate) at_ms: f64,
}

/// The line of drafts.
#[derive(Clone, Copy)]
pub(crate) struct Queue {
    waiting: StoredValue<Vec<Draft>>,
    /// The one that is being written.
    flying: StoredValue<Option<Draft>>,
    /// Whether drafts are being written, and whether another attempt is due.
    running: StoredValue<bool>,
    due: StoredValue<bool>,
    /// The revision of each record as this window last read or wrote it.
    revs: StoredValue<BTreeMap<String, f64>>,
    snapshot_ms: StoredValue<f64>,
    writer: StoredValue<String>,
    channel: StoredValue<Option<BroadcastChannel>, LocalStorage>,
}

impl Queue {
    /// An empty line.
    pub(crate) fn new() -> Self {
        Self {
            waiting: StoredValue::new(Vec::new()),
            flying: StoredValue::new(None),
            running: StoredValue::new(false),
            due: StoredValue::new(false),
            revs: StoredValue::new(BTreeMap::new()),
            snapshot_ms: StoredValue::new(0.0),
            writer: StoredValue::new(fresh_id()),
            channel: StoredValue::new_local(BroadcastChannel::new(CHANNEL).ok()),
        }
    }

    /// The database holds this revision of a record.
    pub(crate) fn known(self, id: &str, rev: f64) {
        self.revs.update_value(|revs| {
            revs.insert(id.to_owned(), rev);
        });
    }

    /// Lets a draft wait its turn; an earlier one of the same record need not be written any more.
    pub(crate) fn push(self, draft: Draft) {
        self.waiting.update_value(|waiting| {
            waiting.retain(|other| other.id != draft.id);
            waiting.push(draft);
        });
    }

    /// Takes a record's draft out of the line.
    pub(super) fn drop_waiting(self, id: &str) {
        self.waiting.update_value(|waiting| waiting.retain(|draft| draft.id != id));
    }

    /// Every state that the database has not confirmed, oldest first; of each record the newest.
    pub(crate) fn unwritten(self) -> Vec<Record> {
        let flying = self.flying.get_value();
        let waiting = self.waiting.get_value();
        let flying = flying.filter(|draft| waiting.iter().all(|other| other.id != draft.id));
        flying.iter().chain(&waiting).map(|draft| self.record(draft)).collect()
    }

    /// Whether the database has not confirmed the state of a record.
    pub(super) fn is_unwritten(self, id: &str) -> bool {
        self.flying.with_value(|flying| flying.as_ref().is_some_and(|draft| draft.id == id))
            || self.waiting.with_value(|waiting| waiting.iter().any(|draft| draft.id == id))
    }

    /// The state of a record that the database has not confirmed.
    pub(crate) fn unwritten_of(self, id: &str) -> Option<Record> {
        self.unwritten().into_iter().find(|record| record.id == id)
    }

    /// Mirrors records as this window's; whether that worked.
    pub(super) fn mirror(self, records: &[Record]) -> bool {
        self.writer.with_value(|writer| mirror::write(records, writer))
    }

    /// Writes what waits, unless that is under way already.
    pub(crate) fn run(self, keeper: Keeper) {
        later::then(move || self.run_now(keeper));
    }

    #[inline(never)]
    fn run_now(self, keeper: Keeper) {
        if self.running.get_value() {
            return;
        }
        self.running.set_value(true);
        spawn_local(async move {
            while let Some(draft) = self.next() {
                if !self.write(keeper, draft).await {
                    self.try_again(keeper);
                    break;
                }
            }
            self.running.set_value(false);
        });
    }

    fn try_again(self, keeper: Keeper) {
        if self.due.get_value() {
            return;
        }
        self.due.set_value(true);
        let again = move || {
            self.due.set_value(false);
            self.run(keeper);
        };
        set_timeout(again, AGAIN);
    }

    /// Tells the other windows that a record has changed.
    pub(super) fn tell(self, id: &str) {
        self.channel.with_value(|channel| {
            if let Some(channel) = channel {
                // A closed channel only means that no other window is told.
                let _ = channel.post_message(&JsValue::from_str(id));
            }
        });
    }

    /// Hears what other windows have written.
    pub(crate) fn listen(self, keeper: Keeper) {
        let heard = Closure::<dyn FnMut(web_sys::MessageEvent)>::new(move |event: web_sys::MessageEvent| {
            if let Some(id) = event.data().as_string() {
                keeper.heard(id);
            }
        });
        self.channel.with_value(|channel| {
            if let Some(channel) = channel {
                channel.set_onmessage(Some(heard.as_ref().unchecked_ref()));
            }
        });
        heard.forget();
    }

    fn next(self) -> Option<Draft> {
        let mut next = None;
        self.waiting.update_value(|waiting| next = (!waiting.is_empty()).then(|| waiting.remove(0)));
        self.flying.set_value(next.clone());
        next
    }

    /// Writes one draft; whether the line may go on.
    async fn write(self, keeper: Keeper, draft: Draft) -> bool {
        let record = self.record(&draft);
        let expected = self.revs.with_value(|revs| revs.get(&record.id).copied());
        let put = match (keeper.database().await, record.to_object()) {
            (Ok(database), Ok(object)) => database.put(&object, expected).await.map(|put| (put, database)),
            (Err(reason), _) | (_, Err(reason)) => Err(reason),
        };
        self.flying.set_value(None);
        match put {
            Ok((Put::Done, database)) => self.written(keeper, &database, &record).await,
            Ok((Put::Conflict, _)) => keeper.fork(draft),
            Err(reason) => {
                // A newer draft of the same record holds all that this one did.
                self.waiting.update_value(|waiting| {
                    if !waiting.iter().any(|other| other.id == draft.id) {
                        waiting.insert(0, draft);
                    }
                });
                // Some engines lose the connection and never find it again: the next attempt opens a new one.
                keeper.forget_database();
                keeper.fail(reason);
                return false;
            }
        }
        true
    }

    /// The database has the record.
    async fn written(self, keeper: Keeper, database: &Database, record: &Record) {
        self.known(&record.id, record.rev);
        let more = self.waiting.with_value(|waiting| waiting.iter().any(|draft| draft.id == record.id));
        if !more && keeper.id().as_ref() == Some(&record.id) {
            keeper.kept.set(Kept::Saved(record.updated_at));
        }
        if self.waiting.with_value(Vec::is_empty) {
            self.writer.with_value(|writer| mirror::clear(writer));
        }
        keeper.cards.update(|cards| {
            cards.retain(|card| card.id != record.id);
            cards.insert(0, record.card());
        });
        self.tell(&record.id);
        self.snapshot(keeper, database, record).await;
    }

    /// Keeps the state before the first edit, then one every ten minutes of work.
    async fn snapshot(self, keeper: Keeper, database: &Database, record: &Record) {
        let mut opened = None;
        keeper.opened.update_value(|all| {
            let at = all.iter().position(|(id, _)| *id == record.id);
            opened = at.map(|at| all.swap_remove(at).1);
        });
        let (why, document) = match opened {
            Some(opened) => ("as opened", (*opened).clone()),
            None if now_ms() - self.snapshot_ms.get_value() > SNAPSHOT_EVERY_MS => {
                ("while working", record.document.clone())
            }
            None => return,
        };
        self.snapshot_ms.set_value(now_ms());
        let kept = match (Snapshot { taken_at: now_ms(), why: why.to_owned(), document }).to_object(&record.id) {
            Ok(object) => database.keep_snapshot(&record.id, &object).await,
            Err(reason) => Err(reason),
        };
        if let Err(reason) = kept {
            keeper.notice.set(Some(format!("The edit is saved, but no earlier state could be kept ({reason}).")));
        }
    }

    /// A draft as the database will hold it.
    pub(super) fn record(self, draft: &Draft) -> Record {
        let rev = self.revs.with_value(|revs| revs.get(&draft.id).copied()).unwrap_or(0.0);
        Record {
            id: draft.id.clone(),
            rev: rev + 1.0,
            updated_at: draft.at_ms,
            writer: self.writer.get_value(),
            archived_at: draft.archived_at,
            document: Document { package: (*draft.package).clone(), foreign: (*draft.foreign).clone() },
            undo: draft.undo.clone(),
            redo: draft.redo.clone(),
        }
    }
}
