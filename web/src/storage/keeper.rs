//! Keeps the package on the screen: which record it is, what has been written, what went wrong.

use std::sync::Arc;

use codec::Foreign;
use leptos::prelude::*;
use leptos::task::spawn_local;
use solver::Package;
use wasm_bindgen::prelude::*;

use super::database::Database;
use super::mirror::{self, Mirrored, Stamp};
use super::queue::{Draft, Queue};
use super::record::{Card, Record, number, text};
use super::snapshot::Snapshot;
use crate::browser::{fresh_id, now_ms};
use crate::later;
use crate::state::document::Document;
use crate::state::history::History;

/// What the person is told about the package on the screen.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Kept {
    /// Storage is being opened.
    Starting,
    /// The demo, unchanged: there is nothing to keep.
    Demo,
    /// Opened from a link or a file and not kept.
    Preview,
    /// Being written.
    Saving,
    /// On this device, since the time given (ms since 1970).
    Saved(f64),
    /// Not written, and why.
    Failed(String),
}

/// Which record the package on the screen is.
#[derive(Debug, Clone, PartialEq)]
enum Holding {
    /// None: the demo until it is changed.
    Demo,
    /// None: a link or a file.
    Preview,
    /// The record with this id.
    Record { id: String, archived_at: Option<f64> },
}

/// Keeps the package on the screen.
#[derive(Clone, Copy)]
pub(crate) struct Keeper {
    document: Document,
    /// What the person is told.
    pub(crate) kept: RwSignal<Kept>,
    /// What is on this device, newest first.
    pub(crate) cards: RwSignal<Vec<Card>>,
    /// Something that happened to the data and that the person must know.
    pub(crate) notice: RwSignal<Option<String>>,
    holding: StoredValue<Holding>,
    /// What else the package was opened with: sections that this version does not know.
    foreign: StoredValue<Arc<Vec<Foreign>>>,
    /// The state before the first edit, until it has been kept as a snapshot.
    pub(super) opened: StoredValue<Option<Arc<Package>>>,
    pub(super) database: StoredValue<Option<Database>, LocalStorage>,
    pub(super) queue: Queue,
}

impl Keeper {
    /// A keeper of `document`, before anything has been read.
    pub(crate) fn new(document: Document) -> Self {
        Self {
            document,
            kept: RwSignal::new(Kept::Starting),
            cards: RwSignal::new(Vec::new()),
            notice: RwSignal::new(None),
            holding: StoredValue::new(Holding::Demo),
            foreign: StoredValue::new(Arc::default()),
            opened: StoredValue::new(None),
            database: StoredValue::new_local(None),
            queue: Queue::new(),
        }
    }

    /// Opens the database and what was on the screen last; the demo when nothing is kept. From then on every commit is
    /// written.
    pub(crate) async fn start(self, last: Option<String>) {
        match Database::open().await {
            Ok(database) => self.database.set_value(Some(database)),
            Err(reason) => self.fail(reason),
        }
        self.list().await;
        if let Some(record) = mirror::read() {
            self.recover(record).await;
        }
        let open = self.cards.with_untracked(|cards| {
            let last = last.filter(|id| cards.iter().any(|card| card.id == *id));
            last.or_else(|| cards.iter().find(|card| card.archived_at.is_none()).map(|card| card.id.clone()))
        });
        let shown = match open {
            Some(id) => self.open(&id).await,
            None => false,
        };
        if !shown && self.kept.get_untracked() == Kept::Starting {
            self.kept.set(Kept::Demo);
        }
        self.queue.listen(self);
        self.document.on_commit(Callback::new(move |()| self.committed()));
    }

    /// Id of the record on the screen.
    pub(crate) fn id(self) -> Option<String> {
        self.holding.with_value(|holding| match holding {
            Holding::Record { id, .. } => Some(id.clone()),
            Holding::Demo | Holding::Preview => None,
        })
    }

    /// Puts the record with this id on the screen; whether it could be read.
    pub(crate) async fn open(self, id: &str) -> bool {
        self.document.settle(None);
        let found = match self.database.get_value() {
            Some(database) => database.get(id).await,
            None => Ok(None),
        };
        match found {
            Ok(Some(object)) if Card::of(&object).is_some_and(|card| card.newer) => self.notice.set(Some(
                "A newer version of Counterpoise wrote this package. It stays as it is: update the app to open it."
                    .to_owned(),
            )),
            Ok(Some(object)) => match Record::from_object(&object) {
                Ok(record) => {
                    self.hold(record);
                    return true;
                }
                Err(reason) => self.notice.set(Some(format!(
                    "This package cannot be read ({reason}). It stays as it is: take it out on the rescue page."
                ))),
            },
            Ok(None) => self.notice.set(Some("That package is not on this device any more.".to_owned())),
            Err(reason) => self.told(Err(reason)),
        }
        false
    }

