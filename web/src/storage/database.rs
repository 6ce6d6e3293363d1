//! The database of this device: one record per package, written with strict durability, compared before it is set.

use js_sys::{Array, Function, Promise, Reflect};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;
use web_sys::{IdbDatabase, IdbObjectStore, IdbObjectStoreParameters, IdbOpenDbRequest, IdbRequest, IdbTransaction};

use super::record::{SCHEMA, field, number, reason};

const NAME: &str = "counterpoise";
const VERSION: u32 = 1;
/// Records, by their id.
const PACKAGES: &str = "packages";
/// Earlier states, by package and time.
const SNAPSHOTS: &str = "snapshots";
/// Snapshots kept for each package.
const SNAPSHOTS_EACH: u32 = 20;

/// What is said of data that this version must not touch.
pub(crate) const NEWER: &str = "a newer version of Counterpoise keeps the data here; update the app";

/// The open database.
#[derive(Debug, Clone)]
pub(crate) struct Database {
    base: IdbDatabase,
    /// Laid out by a newer version: it is read as far as it goes and never written.
    newer: bool,
}

/// What became of a write.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Put {
    /// It is on the disk.
    Done,
    /// Another window has written since: nothing was changed.
    Conflict,
}

impl Database {
    /// Opens the database and makes it on the first visit. One of a newer version is opened as it is, for reading.
    pub(crate) async fn open() -> Result<Self, String> {
        let factory = web_sys::window()
            .and_then(|window| window.indexed_db().ok().flatten())
            .ok_or("this browser keeps no data for this page")?;
        let opening = factory.open_with_u32(NAME, VERSION).map_err(|fault| reason(&fault))?;
        let request = opening.clone();
        let upgrade = Closure::once_into_js(move || {
            let Ok(database) = request.result().map(JsCast::unchecked_into::<IdbDatabase>) else { return };
            for (name, key) in [(PACKAGES, "id"), (SNAPSHOTS, "key")] {
                let parameters = IdbObjectStoreParameters::new();
                parameters.set_key_path(&key.into());
                // A store that cannot be made fails the opening, which is told.
                let _ = database.create_object_store_with_optional_parameters(name, &parameters);
            }
        });
        opening.set_onupgradeneeded(Some(upgrade.unchecked_ref()));
        match opened(&opening).await {
            Ok(base) => Ok(Self { base, newer: false }),
            Err(fault) if fault.starts_with("VersionError") => {
                let opening = factory.open(NAME).map_err(|fault| reason(&fault))?;
                Ok(Self { base: opened(&opening).await?, newer: true })
            }
            Err(fault) => Err(fault),
        }
    }

    /// Whether a newer version laid it out: nothing in it may be written.
    pub(crate) fn is_newer(&self) -> bool {
        self.newer
    }

    /// Every record, as it stands.
    pub(crate) async fn all(&self) -> Result<Vec<JsValue>, String> {
        let store = self.reading(PACKAGES)?;
        let found = settled(&store.get_all().map_err(|fault| reason(&fault))?).await?;
        Ok(Array::from(&found).iter().collect())
    }

    /// One record.
    pub(crate) async fn get(&self, id: &str) -> Result<Option<JsValue>, String> {
        let store = self.reading(PACKAGES)?;
        let found = settled(&store.get(&id.into()).map_err(|fault| reason(&fault))?).await?;
        Ok(found.is_object().then_some(found))
    }

    /// Writes a record if the one that is kept still has revision `expected` (`None`: if none is kept).
    ///
    /// Reading, comparing and writing are one transaction, which no other window can come between.
    pub(crate) async fn put(&self, record: &JsValue, expected: Option<f64>) -> Result<Put, String> {
        let transaction = self.writing(PACKAGES)?;
        let done = completion(&transaction);
        let store = transaction.object_store(PACKAGES).map_err(|fault| reason(&fault))?;
        let id = field(record, "id").unwrap_or(JsValue::NULL);
        let kept = settled(&store.get(&id).map_err(|fault| reason(&fault))?).await?;
        // What a newer version has written is not this one's to replace, whatever its revision.
        let newer = number(&kept, "schema").is_some_and(|schema| schema > SCHEMA);
        if newer || number(&kept, "rev") != expected {
            return Ok(Put::Conflict);
        }
        store.put(record).map_err(|fault| reason(&fault))?;
        finished(&transaction, done).await.map(|()| Put::Done)
    }

    /// Removes a record and its earlier states for good.
    pub(crate) async fn remove(&self, id: &str) -> Result<(), String> {
        let transaction = self.writing(PACKAGES)?;
        let done = completion(&transaction);
        let store = transaction.object_store(PACKAGES).map_err(|fault| reason(&fault))?;
        store.delete(&id.into()).map_err(|fault| reason(&fault))?;
        finished(&transaction, done).await?;
        let transaction = self.writing(SNAPSHOTS)?;
        let done = completion(&transaction);
        let store = transaction.object_store(SNAPSHOTS).map_err(|fault| reason(&fault))?;
        let keys = settled(&store.get_all_keys().map_err(|fault| reason(&fault))?).await?;
        for key in Array::from(&keys).iter().filter(|key| of_package(key, id)) {
            store.delete(&key).map_err(|fault| reason(&fault))?;
        }
        finished(&transaction, done).await
    }

