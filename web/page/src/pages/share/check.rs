//! A check: does every byte agree with its digest?

use garboard_protocol::{Answer, Ask, Checked};
use yew::{Callback, Html, component, html};

use super::{Long, far, use_long};
use crate::browser::{event, file::Files};
use crate::components::{TroubleBoxProps, each, trouble_box};
use crate::pages::part::{capital, counted};
use crate::pages::shell::PageProps;

/// Checks this log, or a parcel.
#[component]
pub(super) fn Check(props: &PageProps) -> Html {
    let desk = &props.desk;
    let work = use_long::<Checked>();
    let check = {
        let (desk, work) = (desk.clone(), work.clone());
        Callback::from(move |files: Files| {
            let done = work.clone();
            let number = desk.ask(Ask::Check, &files, move |outcome| match outcome {
                Ok((Answer::Checked(checked), _)) => done.set(Long::Done(checked)),
                Ok(_) => done.set(Long::Idle),
                Err(trouble) => done.set(Long::Failed(trouble)),
            });
            work.set(Long::Busy(number));
        })
    };
    html! {
        <section class="part stack">
            <h2>{ "Check" }</h2>
            <p>{ "Reads every statement and every picture again and compares them with their digests. It finds what was altered or cut short; it cannot tell whether what was written is true." }</p>
            <p class="small soft">{ "A page or a paper that came without its bag is checked by the seal at its end; choose its bag together with it, and it is looked for among the bag’s files." }</p>
            { far(desk, work.number(), "Checking") }
            if let Some(trouble) = work.trouble() { { trouble_box(&TroubleBoxProps { trouble: trouble.clone() }) } }
            if let Long::Done(checked) = &*work {
                <div class="notice" role="status">
                    <p><strong>{ if checked.is_intact { "All of it is intact." } else { "Something is altered, cut short or missing." } }</strong></p>
                    <p>{ format!("{} and {} agree with their digests. {}", counted(checked.n_statements, "statement", "statements"), counted(checked.n_pictures, "file", "files"), checked.says) }</p>
                    { each(&checked.remarks, &|remark| html! { <p class="small">{ format!("{}.", capital(remark)) }</p> }) }
                    { each(&checked.faults, &|fault| html! { <p>{ fault.clone() }</p> }) }
                </div>
            }
            if work.number().is_none() {
                <div class="rowed">
                    <button type="button" class="key" onclick={check.reform(|_| Files::default())}>{ "Check this log" }</button>
                    <label class="key">{ "Check a parcel, a bag or a history" }<input type="file" multiple=true onchange={event::picked(check)} /></label>
                </div>
            }
        </section>
    }
}
