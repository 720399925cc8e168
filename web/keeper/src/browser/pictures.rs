//! Smaller sizes of photographs, made in a worker that can be thrown away.
//!
//! Decoding a picture takes hundreds of megabytes and may fail in ways that no program foresees. So
//! it is done outside of the keeper: by the same module, started once more under another name. When
//! that worker fails, or takes too long, it is ended and the original is as it was.

use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use std::rc::Rc;

use garboard_photo::Rendition;
use garboard_protocol::{decode, encode};
use garboard_record::{Digest, Id};
use js_sys::{Array, Object, Promise, Reflect, Uint8Array};
use serde::{Deserialize, Serialize};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};

use super::files::{self, Blob};
use super::{Error, OrError as _, post, tab};

const TOO_LONG_MILLIS: i32 = 120_000;
const LONG_SIDE: f64 = 2048.0;

/// One smaller size with its bytes.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct SmallBytes {
    pub(crate) bytes: Vec<u8>,
    pub(crate) digest: String,
    pub(crate) width: u32,
    pub(crate) height: u32,
}

/// Both smaller sizes of a photograph.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct Shrunk {
    pub(crate) view: SmallBytes,
    pub(crate) thumbnail: SmallBytes,
    /// Whether the browser had to decode the picture, because this program cannot.
    pub(crate) is_by_browser: bool,
}

type Told = Result<Shrunk, String>;
type Heard = Closure<dyn FnMut(Message)>;

#[wasm_bindgen]
extern "C" {
    #[derive(Clone)]
    type Worker;
    #[wasm_bindgen(constructor, catch)]
    fn new(address: &str, options: &JsValue) -> Result<Worker, JsValue>;
    #[wasm_bindgen(method, js_name = postMessage, catch)]
    fn post_message(this: &Worker, message: &JsValue) -> Result<(), JsValue>;
    #[wasm_bindgen(method, setter)]
    fn set_onmessage(this: &Worker, handler: &JsValue);
    #[wasm_bindgen(method, setter)]
    fn set_onerror(this: &Worker, handler: &JsValue);
    #[wasm_bindgen(method)]
    fn terminate(this: &Worker);

    type Message;
    #[wasm_bindgen(method, getter)]
    fn data(this: &Message) -> JsValue;
    #[wasm_bindgen(method, js_name = preventDefault)]
    fn prevent_default(this: &Message);

    #[wasm_bindgen(js_name = postMessage, catch)]
    fn post_to_keeper(message: &JsValue, transfer: &Array) -> Result<(), JsValue>;
}

/// A photograph whose smaller sizes are wanted.
#[derive(Debug, Clone)]
pub(crate) struct Wanted {
    /// The photograph.
    pub(crate) entry: Id,
    /// Its original's digest.
    pub(crate) digest: Digest,
    /// Its original.
    pub(crate) original: Blob,
}

/// Makes smaller sizes, one photograph after the other.
pub(crate) struct Shrinker {
    waiting: RefCell<VecDeque<Wanted>>,
    is_busy: Cell<bool>,
    done: Box<dyn Fn(Wanted, Told)>,
}

impl Shrinker {
    /// A shrinker that tells `done` what came of each.
    pub(crate) fn new(done: impl Fn(Wanted, Told) + 'static) -> Rc<Self> {
        Rc::new(Self {
            waiting: RefCell::default(),
            is_busy: Cell::new(false),
            done: Box::new(done),
        })
    }

    /// How many are waiting or in work.
    pub(crate) fn n_waiting(&self) -> usize {
        self.waiting.borrow().len() + usize::from(self.is_busy.get())
    }

    /// Whether a photograph is waiting already.
    pub(crate) fn is_waiting(&self, entry: Id) -> bool {
        self.waiting.borrow().iter().any(|one| one.entry == entry)
    }

    /// Puts a photograph in the line.
    pub(crate) fn want(self: &Rc<Self>, wanted: Wanted) {
        self.waiting.borrow_mut().push_back(wanted);
        if self.is_busy.replace(true) {
            return;
        }
        let shrinker = Rc::clone(self);
        spawn_local(async move {
            let mut worker: Option<Worker> = None;
            loop {
                let next = shrinker.waiting.borrow_mut().pop_front();
                let Some(wanted) = next else { break };
                let told = match worker.take().map_or_else(start, Ok) {
                    Ok(at_work) => {
                        let told = ask(&at_work, &wanted.original).await;
                        if told.is_some() {
                            worker = Some(at_work);
                        } else {
                            at_work.terminate();
                        }
                        told.unwrap_or_else(|| {
                            Err("the picture could not be decoded in the memory or time that this browser gives".to_owned())
                        })
                    }
                    Err(error) => Err(error.to_string()),
                };
                (shrinker.done)(wanted, told);
            }
            if let Some(worker) = worker {
                worker.terminate();
            }
            shrinker.is_busy.set(false);
        });
    }
}

fn start() -> Result<Worker, Error> {
    let options = Object::new();
    Reflect::set(&options, &"type".into(), &"module".into()).or_error()?;
    Reflect::set(&options, &"name".into(), &"pictures".into()).or_error()?;
    // Relative to the keeper's own boot file.
    Worker::new("./boot.js", &options).or_error()
}