    /// Keeps an earlier state, and lets go of the oldest beyond twenty.
    ///
    /// `snapshot` has a `key` that starts with `package` and sorts by time.
    pub(crate) async fn keep_snapshot(&self, package: &str, snapshot: &JsValue) -> Result<(), String> {
        let transaction = self.writing(SNAPSHOTS)?;
        let done = completion(&transaction);
        let store = transaction.object_store(SNAPSHOTS).map_err(|fault| reason(&fault))?;
        store.put(snapshot).map_err(|fault| reason(&fault))?;
        let keys = settled(&store.get_all_keys().map_err(|fault| reason(&fault))?).await?;
        let own: Vec<JsValue> = Array::from(&keys).iter().filter(|key| of_package(key, package)).collect();
        for key in own.iter().rev().skip(SNAPSHOTS_EACH as usize) {
            store.delete(key).map_err(|fault| reason(&fault))?;
        }
        finished(&transaction, done).await
    }

    /// The earlier states of a package, newest first.
    pub(crate) async fn snapshots(&self, package: &str) -> Result<Vec<JsValue>, String> {
        let store = self.reading(SNAPSHOTS)?;
        let found = settled(&store.get_all().map_err(|fault| reason(&fault))?).await?;
        let mut own: Vec<JsValue> = Array::from(&found)
            .iter()
            .filter(|snapshot| field(snapshot, "key").is_some_and(|key| of_package(&key, package)))
            .collect();
        own.reverse();
        Ok(own)
    }

    fn reading(&self, store: &str) -> Result<IdbObjectStore, String> {
        let transaction = self.base.transaction_with_str(store).map_err(|fault| reason(&fault))?;
        transaction.object_store(store).map_err(|fault| reason(&fault))
    }

    /// A transaction whose completion means that the disk has it, not only the engine. The bindings do not know the
    /// third argument yet.
    fn writing(&self, store: &str) -> Result<IdbTransaction, String> {
        if self.newer {
            return Err(NEWER.to_owned());
        }
        let strictly = js_sys::Object::new();
        let begin = Reflect::set(&strictly, &"durability".into(), &"strict".into())
            .and_then(|_| Reflect::get(&self.base, &"transaction".into()))
            .and_then(JsCast::dyn_into::<Function>)
            .and_then(|method| method.call3(&self.base, &store.into(), &"readwrite".into(), &strictly));
        begin.map(JsCast::unchecked_into).map_err(|fault| reason(&fault))
    }
}

/// The database of a request to open it. It is given up as soon as another window needs a newer layout.
async fn opened(opening: &IdbOpenDbRequest) -> Result<IdbDatabase, String> {
    let blocked = Promise::new(&mut |_, reject| opening.set_onblocked(Some(&reject)));
    let settled = Promise::race(&Array::of2(&settling(opening), &blocked));
    JsFuture::from(settled).await.map_err(|fault| failure(opening, &fault))?;
    let database: IdbDatabase = opening.result().map_err(|fault| reason(&fault))?.unchecked_into();
    let held = database.clone();
    let close = Closure::<dyn FnMut()>::new(move || held.close());
    database.set_onversionchange(Some(close.into_js_value().unchecked_ref()));
    Ok(database)
}

/// Whether a snapshot's key belongs to a package.
fn of_package(key: &JsValue, package: &str) -> bool {
    key.as_string().is_some_and(|key| key.strip_prefix(package).is_some_and(|rest| rest.starts_with(' ')))
}

fn settling(request: &IdbRequest) -> Promise {
    Promise::new(&mut |resolve, reject| {
        request.set_onsuccess(Some(&resolve));
        request.set_onerror(Some(&reject));
    })
}

async fn settled(request: &IdbRequest) -> Result<JsValue, String> {
    JsFuture::from(settling(request)).await.map_err(|fault| failure(request, &fault))?;
    request.result().map_err(|fault| reason(&fault))
}

fn completion(transaction: &IdbTransaction) -> Promise {
    Promise::new(&mut |resolve, reject| {
        transaction.set_oncomplete(Some(&resolve));
        transaction.set_onerror(Some(&reject));
        transaction.set_onabort(Some(&reject));
    })
}

async fn finished(transaction: &IdbTransaction, done: Promise) -> Result<(), String> {
    match JsFuture::from(done).await {
        Ok(_) => Ok(()),
        Err(fault) => Err(transaction.error().map_or_else(|| reason(&fault), |fault| reason(&fault.into()))),
    }
}

/// Why a request failed: its own error where it has one.
fn failure(request: &IdbRequest, fault: &JsValue) -> String {
    match request.error() {
        Ok(Some(error)) => reason(&error.into()),
        _ if field(fault, "type").is_some_and(|kind| kind == "blocked") => {
            "another window holds the data; close the others and reload".to_owned()
        }
        _ => reason(fault),
    }
}
