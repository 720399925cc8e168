//! Why room is held before anything is written where the engine keeps IndexedDB in LevelDB.
//!
//! When LevelDB's journal meets a full disk, Chromium throws away all that the site has stored, and not only what was being
//! written: with the disk filled by something else, a log that had been called saved was gone at the next start. What the
//! browser says of its quota does not tell of the disk. So a file of the site's own holds some room, taken in a pause. It
//! is let go just before something is written, and taken again in the next pause; where it cannot be taken, nothing is
//! written.

use std::cell::{Cell, RefCell};

use js_sys::{Object, Promise, Reflect, Uint8Array};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;

use super::{Error, OrError as _, ballast, chance};

/// How much is held.
const HELD_BYTES: u32 = 12 << 20;
/// What the engine may need beside what is written: its tables are written anew when a journal is full.
const MORE_BYTES: u32 = 4 << 20;
/// How much is grown at a time.
const STEP: u32 = 1 << 20;
/// So long what was let go is counted on.
const GOOD_FOR_MILLIS: u64 = 5_000;
const NAME: &str = "room";

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(thread_local_v2, js_name = navigator)]
    static NAVIGATOR: Navigator;
    type Navigator;
    #[wasm_bindgen(method, getter)]
    fn storage(this: &Navigator) -> JsValue;

    type Manager;
    #[wasm_bindgen(method, catch, js_name = getDirectory)]
    fn get_directory(this: &Manager) -> Result<Promise, JsValue>;

    type Directory;
    #[wasm_bindgen(method, catch, js_name = getFileHandle)]
    fn get_file_handle(this: &Directory, name: &str, options: &JsValue)
    -> Result<Promise, JsValue>;

    type FileHandle;
    #[wasm_bindgen(method, catch, js_name = createSyncAccessHandle)]
    fn create_sync_access_handle(this: &FileHandle) -> Result<Promise, JsValue>;

    #[derive(Clone)]
    type Access;
    #[wasm_bindgen(method, catch)]
    fn write(this: &Access, bytes: &Uint8Array, options: &JsValue) -> Result<f64, JsValue>;
    #[wasm_bindgen(method, catch)]
    fn truncate(this: &Access, size: f64) -> Result<(), JsValue>;
}

/// The file that holds room.
#[derive(Default)]
pub(crate) struct Room {
    /// `None` until it was asked for; then the file, where this browser gives one.
    file: RefCell<Option<Option<Access>>>,
    /// So many bytes it holds.
    n_held: Cell<u32>,
    /// So many bytes were let go and not yet written.
    n_let_go: Cell<u32>,
    let_go_at: Cell<u64>,
}

impl Room {
    /// Sees to it that so many bytes can be written.
    ///
    /// # Errors
    ///
    /// The error of a full storage. Where no room can be held, there is none.
    pub(super) async fn must_hold(&self, n_bytes: u32) -> Result<(), Error> {
        let Some(file) = self.file().await else {
            return Ok(());
        };
        let (now, needed) = (chance::now_millis(), n_bytes.saturating_add(MORE_BYTES));
        let is_fresh = now.saturating_sub(self.let_go_at.get()) < GOOD_FOR_MILLIS;
        if !is_fresh || self.n_let_go.get() < needed {
            let all = needed.max(HELD_BYTES);
            self.grow(&file, all)?;
            // What cannot be let go is held on to: then the engine may find less room.
            let _let_go = file.truncate(0.0);
            self.n_held.set(0);
            self.n_let_go.set(all);
            self.let_go_at.set(now);
        }
        self.n_let_go
            .set(self.n_let_go.get().saturating_sub(n_bytes));
        Ok(())
    }

    /// Takes room in a pause, so that the next write need not wait for it.
    pub(super) async fn hold(&self) {
        if let Some(file) = self.file().await {
            self.n_let_go.set(0);
            // Where there is none, the next write is told.
            let _full = self.grow(&file, HELD_BYTES);
        }
    }

    async fn file(&self) -> Option<Access> {
        if !ballast::is_needed() {
            return None;
        }
        let known = self.file.borrow().clone();
        if let Some(file) = known {
            return file;
        }
        let file = opened().await.ok();
        self.file.replace(Some(file.clone()));
        file
    }

    fn grow(&self, file: &Access, n_bytes: u32) -> Result<(), Error> {
        let step = Uint8Array::new_with_length(STEP);
        let options = Object::new();
        while self.n_held.get() < n_bytes {
            let at = self.n_held.get();
            Reflect::set(&options, &"at".into(), &at.into()).or_error()?;
            match file.write(&step, &options) {
                // Chromium gives an error's number here, wrapped round to a large one.
                Ok(n) if (n - f64::from(STEP)).abs() < 1.0 => {
                    self.n_held.set(at.saturating_add(STEP));
                }
                _ => {
                    // The last of the room is not for us.
                    let _let_go = file.truncate(0.0);
                    self.n_held.set(0);
                    return Err(Error::new(
                        "QuotaExceededError",
                        "there is no room on this device",
                    ));
                }
            }
        }
        Ok(())
    }
}

async fn opened() -> Result<Access, Error> {
    let manager = NAVIGATOR.with(Navigator::storage);
    if !manager.is_object() {
        return Err(Error::new("NotSupportedError", "no such storage"));
    }
    let manager: &Manager = manager.unchecked_ref();
    let folder = JsFuture::from(manager.get_directory().or_error()?).await;
    let folder: Directory = folder.or_error()?.unchecked_into();
    let options = Object::new();
    Reflect::set(&options, &"create".into(), &true.into()).or_error()?;
    let file = JsFuture::from(folder.get_file_handle(NAME, &options).or_error()?).await;
    let file: FileHandle = file.or_error()?.unchecked_into();
    let access = JsFuture::from(file.create_sync_access_handle().or_error()?).await;
    Ok(access.or_error()?.unchecked_into())
}
