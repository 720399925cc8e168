//! A recording of what is said aloud.

use std::cell::RefCell;
use std::rc::Rc;

use js_sys::{Array, Function};
use wasm_bindgen::prelude::Closure;
use wasm_bindgen::{JsCast as _, JsValue};
use web_sys::{
    AnalyserNode, AudioContext, Blob, BlobEvent, BlobPropertyBag, MediaRecorder,
    MediaRecorderOptions,
};
use yew::Callback;

use super::device::{Awake, stay_awake};
use super::file::Files;
use super::media::{NoMedia, Stream, knows};

/// What is asked for first; a browser that can do none of them takes its own.
const FORMS: [&str; 3] = [
    "audio/webm;codecs=opus",
    "audio/mp4",
    "audio/ogg;codecs=opus",
];

/// So often, in milliseconds, the browser hands over what it has.
const SLICE: i32 = 1000;

/// A recording that runs; the microphone is let go of when it is dropped.
pub(crate) struct Recording {
    recorder: MediaRecorder,
    hearing: Option<(AudioContext, AnalyserNode)>,
    _heard: [Closure<dyn FnMut(JsValue)>; 2],
    _awake: Option<Awake>,
    _stream: Stream,
}

impl Drop for Recording {
    fn drop(&mut self) {
        self.recorder.set_ondataavailable(None);
        self.recorder.set_onstop(None);
        if let Some((context, _)) = &self.hearing {
            // It is closed, or was closed already.
            drop(context.close());
        }
    }
}

impl Recording {
    /// Starts one. `ended` hears once what was recorded, whether a person stopped it or the browser did; `part` hears
    /// each second of it, and whether it is the first.
    pub(crate) async fn start(
        ended: Callback<Files>,
        part: Callback<(bool, Files)>,
    ) -> Result<Self, NoMedia> {
        if !knows("MediaRecorder") {
            return Err(NoMedia::Unable);
        }
        let stream = Stream::ask(&true.into(), &false.into()).await?;
        let options = MediaRecorderOptions::new();
        if let Some(form) = FORMS
            .into_iter()
            .find(|form| MediaRecorder::is_type_supported(form))
        {
            options.set_mime_type(form);
        }
        // Speech is clear at this rate, and an hour takes 22 MB.
        options.set_audio_bits_per_second(48_000);
        let refused = |_error: JsValue| NoMedia::NoRecorder;
        let recorder =
            MediaRecorder::new_with_media_stream_and_media_recorder_options(&stream.0, &options)
                .map_err(refused)?;
        let parts: Rc<RefCell<Vec<Blob>>> = Rc::default();
        let kept = Rc::clone(&parts);
        let on_data = Closure::<dyn FnMut(JsValue)>::new(move |event: JsValue| {
            let data = event.unchecked_into::<BlobEvent>().data();
            if let Some(data) = data.filter(|data| data.size() > 0.0) {
                let mut kept = kept.borrow_mut();
                part.emit((kept.is_empty(), Files::of_blob(data.clone())));
                kept.push(data);
            }
        });
        let form = recorder.clone();
        let on_stop = Closure::<dyn FnMut(JsValue)>::new(move |_| {
            let bag = BlobPropertyBag::new();
            bag.set_type(&form.mime_type());
            let whole: Array = parts.borrow().iter().collect();
            if let Ok(blob) = Blob::new_with_blob_sequence_and_options(&whole, &bag) {
                ended.emit(Files::of_blob(blob));
            }
        });
        recorder.set_ondataavailable(function(&on_data));
        recorder.set_onstop(function(&on_stop));
        recorder.start_with_time_slice(SLICE).map_err(refused)?;
        let hearing = hear(&stream);
        Ok(Self {
            recorder,
            hearing,
            _heard: [on_data, on_stop],
            _awake: stay_awake().await,
            _stream: stream,
        })
    }

    /// Ends it; what was recorded comes by `ended`.
    pub(crate) fn stop(&self) {
        // It may have ended by itself; then what was recorded is on its way already.
        drop(self.recorder.stop());
    }

    /// How loud it is now, 0 to 100; nothing where the browser cannot say.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the value is held between 0 and 100"
    )]
    pub(crate) fn level(&self) -> Option<u32> {
        let (_, analyser) = self.hearing.as_ref()?;
        let mut wave = [0_f32; 1024];
        analyser.get_float_time_domain_data(&mut wave);
        let peak = wave.iter().fold(0_f32, |peak, at| peak.max(at.abs()));
        // The square root shows speech at an arm's length in the middle.
        Some((peak.sqrt() * 100.0).clamp(0.0, 100.0) as u32)
    }
}

fn function(closure: &Closure<dyn FnMut(JsValue)>) -> Option<&Function> {
    Some(closure.as_ref().unchecked_ref())
}

/// Listens along, to show a level; a browser that cannot records all the same.
fn hear(stream: &Stream) -> Option<(AudioContext, AnalyserNode)> {
    let context = AudioContext::new().ok()?;
    let analyser = context.create_analyser().ok()?;
    analyser.set_fft_size(1024);
    let source = context.create_media_stream_source(&stream.0).ok()?;
    source.connect_with_audio_node(&analyser).ok()?;
    Some((context, analyser))
}
