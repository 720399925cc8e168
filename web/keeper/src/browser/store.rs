//! The keeper's stores: chunks and pictures of each log, and what lies outside the logs.

use std::cell::{Cell, RefCell};

use js_sys::{Object, Reflect, Uint8Array};
use wasm_bindgen::prelude::*;

use super::ballast;
use super::files::Blob;
use super::idb::{self, Change, Database};
use super::room::Room;
use super::{Error, OrError as _, post};

const NAME: &str = "garboard";
const VERSION: u32 = 1;
const CHUNKS: &str = "chunks";
const PICTURES: &str = "photos";
const STATE: &str = "state";
const STORES: &[&str] = &[CHUNKS, PICTURES, STATE];
const REMEMBERED: &str = "remembered";
const N_TRIES: u32 = 3;

/// What goes into the storage, all of it in one transaction.
#[derive(Debug, Default, Clone)]
pub(crate) struct Batch {
    changes: Vec<Change>,
}

impl Batch {
    /// A chunk of a log, under the name of its content.
    pub(crate) fn chunk(&mut self, log: &str, name: &str, bytes: &[u8]) {
        self.changes.push(Change::Put {
            store: CHUNKS,
            key: format!("{log}/{name}"),
            value: Uint8Array::from(bytes).into(),
        });
    }

    /// Takes a chunk away that a pack stands for.
    pub(crate) fn drop_chunk(&mut self, log: &str, name: &str) {
        self.changes.push(Change::Delete {
            store: CHUNKS,
            key: format!("{log}/{name}"),
        });
    }

    /// A picture, under its own digest.
    pub(crate) fn picture(&mut self, log: &str, digest: &str, blob: &Blob) {
        self.changes.push(Change::Put {
            store: PICTURES,
            key: format!("{log}/{digest}"),
            value: blob.into(),
        });
    }

    /// Takes a withdrawn picture's bytes away.
    pub(crate) fn drop_picture(&mut self, log: &str, digest: &str) {
        self.changes.push(Change::Delete {
            store: PICTURES,
            key: format!("{log}/{digest}"),
        });
    }

    /// A text that lies outside the logs.
    pub(crate) fn state(&mut self, key: &str, text: &str) {
        self.changes.push(Change::Put {
            store: STATE,
            key: key.to_owned(),
            value: text.into(),
        });
    }

    /// Bytes that lie outside the logs and can be made again.
    pub(crate) fn spare(&mut self, key: &str, bytes: &[u8]) {
        self.changes.push(Change::Put {
            store: STATE,
            key: key.to_owned(),
            value: Uint8Array::from(bytes).into(),
        });
    }

    /// A piece of sound that lies outside the logs.
    pub(crate) fn piece(&mut self, key: &str, blob: &Blob) {
        self.changes.push(Change::Put {
            store: STATE,
            key: key.to_owned(),
            value: blob.into(),
        });
    }

    /// Takes such a text away.
    pub(crate) fn forget_state(&mut self, key: &str) {
        self.changes.push(Change::Delete {
            store: STATE,
            key: key.to_owned(),
        });
    }

    /// The message that the boot file sends before the module is loaded.
    pub(crate) fn remember(&mut self, build: &str, message: &[u8]) -> Result<(), Error> {
        let kept = Object::new();
        Reflect::set(&kept, &"build".into(), &build.into()).or_error()?;
        Reflect::set(&kept, &"bytes".into(), &Uint8Array::from(message)).or_error()?;
        self.changes.push(Change::Put {
            store: STATE,
            key: REMEMBERED.to_owned(),
            value: kept.into(),
        });
        Ok(())
    }

    /// Nothing is remembered from now on.
    pub(crate) fn forget(&mut self) {
        self.forget_state(REMEMBERED);
    }

    /// About how many bytes it takes.
    fn n_bytes(&self) -> u32 {
        let of = |change: &Change| match change {
            Change::Put { value, .. } => size_of(value),
            Change::Delete { .. } => 0,
        };
        self.changes
            .iter()
            .map(of)
            .fold(0, |sum, one| sum.saturating_add(one).saturating_add(1_000))
    }

    /// Whether there is nothing to write.
    pub(crate) fn is_empty(&self) -> bool {
        self.changes.is_empty()
    }
}

/// The browser's storage.
#[derive(Default)]
pub(crate) struct Store {
    base: RefCell<Option<Database>>,
    /// Whether the open storage goes on from a journal of its own: see [`ballast`].
    is_settled: Cell<bool>,
    /// Whether it was open before: then it is not begun anew in silence.
    is_known: Cell<bool>,
    room: Room,
}

