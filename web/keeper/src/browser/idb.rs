//! A small binding of IndexedDB: what the keeper needs, with strict durability.

use js_sys::{Array, Promise};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::JsFuture;

use super::{Error, OrError as _};

#[wasm_bindgen]
extern "C" {
    /// The bare global, which serves windows and workers.
    #[wasm_bindgen(thread_local_v2, js_name = indexedDB)]
    static FACTORY: Factory;

    type Factory;
    #[wasm_bindgen(method, catch)]
    fn open(this: &Factory, name: &str, version: u32) -> Result<Request, JsValue>;

    #[wasm_bindgen(extends = js_sys::Object)]
    pub(super) type Request;
    #[wasm_bindgen(method, getter, catch)]
    fn result(this: &Request) -> Result<JsValue, JsValue>;
    #[wasm_bindgen(method, getter)]
    fn error(this: &Request) -> JsValue;
    #[wasm_bindgen(method, getter)]
    fn transaction(this: &Request) -> Transaction;
    #[wasm_bindgen(method, setter)]
    fn set_onsuccess(this: &Request, handler: &JsValue);
    #[wasm_bindgen(method, setter)]
    fn set_onerror(this: &Request, handler: &JsValue);
    #[wasm_bindgen(method, setter)]
    fn set_onblocked(this: &Request, handler: &JsValue);
    #[wasm_bindgen(method, setter)]
    fn set_onupgradeneeded(this: &Request, handler: &JsValue);

    /// An open database.
    #[derive(Clone)]
    pub(super) type Database;
    #[wasm_bindgen(method, catch)]
    fn transaction(
        this: &Database,
        stores: &Array,
        mode: &str,
        options: &JsValue,
    ) -> Result<Transaction, JsValue>;
    #[wasm_bindgen(method)]
    pub(super) fn close(this: &Database);
    #[wasm_bindgen(method, catch, js_name = createObjectStore)]
    fn create_object_store(this: &Database, name: &str) -> Result<JsValue, JsValue>;
    #[wasm_bindgen(method, setter)]
    fn set_onversionchange(this: &Database, handler: &JsValue);
    #[wasm_bindgen(method, getter, js_name = objectStoreNames)]
    fn object_store_names(this: &Database) -> Names;

    type Names;
    #[wasm_bindgen(method)]
    fn contains(this: &Names, name: &str) -> bool;

    type Transaction;
    #[wasm_bindgen(method, catch)]
    fn abort(this: &Transaction) -> Result<(), JsValue>;
    #[wasm_bindgen(method, catch, js_name = objectStore)]
    fn object_store(this: &Transaction, name: &str) -> Result<ObjectStore, JsValue>;
    #[wasm_bindgen(method, getter)]
    fn error(this: &Transaction) -> JsValue;
    #[wasm_bindgen(method, setter)]
    fn set_oncomplete(this: &Transaction, handler: &JsValue);
    #[wasm_bindgen(method, setter)]
    fn set_onabort(this: &Transaction, handler: &JsValue);

    type ObjectStore;
    #[wasm_bindgen(method, catch)]
    fn put(this: &ObjectStore, value: &JsValue, key: &str) -> Result<Request, JsValue>;
    #[wasm_bindgen(method, catch)]
    fn get(this: &ObjectStore, key: &str) -> Result<Request, JsValue>;
    #[wasm_bindgen(method, catch)]
    fn delete(this: &ObjectStore, key: &str) -> Result<Request, JsValue>;
    #[wasm_bindgen(method, catch, js_name = getAll)]
    fn get_all(this: &ObjectStore, range: &JsValue) -> Result<Request, JsValue>;
    #[wasm_bindgen(method, catch, js_name = getAllKeys)]
    fn get_all_keys(this: &ObjectStore, range: &JsValue) -> Result<Request, JsValue>;

    #[wasm_bindgen(js_name = IDBKeyRange)]
    type KeyRange;
    #[wasm_bindgen(static_method_of = KeyRange, js_class = IDBKeyRange, catch)]
    fn bound(lower: &str, upper: &str) -> Result<JsValue, JsValue>;
}

