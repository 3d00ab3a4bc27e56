//! What is said to the customer, by rule: which block of text an estimate carries, filled with its numbers.
//!
//! Blocks have a version, and the shop writes its own in place of those that it starts with, with name and day. They
//! are text, not law: whoever knows the law of the place reads them over.

mod by_rule;

pub(crate) use by_rule::{answered, marginal, of_money, of_plan, plain_cure, short};

use jiff::civil::Date;
use std::collections::BTreeMap;
use std::fmt;

/// A block of text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TextBlock {
    /// The key.
    pub id: String,
    /// The version; an edit raises it.
    pub version: u32,
    /// The text, with `{name}` where a number or word stands.
    pub text: String,
    /// Who wrote it, and when; none for a block that the program brings.
    pub edited: Option<(String, Date)>,
}

/// A block as it was said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// The key.
    pub id: String,
    /// The version.
    pub version: u32,
    /// The text with its numbers.
    pub text: String,
}

/// Why a block was refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TextError {
    /// No rule says a block of this key.
    Unknown(String),
    /// The block names something that its rule does not know.
    Blank {
        /// The key.
        id: String,
        /// The name.
        found: String,
        /// Names that it may use.
        known: Vec<&'static str>,
    },
    /// The block leaves out something that its rule has it say.
    Silent {
        /// The key.
        id: String,
        /// What it does not say.
        lacks: &'static str,
    },
    /// The block has no text.
    Empty(String),
    /// The version is not above the one that it replaces.
    Version {
        /// The key.
        id: String,
        /// What was found.
        found: u32,
        /// The version that stands.
        stands: u32,
    },
}

impl fmt::Display for TextError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown(id) => write!(f, "no rule says a block `{id}`"),
            Self::Blank { id, found, known } if known.is_empty() => {
                write!(f, "the block `{id}` asks for `{{{found}}}`, but it takes no numbers")
            }
            Self::Blank { id, found, known } => {
                write!(f, "the block `{id}` asks for `{{{found}}}`; it knows {}", known.join(", "))
            }
            Self::Silent { id, lacks } => {
                write!(f, "the block `{id}` does not say `{{{lacks}}}`, which the customer has to be told")
            }
            Self::Empty(id) => write!(f, "the block `{id}` has no text"),
            Self::Version { id, found, stands } => {
                write!(f, "the block `{id}` has version {found}, but {stands} stands: an edit raises it")
            }
        }
    }
}

impl std::error::Error for TextError {}

/// Blocks that the program brings: key, names that it fills, text.
const BLOCKS: &[(&str, &[&str], &str)] = &[
    ("fits", &[], "Measured, these parts fit this bike. What we measured stands above."),
    (
        "families",
        &[],
        "That the shifter and this derailleur work together has nobody promised who made them. We set it up on your bike \
         and you try it before you pay for it.",
    ),
    (
        "amber",
        &["names"],
        "Works only just: {names} It stands here so that you agree to it now and do not hear of it afterwards.",
    ),
    (
        "provisional",
        &["count"],
        "This is no offer yet: {count} still to be measured may turn a verdict, and with it the parts and the price.",
    ),
    (
        "settling",
        &[],
        "New cables and housings settle. The look after four to six weeks is in this price; until then a few clicks at the \
         adjuster are to be expected, and the sheet shows which way.",
    ),
    (
        "wear",
        &["worn", "allowed"],
        "The chain has grown by {worn}; on these teeth {allowed} is the limit. Left on, it would wear the new teeth.",
    ),
    (
        "small-gain",
        &["percent"],
        "Your lowest gear becomes {percent} easier. That is hardly felt on a climb; ask us what would be.",
    ),
    ("gain", &["percent"], "Your lowest gear becomes {percent} easier."),
    (
        "hidden",
        &["places"],
        "We could not look {places}. What may be found there, and what it would cost, is listed; if it is, we call first.",
    ),
    (
        "tried",
        &["parts"],
        "Looked at at intake and ruled out: {parts}. That takes its risk out of your price.",
    ),
    ("own-parts", &[], "For parts that you bring we answer for the fitting, not for the part."),
    (
        "money",
        &["expected", "in_mind", "ceiling"],
        "If it goes as we expect: {expected}. Keep {in_mind} in mind: eight of ten such jobs stay below. Above {ceiling} we \
         do not go without your word.",
    ),
    (
        "your-ceiling",
        &["ceiling", "in_mind"],
        "You named {ceiling}. We stop there and ask; {in_mind} would be enough in eight of ten such jobs.",
    ),
    (
        "over-ceiling",
        &["ceiling", "expected"],
        "You named {ceiling}; what you wish comes to {expected} even if all goes well. Nothing is ordered before less is \
         wished or more is named.",
    ),
    (
        "no-answer",
        &[],
        "If something comes up and we do not reach you, the bike is made safe and parked. Silence is never taken for a yes.",
    ),
    (
        "declined",
        &["what", "cure", "harm"],
        "This concerns your safety. We found: {what}. What mends it: {cure}. What it means to leave it: {harm}. I have read \
         this and do not want it mended.",
    ),
    ("leave", &["keeps"], "You can leave it as it is. {keeps}"),
];

