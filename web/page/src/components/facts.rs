//! Values with their labels, ruled.

use yew::{AttrValue, Html, classes, html};

use super::each;

/// One line.
#[derive(Clone, PartialEq)]
pub(crate) struct Fact {
    /// What it is.
    pub(crate) label: AttrValue,
    /// The value.
    pub(crate) shown: Html,
    /// How it is set apart: `supposed`, or blank.
    pub(crate) class: &'static str,
    /// What can be done to it.
    pub(crate) action: Html,
}

impl Fact {
    /// A plain line of words.
    pub(crate) fn plain(label: impl Into<AttrValue>, shown: impl Into<AttrValue>) -> Self {
        Self {
            label: label.into(),
            shown: Html::from(shown.into()),
            class: "",
            action: Html::default(),
        }
    }
}

/// What [`fact_list`] shows.
pub(crate) struct FactsProps {
    /// The lines.
    pub(crate) facts: Vec<Fact>,
}

/// Values with their labels.
pub(crate) fn fact_list(props: &FactsProps) -> Html {
    html! {
        <dl class="facts">
            { each(&props.facts, &|fact| html! {
                <div>
                    <dt>{ fact.label.clone() }</dt>
                    <dd><div class="fact-do"><span class={classes!(fact.class)}>{ fact.shown.clone() }</span>{ fact.action.clone() }</div></dd>
                </div>
            }) }
        </dl>
    }
}