/// One change of a store.
#[derive(Debug, Clone)]
pub(super) enum Change {
    /// Puts a value under a key.
    Put {
        store: &'static str,
        key: String,
        value: JsValue,
    },
    /// Takes a key away.
    Delete { store: &'static str, key: String },
}

/// Opens a database, making the stores that it lacks, and itself where `may_begin`. Its handle closes by itself when another tab
/// wants a newer version.
pub(super) async fn open(
    name: &str,
    version: u32,
    stores: &'static [&'static str],
    may_begin: bool,
) -> Result<Database, Error> {
    let request = FACTORY
        .with(|factory| factory.open(name, version))
        .or_error()?;
    let asked: Request = request.clone().unchecked_into();
    let upgrade = Closure::<dyn FnMut()>::new(move || {
        if !may_begin {
            // The opening then fails, and nothing is begun.
            let _aborted = asked.transaction().abort();
            return;
        }
        let Ok(base) = asked.result() else { return };
        let base: Database = base.unchecked_into();
        for store in stores {
            if !base.object_store_names().contains(store) {
                // A failure aborts the upgrade, and the opening reports it.
                let _made = base.create_object_store(store);
            }
        }
    });
    request.set_onupgradeneeded(upgrade.as_ref());
    let base: Database = match done(&request).await {
        Err(error) if !may_begin && error.name == "AbortError" => return Err(Error::lost()),
        opened => opened?.unchecked_into(),
    };
    let handle = base.clone();
    let yields = Closure::<dyn FnMut()>::new(move || handle.close());
    base.set_onversionchange(yields.as_ref());
    yields.forget();
    Ok(base)
}

/// Writes all of it in one transaction with strict durability, or none of it. Returns when the
/// transaction has completed.
pub(super) async fn write(base: &Database, changes: &[Change]) -> Result<(), Error> {
    let stores = Array::new();
    for change in changes {
        let (Change::Put { store, .. } | Change::Delete { store, .. }) = change;
        let store = JsValue::from_str(store);
        if !stores.includes(&store, 0) {
            stores.push(&store);
        }
    }
    let options = js_sys::Object::new();
    js_sys::Reflect::set(&options, &"durability".into(), &"strict".into()).or_error()?;
    let transaction = base
        .transaction(&stores, "readwrite", &options)
        .or_error()?;
    let complete = Promise::new(&mut |complete, abort| {
        transaction.set_oncomplete(&complete);
        transaction.set_onabort(&abort);
    });
    for change in changes {
        match change {
            Change::Put { store, key, value } => {
                transaction
                    .object_store(store)
                    .and_then(|store| store.put(value, key))
                    .or_error()?;
            }
            Change::Delete { store, key } => {
                transaction
                    .object_store(store)
                    .and_then(|store| store.delete(key))
                    .or_error()?;
            }
        }
    }
    match JsFuture::from(complete).await {
        Ok(_) => Ok(()),
        Err(_) => {
            let why = transaction.error();
            if why.is_object() {
                return Err(Error::of(&why));
            }
            Err(Error::new("AbortError", "the write was ended"))
        }
    }
}

/// The value under a key; `undefined` when there is none.
pub(super) async fn get(base: &Database, store: &str, key: &str) -> Result<JsValue, Error> {
    let request = reading(base, store)?.get(key).or_error()?;
    done(&request).await
}

/// Keys and values from one key up to another (not with it), in key order.
pub(super) async fn all(
    base: &Database,
    store: &str,
    from: &str,
    to: &str,
) -> Result<(Array, Array), Error> {
    let range = KeyRange::bound(from, to).or_error()?;
    let store = reading(base, store)?;
    let keys = store.get_all_keys(&range).or_error()?;
    let values = store.get_all(&range).or_error()?;
    let (keys, values) = (done_promise(&keys), done_promise(&values));
    let keys = JsFuture::from(keys).await;
    let values = JsFuture::from(values).await;
    Ok((
        result_of(keys)?.unchecked_into(),
        result_of(values)?.unchecked_into(),
    ))
}

/// Keys from one key up to another, in key order.
pub(super) async fn keys(
    base: &Database,
    store: &str,
    from: &str,
    to: &str,
) -> Result<Array, Error> {
    let range = KeyRange::bound(from, to).or_error()?;
    let request = reading(base, store)?.get_all_keys(&range).or_error()?;
    Ok(done(&request).await?.unchecked_into())
}

fn reading(base: &Database, store: &str) -> Result<ObjectStore, Error> {
    let stores = Array::of1(&store.into());
    base.transaction(&stores, "readonly", &JsValue::UNDEFINED)
        .and_then(|transaction| transaction.object_store(store))
        .or_error()
}

#[wasm_bindgen]
extern "C" {
    type Happening;
    #[wasm_bindgen(method, getter)]
    fn target(this: &Happening) -> Request;
}

fn done_promise(request: &Request) -> Promise {
    Promise::new(&mut |success, error| {
        request.set_onsuccess(&success);
        request.set_onerror(&error);
        request.set_onblocked(&error);
    })
}

fn result_of(event: Result<JsValue, JsValue>) -> Result<JsValue, Error> {
    match event {
        Ok(event) => event
            .unchecked_into::<Happening>()
            .target()
            .result()
            .or_error(),
        Err(event) => {
            let why = event.unchecked_into::<Happening>().target().error();
            if why.is_object() {
                return Err(Error::of(&why));
            }
            Err(Error::new(
                "UnknownError",
                "another tab keeps the storage from being opened",
            ))
        }
    }
}

async fn done(request: &Request) -> Result<JsValue, Error> {
    result_of(JsFuture::from(done_promise(request)).await)
}
