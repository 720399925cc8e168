//! The press in the browser: takes one job after another and answers with its work.

mod by_browser;
mod file;
mod paper;
mod parcel;

use std::collections::BTreeMap;
use std::io::Write as _;

use garboard_dossier::handover::digests;
use garboard_dossier::{Exchange, Options, Outline, in_one_frame, outline, preview, write_html};
use garboard_key::{Secret, Signer};
use garboard_photo::Hashed;
use garboard_protocol::{
    DossierOptions, DossierSeen, PressAnswer, PressAsk, Season, SeenPart, Shrunk, SmallBytes,
    Trouble, TroubleKind, decode, encode,
};
use garboard_record::unit::System;
use garboard_record::{Digest, Id, Snapshot};
use js_sys::{Array, Object, Reflect, Uint8Array};
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::spawn_local;

pub use self::file::Blob;
pub use self::paper::paper;

use self::file::{BlobWriter, read, read_now};

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(js_name = postMessage, catch)]
    fn post_to_keeper(message: &JsValue, transfer: &Array) -> Result<(), JsValue>;
    #[wasm_bindgen(js_namespace = console, js_name = error)]
    fn note(words: &str);
}

/// Takes one job, and does it with `work`.
pub fn receive<W>(bytes: &JsValue, files: &JsValue, work: W)
where
    W: AsyncFnOnce(PressAsk, Vec<Blob>) -> (PressAnswer, Vec<Blob>) + 'static,
{
    console_error_panic_hook::set_once();
    let asked = decode::<PressAsk>(&Uint8Array::new(bytes).to_vec());
    let files: Vec<Blob> = Array::from(files)
        .iter()
        .filter_map(|file| file.dyn_into().ok())
        .collect();
    spawn_local(async move {
        let Ok(asked) = asked else {
            return note("the press cannot read what it is asked");
        };
        let (answer, made) = work(asked, files).await;
        say(&answer, &made);
    });
}

/// Tells the keeper.
fn say(answer: &PressAnswer, files: &[Blob]) {
    let Ok(bytes) = encode(answer) else {
        return note("the press cannot write its answer");
    };
    let bytes = Uint8Array::from(bytes.as_slice()).buffer();
    let message = Object::new();
    let files: Array = files.iter().collect();
    let is_said = Reflect::set(&message, &"bytes".into(), &bytes)
        .and_then(|_| Reflect::set(&message, &"files".into(), &files))
        .and_then(|_| post_to_keeper(&message, &Array::of1(&bytes)));
    if is_said.is_err() {
        note("the press cannot send its answer");
    }
}

/// Tells the keeper how far it has come.
fn doing(done: u64, of: u64) {
    say(&PressAnswer::Doing { done, of }, &[]);
}

/// What the press does: all but the dossier on paper.
pub async fn press(asked: PressAsk, files: Vec<Blob>) -> (PressAnswer, Vec<Blob>) {
    let answer = match asked {
        PressAsk::Greet => PressAnswer::Here,
        PressAsk::Shrink => PressAnswer::Shrunk(match files.first() {
            Some(file) => shrink(file).await,
            None => Err("no picture came".to_owned()),
        }),
        PressAsk::Lay { spots } => return lay(&files, &spots).await,
        PressAsk::FindSpots => PressAnswer::Spots(find_spots(&files).await),
        PressAsk::Pack {
            manifest,
            chunks,
            most_bytes,
        } => return parcel::pack(&manifest, chunks, &files, most_bytes),
        PressAsk::Unpack => parcel::unpack(files),
        PressAsk::Verify => parcel::verify(),
        PressAsk::Pictures { digests } => return parcel::pictures(&digests),
        PressAsk::Inspect => parcel::inspect(files),
        PressAsk::Tell => PressAnswer::Told(tell()),
        PressAsk::See {
            statements,
            options,
            day,
            pictures,
        } => PressAnswer::Seen(see(statements, &options, &day, &pictures).map(Box::new)),
        PressAsk::Key { secret } => PressAnswer::Key(Secret::of(secret).key().to_string()),
        PressAsk::Print {
            statements,
            options,
            day,
            pictures,
            signer,
            ..
        } => {
            let mut found = Pictures::new(pictures, files);
            let snapshot = Snapshot::of(statements);
            let signer = signing(&snapshot, signer);
            let mut chosen = match chosen(&options, &day) {
                Ok(chosen) => chosen,
                Err(trouble) => return (PressAnswer::Refused(trouble), Vec::new()),
            };
            chosen.key = signer.as_ref().map(|signer| signer.secret.key().spoken());
            chosen.is_sealed = signer.is_some();
            let said = match said(&snapshot, &chosen, &mut found) {
                Ok(said) => said,
                Err(trouble) => return (PressAnswer::Refused(trouble), Vec::new()),
            };
            let file = page(&snapshot, &said, &day, signer.as_ref(), &mut found);
            let remarks = match &chosen.key {
                Some(key) => vec![format!(
                    "It is sealed with the key {key} of this device. Tell the buyer these signs yourself."
                )],
                None => Vec::new(),
            };
            return printed(file, found.n_missing, remarks);
        }
    };
    (answer, Vec::new())
}

