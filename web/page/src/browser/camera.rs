//! The camera in the page: seen live, taken from, lit, and let go of.

use std::cell::Cell;

use gloo::events::EventListener;
use js_sys::{Array, Promise, Reflect};
use wasm_bindgen::prelude::wasm_bindgen;
use wasm_bindgen::{JsCast as _, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Blob, CanvasRenderingContext2d, HtmlCanvasElement, HtmlVideoElement, MediaStreamTrack,
};
use yew::{Callback, NodeRef};

use super::Error;
use super::file::Files;
use super::media::{NoMedia, Stream, knows, object};

#[wasm_bindgen]
extern "C" {
    /// The browser's way to a still picture of the camera's full size (W3C Image Capture), where it has one.
    type ImageCapture;
    #[wasm_bindgen(constructor, catch)]
    fn new(track: &MediaStreamTrack) -> Result<ImageCapture, JsValue>;
    #[wasm_bindgen(method, catch, js_name = takePhoto)]
    fn take_photo(this: &ImageCapture) -> Result<Promise, JsValue>;
}

/// A camera that takes longer than this for a picture is not waited for; what is seen is taken.
const PATIENCE_MILLIS: u32 = 4000;

/// How well a seen picture is kept: nothing can be seen of the loss, and it takes a third of the bytes.
const QUALITY: f64 = 0.92;

/// A camera that is open; it is let go of when this is dropped.
pub(crate) struct Camera {
    stream: Stream,
    video: HtmlVideoElement,
    is_taking: Cell<bool>,
    _ended: Option<EventListener>,
}

impl Drop for Camera {
    fn drop(&mut self) {
        self.video.set_src_object(None);
    }
}

impl Camera {
    /// Opens the camera that looks away from the person, and shows it in a video element. `ended` hears when
    /// the browser takes it away.
    pub(crate) async fn open(shown: &NodeRef, ended: Callback<()>) -> Result<Self, NoMedia> {
        let ideal = |value: JsValue| -> JsValue { object(&[("ideal", value)]).into() };
        let wanted = object(&[
            ("facingMode", ideal("environment".into())),
            ("width", ideal(4096.into())),
            ("height", ideal(3072.into())),
        ]);
        let stream = Stream::ask(&false.into(), &wanted).await?;
        let video: HtmlVideoElement = shown
            .cast()
            .ok_or_else(|| NoMedia::Other("the screen was left".to_owned()))?;
        video.set_muted(true);
        video.set_src_object(Some(&stream.0));
        if let Ok(playing) = video.play() {
            // A refusal shows as a picture that stands still; the person sees that.
            wasm_bindgen_futures::spawn_local(async move { drop(JsFuture::from(playing).await) });
        }
        let listener = stream
            .video()
            .map(|track| EventListener::new(&track, "ended", move |_| ended.emit(())));
        Ok(Self {
            stream,
            video,
            is_taking: Cell::new(false),
            _ended: listener,
        })
    }

    /// What is seen, in pixels; 0 before the first picture.
    pub(crate) fn size(&self) -> (u32, u32) {
        (self.video.video_width(), self.video.video_height())
    }

    /// Whether the camera has a lamp that a page may switch.
    pub(crate) fn has_torch(&self) -> bool {
        self.stream.video().is_some_and(|track| {
            let ask = Reflect::get(&track, &"getCapabilities".into())
                .ok()
                .and_then(|ask| ask.dyn_into::<js_sys::Function>().ok());
            ask.and_then(|ask| ask.call0(&track).ok())
                .and_then(|can| Reflect::get(&can, &"torch".into()).ok())
                .is_some_and(|torch| torch.is_truthy())
        })
    }

    /// Switches the lamp.
    pub(crate) async fn light(track: Torch, is_on: bool) -> Result<(), Error> {
        let one = object(&[("torch", is_on.into())]);
        let all = object(&[("advanced", Array::of1(&one).into())]);
        let apply: js_sys::Function = Reflect::get(&track.0, &"applyConstraints".into())?
            .dyn_into()
            .map_err(|_found| {
                Error("this camera's lamp cannot be switched by a page".to_owned())
            })?;
        let applied: Promise = apply.call1(&track.0, &all)?.unchecked_into();
        JsFuture::from(applied).await?;
        Ok(())
    }

    /// The lamp, to be switched.
    pub(crate) fn torch(&self) -> Option<Torch> {
        self.stream.video().map(Torch)
    }

    /// What takes a picture now: the camera's own way, or the picture that is seen.
    pub(crate) fn shutter(&self) -> Shutter {
        let still = (knows("ImageCapture") && !self.is_taking.get())
            .then(|| ImageCapture::new(&self.stream.video()?).ok())
            .flatten();
        Shutter {
            still,
            video: self.video.clone(),
        }
    }

    /// Notes that a still picture is on its way; the camera takes one at a time.
    pub(crate) fn set_taking(&self, is_taking: bool) {
        self.is_taking.set(is_taking);
    }
}

/// A camera's lamp.
pub(crate) struct Torch(MediaStreamTrack);

/// What takes one picture.
pub(crate) struct Shutter {
    still: Option<ImageCapture>,
    video: HtmlVideoElement,
}

impl Shutter {
    /// Takes it.
    pub(crate) async fn take(self) -> Result<Files, Error> {
        if let Some(still) = &self.still
            && let Some(blob) = self.still(still).await
        {
            return Ok(Files::of_blob(blob));
        }
        self.seen().await.map(Files::of_blob)
    }

    async fn still(&self, still: &ImageCapture) -> Option<Blob> {
        let taken = still.take_photo().ok()?;
        let late = Promise::new(&mut |_, give_up| {
            gloo::timers::callback::Timeout::new(PATIENCE_MILLIS, move || {
                drop(give_up.call0(&JsValue::UNDEFINED));
            })
            .forget();
        });
        let first = Promise::race(&Array::of2(&taken, &late));
        JsFuture::from(first)
            .await
            .ok()?
            .dyn_into::<Blob>()
            .ok()
            .filter(|blob| blob.size() > 0.0)
    }

    /// The picture that is seen now, as a JPEG.
    async fn seen(&self) -> Result<Blob, Error> {
        let nothing = || Error("there is no picture yet".to_owned());
        let (width, height) = (self.video.video_width(), self.video.video_height());
        if width == 0 || height == 0 {
            return Err(nothing());
        }
        let canvas: HtmlCanvasElement = web_sys::window()
            .and_then(|window| window.document())
            .ok_or_else(nothing)?
            .create_element("canvas")?
            .unchecked_into();
        canvas.set_width(width);
        canvas.set_height(height);
        let context: CanvasRenderingContext2d = canvas
            .get_context("2d")?
            .ok_or_else(|| Error("the browser has no memory for a picture".to_owned()))?
            .unchecked_into();
        context.draw_image_with_html_video_element(&self.video, 0.0, 0.0)?;
        super::picture::as_jpeg(&canvas, QUALITY)
            .await
            .ok_or_else(|| Error("the browser made no picture of what is seen".to_owned()))
    }
}
