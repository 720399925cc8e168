//! Words said aloud: recorded, listened to, and kept like a photograph.

use std::cell::RefCell;
use std::rc::Rc;

use garboard_protocol::{Ask, EntryView, KeepSound};
use gloo::timers::callback::Interval;
use yew::{
    AttrValue, Callback, Html, UseForceUpdateHandle, UseStateHandle, component, html,
    use_effect_with, use_force_update, use_mut_ref,
};

use super::add::leave;
use super::shell::{PageProps, going};
use crate::browser::file::{Address, Files};
use crate::browser::media::{NoMedia, can_ask};
use crate::browser::sound::Recording;
use crate::browser::{device, event, locale};
use crate::hooks::Desk;
use crate::state::{Action, Route};

/// So often, in milliseconds, the running time and the level are drawn anew.
const BEAT: u32 = 100;

/// An hour is a long note; the browser holds it in memory until it is kept.
const MOST_MILLIS: i64 = 60 * 60 * 1000;

/// How far a note has come.
#[derive(Default)]
enum Stage {
    /// Nothing is recorded.
    #[default]
    Ready,
    /// The browser asks for the microphone.
    Asking,
    /// It is being recorded, since this time.
    Running(Recording, i64),
    /// It was ended, and what was recorded is on its way.
    Ending {
        /// It speaks once more, and lives until then.
        _recording: Recording,
        /// How long it was.
        millis: i64,
    },
    /// It can be listened to and kept: the sound, its address, and how long it is where that is known.
    Heard(Files, Option<Address>, Option<i64>),
}

#[derive(Default)]
struct Note {
    stage: Stage,
    trouble: Option<NoMedia>,
    /// Whether the screen was left: what is heard from then on is kept at once.
    is_left: bool,
}

#[derive(Clone)]
struct Mouth {
    desk: Desk,
    note: Rc<RefCell<Note>>,
    redraw: UseForceUpdateHandle,
}

/// Say it.
#[component]
pub(crate) fn Say(props: &PageProps) -> Html {
    let note = use_mut_ref(Note::default);
    let mouth = Mouth {
        desk: props.desk.clone(),
        note: Rc::clone(&note),
        redraw: use_force_update(),
    };
    let is_running = matches!(note.borrow().stage, Stage::Running(..));
    {
        let mouth = mouth.clone();
        use_effect_with(is_running, move |is_running| {
            let beat = is_running.then(|| Interval::new(BEAT, move || mouth.beat()));
            move || drop(beat)
        });
    }
    {
        // What was said is not lost when the screen is left, or the page goes out of sight and may be ended there.
        let mouth = mouth.clone();
        use_effect_with((), move |()| {
            let unseen = mouth.clone();
            let sight = device::on_sight(Callback::from(move |is_seen: bool| {
                if !is_seen {
                    unseen.keep_unasked();
                }
            }));
            move || {
                drop(sight);
                mouth.note.borrow_mut().is_left = true;
                mouth.stop();
                mouth.keep_unasked();
            }
        });
    }
    let note = note.borrow();
    html! {
        <section class="sheet">
            <div class="sheet-head"><h1>{ "Say it" }</h1>{ leave(&props.desk) }</div>
            <div class="sheet-body">{ body(&note) }</div>
            <div class="sheet-foot">{ foot(&mouth, &note) }</div>
        </section>
    }
}

fn body(note: &Note) -> Html {
    match &note.stage {
        Stage::Ready | Stage::Asking => html! { <>
            <p class="lead">{ "Say what you see. It is kept as a sound, at the place above, and can be written out later, at home." }</p>
            if let Some(trouble) = &note.trouble {
                <div class="notice" role="alert">
                    <p><strong>{ trouble.words("microphone") }</strong></p>
                    <p>{ "Nothing was recorded, and nothing is lost. Write it instead, or record it with the phone’s own recorder and pick its file here." }</p>
                </div>
            }
        </> },
        Stage::Running(recording, since) => {
            let level = recording.level();
            html! { <>
                <p class="reading-shown"><span role="timer">{ length_words(locale::now_millis() - since) }</span><small role="status">{ "Recording" }</small></p>
                if let Some(level) = level {
                    <svg class="level" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true"><rect class="level-all" width="100" height="10" /><rect class="level-now" width={level.to_string()} height="10" /></svg>
                    <p class="small soft">{ "The bar moves with your voice. If it does not, come nearer." }</p>
                }
            </> }
        }
        Stage::Ending { .. } => html! { <p role="status">{ "One moment…" }</p> },
        Stage::Heard(_, address, millis) => html! { <>
            <p class="reading-shown">{ millis.map_or_else(|| "A sound file".to_owned(), length_words) }<small role="status">{ "Not kept yet" }</small></p>
            if let Some(address) = address { <audio class="sound" controls=true src={address.text().to_owned()} aria-label="What was recorded" /> }
            <p class="small soft">{ if millis.is_some() { "Listen to it first, if you like. Leaving keeps it too: nothing that was said is lost." } else { "Listen to it first, if you like." } }</p>
        </> },
    }
}