/// Who signs what is handed over.
fn signing(snapshot: &Snapshot, signer: Option<(Id, [u8; 32])>) -> Option<Signer> {
    let ((device, secret), log) = signer.zip(snapshot.log_id())?;
    Some(Signer {
        log,
        device,
        secret: Secret::of(secret),
    })
}

/// The page, with its seal where somebody signs.
fn page(
    snapshot: &Snapshot,
    said: &Outline,
    day: &str,
    signer: Option<&Signer>,
    pictures: &mut Pictures,
) -> std::io::Result<Blob> {
    let mut to = Hashed::new(BlobWriter::default());
    write_html(said, |digest| pictures.take(digest), &mut to)?;
    if let (Some(signer), Ok(page)) = (signer, to.digest().parse()) {
        let digests = digests(snapshot);
        to.write_all(signer.seal(day, page, &digests).as_bytes())?;
    }
    to.into_inner().finish("text/html")
}

/// What goes in, in the dossier's own terms.
fn chosen(options: &DossierOptions, day: &str) -> Result<Options, Trouble> {
    let exchange = Exchange::read(&options.currency, &options.rates);
    Ok(Options {
        hours: options.with_hours,
        costs: options.with_costs,
        positions: options.with_positions,
        struck: options.with_struck,
        names: options.with_names,
        left_places: options
            .without_places
            .iter()
            .filter_map(|id| id.parse().ok())
            .collect(),
        units: System::of(&options.units),
        small_pictures: options.small_pictures,
        exchange: exchange.map_err(|error| no_rate(&error))?,
        made: Some(day.to_owned()),
        key: None,
        is_sealed: false,
    })
}

/// What a dossier says.
fn told(snapshot: &Snapshot, options: &Options) -> Result<Outline, Trouble> {
    let said = outline(snapshot, options);
    if let Some(exchange) = &options.exchange {
        exchange.check(&said).map_err(|error| no_rate(&error))?;
    }
    Ok(said)
}

/// What a dossier says, with its pairs in one frame.
fn said(
    snapshot: &Snapshot,
    options: &Options,
    pictures: &mut Pictures,
) -> Result<Outline, Trouble> {
    let mut said = told(snapshot, options)?;
    pictures.laid = in_one_frame(&mut said, |digest| pictures.kept(digest));
    Ok(said)
}

fn see(
    statements: Vec<(Id, String)>,
    options: &DossierOptions,
    day: &str,
    pictures: &[Digest],
) -> Result<DossierSeen, Trouble> {
    let said = told(&Snapshot::of(statements), &chosen(options, day)?)?;
    let seen = preview(&said, |digest| pictures.contains(&digest));
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let parts = seen.parts.into_iter().map(|part| SeenPart {
        heading: part.heading,
        stories: part.stories,
        n_pictures: count(part.n_pictures),
        n_lines: count(part.n_lines),
    });
    Ok(DossierSeen {
        says: seen.says,
        choices: seen.choices,
        parts: parts.collect(),
        n_pictures: count(seen.n_pictures),
        n_missing: count(seen.n_missing),
    })
}

/// What is wrong with a currency or its rates.
fn no_rate(error: &garboard_dossier::exchange::Error) -> Trouble {
    Trouble::new(
        TroubleKind::Mistake,
        format!("The sums cannot be said so: {error}."),
        "Nothing was made, and the log is as it was.",
        "Write rates like USD 0.92, GBP 1.15 under Currency of sums, or leave both fields blank.",
    )
}

/// The pictures beside a message. They are read when the dossier comes to them, one by one.
struct Pictures {
    digests: Vec<Digest>,
    files: Vec<Blob>,
    /// Pairs in one frame, made for this dossier.
    laid: BTreeMap<Digest, Vec<u8>>,
    n_missing: u32,
}

