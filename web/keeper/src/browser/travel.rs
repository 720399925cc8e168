//! What goes out and comes in as files: parcels, dossiers, the demonstration boat, checks.

use std::rc::Rc;

use garboard_protocol::{DossierOptions, ParcelScope, PictureSize, Trouble, TroubleKind};

use super::files::Blob;
use super::post::Reply;
use super::run::Keeper;

impl Keeper {
    pub(super) async fn open_demo(self: &Rc<Self>, _number: u32) -> Result<Reply, Trouble> {
        Err(unable())
    }
    pub(super) async fn make_parcel(
        self: &Rc<Self>,
        _number: u32,
        _scope: &ParcelScope,
        _pictures: Option<PictureSize>,
    ) -> Result<Reply, Trouble> {
        Err(unable())
    }
    pub(super) async fn take_parcel(
        self: &Rc<Self>,
        _number: u32,
        _hand: &str,
        _device: &str,
        _files: Vec<Blob>,
    ) -> Result<Reply, Trouble> {
        Err(unable())
    }
    pub(super) async fn make_dossier(
        self: &Rc<Self>,
        _number: u32,
        _options: &DossierOptions,
    ) -> Result<Reply, Trouble> {
        Err(unable())
    }
    pub(super) async fn check(
        self: &Rc<Self>,
        _number: u32,
        _files: Vec<Blob>,
    ) -> Result<Reply, Trouble> {
        Err(unable())
    }
}

fn unable() -> Trouble {
    Trouble::new(
        TroubleKind::Unable,
        "This part of the keeper is not there yet.",
        "Nothing was changed.",
        "Use the command line for it meanwhile.",
    )
}
