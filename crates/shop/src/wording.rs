//! What is said to the customer, by rule: which block of text an estimate carries, filled with its numbers.
//!
//! Blocks have a version, and the shop writes its own in place of those that it starts with, with name and day. They
//! are text, not law: whoever knows the law of the place reads them over.

use catalog::Slot;
use fit::{Finding, Plan, Verdict};
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
    ("leave", &["keeps"], "You can leave it as it is. {keeps}"),
];

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
    /// [`TextError`] for a key that no rule says, a name that the rule does not fill, or a version that is not higher.
    pub fn edit(&mut self, block: TextBlock) -> Result<(), TextError> {
        let Some(known) = blanks(&block.id) else { return Err(TextError::Unknown(block.id)) };
        if let Some(found) = names(&block.text).find(|name| !known.contains(name)) {
            let found = found.to_owned();
            return Err(TextError::Blank { id: block.id, found, known: known.to_vec() });
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

/// What is said of a plan: which blocks, by its findings and its parts.
pub(crate) fn of_plan(plan: &Plan, blocks: &TextBlocks) -> Vec<Said> {
    let mut said = Vec::new();
    let mut say = |id: &str, with: &[(&str, &str)]| said.extend(blocks.say(id, with));
    let of = |verdict: Verdict| plan.findings.iter().filter(move |finding| finding.verdict == verdict);
    let open = plan.to_measure.len();
    if of(Verdict::Measure).next().is_some() {
        let count = if open == 1 { "one thing".to_owned() } else { format!("{open} things") };
        say("provisional", &[("count", &count)]);
    } else if of(Verdict::Marginal).next().is_none() {
        say("fits", &[]);
    }
    let marginal: Vec<&str> = of(Verdict::Marginal).map(|finding| finding.rule.title).collect();
    if !marginal.is_empty() {
        say("amber", &[("names", &marginal.join(" "))]);
    }
    let rule = |id: &str| plan.findings.iter().find(|finding| finding.rule.id == id);
    if rule("index").is_some_and(|finding| finding.verdict == Verdict::Marginal) {
        say("families", &[]);
    }
    let number = |finding: &Finding, name: &str| finding.number(name).map(fit::words::number_words);
    // The old chain stays, or was exchanged as its own remedy.
    if let Some(worn) = rule("chain-wear").filter(|finding| finding.verdict >= Verdict::Remedy)
        && let (Some(worn), Some(allowed)) = (number(worn, "worn"), number(worn, "allowed"))
    {
        say("wear", &[("worn", &worn), ("allowed", &allowed)]);
    }
    if let Some(wish) = rule("wish-lowest-gear")
        && let Some(easier) = wish.number("easier").filter(|easier| easier.value > 0.0)
    {
        let id = if wish.verdict == Verdict::Works { "gain" } else { "small-gain" };
        say(id, &[("percent", &fit::words::number_words(easier))]);
    }
    let mut places = Vec::new();
    if plan.build.before.has(Slot::Tape) || plan.build.changes(Slot::Tape) {
        places.push("under the tape");
    }
    if plan.build.changes(Slot::BottomBracket) {
        places.push("inside the shell");
    }
    if !places.is_empty() {
        say("hidden", &[("places", &places.join(" and "))]);
    }
    said
}
