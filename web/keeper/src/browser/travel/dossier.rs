//! Making the dossier.

use std::rc::Rc;

use garboard_protocol::{DossierOptions, Trouble, TroubleKind};

use crate::browser::post::Reply;
use crate::browser::run::Keeper;

impl Keeper {
    pub(in crate::browser) async fn make_dossier(
        self: &Rc<Self>,
        _number: u32,
        _options: &DossierOptions,
    ) -> Result<Reply, Trouble> {
        Err(Trouble::new(
            TroubleKind::Unable,
            "This part of the keeper is not there yet.",
            "Nothing was changed.",
            "Use the command line for it meanwhile.",
        ))
    }
}