impl Store {
    /// Writes a batch; when it returns `Ok`, the batch is durable and was read back.
    pub(crate) async fn write(&self, batch: &Batch) -> Result<(), Error> {
        if batch.is_empty() {
            return Ok(());
        }
        self.room.must_hold(batch.n_bytes()).await?;
        self.tried(async |base| {
            self.settle(base).await?;
            idb::write(base, &batch.changes).await?;
            for change in &batch.changes {
                if let Change::Put { store, key, value } = change
                    && !is_same(&idb::get(base, store, key).await?, value)
                {
                    return Err(Error::new(
                        "DataError",
                        "what was written does not read back",
                    ));
                }
            }
            Ok(())
        })
        .await
    }

    /// Takes room for the next write, in a pause.
    pub(crate) async fn hold_room(&self) {
        self.room.hold().await;
    }

    /// All chunks of a log, by name.
    pub(crate) async fn chunks(&self, log: &str) -> Result<Vec<(String, Vec<u8>)>, Error> {
        let (from, to) = within(log);
        let (keys, values) = self
            .tried(async |base| idb::all(base, CHUNKS, &from, &to).await)
            .await?;
        Ok(keys
            .iter()
            .zip(values.iter())
            .filter_map(|(key, value)| {
                let name = key.as_string()?.strip_prefix(&from)?.to_owned();
                let bytes: Uint8Array = value.dyn_into().ok()?;
                Some((name, bytes.to_vec()))
            })
            .collect())
    }

    /// The names of all chunks of a log.
    pub(crate) async fn chunk_names(&self, log: &str) -> Result<Vec<String>, Error> {
        self.names(CHUNKS, log).await
    }

    /// One chunk.
    pub(crate) async fn chunk(&self, log: &str, name: &str) -> Result<Option<Vec<u8>>, Error> {
        let key = format!("{log}/{name}");
        let value = self
            .tried(async |base| idb::get(base, CHUNKS, &key).await)
            .await?;
        Ok(value
            .dyn_into::<Uint8Array>()
            .ok()
            .map(|bytes| bytes.to_vec()))
    }

    /// The digests of all pictures of a log that are here, of any size.
    pub(crate) async fn picture_names(&self, log: &str) -> Result<Vec<String>, Error> {
        self.names(PICTURES, log).await
    }

    /// A picture by its own digest.
    pub(crate) async fn picture(&self, log: &str, digest: &str) -> Result<Option<Blob>, Error> {
        let key = format!("{log}/{digest}");
        let value = self
            .tried(async |base| idb::get(base, PICTURES, &key).await)
            .await?;
        Ok(value.dyn_into().ok())
    }

    /// A text that lies outside the logs.
    pub(crate) async fn state(&self, key: &str) -> Result<Option<String>, Error> {
        let value = self
            .tried(async |base| idb::get(base, STATE, key).await)
            .await?;
        Ok(value.as_string())
    }

    /// Bytes that lie outside the logs.
    pub(crate) async fn spare(&self, key: &str) -> Result<Option<Vec<u8>>, Error> {
        let value = self
            .tried(async |base| idb::get(base, STATE, key).await)
            .await?;
        Ok(value
            .dyn_into::<Uint8Array>()
            .ok()
            .map(|bytes| bytes.to_vec()))
    }

    /// All such pieces of sound whose keys start with `prefix/`, in their order, with their keys.
    pub(crate) async fn pieces(&self, prefix: &str) -> Result<Vec<(String, Blob)>, Error> {
        let (from, to) = within(prefix);
        let (keys, values) = self
            .tried(async |base| idb::all(base, STATE, &from, &to).await)
            .await?;
        Ok(keys
            .iter()
            .zip(values.iter())
            .filter_map(|(key, value)| Some((key.as_string()?, value.dyn_into().ok()?)))
            .collect())
    }

    /// All such texts whose keys start with `prefix/`.
    pub(crate) async fn states(&self, prefix: &str) -> Result<Vec<String>, Error> {
        let (from, to) = within(prefix);
        let (_, values) = self
            .tried(async |base| idb::all(base, STATE, &from, &to).await)
            .await?;
        Ok(values.iter().filter_map(|text| text.as_string()).collect())
    }

    async fn names(&self, store: &'static str, log: &str) -> Result<Vec<String>, Error> {
        let (from, to) = within(log);
        let keys = self
            .tried(async |base| idb::keys(base, store, &from, &to).await)
            .await?;
        Ok(keys
            .iter()
            .filter_map(|key| Some(key.as_string()?.strip_prefix(&from)?.to_owned()))
            .collect())
    }