fn foot(mouth: &Mouth, note: &Note) -> Html {
    let key = |words: &'static str, class: &'static str, act: fn(&Mouth)| {
        let mouth = mouth.clone();
        html! { <button type="button" {class} onclick={Callback::from(move |_| act(&mouth))}>{ words }</button> }
    };
    let picked = {
        let mouth = mouth.clone();
        event::picked(Callback::from(move |files: Files| mouth.heard(files, None)))
    };
    match &note.stage {
        Stage::Ready => html! { <>
            if can_ask() { { key("Record", "key main-key tall", Mouth::start) } }
            <div class="rowed">
                <label class="key">{ "Pick a sound file" }<input type="file" accept="audio/*" onchange={picked} /></label>
                <button type="button" class="key" onclick={going(&mouth.desk, Route::Write)}>{ "Write instead" }</button>
            </div>
            if !can_ask() { <p class="small">{ NoMedia::Unable.words("microphone") }</p> }
        </> },
        Stage::Asking => {
            html! { <p role="status">{ "The browser asks whether it may use the microphone…" }</p> }
        }
        Stage::Running(..) => key("Stop", "key main-key tall", Mouth::stop),
        Stage::Ending { .. } => Html::default(),
        Stage::Heard(..) => html! { <>
            { key("Keep it", "key main-key tall", Mouth::keep) }
            <div class="rowed">{ key("Record again", "key", Mouth::again) }</div>
        </> },
    }
}

impl Mouth {
    fn beat(&self) {
        let has_run_long = match &self.note.borrow().stage {
            Stage::Running(_, since) => locale::now_millis() - since > MOST_MILLIS,
            _ => false,
        };
        if has_run_long {
            self.stop();
        }
        self.redraw.force_update();
    }

    fn start(&self) {
        {
            let mut note = self.note.borrow_mut();
            note.trouble = None;
            note.stage = Stage::Asking;
        }
        self.redraw.force_update();
        let mouth = self.clone();
        let ended = {
            let mouth = self.clone();
            Callback::from(move |files: Files| mouth.ended(files))
        };
        let part = {
            let desk = self.desk.clone();
            // A second that cannot be kept is still in the page; the whole is kept at the end, and that is told.
            Callback::from(move |(is_first, files): (bool, Files)| {
                desk.ask(Ask::SoundPart { is_first }, &files, |_| ());
            })
        };
        wasm_bindgen_futures::spawn_local(async move {
            let started = Recording::start(ended, part).await;
            let mut note = mouth.note.borrow_mut();
            // Whoever has left meanwhile is not recorded.
            if matches!(note.stage, Stage::Asking) && !note.is_left {
                match started {
                    Ok(recording) => {
                        note.stage = Stage::Running(recording, locale::now_millis());
                    }
                    Err(trouble) => {
                        note.stage = Stage::Ready;
                        note.trouble = Some(trouble);
                    }
                }
                drop(note);
                mouth.redraw.force_update();
            }
        });
    }

    fn stop(&self) {
        {
            let mut note = self.note.borrow_mut();
            note.stage = match std::mem::take(&mut note.stage) {
                Stage::Running(recording, since) => {
                    recording.stop();
                    Stage::Ending {
                        _recording: recording,
                        millis: locale::now_millis() - since,
                    }
                }
                other => other,
            };
        }
        self.redraw.force_update();
    }

    /// The recorder has ended, by a touch or by the browser's will.
    fn ended(&self, files: Files) {
        let millis = match &self.note.borrow().stage {
            Stage::Running(_, since) => locale::now_millis() - since,
            Stage::Ending { millis, .. } => *millis,
            _ => return,
        };
        self.heard(files, Some(millis));
    }

