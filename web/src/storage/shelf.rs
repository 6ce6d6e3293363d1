//! What is done with the records besides the one on the screen: list, archive, copy, remove, earlier states, backup.

use codec::Document;
use leptos::prelude::*;
use wasm_bindgen::JsValue;

use super::database::Put;
use super::keeper::Keeper;
use super::record::{Card, Record, marked, text};
use super::snapshot::Snapshot;
use crate::browser::{fresh_id, now_ms, pause};

/// After so many milliseconds in the archive a package may be removed for good.
const THIRTY_DAYS_MS: f64 = 30.0 * 86_400_000.0;
/// How often, and how many milliseconds each time, an edit on its way is waited for.
const WAITS: (u32, i32) = (50, 40);

impl Card {
    /// Whether it has been in the archive for thirty days, so that it may be removed for good.
    pub(crate) fn is_removable(&self) -> bool {
        self.archived_at.is_some_and(|at| now_ms() - at > THIRTY_DAYS_MS)
    }
}

impl Keeper {
    /// Reads the list of what is on this device.
    pub(crate) async fn list(self) {
        let objects = match self.database().await {
            Ok(database) => database.all().await,
            // That nothing is kept here has been told at the start.
            Err(_) => return,
        };
        match objects {
            Ok(objects) => {
                let newer = self.is_newer();
                let card = |object| Card::of(object).map(|card| Card { newer: card.newer || newer, ..card });
                let mut cards: Vec<Card> = objects.iter().filter_map(card).collect();
                solver::float::sort_largest_first(&mut cards, |card| card.updated_at);
                self.cards.set(cards);
            }
            Err(reason) => self.fail(reason),
        }
    }

    /// What the database holds under an id.
    pub(super) async fn read(self, id: &str) -> Result<Option<JsValue>, String> {
        self.database().await?.get(id).await
    }

    /// The document of a record.
    pub(crate) async fn document_of(self, id: &str) -> Option<Document> {
        if let Some(record) = self.queue.unwritten_of(id) {
            return Some(record.document);
        }
        Record::from_object(&self.read(id).await.ok()??).ok().map(|record| record.document)
    }

    /// Puts a record into the archive, or takes it out.
    pub(crate) async fn archive(self, id: &str, archived: bool) {
        let on_screen = self.id().as_deref() == Some(id);
        self.settled(id).await;
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
            let mut document = self.whole();
            document.package.name = marked(&document.package.name, "copy");
            self.keep_new(document);
        }
    }

    /// Keeps a document as a record of its own, without putting it on the screen; under which name, if that worked.
    pub(crate) async fn keep_beside(self, mut document: Document) -> Option<String> {
        let name = self.free_name(&document.package.name);
        document.package.name.clone_from(&name);
        let record = Record {
            id: fresh_id(),
            rev: 1.0,
            updated_at: now_ms(),
            writer: String::new(),
            archived_at: None,
            document,
            undo: Vec::new(),
            redo: Vec::new(),
        };
        let result = self.put(&record, None).await.map(|_| self.queue.tell(&record.id));
        let kept = result.is_ok().then_some(name);
        self.told(result);
        self.list().await;
        kept
    }

    /// Removes a record for good, if it has been in the archive for thirty days.
    pub(crate) async fn remove(self, id: &str) {
        let old = self.cards.with_untracked(|cards| cards.iter().any(|card| card.id == id && card.is_removable()));
        let result = match self.database().await {
            Ok(database) if old => database.remove(id).await,
            Ok(_) => Err("it has not been in the archive for thirty days".to_owned()),
            Err(reason) => Err(reason),
        };
        self.told(result);
        self.list().await;
    }

    /// Every record as a plain object, edits on their way included: for a file of everything and for a person's own
    /// kit. Beside them why there may be more, where the database could not be read.
    pub(crate) async fn all(self) -> (Vec<JsValue>, Option<String>) {
        let read = match self.database().await {
            Ok(database) => database.all().await,
            Err(reason) => Err(reason),
        };
        let (mut all, fault) = match read {
            Ok(all) => (all, None),
            Err(reason) => (Vec::new(), Some(reason)),
        };
        for record in self.queue.unwritten() {
            if let Ok(object) = record.to_object() {
                all.retain(|kept| text(kept, "id").as_ref() != Some(&record.id));
                all.push(object);
            }
        }
        (all, fault)
    }

    /// The earlier states of a record, newest first.
    pub(crate) async fn snapshots(self, id: &str) -> Vec<Snapshot> {
        let Ok(database) = self.database().await else { return Vec::new() };
        let found = database.snapshots(id).await.unwrap_or_default();
        found.iter().filter_map(Snapshot::from_object).collect()
    }

    pub(super) async fn put(self, record: &Record, expected: Option<f64>) -> Result<Put, String> {
        self.database().await?.put(&record.to_object()?, expected).await
    }

    /// Waits until the edits of a record are written, or until that has taken too long.
    async fn settled(self, id: &str) {
        for _ in 0..WAITS.0 {
            if self.queue.unwritten_of(id).is_none() {
                return;
            }
            pause(WAITS.1).await;
        }
    }

    async fn change_record(self, id: &str, change: impl FnOnce(&mut Record)) -> Result<(), String> {
        let database = self.database().await?;
        let Some(object) = database.get(id).await? else { return Ok(()) };
        if Card::of(&object).is_some_and(|card| card.newer) {
            return Err("a newer version of the app wrote it".to_owned());
        }
        let mut record = Record::from_object(&object)?;
        let expected = record.rev;
        change(&mut record);
        record.rev += 1.0;
        match database.put(&record.to_object()?, Some(expected)).await? {
            Put::Done => {
                self.queue.tell(id);
                Ok(())
            }
            Put::Conflict => Err("another window changed it at the same moment; try again".to_owned()),
        }
    }

    /// Tells what has not worked.
    pub(super) fn told(self, result: Result<(), String>) {
        if let Err(reason) = result {
            self.notice.set(Some(format!("That did not work: {reason}.")));
        }
    }
}