    /// Does something with the open storage; a handle that turns out dead is dropped, opened anew,
    /// and the whole is tried again (every write can be repeated: names follow from content).
    async fn tried<T>(&self, act: impl AsyncFn(&Database) -> Result<T, Error>) -> Result<T, Error> {
        let mut n_tries = 0;
        loop {
            n_tries += 1;
            let done = match self.base().await {
                Ok(base) => act(&base).await,
                Err(error) => Err(error),
            };
            match done {
                Err(error) if error.is_dead_handle() && n_tries < N_TRIES => {
                    self.is_settled.set(false);
                    if let Some(base) = self.base.take() {
                        base.close();
                    }
                }
                done => return done,
            }
        }
    }

    /// Sees to it that what is written is not appended to a journal that an earlier start left torn.
    async fn settle(&self, base: &Database) -> Result<(), Error> {
        if self.is_settled.get() {
            return Ok(());
        }
        let shifted = match self.room.must_hold(ballast::ALL_BYTES).await {
            Ok(()) => ballast::shift(base, STATE).await,
            full => full,
        };
        match shifted {
            Err(error) if error.is_dead_handle() => return Err(error),
            // Where there is no room for ballast, what is to be saved may still have room.
            Err(_) => post::note("the storage goes on with the journal that it found"),
            Ok(()) => {}
        }
        self.is_settled.set(true);
        Ok(())
    }

    async fn base(&self) -> Result<Database, Error> {
        let open = self.base.borrow().clone();
        if let Some(base) = open {
            return Ok(base);
        }
        let base = idb::open(NAME, VERSION, STORES, !self.is_known.get()).await?;
        self.is_known.set(true);
        self.base.replace(Some(base.clone()));
        Ok(base)
    }
}

/// About how many bytes a value takes.
fn size_of(value: &JsValue) -> u32 {
    if let Some(bytes) = value.dyn_ref::<Uint8Array>() {
        return bytes.length();
    }
    if let Some(blob) = value.dyn_ref::<Blob>() {
        return u32::try_from(super::files::size_of(blob)).unwrap_or(u32::MAX);
    }
    let text = value.as_string().map_or(0, |text| text.len());
    u32::try_from(text).unwrap_or(u32::MAX)
}

/// Whether a value that was read back is the one that was written: chunks byte by byte, pictures by their size.
fn is_same(read: &JsValue, written: &JsValue) -> bool {
    if let (Some(read), Some(written)) = (
        read.dyn_ref::<Uint8Array>(),
        written.dyn_ref::<Uint8Array>(),
    ) {
        return read.to_vec() == written.to_vec();
    }
    if let (Some(read), Some(written)) = (read.dyn_ref::<Blob>(), written.dyn_ref::<Blob>()) {
        return super::files::size_of(read) == super::files::size_of(written);
    }
    !read.is_undefined()
}

/// The keys within a prefix: from `prefix/` up to the next character after the stroke.
fn within(prefix: &str) -> (String, String) {
    (format!("{prefix}/"), format!("{prefix}0"))
}

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(thread_local_v2, js_name = navigator)]
    static NAVIGATOR: Navigator;
    type Navigator;
    #[wasm_bindgen(method, getter)]
    fn storage(this: &Navigator) -> JsValue;

    type Manager;
    #[wasm_bindgen(method, catch)]
    fn estimate(this: &Manager) -> Result<js_sys::Promise, JsValue>;
    #[wasm_bindgen(method, catch)]
    fn persisted(this: &Manager) -> Result<js_sys::Promise, JsValue>;

    type Estimate;
    #[wasm_bindgen(method, getter)]
    fn usage(this: &Estimate) -> JsValue;
    #[wasm_bindgen(method, getter)]
    fn quota(this: &Estimate) -> JsValue;
}

/// Bytes in use, bytes allowed (0 when not known), and whether the browser promised to keep them.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "estimates are whole positive numbers below 2^53"
)]
pub(crate) async fn room() -> (u64, u64, bool) {
    let manager = NAVIGATOR.with(Navigator::storage);
    if !manager.is_object() {
        return (0, 0, false);
    }
    let manager: &Manager = manager.unchecked_ref();
    let mut found = (0, 0, false);
    if let Ok(estimate) = manager.estimate()
        && let Ok(estimate) = wasm_bindgen_futures::JsFuture::from(estimate).await
    {
        let estimate: Estimate = estimate.unchecked_into();
        let number = |value: JsValue| value.as_f64().unwrap_or_default() as u64;
        found.0 = number(estimate.usage());
        found.1 = number(estimate.quota());
    }
    if let Ok(persisted) = manager.persisted()
        && let Ok(persisted) = wasm_bindgen_futures::JsFuture::from(persisted).await
    {
        found.2 = persisted.as_bool().unwrap_or_default();
    }
    found
}
