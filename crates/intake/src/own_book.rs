//! The shop's own book: torques and rules of its own, each with name and date.

use crate::document::{Source, parse, table_of, unmarked, wrong_form};
use crate::nearest::{offer, unknown_key};
use crate::own_figure::day;
use crate::own_term::{condition, place};
use crate::part_table::id;
use crate::plain_value::{name, quantity, words};
use crate::problem::{Notes, Problems, Refusal, quoted};
use catalog::Slot;
use fit::{OwnRule, OwnVerdict, RULES};
use quantity::Torque;
use shop::{FASTENERS, Fastener, OwnTorque, TorqueRange};
use std::collections::BTreeSet;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Keys of the file as a whole.
const TOP_KEYS: &[&str] = &["torque", "rule"];
/// Keys of `[[torque]]`.
const TORQUE_KEYS: &[&str] = &["fastener", "value", "by", "on", "why"];
/// Keys of `[[rule]]`.
const RULE_KEYS: &[&str] =
    &["id", "by", "on", "says", "touches", "all", "any", "verdict", "measure", "overrides", "part", "why"];
/// What an own rule may say: never anything that makes a built-in verdict milder.
const VERDICTS: &[&str] = &["caution", "marginal", "measure", "fails"];
/// Newton metres: from the screw of a sensor to a lockring or an axle nut (common practice).
const TORQUE_NM: (f64, f64) = (0.3, 120.0);

type Given<'t, 'a> = &'t Spanned<DeValue<'a>>;

/// The torques and rules of a shop.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OwnBook {
    /// Its torques, in the order of the files.
    pub torques: Vec<OwnTorque>,
    /// Its rules, in the order of the files.
    pub rules: Vec<OwnRule>,
}

/// Reads the shop's own torques and rules from files.
///
/// ```
/// let text = "[[torque]]\nfastener = 'pedals'\nvalue = ['38 N·m', '40 N·m']\nby = 'head of the workshop'\n\
///     on = '2026-11-20'\n\n[[rule]]\nid = 'our-largest-cog'\nby = 'head of the workshop'\non = '2026-11-20'\n\
///     says = 'on an aluminium frame we fit no cog above 32'\ntouches = ['cassette']\nverdict = 'fails'\n\
///     all = [{ of = 'frame.material', is = 'aluminium' },\n\
///            { of = 'cassette.cogs', largest = true, above = 32 }]\n";
/// let book = intake::read_own_book(&[intake::Source { name: "own.toml", text }]).unwrap();
/// assert_eq!(book.torques[0].fastener.0, "pedals");
/// assert_eq!(book.rules[0].says, "on an aluminium frame we fit no cog above 32");
/// ```
///
/// # Errors
/// All [`Problems`] of all files.
pub fn read_own_book(sources: &[Source<'_>]) -> Result<OwnBook, Problems> {
    let mut book = OwnBook::default();
    let mut taken: BTreeSet<String> = BTreeSet::new();
    let mut files = Vec::new();
    for source in sources.iter().map(|source| unmarked(*source)) {
        let table = parse(source)?;
        let mut notes = Notes::default();
        for (key, value) in table.iter() {
            match key.get_ref().as_ref() {
                "torque" => {
                    for entry in entries("torque", value, &mut notes) {
                        let fastener = torque(entry, &mut notes);
                        let Some(own) = fastener else { continue };
                        if book.torques.iter().any(|other| other.fastener == own.fastener) {
                            let what = format!("`{}` has an own torque already", own.fastener);
                            notes.refuse(Refusal::at(entry.span(), what).help("keep one of the two"));
                            continue;
                        }
                        book.torques.push(own);
                    }
                }
                "rule" => {
                    for entry in entries("rule", value, &mut notes) {
                        book.rules.extend(rule(entry, &mut taken, &mut notes));
                    }
                }
                found => notes.refuse(unknown_key(key.span(), found, "of the shop's own book", TOP_KEYS)),
            }
        }
        files.push((source.name, source.text, notes));
    }
    Problems::gathered(files).map_or(Ok(book), Err)
}

fn entries<'t, 'a>(key: &str, value: Given<'t, 'a>, notes: &mut Notes) -> Vec<Given<'t, 'a>> {
    match value.get_ref() {
        DeValue::Array(list) => list.iter().collect(),
        _ => {
            notes.refuse(wrong_form(key, value, "a list of tables", &format!("[[{key}]]")));
            Vec::new()
        }
    }
}

/// One entry, key by key.
struct Entry<'t, 'a, 'n> {
    whole: Given<'t, 'a>,
    table: &'t DeTable<'a>,
    what: &'static str,
    notes: &'n mut Notes,
}