    fn heard(&self, files: Files, millis: Option<i64>) {
        let address = files.address();
        // The recorder that calls this is dropped with the stage, and only after it has called.
        let old = std::mem::replace(
            &mut self.note.borrow_mut().stage,
            Stage::Heard(files, address, millis),
        );
        gloo::timers::callback::Timeout::new(0, move || drop(old)).forget();
        if self.note.borrow().is_left || device::is_hidden() {
            self.keep_unasked();
        }
        self.redraw.force_update();
    }

    fn again(&self) {
        self.note.borrow_mut().stage = Stage::Ready;
        self.start();
    }

    fn keep(&self) {
        if self.hand_over(Callback::noop()) {
            self.desk.go(&Route::Log);
        }
    }

    /// Keeps what was recorded though nobody said so, and says how it is taken back. A picked file is safe where it is.
    fn keep_unasked(&self) {
        if !matches!(self.note.borrow().stage, Stage::Heard(_, _, Some(_))) {
            return;
        }
        let desk = self.desk.clone();
        self.hand_over(Callback::from(move |entries: Vec<String>| {
            desk.dispatch(Action::Notice {
                lead: "The sound note was kept".to_owned(),
                rest: "Nothing that was said is lost. If it is not wanted, strike it on its page."
                    .to_owned(),
                entry: entries.first().cloned(),
                is_passing: true,
            });
        }));
        self.redraw.force_update();
    }

    /// What can be listened to goes into the log; whether there was anything.
    fn hand_over(&self, then: Callback<Vec<String>>) -> bool {
        let (files, millis) = {
            let mut note = self.note.borrow_mut();
            match std::mem::take(&mut note.stage) {
                Stage::Heard(files, _, millis) => (files, millis),
                other => {
                    note.stage = other;
                    return false;
                }
            }
        };
        let ask = Ask::KeepSound(KeepSound {
            secs: millis.map(secs_text).unwrap_or_default(),
            ..KeepSound::default()
        });
        self.desk.capture("A sound note", ask, &files, then);
        true
    }
}

/// `1:05`.
fn length_words(millis: impl std::borrow::Borrow<i64>) -> String {
    let secs = millis.borrow().max(&0) / 1000;
    format!("{}:{:02}", secs / 60, secs % 60)
}

/// Seconds with one digit after the point, as the log keeps them.
fn secs_text(millis: i64) -> String {
    let tenths = millis.max(0) / 100;
    format!("{}.{}", tenths / 10, tenths % 10)
}

/// A sound note on its own page: the player, and what was said where it is written out.
pub(super) fn player(
    desk: &Desk,
    view: &EntryView,
    url: Option<String>,
    amending: &UseStateHandle<Option<AttrValue>>,
) -> Html {
    let Some(sound) = &view.sound else {
        return Html::default();
    };
    let has_words = view.values.iter().any(|value| value.field == "words");
    let write_out = (!has_words
        && desk.state.can_write()
        && amending.as_ref().is_none_or(|field| field != "words"))
    .then(|| {
        let amending = amending.clone();
        Callback::from(move |_: yew::MouseEvent| amending.set(Some("words".into())))
    });
    html! {
        <section class="part stack">
            if sound.is_withdrawn {
                <p>{ "The sound was withdrawn. That it was there, and its SHA-256, stay in the log." }</p>
            } else if let Some(url) = url {
                <audio class="sound" controls=true preload="metadata" src={url} aria-label={view.title.clone()} />
            } else if sound.is_here {
                <p role="status">{ "Reading…" }</p>
            } else {
                <p>{ "The sound is on another device: a parcel with originals brings it." }</p>
            }
            if !has_words { <p class="soft">{ "What was said is not written out yet. A buyer reads paper: write it down when there is time." }</p> }
            if let Some(onclick) = write_out { <div><button type="button" class="key" {onclick}>{ "Write out what was said" }</button></div> }
        </section>
    }
}

#[cfg(test)]
mod tests {
    use super::{length_words, secs_text};

    #[test]
    fn lengths_are_shown_by_the_minute_and_kept_by_the_tenth_of_a_second() {
        assert_eq!(length_words(65_400), "1:05");
        assert_eq!(length_words(-3), "0:00");
        assert_eq!(secs_text(65_480), "65.4");
        assert_eq!(secs_text(90), "0.0");
    }
}