impl Pictures {
    fn new(digests: Vec<Digest>, files: Vec<Blob>) -> Self {
        Self {
            digests,
            files,
            laid: BTreeMap::new(),
            n_missing: 0,
        }
    }

    fn kept(&self, digest: Digest) -> Option<Vec<u8>> {
        let at = self.digests.iter().position(|one| *one == digest)?;
        read_now(self.files.get(at)?).ok()
    }

    /// A picture that was taken before, once more.
    fn again(&self, digest: Digest) -> Option<Vec<u8>> {
        let laid = self.laid.get(&digest).cloned();
        laid.or_else(|| self.kept(digest))
    }

    fn take(&mut self, digest: Digest) -> Option<Vec<u8>> {
        let bytes = self.again(digest);
        self.n_missing += u32::from(bytes.is_none());
        bytes
    }
}

/// Hands a dossier over.
fn printed(
    file: std::io::Result<Blob>,
    n_missing: u32,
    remarks: Vec<String>,
) -> (PressAnswer, Vec<Blob>) {
    match file {
        Ok(file) => (PressAnswer::Printed { n_missing, remarks }, vec![file]),
        Err(error) => (refused(&error.to_string()), Vec::new()),
    }
}

/// Why there is no dossier.
fn refused(why: &str) -> PressAnswer {
    PressAnswer::Refused(Trouble::new(
        TroubleKind::Fault,
        format!("The dossier could not be made: {why}."),
        "The log and its pictures are as they were.",
        "Leave out what is named, or try another form.",
    ))
}

fn tell() -> Result<Season, String> {
    let told = garboard_demo::told().map_err(|error| error.to_string())?;
    let originals = told
        .originals
        .into_iter()
        .map(|one| (one.digest, "image/png".to_owned(), one.bytes));
    let rendered = told
        .rendered
        .into_iter()
        .map(|one| (one.digest, "image/jpeg".to_owned(), one.bytes));
    Ok(Season {
        log: told.log,
        writers: told
            .writers
            .into_iter()
            .map(|writer| (writer.hand.to_owned(), writer.statements))
            .collect(),
        pictures: originals.chain(rendered).collect(),
    })
}

async fn shrink(file: &Blob) -> Result<Shrunk, String> {
    let bytes = read(file).await?;
    let refused = match garboard_photo::renditions(&bytes) {
        Ok(made) => return Ok(shrunk(made, false)),
        Err(refused) => refused,
    };
    drop(bytes);
    let by_browser = by_browser::png(file)
        .await
        .map_err(|error| format!("{refused}; nor can the browser show it ({error})"))?;
    garboard_photo::renditions(&by_browser)
        .map(|made| shrunk(made, true))
        .map_err(|error| error.to_string())
}

/// The bytes of an earlier and a later picture.
async fn both(files: &[Blob]) -> Result<[Vec<u8>; 2], String> {
    match files {
        [earlier, later] => Ok([read(earlier).await?, read(later).await?]),
        _ => Err("two pictures are needed".to_owned()),
    }
}

async fn lay(files: &[Blob], spots: &[u64]) -> (PressAnswer, Vec<Blob>) {
    let laid = async {
        let [earlier, later] = both(files).await?;
        let made = garboard_photo::frame::laid(&earlier, &later, spots)
            .map_err(|error| error.to_string())?;
        made.pictures
            .iter()
            .map(|one| file::blob(&one.bytes, "image/jpeg").map_err(|error| error.to_string()))
            .collect::<Result<Vec<Blob>, String>>()
    };
    match laid.await {
        Ok(made) => (PressAnswer::Laid(Ok(())), made),
        Err(why) => (PressAnswer::Laid(Err(why)), Vec::new()),
    }
}

/// The same pictures give the same spots: what stands for chance is always the same.
const SEED: u64 = 1;

async fn find_spots(files: &[Blob]) -> Result<Vec<u64>, String> {
    let [earlier, later] = both(files).await?;
    garboard_photo::frame::spots(&earlier, &later, SEED).map_err(|error| error.to_string())
}

fn shrunk(made: garboard_photo::Renditions, is_by_browser: bool) -> Shrunk {
    let small = |made: garboard_photo::Rendition| SmallBytes {
        bytes: made.bytes,
        digest: made.digest,
        width: made.width,
        height: made.height,
    };
    Shrunk {
        view: small(made.view),
        thumbnail: small(made.thumbnail),
        is_by_browser,
    }
}

/// What the browser threw, in words.
fn words(thrown: &JsValue) -> String {
    js_sys::Error::from(thrown.clone()).message().into()
}
