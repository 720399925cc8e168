//! The camera and the microphone: asked for, held while they are used, and let go of.

use js_sys::{Array, Object, Reflect};
use wasm_bindgen::{JsCast as _, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{MediaStream, MediaStreamConstraints, MediaStreamTrack};

/// Why there is no picture or sound to be had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum NoMedia {
    /// This browser cannot, or not over an address without HTTPS.
    Unable,
    /// The person, or the browser in the person's name, refused.
    Refused,
    /// There is none on this device.
    Missing,
    /// Another program holds it.
    Busy,
    /// It is there, and the browser makes no recording of it.
    NoRecorder,
    /// Something else, in the browser's own words.
    Other(String),
}

impl NoMedia {
    /// What happened, in a sentence.
    pub(crate) fn words(&self, what: &str) -> String {
        match self {
            Self::Unable => format!(
                "This browser gives a page no {what} here. It does so over HTTPS, and on the device's own address."
            ),
            Self::Refused => format!(
                "The {what} was not allowed. It can be allowed in the browser's settings for this page."
            ),
            Self::Missing => format!("There is no {what} on this device."),
            Self::Busy => {
                format!("The {what} is held by another program. Close that one, and try again.")
            }
            Self::NoRecorder => {
                format!("This browser gives a page the {what} but makes no recording of it.")
            }
            Self::Other(words) => format!("The {what} cannot be had: {words}."),
        }
    }

    fn of(error: &JsValue) -> Self {
        let name = Reflect::get(error, &"name".into())
            .ok()
            .and_then(|name| name.as_string())
            .unwrap_or_default();
        match name.as_str() {
            "NotAllowedError" | "SecurityError" => Self::Refused,
            "NotFoundError" | "OverconstrainedError" => Self::Missing,
            "NotReadableError" | "AbortError" => Self::Busy,
            "TypeError" | "NotSupportedError" => Self::Unable,
            _ => Self::Other(super::Error::from(error.clone()).0),
        }
    }
}

/// An object with these fields.
pub(super) fn object(fields: &[(&str, JsValue)]) -> Object {
    let object = Object::new();
    for (name, value) in fields {
        // A fresh plain object takes every field.
        drop(Reflect::set(&object, &(*name).into(), value));
    }
    object
}

/// Whether the browser knows a thing by this name.
pub(super) fn knows(name: &str) -> bool {
    Reflect::has(&js_sys::global(), &name.into()).unwrap_or(false)
}

/// Whether the page may ask for a camera or a microphone at all.
pub(crate) fn can_ask() -> bool {
    web_sys::window()
        .and_then(|window| window.navigator().media_devices().ok())
        .is_some_and(|devices| !devices.is_undefined())
}

/// What comes from a camera or a microphone; it is let go of when this is dropped.
pub(super) struct Stream(pub(super) MediaStream);

impl Drop for Stream {
    fn drop(&mut self) {
        for track in tracks(&self.0.get_tracks()) {
            track.stop();
        }
    }
}

impl Stream {
    /// Asks for it.
    pub(super) async fn ask(audio: &JsValue, video: &JsValue) -> Result<Self, NoMedia> {
        if !can_ask() {
            return Err(NoMedia::Unable);
        }
        let devices = web_sys::window()
            .and_then(|window| window.navigator().media_devices().ok())
            .ok_or(NoMedia::Unable)?;
        let constraints = MediaStreamConstraints::new();
        constraints.set_audio(audio);
        constraints.set_video(video);
        let asked = devices
            .get_user_media_with_constraints(&constraints)
            .map_err(|error| NoMedia::of(&error))?;
        let stream = JsFuture::from(asked)
            .await
            .map_err(|error| NoMedia::of(&error))?;
        Ok(Self(stream.unchecked_into()))
    }

    /// The track of the picture.
    pub(super) fn video(&self) -> Option<MediaStreamTrack> {
        tracks(&self.0.get_video_tracks()).next()
    }
}

fn tracks(list: &Array) -> impl Iterator<Item = MediaStreamTrack> + use<> {
    list.to_vec()
        .into_iter()
        .map(wasm_bindgen::JsCast::unchecked_into)
}
