//! What a browser asks: who, where, with which fields. Begin with [`Ask`].

use crate::act::{Tap, new_key};
use crate::clock;
use crate::failure::{Failure, FieldFault};
use crate::house::House;
use crate::who::Who;
use shop::{EntryKey, Event, Moment};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A request, read and let in.
pub(crate) struct Ask {
    /// The house.
    pub(crate) house: Arc<House>,
    /// Who is signed in.
    pub(crate) who: Option<Who>,
    /// Names in the path.
    pub(crate) path: Fields,
    /// Fields after the question mark.
    pub(crate) query: Fields,
    /// Fields of the form.
    pub(crate) form: Fields,
    /// Files of the form, by the name of their field.
    pub(crate) files: BTreeMap<String, Vec<u8>>,
    /// The body as it came, where it is no form.
    pub(crate) body: Vec<u8>,
    /// The media type of the body.
    pub(crate) media_type: String,
    /// The address of the network that it came from.
    pub(crate) peer: String,
    /// The page that asked, for the way back.
    pub(crate) uri: String,
    /// The host and port that the browser went to, if they are such.
    pub(crate) host: Option<String>,
    /// The cookies.
    pub(crate) cookies: Fields,
}

impl Ask {
    /// Who is signed in.
    ///
    /// # Errors
    /// [`Failure::SignIn`] if nobody is.
    pub(crate) fn who(&self) -> Result<&Who, Failure> {
        self.who.as_ref().ok_or(Failure::SignIn)
    }

    /// A name in the path.
    pub(crate) fn named(&self, name: &str) -> &str {
        self.path.text(name)
    }

    /// A tap of the form: with the key that the page was made with, so that a form sent twice is one tap.
    pub(crate) fn tap(&self, event: Event) -> Tap {
        let key = uuid::Uuid::parse_str(self.form.text("key"));
        let key = key.map_or_else(|_| new_key(), |key| EntryKey(key.as_u128()));
        Tap { key, at: clock::now(), event }
    }

    /// The version that the page was made from.
    pub(crate) fn seen(&self) -> Option<usize> {
        self.form.text("seen").parse().ok()
    }

    /// Where pages are reached: as whoever started the server said, or else as this browser reached it.
    pub(crate) fn reached_at(&self) -> Option<String> {
        self.house.address.clone().or_else(|| {
            let scheme = if self.house.secure { "https" } else { "http" };
            self.host.as_ref().map(|host| format!("{scheme}://{host}"))
        })
    }

    /// Refuses what costs if the address asks too often.
    pub(crate) fn costs(&self) -> Result<(), Failure> {
        let now = clock::now();
        if self.house.rate.allows(&self.peer, now) { Ok(()) } else { Err(Failure::Wait { seconds: 5 }) }
    }

    /// Now.
    pub(crate) fn now(&self) -> Moment {
        clock::now()
    }
}

/// Fields with their texts; of a name that comes several times, all of them.
#[derive(Clone, Debug, Default)]
pub(crate) struct Fields(BTreeMap<String, Vec<String>>);

/// Most letters of a field.
const MOST_LETTERS: usize = 4_000;

impl Fields {
    /// The text of a field, without blanks at its ends; empty if it is not there.
    pub(crate) fn text(&self, name: &str) -> &str {
        self.0.get(name).and_then(|all| all.first()).map_or("", |text| text.trim())
    }

    /// All texts of a field.
    pub(crate) fn all(&self, name: &str) -> &[String] {
        self.0.get(name).map_or(&[], Vec::as_slice)
    }

    /// Whether a box was ticked.
    pub(crate) fn has(&self, name: &str) -> bool {
        self.0.contains_key(name)
    }

    /// A text that has to say something.
    ///
    /// # Errors
    /// [`Failure::Fields`] if it is empty or too long.
    pub(crate) fn said(&self, name: &str, field: &str) -> Result<String, Failure> {
        let text = self.text(name);
        match text.chars().count() {
            0 => Err(FieldFault::one(field, "", "something is wanted here")),
            1..=MOST_LETTERS => Ok(text.to_owned()),
            more => Err(FieldFault::one(
                field,
                &format!("{more} letters"),
                format!("at most {MOST_LETTERS} are taken"),
            )),
        }
    }

    /// A text that may be empty.
    pub(crate) fn said_or_none(&self, name: &str, field: &str) -> Result<Option<String>, Failure> {
        if self.text(name).is_empty() { Ok(None) } else { self.said(name, field).map(Some) }
    }

    /// A number that may be empty.
    ///
    /// # Errors
    /// [`Failure::Fields`] if it is no number or outside the range.
    pub(crate) fn whole(
        &self,
        name: &str,
        field: &str,
        range: std::ops::RangeInclusive<i64>,
    ) -> Result<Option<i64>, Failure> {
        let text = self.text(name);
        if text.is_empty() {
            return Ok(None);
        }
        let wanted = || format!("a whole number from {} to {} is wanted", range.start(), range.end());
        match text.parse::<i64>() {
            Ok(number) if range.contains(&number) => Ok(Some(number)),
            _ => Err(FieldFault::one(field, text, wanted())),
        }
    }
}

impl FromIterator<(String, String)> for Fields {
    fn from_iter<T: IntoIterator<Item = (String, String)>>(all: T) -> Self {
        let mut fields: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for (name, text) in all {
            fields.entry(name).or_default().push(text);
        }
        Self(fields)
    }
}