/// Blocks of which no two are said of the same estimate: each denies the other.
pub const NEVER_TOGETHER: &[&[&str]] = &[
    &["fits", "amber"],
    &["fits", "provisional"],
    &["fits", "families"],
    &["gain", "small-gain"],
    &["money", "your-ceiling", "over-ceiling"],
];

/// Pairs of blocks that deny each other among those that are said; empty if nothing does.
pub fn contradictions(said: &[Said]) -> Vec<(&'static str, &'static str)> {
    let is_said = |id: &str| said.iter().any(|said| said.id == id);
    let mut pairs = Vec::new();
    for group in NEVER_TOGETHER {
        let met: Vec<&'static str> = group.iter().copied().filter(|id| is_said(id)).collect();
        for (at, one) in met.iter().enumerate() {
            pairs.extend(met[at + 1..].iter().map(|other| (*one, *other)));
        }
    }
    pairs
}

/// The names that a block may use; `None` if no rule says it.
pub fn blanks(id: &str) -> Option<&'static [&'static str]> {
    BLOCKS.iter().find(|(key, _, _)| *key == id).map(|(_, blanks, _)| *blanks)
}

/// Keys of all blocks.
pub fn block_keys() -> impl Iterator<Item = &'static str> {
    BLOCKS.iter().map(|(id, _, _)| *id)
}

/// The blocks of a shop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TextBlocks(BTreeMap<String, TextBlock>);

impl Default for TextBlocks {
    fn default() -> Self {
        let block = |(id, _, text): &(&str, _, &str)| {
            let block =
                TextBlock { id: (*id).to_owned(), version: 1, text: (*text).to_owned(), edited: None };
            ((*id).to_owned(), block)
        };
        Self(BLOCKS.iter().map(block).collect())
    }
}

impl TextBlocks {
    /// The block with this key.
    pub fn get(&self, id: &str) -> Option<&TextBlock> {
        self.0.get(id)
    }

    /// Puts a block of the shop in place of the one that stands.
    ///
    /// # Errors
    /// [`TextError`] for a key that no rule says, a name that the rule does not fill, a number or word that the block has
    /// to say and does not, or a version that is not higher.
    pub fn edit(&mut self, block: TextBlock) -> Result<(), TextError> {
        let Some(known) = blanks(&block.id) else { return Err(TextError::Unknown(block.id)) };
        if let Some(found) = names(&block.text).find(|name| !known.contains(name)) {
            let found = found.to_owned();
            return Err(TextError::Blank { id: block.id, found, known: known.to_vec() });
        }
        if block.text.trim().is_empty() {
            return Err(TextError::Empty(block.id));
        }
        if let Some(lacks) = known.iter().find(|known| !names(&block.text).any(|name| name == **known)) {
            return Err(TextError::Silent { id: block.id, lacks });
        }
        let stands = self.0.get(&block.id).map_or(0, |block| block.version);
        if block.version <= stands {
            return Err(TextError::Version { id: block.id, found: block.version, stands });
        }
        self.0.insert(block.id.clone(), block);
        Ok(())
    }

    /// A block with its numbers.
    pub(crate) fn say(&self, id: &str, with: &[(&str, &str)]) -> Option<Said> {
        let block = self.0.get(id)?;
        let mut text = block.text.clone();
        for (name, value) in with {
            text = text.replace(&format!("{{{name}}}"), value);
        }
        Some(Said { id: block.id.clone(), version: block.version, text })
    }
}

/// The names in braces of a text.
fn names(text: &str) -> impl Iterator<Item = &str> {
    text.split('{').skip(1).filter_map(|rest| rest.split_once('}').map(|(name, _)| name))
}
