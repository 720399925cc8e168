//! Why the first write of a start is preceded by ballast where the engine keeps IndexedDB in LevelDB.
//!
//! LevelDB appends each change to a journal, and a start goes on appending to the journal it finds. When the browser was
//! killed in the middle of a record, what is appended behind the torn record cannot be read again: the start after that
//! loses it, or finds the journal corrupt and clears the whole database (<https://github.com/google/leveldb/issues/1287>).
//! A journal that has grown over its limit of 4 MB is taken into tables and thrown away, and a new one is begun. So twice
//! that much is written under one key and deleted: when the second journal is full, the first is settled.

use js_sys::Uint8Array;
use wasm_bindgen::prelude::*;

use super::Error;
use super::idb::{self, Change, Database};

/// Under 64 KB, beyond which the engine would put a value into a file beside the journal.
const N_BYTES: u32 = 60_000;
/// 4.8 MB each: more than the engine's limit of 4 MiB (LevelDB's `write_buffer_size`).
const N_VALUES: usize = 80;
const N_JOURNALS: usize = 2;
const KEY: &str = "ballast";
/// What all of it takes, rounded up.
pub(super) const ALL_BYTES: u32 = 10 << 20;

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(thread_local_v2, js_name = navigator)]
    static NAVIGATOR: Navigator;
    type Navigator;
    #[wasm_bindgen(method, getter, js_name = userAgent)]
    fn user_agent(this: &Navigator) -> String;
}

/// Whether this engine is Chromium, in whose name every browser built on it says `Chrome/`; on iOS none is.
pub(super) fn is_needed() -> bool {
    NAVIGATOR.with(Navigator::user_agent).contains("Chrome/")
}

/// Makes the engine begin a new journal, where it keeps one.
pub(super) async fn shift(base: &Database, store: &'static str) -> Result<(), Error> {
    if !is_needed() {
        return Ok(());
    }
    let value: JsValue = Uint8Array::new_with_length(N_BYTES).into();
    let ballast = Change::Put {
        store,
        key: KEY.to_owned(),
        value,
    };
    let ballast = vec![ballast; N_VALUES];
    for _ in 0..N_JOURNALS {
        idb::write(base, &ballast).await?;
    }
    let key = KEY.to_owned();
    idb::write(base, &[Change::Delete { store, key }]).await
}
