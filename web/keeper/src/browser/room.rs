//! Why it is tried out whether there is room before anything is written where the engine keeps IndexedDB in LevelDB.
//!
//! When LevelDB's journal meets a full disk, Chromium throws away all that the site has stored, and not only what was being
//! written: with the disk filled by something else, a log that had been called saved was gone at the next start. What the
//! browser says of its quota does not tell of the disk. So a file of the site's own is grown by as much as is about to be
//! written, and some more for the engine's tables, and taken back at once; where that fails, nothing is written.

use std::cell::{Cell, RefCell};

use js_sys::{Object, Promise, Reflect, Uint8Array};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;

use super::{Error, OrError as _, ballast, chance};

/// What the engine may need beside: its tables are written anew when a journal is full.
const MORE_BYTES: u32 = 12 << 20;
/// How much is grown at a time.
const STEP: u32 = 1 << 20;
/// So long a trial is good for what is small.
const GOOD_FOR_MILLIS: u64 = 1_000;
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

/// The file by which room is tried out.
#[derive(Default)]
pub(crate) struct Room {
    /// `None` until it was asked for; then the file, where this browser gives one.
    file: RefCell<Option<Option<Access>>>,
    tried_at: Cell<u64>,
}

impl Room {
    /// Whether so many bytes can be written.
    ///
    /// # Errors
    ///
    /// The error of a full storage. Where it cannot be tried out, there is none.
    pub(super) async fn must_hold(&self, n_bytes: u32) -> Result<(), Error> {
        if !ballast::is_needed() {
            return Ok(());
        }
        let now = chance::now_millis();
        if n_bytes <= STEP && now.saturating_sub(self.tried_at.get()) < GOOD_FOR_MILLIS {
            return Ok(());
        }
        let known = self.file.borrow().clone();
        let file = match known {
            Some(file) => file,
            None => {
                let file = opened().await.ok();
                self.file.replace(Some(file.clone()));
                file
            }
        };
        let Some(file) = file else { return Ok(()) };
        let grown = grow(&file, n_bytes.saturating_add(MORE_BYTES));
        // What cannot be taken back is written over the next time.
        let _taken_back = file.truncate(0.0);
        grown?;
        self.tried_at.set(now);
        Ok(())
    }
}

fn grow(file: &Access, n_bytes: u32) -> Result<(), Error> {
    let full = || Error::new("QuotaExceededError", "there is no room on this device");
    let step = Uint8Array::new_with_length(STEP);
    let options = Object::new();
    let mut at = 0;
    while at < n_bytes {
        Reflect::set(&options, &"at".into(), &at.into()).or_error()?;
        match file.write(&step, &options) {
            // Chromium gives an error's number here, wrapped round to a large one.
            Ok(n) if (n - f64::from(STEP)).abs() < 1.0 => at += STEP,
            _ => return Err(full()),
        }
    }
    Ok(())
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
