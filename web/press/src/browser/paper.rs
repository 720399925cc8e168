//! The dossier on paper, and the bag that it leaves in.

use garboard_dossier::handover::Holds;
use garboard_dossier::{
    Options, Outline, Paper, Pdf, handover, ledgers, pdf, short_pdf, volumes, write_html,
};
use garboard_key::{Secret, Signer};
use garboard_parcel::bag::Bag;
use garboard_protocol::{DossierForm, PressAnswer, PressAsk, Sheet};
use garboard_record::{Digest, Snapshot};

use super::file::{Blob, BlobWriter};
use super::{Pictures, chosen, doing, note, printed, refused, said, signing};

/// What a bag names as its maker.
const AGENT: &str = concat!("Garboard ", env!("CARGO_PKG_VERSION"));
/// Sets a dossier on paper and packs bags; it does nothing else.
pub async fn paper(asked: PressAsk, files: Vec<Blob>) -> (PressAnswer, Vec<Blob>) {
    if let PressAsk::Key { secret } = asked {
        let key = Secret::of(secret).key().to_string();
        return (PressAnswer::Key(key), Vec::new());
    }
    let PressAsk::Print {
        statements,
        options,
        day,
        pictures,
        chunks,
        signer,
    } = asked
    else {
        note("this press only sets dossiers on paper");
        return (refused("it was asked of the wrong press"), Vec::new());
    };
    let snapshot = Snapshot::of(statements);
    let signer = signing(&snapshot, signer);
    let mut chosen = match chosen(&options, &day) {
        Ok(chosen) => chosen,
        Err(trouble) => return (PressAnswer::Refused(trouble), Vec::new()),
    };
    chosen.key = signer.as_ref().map(|signer| signer.secret.key().spoken());
    let (sheet, is_bag) = match options.form {
        DossierForm::Paper(sheet) | DossierForm::Short(sheet) => (sheet, false),
        DossierForm::Bag(sheet) => (sheet, true),
        DossierForm::Page => (Sheet::A4, false),
        DossierForm::Ledgers => {
            return match ledgers_alone(&snapshot, &chosen, &day) {
                Ok(packed) => printed(packed.finish("application/zip"), 0, Vec::new()),
                Err(error) => (refused(&error.to_string()), Vec::new()),
            };
        }
    };
    let mut pictures = Pictures::new(pictures, files);
    let outline = match said(&snapshot, &chosen, &mut pictures) {
        Ok(outline) => outline,
        Err(trouble) => return (PressAnswer::Refused(trouble), Vec::new()),
    };
    let mut remarks = Vec::new();
    let is_short = matches!(options.form, DossierForm::Short(_));
    let set = on_paper(&outline, sheet, is_short, &day, &mut pictures, &mut remarks);
    let papers = match set {
        Err(error) => return (refused(&error), Vec::new()),
        Ok(papers) => papers,
    };
    if is_bag {
        let packed = bag(
            &snapshot,
            &outline,
            &chosen,
            &day,
            &papers,
            &chunks,
            signer.as_ref(),
            &pictures,
            &mut remarks,
        );
        return match packed {
            Ok(packed) => printed(
                packed.finish("application/zip"),
                pictures.n_missing,
                remarks,
            ),
            Err(error) => (refused(&error.to_string()), Vec::new()),
        };
    }
    let mut files = Vec::new();
    for paper in &papers {
        let mut to = BlobWriter::default();
        let written = paper.write(|digest| pictures.again(digest), &mut to);
        match written.and_then(|()| to.finish("application/pdf")) {
            Ok(file) => files.push(file),
            Err(error) => return (refused(&error.to_string()), Vec::new()),
        }
    }
    let n_missing = pictures.n_missing;
    (PressAnswer::Printed { n_missing, remarks }, files)
}

fn ledgers_alone(
    snapshot: &Snapshot,
    options: &Options,
    day: &str,
) -> Result<BlobWriter, garboard_parcel::Error> {
    let folder = handover::folder_name(snapshot, Holds::Ledgers, day);
    let mut bag = Bag::begin(BlobWriter::default(), &folder);
    for file in ledgers(snapshot, options) {
        bag.put(file.name, file.bytes.as_slice())?;
    }
    let info = handover::info(snapshot, options, Holds::Ledgers, day, AGENT);
    bag.finish(&info)
}

fn on_paper(
    outline: &Outline,
    sheet: Sheet,
    is_short: bool,
    day: &str,
    pictures: &mut Pictures,
    remarks: &mut Vec<String>,
) -> Result<Vec<Pdf>, String> {
    let paper = match sheet {
        Sheet::A4 => Paper::A4,
        Sheet::Letter => Paper::Letter,
    };
    let volumes = if is_short {
        vec![outline.clone()]
    } else {
        volumes(outline)
    };
    let mut out = Vec::new();
    for volume in &volumes {
        let picture = |digest| pictures.take(digest);
        let made = if is_short {
            short_pdf(volume, paper, day, picture)
        } else {
            pdf(volume, paper, day, picture)
        };
        out.push(made.map_err(|error| error.to_string())?);
    }
    let n_pages: usize = out.iter().map(|made| made.n_pages).sum();
    remarks.push(match out.len() {
        1 => format!("It has {n_pages} pages."),
        n => format!(
            "It has {n_pages} pages in {n} volumes: a phone sets at most a thousand pictures or four thousand lines at once."
        ),
    });
    remarks.extend(
        out.iter()
            .flat_map(|made| &made.unprintable)
            .map(|(at, sign)| {
                format!(
                    "No face has the sign {sign} (U+{:04X}); it is printed by its number, in: {at}",
                    u32::from(*sign)
                )
            }),
    );
    Ok(out)
}

#[expect(
    clippy::too_many_arguments,
    reason = "a bag is made of all of them, and nothing else is"
)]
fn bag(
    snapshot: &Snapshot,
    outline: &Outline,
    options: &Options,
    day: &str,
    papers: &[Pdf],
    chunks: &[(Digest, Vec<u8>)],
    signer: Option<&Signer>,
    pictures: &Pictures,
    remarks: &mut Vec<String>,
) -> Result<BlobWriter, garboard_parcel::Error> {
    let folder = handover::folder_name(snapshot, Holds::History, day);
    let mut bag = Bag::begin(BlobWriter::default(), &folder);
    bag.put_written("history.html", |to| {
        write_html(outline, |digest| pictures.again(digest), to)
    })?;
    for (number, paper) in (1..).zip(papers) {
        let name = volumes::name("history.pdf", number, papers.len());
        bag.put_written(&name, |to| paper.write(|digest| pictures.again(digest), to))?;
    }
    let (handed, fates) = handover::fill(
        snapshot,
        options,
        chunks,
        |digest| pictures.kept(digest),
        |path, bytes| bag.put(path, bytes).map(|_n_bytes| ()),
        |number, of| doing(number as u64, of as u64),
    )?;
    remarks.extend(handover::remarks(&handed, &fates));
    let info = handover::info(snapshot, options, Holds::History, day, AGENT);
    remarks.push(match signer {
        Some(signer) => format!(
            "It is signed with the key {} of this device. Tell the buyer these signs yourself.",
            signer.secret.key().spoken()
        ),
        None => "It is not signed: another tab writes in the log.".to_owned(),
    });
    bag.finish_signed(&info, |manifest| {
        signer.map(|signer| signer.sheet(day, manifest, &handed.digests))
    })
}
