//! What is done with the camera: opened, let go of, lit, and taken from.

use garboard_protocol::{Ask, Shoot};
use yew::Callback;

use super::{Eye, View};
use crate::browser::camera::Camera as Lens;
use crate::browser::device;
use crate::browser::file::Files;
use crate::browser::media::NoMedia;

impl Eye {
    pub(super) fn change(&self, change: impl FnOnce(&mut View)) {
        change(&mut self.view.borrow_mut());
        self.redraw.force_update();
    }

    pub(super) fn open(&self) {
        let is_open = {
            let view = self.view.borrow();
            view.is_left || view.lens.is_some()
        };
        if is_open {
            return;
        }
        self.change(|view| view.trouble = None);
        let eye = self.clone();
        wasm_bindgen_futures::spawn_local(async move {
            let ended = {
                let eye = eye.clone();
                Callback::from(move |()| {
                    eye.change(|view| {
                        view.lens = None;
                        view.trouble = Some(NoMedia::Busy);
                    });
                })
            };
            let opened = Lens::open(&eye.shown, ended).await;
            if eye.view.borrow().is_left || device::is_hidden() {
                return;
            }
            eye.change(|view| match opened {
                Ok(lens) => {
                    view.lens = Some(lens);
                    view.is_lit = false;
                }
                Err(trouble) => view.trouble = Some(trouble),
            });
        });
    }

    pub(super) fn rest(&self) {
        self.change(|view| {
            view.lens = None;
            view.is_lit = false;
        });
    }

    pub(super) fn light(&self) {
        let (torch, wanted) = {
            let view = self.view.borrow();
            (view.lens.as_ref().and_then(Lens::torch), !view.is_lit)
        };
        let Some(torch) = torch else { return };
        let eye = self.clone();
        wasm_bindgen_futures::spawn_local(async move {
            let lit = Lens::light(torch, wanted).await;
            eye.change(|view| match lit {
                Ok(()) => view.is_lit = wanted,
                Err(error) => view.says = format!("The lamp could not be switched: {}.", error.0),
            });
        });
    }

    /// Takes a picture; the next can be taken at once.
    pub(super) fn take(&self, shoot: Shoot) {
        let shutter = {
            let view = self.view.borrow();
            let Some(lens) = &view.lens else { return };
            let shutter = lens.shutter();
            lens.set_taking(true);
            shutter
        };
        let eye = self.clone();
        wasm_bindgen_futures::spawn_local(async move {
            let taken = shutter.take().await;
            if let Some(lens) = &eye.view.borrow().lens {
                lens.set_taking(false);
            }
            match taken {
                Ok(files) => eye.keep(&files, shoot),
                Err(error) => eye.change(|view| {
                    view.says = format!("No picture was taken: {}. Try again.", error.0);
                }),
            }
        });
    }

    /// What was taken goes into the log.
    pub(super) fn keep(&self, files: &Files, shoot: Shoot) {
        let eye = self.clone();
        let words = if shoot.answers.is_some() {
            "A photograph from the same view"
        } else {
            "A photograph"
        };
        self.change(|view| {
            view.n_taken += 1;
            view.last = files.address();
            view.says.clear();
        });
        self.desk.capture(
            words,
            Ask::Shoot(shoot),
            files,
            Callback::from(move |entries: Vec<String>| {
                eye.change(|view| {
                    view.n_saved += 1;
                    view.last_entry = entries.first().cloned();
                });
            }),
        );
    }
}