impl<'t, 'a> Entry<'t, 'a, '_> {
    fn get(&self, wanted: &str) -> Option<Given<'t, 'a>> {
        self.table.iter().find(|(key, _)| key.get_ref() == wanted).map(|(_, value)| value)
    }

    /// The value under a key that has to be there.
    fn need(&mut self, key: &str, example: &str) -> Option<Given<'t, 'a>> {
        let found = self.get(key);
        if found.is_none() {
            let what = format!("this own {} has no `{key}`", self.what);
            self.notes
                .refuse(Refusal::at(self.whole.span(), what).help(format!("write `{key} = {example}`")));
        }
        found
    }

    fn only(&mut self, keys: &[&str]) {
        for (key, _) in self.table.iter().filter(|(key, _)| !keys.contains(&key.get_ref().as_ref())) {
            self.notes.refuse(unknown_key(
                key.span(),
                key.get_ref(),
                &format!("of `[[{}]]`", self.what),
                keys,
            ));
        }
    }

    /// Who and when: what nobody stands for is no rule.
    fn signed(&mut self) -> (Option<String>, Option<String>) {
        let by = self
            .need("by", "\"head of the workshop\"")
            .map(|value| name("by", value, "head of the workshop"));
        let by = by.and_then(|read| self.notes.keep(read));
        let on = self.need("on", "\"2026-11-20\"").and_then(|value| self.notes.keep(day(value)));
        (by, on)
    }

    fn why(&mut self) -> Option<String> {
        let why = self.get("why").and_then(|value| self.notes.keep(words("why", value, "two came loose")));
        why.filter(|why| !why.is_empty())
    }
}

fn torque(entry: Given<'_, '_>, notes: &mut Notes) -> Option<OwnTorque> {
    let table = notes.keep(table_of("torque", entry, "[[torque]]"))?;
    let mut entry = Entry { whole: entry, table, what: "torque", notes };
    entry.only(TORQUE_KEYS);
    let fastener = entry.need("fastener", "\"pedals\"").map(fastener);
    let fastener = fastener.and_then(|read| entry.notes.keep(read));
    let range = entry.need("value", "\"40 N·m\"").and_then(|value| entry.notes.keep(range(value)));
    let (by, on) = entry.signed();
    let why = entry.why();
    Some(OwnTorque { fastener: fastener?.id, range: range?, by: by?, on: on?, why })
}

fn fastener(value: Given<'_, '_>) -> Result<&'static Fastener, Refusal> {
    let key = name("fastener", value, "pedals")?;
    FASTENERS.iter().find(|fastener| fastener.id.0 == key).ok_or_else(|| {
        let known: Vec<&str> = FASTENERS.iter().map(|fastener| fastener.id.0).collect();
        Refusal::at(value.span(), format!("{} is not a fastener of the book", quoted(&key)))
            .help(offer(&key, &known))
    })
}

/// One torque, or two: from, to.
fn range(value: Given<'_, '_>) -> Result<TorqueRange, Refusal> {
    let one = |value| quantity::<Torque>("value", value, "40 N·m", TORQUE_NM);
    let DeValue::Array(list) = value.get_ref() else {
        let only = one(value)?;
        return Ok(TorqueRange { least: only, most: only });
    };
    let example = "value = [\"38 N·m\", \"40 N·m\"]";
    let ends: Vec<Torque> = list.iter().map(one).collect::<Result<_, _>>()?;
    match ends.as_slice() {
        [least, most] if least.to_newton_metres() <= most.to_newton_metres() => {
            Ok(TorqueRange { least: *least, most: *most })
        }
        [_, _] => Err(Refusal::at(value.span(), "the first torque is above the second")
            .help(format!("write the lower one first, such as `{example}`"))),
        _ => Err(Refusal::at(
            value.span(),
            format!("`value` has {} torques; one or two are wanted", ends.len()),
        )
        .help(format!("write it such as `{example}`"))),
    }
}

