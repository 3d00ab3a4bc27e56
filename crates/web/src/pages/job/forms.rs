//! What every form of a job carries: a key, so that a form sent twice is one tap, and the version that it was made from.

use crate::act::new_key;
use crate::card::JobCard;
use maud::{Markup, html};

/// A new key.
pub(crate) fn hidden_key() -> Markup {
    let key = uuid::Uuid::from_u128(new_key().0);
    html! { input type="hidden" name="key" value=(key); }
}

/// A form that does one thing to a job and comes back to a page of it.
pub(crate) fn act(card: &JobCard, word: &str, back: &str, fields: Markup) -> Markup {
    act_in(card, word, back, "sheet", fields)
}

/// The same in one line.
pub(crate) fn act_line(card: &JobCard, word: &str, back: &str, fields: Markup) -> Markup {
    act_in(card, word, back, "line", fields)
}

fn act_in(card: &JobCard, word: &str, back: &str, class: &str, fields: Markup) -> Markup {
    let to = format!("/jobs/{}/act", card.number());
    html! {
        form class=(class) method="post" action=(to) hx-post=(to) hx-target="#notice" {
            (hidden_key())
            input type="hidden" name="act" value=(word);
            input type="hidden" name="seen" value=(card.job.version());
            input type="hidden" name="back" value=(format!("/jobs/{}{back}", card.number()));
            (fields)
        }
    }
}