    /// Puts a package from a link or a file on the screen, without keeping it.
    pub(crate) fn preview(self, opened: codec::Document) {
        self.show(opened, Holding::Preview, Kept::Preview);
    }

    /// Puts the demo on the screen, without keeping it until it is changed.
    pub(crate) fn show_demo(self, package: Package) {
        self.show(package.into(), Holding::Demo, Kept::Demo);
    }

    /// Keeps a package as a new record and puts it on the screen.
    pub(crate) fn keep_new(self, package: Package) {
        self.show(package.into(), Holding::Demo, Kept::Saving);
        self.keep_this();
    }

    /// Keeps what is on the screen as a new record: the end of a preview.
    pub(crate) fn keep_this(self) {
        self.holding.set_value(Holding::Record { id: fresh_id(), archived_at: None });
        self.committed();
    }

    /// Puts a record into the archive, or takes it out.
    pub(crate) async fn archive(self, id: &str, archived: bool) {
        let on_screen = self.id().as_deref() == Some(id);
        let result = self.change_record(id, |record| record.archived_at = archived.then(now_ms)).await;
        self.told(result);
        self.list().await;
        if on_screen {
            // What is on the screen goes on from the revision just written.
            self.open(id).await;
        }
    }

    /// Keeps a copy of a record under a new name and puts it on the screen.
    pub(crate) async fn duplicate(self, id: &str) {
        if self.open(id).await {
            let mut package = (*self.document.settled()).clone();
            package.name.push_str(" (copy)");
            self.keep_new(package);
        }
    }

    /// Removes a record for good. Screens offer it only for what has been in the archive for thirty days.
    pub(crate) async fn remove(self, id: &str) {
        let Some(database) = self.database.get_value() else { return };
        let result = database.remove(id).await;
        self.told(result);
        self.list().await;
    }

    /// What is on the screen, with whatever it was opened with, for a link or a file.
    pub(crate) fn whole(self) -> codec::Document {
        codec::Document { package: (*self.document.settled()).clone(), foreign: (*self.foreign.get_value()).clone() }
    }

    /// Every record as a plain object, for a file of everything and for a person's own kit.
    pub(crate) async fn all(self) -> Vec<JsValue> {
        match self.database.get_value() {
            Some(database) => database.all().await.unwrap_or_default(),
            None => Vec::new(),
        }
    }

    /// The earlier states of what is on the screen, newest first.
    pub(crate) async fn snapshots(self) -> Vec<Snapshot> {
        let (Some(database), Some(id)) = (self.database.get_value(), self.id()) else { return Vec::new() };
        let found = database.snapshots(&id).await.unwrap_or_default();
        found.iter().filter_map(Snapshot::from_object).collect()
    }

    /// Reads the list of what is on this device.
    pub(crate) async fn list(self) {
        let Some(database) = self.database.get_value() else { return };
        match database.all().await {
            Ok(objects) => {
                let mut cards: Vec<Card> = objects.iter().filter_map(Card::of).collect();
                cards.sort_by(|a, b| b.updated_at.total_cmp(&a.updated_at));
                self.cards.set(cards);
            }
            Err(reason) => self.fail(reason),
        }
    }

    /// Commits what is under way and mirrors what the database has not confirmed: the page may be gone in a moment.
    pub(crate) fn hide(self) {
        self.document.settle(None);
        if later::is_ready() {
            self.mirror();
        }
    }

    #[inline(never)]
    fn mirror(self) {
        if let Some(record) = self.queue.unwritten() {
            mirror::write(&record);
        }
    }

    fn show(self, opened: codec::Document, holding: Holding, kept: Kept) {
        self.document.settle(None);
        self.foreign.set_value(Arc::new(opened.foreign));
        self.holding.set_value(holding);
        self.opened.set_value(None);
        self.document.open(Arc::new(opened.package), History::default());
        self.kept.set(kept);
    }

