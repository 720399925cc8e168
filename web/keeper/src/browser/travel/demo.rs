//! The demonstration boat: made on this device when it is first asked for.

use std::rc::Rc;

use garboard_log::Log;
use garboard_protocol::{PressAnswer, PressAsk, Trouble};

use crate::browser::chance;
use crate::browser::desk::with_now;
use crate::browser::files;
use crate::browser::post::Reply;
use crate::browser::press::Press;
use crate::browser::run::Keeper;
use crate::browser::store::Batch;
use crate::session::Session;
use crate::trouble;

/// What this device is called in the demonstration's log.
const DEVICE: &str = "this device";

impl Keeper {
    pub(in crate::browser) async fn open_demo(
        self: &Rc<Self>,
        number: u32,
    ) -> Result<Reply, Trouble> {
        let read = |error: crate::browser::Error| error.not_read();
        let kept = self.store.states("log").await.map_err(read)?;
        let known = kept
            .iter()
            .filter_map(|text| serde_json::from_str::<crate::session::Identity>(text).ok())
            .find(|identity| identity.is_demo);
        if let Some(identity) = known {
            return self.open(&identity.log.to_string()).await;
        }
        self.must_write()?;
        self.progress(Some(number), "Drawing the demonstration boat", 0, 0);
        let press = Press::at_work()?;
        let told = match press.ask(&PressAsk::Tell, []).await {
            Some(PressAnswer::Told(Ok(told))) => told,
            Some(PressAnswer::Told(Err(cause))) => {
                return Err(trouble::fault(&format!(
                    "the demonstration cannot be told ({cause})"
                )));
            }
            _ => return Err(trouble::no_press()),
        };
        drop(press);
        if self.is_stopped(number).await {
            return Err(trouble::stopped());
        }
        let name = told.log.to_string();
        let mut batch = Batch::default();
        let mut log = Log::new(chance::random::<16>());
        for (_, statements) in &told.writers {
            let chunk = log
                .append_all(statements.iter().map(|(id, text)| (*id, text.as_str())))
                .map_err(|error| trouble::fault(&error.to_string()))?;
            batch.chunk(&name, &chunk.name.to_string(), &chunk.bytes);
        }
        let mut pictures = Vec::new();
        for (digest, media_type, bytes) in &told.pictures {
            let digest = *digest;
            let blob = files::blob(bytes, media_type).map_err(|error| error.not_saved())?;
            batch.picture(&name, &digest.to_string(), &blob);
            pictures.push(digest);
        }
        let hand = told
            .writers
            .first()
            .map_or("you", |(hand, _)| hand.as_str());
        let (mut session, chunk) = with_now(|now| Session::join(log, hand, DEVICE, None, now))?;
        batch.chunk(&name, &chunk.name.to_string(), &chunk.bytes);
        session.identity.is_demo = true;
        session.set_pictures(pictures);
        self.adopt(session, batch).await
    }
}
