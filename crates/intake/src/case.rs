//! Case files: a refit with what is expected of its plan, and why the case exists.

use crate::document::{Source, form_of, parse, table_of, unmarked, wrong_form};
use crate::nearest::{nearest, offer, unknown_key};
use crate::plain_value::{name, words};
use crate::problem::{Notes, Problems, Refusal, quoted};
use crate::refit_file::{key_of, refit};
use catalog::{Catalogue, Dimension, Part};
use fit::Refit;
use std::collections::BTreeMap;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Keys of `[expect]`.
const EXPECT_KEYS: &[&str] = &["verdict", "findings", "says", "never_says", "numbers", "adds", "never_asks"];

/// A refit, why it is kept, and what its plan must say.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// The refit.
    pub refit: Refit,
    /// Why the case exists.
    pub why: String,
    /// What is expected.
    pub expect: Expect,
}

/// What the plan of a case must say. What is empty here is not checked.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Expect {
    /// The verdict of the whole.
    pub verdict: Option<String>,
    /// Verdict word by rule.
    pub findings: BTreeMap<String, String>,
    /// Text that the report holds.
    pub says: Vec<String>,
    /// Text that the report does not hold.
    pub never_says: Vec<String>,
    /// Numbers as printed, by their path in the plan, such as `chain.needed_pitches`.
    pub numbers: BTreeMap<String, String>,
    /// Keys of parts that the plan puts on the list by itself.
    pub adds: Vec<String>,
    /// Words of dimensions that the plan does not ask for.
    pub never_asks: Vec<String>,
}

/// Reads a case file: a refit file with `why` and `[expect]`.
///
/// # Errors
/// All [`Problems`] of the file, in its order.
///
/// # Examples
/// ```
/// use intake::{Source, case::read_case};
///
/// let text = "name = 'short body'\nwhy = 'a body of 34.95 mm is too short'\n[expect]\nverdict = 'fails'\n";
/// let case = read_case(Source { name: "short-body.toml", text }, &catalog::Catalogue::default()).unwrap();
/// assert_eq!(case.expect.verdict.as_deref(), Some("fails"));
/// ```
pub fn read_case(source: Source<'_>, catalogue: &Catalogue) -> Result<Case, Problems> {
    let source = unmarked(source);
    let table = parse(source)?;
    let mut notes = Notes::default();
    let refit = refit(&table, catalogue, &mut notes);
    let mut case = Case { refit, why: String::new(), expect: Expect::default() };
    for (key, value) in table.iter() {
        match key.get_ref().as_ref() {
            // What is wrong with `why` itself was noted with the refit.
            "why" => case.why = words("why", value, "").unwrap_or_default(),
            "expect" => case.expect = expect(value, catalogue, &mut notes),
            _ => {}
        }
    }
    for (key, example) in [("why", "why = \"what this case guards\""), ("expect", "[expect]")] {
        if key_of(&table, key).is_none() {
            notes.refuse(
                Refusal::of_file(format!("the case has no `{key}`")).help(format!("write `{example}`")),
            );
        }
    }
    Problems::gathered([(source.name, source.text, notes)]).map_or(Ok(case), Err)
}

fn expect(value: &Spanned<DeValue<'_>>, catalogue: &Catalogue, notes: &mut Notes) -> Expect {
    let mut expect = Expect::default();
    let Some(table) = notes.keep(table_of("expect", value, "[expect]")) else { return expect };
    for (key, value) in table.iter() {
        match key.get_ref().as_ref() {
            "verdict" => expect.verdict = notes.keep(name("verdict", value, "fails")),
            "findings" => expect.findings = pairs("findings", value, "body-length = \"fails\"", notes),
            "numbers" => {
                expect.numbers = pairs("numbers", value, "\"chain.needed_pitches\" = \"108.45\"", notes)
            }
            "says" => expect.says = texts("says", value, notes, |_| Ok(())),
            "never_says" => expect.never_says = texts("never_says", value, notes, |_| Ok(())),
            "adds" => expect.adds = texts("adds", value, notes, |id| known_part(id, catalogue)),
            "never_asks" => expect.never_asks = texts("never_asks", value, notes, known_dimension),
            found => notes.refuse(unknown_key(key.span(), found, "of `[expect]`", EXPECT_KEYS)),
        }
    }
    expect
}

/// A table of texts.
fn pairs(
    key: &str,
    value: &Spanned<DeValue<'_>>,
    example: &str,
    notes: &mut Notes,
) -> BTreeMap<String, String> {
    let mut pairs = BTreeMap::new();
    let Some(table): Option<&DeTable<'_>> = notes.keep(table_of(key, value, &format!("[expect.{key}]")))
    else {
        return pairs;
    };
    for (key, value) in table.iter() {
        let read = match value.get_ref() {
            DeValue::Table(_) => {
                Err(Refusal::at(key.span(), format!("{} is a table; text is wanted", quoted(key.get_ref())))
                    .help(format!("a path with dots stands in quotes, such as `{example}`")))
            }
            DeValue::String(_) => name(key.get_ref(), value, ""),
            other => {
                let what =
                    format!("{} is {}; text in quotes is wanted", quoted(key.get_ref()), form_of(other));
                Err(Refusal::at(value.span(), what)
                    .help(format!("write it as it is printed, such as `{example}`")))
            }
        };
        if let Some(text) = notes.keep(read) {
            pairs.insert(key.get_ref().to_string(), text);
        }
    }
    pairs
}

/// A list of texts, each checked.
fn texts(
    key: &str,
    value: &Spanned<DeValue<'_>>,
    notes: &mut Notes,
    check: impl Fn(&str) -> Result<(), (String, String)>,
) -> Vec<String> {
    let example = format!("{key} = [\"text\"]");
    let DeValue::Array(entries) = value.get_ref() else {
        notes.refuse(wrong_form(key, value, "a list of texts", &example));
        return Vec::new();
    };
    let mut texts = Vec::new();
    for entry in entries.iter() {
        let Some(text) = notes.keep(words(key, entry, "text")) else { continue };
        if text.is_empty() {
            notes.refuse(Refusal::at(entry.span(), format!("an empty text in `{key}` checks nothing")));
        } else if let Err((what, help)) = check(&text) {
            notes.refuse(Refusal::at(entry.span(), what).help(help));
        }
        texts.push(text);
    }
    texts
}

fn known_part(id: &str, catalogue: &Catalogue) -> Result<(), (String, String)> {
    if catalogue.find(id).is_some() || catalogue.small.contains_key(id) {
        return Ok(());
    }
    let small = catalogue.small.keys().map(String::as_str);
    let ids: Vec<&str> = catalogue.parts.iter().filter_map(Part::id).chain(small).collect();
    Err((format!("{} is not in the catalogue", quoted(id)), offer(id, &ids)))
}

fn known_dimension(words: &str) -> Result<(), (String, String)> {
    if Dimension::ALL.iter().any(|dimension| dimension.words() == words) {
        return Ok(());
    }
    let help = match nearest(words, Dimension::ALL.iter().map(|dimension| dimension.words())) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "write the words of a dimension, such as `chainstay length`".to_owned(),
    };
    Err((format!("{} is not what a dimension is called", quoted(words)), help))
}