    fn hold(self, record: Record) {
        let package = Arc::new(record.document.package);
        self.foreign.set_value(Arc::new(record.document.foreign));
        self.queue.known(&record.id, record.rev);
        self.holding.set_value(Holding::Record { id: record.id, archived_at: record.archived_at });
        self.opened.set_value(Some(package.clone()));
        self.document.open(package, History::read(record.undo, record.redo));
        self.kept.set(Kept::Saved(record.updated_at));
    }

    /// Something has been committed: write it. A preview is not written; the demo becomes a record of its own.
    #[inline(never)]
    pub(super) fn committed(self) {
        if self.holding.with_value(|holding| *holding == Holding::Demo) {
            self.holding.set_value(Holding::Record { id: fresh_id(), archived_at: None });
        }
        let holding = self.holding.get_value();
        let Holding::Record { id, archived_at } = holding else { return };
        let (undo, redo) = self.document.written_history();
        self.queue.push(Draft {
            id,
            archived_at,
            package: self.document.settled(),
            foreign: self.foreign.get_value(),
            undo,
            redo,
            at_ms: now_ms(),
        });
        self.queue.run(self);
    }

    /// Another window has written the same record since: keep both, this one under a new id.
    pub(super) fn fork(self, draft: Draft) {
        self.notice.set(Some(
            "This package was also changed in another window. Both are kept: this one is now a copy.".to_owned(),
        ));
        if self.id().as_deref() == Some(&draft.id) {
            self.holding.set_value(Holding::Record { id: fresh_id(), archived_at: None });
            self.document.edit(|package| package.name.push_str(" (this window)"));
        } else {
            let mut package = (*draft.package).clone();
            package.name.push_str(" (other window)");
            self.queue.push(Draft { id: fresh_id(), package: Arc::new(package), ..draft });
        }
    }

    /// Takes over an edit that only the mirror has.
    async fn recover(self, record: Record) {
        let Some(database) = self.database.get_value() else {
            self.hold(record);
            return;
        };
        let Ok(kept) = database.get(&record.id).await else { return };
        let kept = kept.unwrap_or_default();
        let (rev, writer) = (number(&kept, "rev"), text(&kept, "writer").unwrap_or_default());
        let updated_at = number(&kept, "updated_at").unwrap_or(0.0);
        let kept = rev.map(|rev| Stamp { rev, updated_at, writer: &writer });
        let stamp = Stamp { rev: record.rev, updated_at: record.updated_at, writer: &record.writer };
        let (record, expected) = match mirror::compare(stamp, kept) {
            Mirrored::Old => {
                mirror::clear();
                return;
            }
            Mirrored::Next => (Record { rev: rev.unwrap_or(0.0) + 1.0, ..record }, rev),
            Mirrored::Fork => {
                let mut document = record.document;
                document.package.name.push_str(" (recovered)");
                (Record { id: fresh_id(), document, rev: 1.0, ..record }, None)
            }
        };
        later::ready().await;
        let Ok(object) = record.to_object() else { return };
        match database.put(&object, expected).await {
            Ok(_) => {
                mirror::clear();
                self.list().await;
            }
            Err(reason) => self.fail(reason),
        }
    }

    async fn change_record(self, id: &str, change: impl FnOnce(&mut Record)) -> Result<(), String> {
        let database = self.database.get_value().ok_or("this browser keeps no data for this page")?;
        let Some(object) = database.get(id).await? else { return Ok(()) };
        let mut record = Record::from_object(&object)?;
        if Card::of(&object).is_some_and(|card| card.newer) {
            return Err("a newer version of the app wrote it".to_owned());
        }
        let expected = record.rev;
        change(&mut record);
        record.rev += 1.0;
        match database.put(&record.to_object()?, Some(expected)).await? {
            super::database::Put::Done => Ok(()),
            super::database::Put::Conflict => Err("another window changed it at the same moment; try again".to_owned()),
        }
    }

    fn told(self, result: Result<(), String>) {
        if let Err(reason) = result {
            self.notice.set(Some(format!("That did not work: {reason}.")));
        }
    }

    /// Something is not on the device, and the person must know.
    pub(super) fn fail(self, reason: String) {
        self.kept.set(Kept::Failed(reason));
    }

    /// Another window has written a record: follow it, unless an edit here is not written yet.
    pub(super) fn heard(self, id: String) {
        spawn_local(async move {
            self.list().await;
            if self.id().as_ref() == Some(&id) && self.queue.unwritten().is_none() {
                self.open(&id).await;
            }
        });
    }
}