fn rule(entry: Given<'_, '_>, taken: &mut BTreeSet<String>, notes: &mut Notes) -> Option<OwnRule> {
    let table = notes.keep(table_of("rule", entry, "[[rule]]"))?;
    let mut entry = Entry { whole: entry, table, what: "rule", notes };
    entry.only(RULE_KEYS);
    let key = entry.need("id", "\"our-largest-cog\"").and_then(|value| {
        let id = entry.notes.keep(id(value))?;
        let built_in = RULES.iter().any(|rule| rule.id == id);
        if built_in || !taken.insert(id.clone()) {
            let whose = if built_in { "a built-in rule" } else { "another own rule" };
            let what = format!("{} is the key of {whose}", quoted(&id));
            let help = "give this one a key of its own; a built-in rule is overridden with `overrides`";
            entry.notes.refuse(Refusal::at(value.span(), what).help(help));
            return None;
        }
        Some(id)
    });
    let (by, on) = entry.signed();
    let says = entry.need("says", "\"what the rule says, in a sentence\"");
    let says =
        says.and_then(|value| entry.notes.keep(name("says", value, "on a bonded frame no cog above 32")));
    let touches = entry.get("touches").map_or(Some(Vec::new()), |value| slots(value, entry.notes));
    let condition = match (entry.get("all"), entry.get("any")) {
        (Some(_), Some(any)) => {
            let refusal = Refusal::at(any.span(), "a rule has `all` or `any`, not both");
            entry.notes.refuse(refusal.help("make two rules of it"));
            None
        }
        (Some(terms), None) => condition("all", terms, entry.notes),
        (None, Some(terms)) => condition("any", terms, entry.notes),
        (None, None) => {
            entry.need("all", "[{ of = \"cassette.cogs\", largest = true, above = 32 }]");
            None
        }
    };
    let verdict = verdict(&mut entry);
    Some(OwnRule {
        id: key?,
        by: by?,
        on: on?,
        says: says?,
        touches: touches?,
        condition: condition?,
        verdict: verdict?,
    })
}

/// The verdict, or the override in its place.
fn verdict(entry: &mut Entry<'_, '_, '_>) -> Option<OwnVerdict> {
    if let Some(overrides) = entry.get("overrides") {
        if let Some(value) = entry.get("verdict") {
            let what = "a rule has `verdict` or `overrides`, not both";
            entry.notes.refuse(
                Refusal::at(value.span(), what).help("an override makes marginal works, nothing else"),
            );
        }
        let rule = entry.notes.keep(built_in(overrides));
        let part = entry.need("part", "\"key or name of the part that it is for\"");
        let part = part.and_then(|value| entry.notes.keep(name("part", value, "key or name of the part")));
        if entry.get("why").is_none() {
            entry.need("why", "\"what the shop knows that the rule does not\"");
        }
        let why = entry.why();
        return Some(OwnVerdict::Overrides { rule: rule?, part: part?, why: why? });
    }
    let value = entry.need("verdict", "\"fails\"")?;
    let word = entry.notes.keep(name("verdict", value, "fails"))?;
    let measure = entry.get("measure");
    match (word.as_str(), measure) {
        ("caution", None) => Some(OwnVerdict::Caution),
        ("marginal", None) => Some(OwnVerdict::Marginal),
        ("fails", None) => Some(OwnVerdict::Fails),
        ("measure", Some(value)) => {
            let (slot, field) = entry.notes.keep(place("measure", value))?;
            Some(OwnVerdict::MeasureFirst { slot, dimension: field.dimension })
        }
        ("measure", None) => {
            entry.need("measure", "\"frame.hanger_bend\"");
            None
        }
        ("caution" | "marginal" | "fails", Some(value)) => {
            let refusal = Refusal::at(value.span(), "`measure` goes with `verdict = \"measure\"` only");
            entry.notes.refuse(refusal.help("leave one of the two out"));
            None
        }
        _ => {
            let help = match word.as_str() {
                "works" | "remedy" => {
                    "an own rule is stricter than the built-in ones; `overrides` says openly where it is not"
                        .to_owned()
                }
                _ => offer(&word, VERDICTS),
            };
            let what = format!("{} is no verdict of an own rule", quoted(&word));
            entry.notes.refuse(Refusal::at(value.span(), what).help(help));
            None
        }
    }
}

fn built_in(value: Given<'_, '_>) -> Result<&'static fit::Rule, Refusal> {
    let key = name("overrides", value, "cage-ground")?;
    fit::rules::find(&key).ok_or_else(|| {
        let known: Vec<&str> = RULES.iter().map(|rule| rule.id).collect();
        Refusal::at(value.span(), format!("{} is not a built-in rule", quoted(&key)))
            .help(offer(&key, &known))
    })
}

fn slots(value: Given<'_, '_>, notes: &mut Notes) -> Option<Vec<Slot>> {
    let DeValue::Array(list) = value.get_ref() else {
        notes.refuse(wrong_form("touches", value, "a list of parts", "touches = [\"cassette\"]"));
        return None;
    };
    let mut found = Vec::new();
    for entry in list.iter() {
        let slot = name("touches", entry, "cassette").and_then(|key| {
            Slot::read(&key).ok_or_else(|| {
                let known: Vec<&str> = Slot::ALL.iter().map(|slot| slot.key()).collect();
                Refusal::at(entry.span(), format!("{} is no part of a bike", quoted(&key)))
                    .help(offer(&key, &known))
            })
        });
        found.extend(notes.keep(slot));
    }
    (found.len() == list.len()).then_some(found)
}