/// Asks the worker for one picture's smaller sizes; `None` when it failed or took too long.
async fn ask(worker: &Worker, original: &Blob) -> Option<Told> {
    let mut handlers: Option<[Heard; 2]> = None;
    let answered = Promise::new(&mut |resolve, reject| {
        let ok = Closure::<dyn FnMut(Message)>::new(move |message: Message| {
            let _called = resolve.call1(&JsValue::UNDEFINED, &message.data());
        });
        let failed = Closure::<dyn FnMut(Message)>::new(move |message: Message| {
            message.prevent_default();
            let _called = reject.call0(&JsValue::UNDEFINED);
        });
        worker.set_onmessage(ok.as_ref());
        worker.set_onerror(failed.as_ref());
        handlers = Some([ok, failed]);
    });
    let message = Object::new();
    let files = Array::of1(original);
    let sent =
        Reflect::set(&message, &"files".into(), &files).and_then(|_| worker.post_message(&message));
    if sent.is_err() {
        return None;
    }
    let patience = Promise::new(&mut |_, give_up| {
        spawn_local(async move {
            tab::wait(TOO_LONG_MILLIS).await;
            let _called = give_up.call0(&JsValue::UNDEFINED);
        });
    });
    let first = Promise::race(&Array::of2(&answered, &patience));
    let answer = JsFuture::from(first).await;
    worker.set_onmessage(&JsValue::NULL);
    worker.set_onerror(&JsValue::NULL);
    drop(handlers);
    decode(&Uint8Array::new(&answer.ok()?).to_vec()).ok()
}

/// The other side: takes one picture and answers with its smaller sizes.
#[wasm_bindgen]
pub fn shrink(_bytes: &JsValue, files: &JsValue) {
    console_error_panic_hook::set_once();
    let file = Array::from(files).get(0).dyn_into::<Blob>();
    spawn_local(async move {
        let told: Told = match file {
            Ok(file) => smaller(&file).await,
            Err(_) => Err("no picture came".to_owned()),
        };
        let Ok(bytes) = encode(&told) else {
            return post::note("smaller sizes cannot be written");
        };
        let bytes = Uint8Array::from(bytes.as_slice()).buffer();
        if post_to_keeper(&bytes, &Array::of1(&bytes)).is_err() {
            post::note("smaller sizes cannot be sent");
        }
    });
}

async fn smaller(file: &Blob) -> Told {
    let bytes = files::read(file).await.map_err(|error| error.to_string())?;
    match garboard_photo::renditions(&bytes) {
        Ok(made) => Ok(Shrunk {
            view: small(made.view),
            thumbnail: small(made.thumbnail),
            is_by_browser: false,
        }),
        Err(refused) => {
            drop(bytes);
            let by_browser = by_browser(file).await.map_err(|error: Error| {
                format!("{refused}; nor can the browser show it ({error})")
            })?;
            let made =
                garboard_photo::renditions(&by_browser).map_err(|error| error.to_string())?;
            Ok(Shrunk {
                view: small(made.view),
                thumbnail: small(made.thumbnail),
                is_by_browser: true,
            })
        }
    }
}

fn small(made: Rendition) -> SmallBytes {
    SmallBytes {
        bytes: made.bytes,
        digest: made.digest,
        width: made.width,
        height: made.height,
    }
}

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(js_name = createImageBitmap, catch)]
    fn create_image_bitmap(file: &Blob) -> Result<Promise, JsValue>;

    type Bitmap;
    #[wasm_bindgen(method, getter)]
    fn width(this: &Bitmap) -> f64;
    #[wasm_bindgen(method, getter)]
    fn height(this: &Bitmap) -> f64;

    #[wasm_bindgen(js_name = OffscreenCanvas)]
    type Canvas;
    #[wasm_bindgen(constructor, js_class = OffscreenCanvas, catch)]
    fn new(width: f64, height: f64) -> Result<Canvas, JsValue>;
    #[wasm_bindgen(method, js_name = getContext, catch)]
    fn get_context(this: &Canvas, kind: &str) -> Result<Context, JsValue>;
    #[wasm_bindgen(method, js_name = convertToBlob, catch)]
    fn convert_to_blob(this: &Canvas) -> Result<Promise, JsValue>;

    type Context;
    #[wasm_bindgen(method, js_name = drawImage, catch)]
    fn draw_image(
        this: &Context,
        image: &Bitmap,
        x: f64,
        y: f64,
        width: f64,
        height: f64,
    ) -> Result<(), JsValue>;
}

/// A picture of at most the view's size as PNG, decoded and turned upright by the browser.
async fn by_browser(file: &Blob) -> Result<Vec<u8>, Error> {
    let decoding = create_image_bitmap(file).or_error()?;
    let image: Bitmap = JsFuture::from(decoding).await.or_error()?.unchecked_into();
    let (width, height) = (image.width(), image.height());
    let shrink = (LONG_SIDE / width.max(height).max(1.0)).min(1.0);
    let (width, height) = (
        (width * shrink).round().max(1.0),
        (height * shrink).round().max(1.0),
    );
    let canvas = Canvas::new(width, height).or_error()?;
    canvas
        .get_context("2d")
        .and_then(|context| context.draw_image(&image, 0.0, 0.0, width, height))
        .or_error()?;
    let png = JsFuture::from(canvas.convert_to_blob().or_error()?)
        .await
        .or_error()?;
    files::read(&png.unchecked_into()).await
}
