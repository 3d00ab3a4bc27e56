//! Catalogue files: the parts that can be ordered, the small parts, and the sources of their figures.

use crate::document::{MOST_CATALOGUE_BYTES, Source, parse_to, table_of, unmarked, wrong_form};
use crate::nearest::unknown_key;
use crate::own_figure;
use crate::part_table::{Home, id, lead_days, part};
use crate::plain_value::{money, name, words};
use crate::problem::{Notes, Problems, Refusal, quoted};
use crate::refit_file::key_of;
use crate::value_text::Context;
use catalog::{Catalogue, Part, Slot, SmallPart};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Keys of `[[small]]`.
const SMALL_KEYS: &[&str] = &["id", "name", "price", "lead_days"];

/// Reads the files of a catalogue together: a key stands for one part in all of them.
///
/// The parts come in the order of the files and of the entries in each. An entry `[[own]]` gives a part of any of
/// the files a figure of the shop's own, with name and date:
///
/// ```
/// let text = "[[own]]\npart = 'levers-road-11-pull-2.7'\nfield = 'hood'\nvalue = '50 mm measured'\n\
///     by = 'head of the workshop'\non = '2026-11-20'\nwhy = 'three pairs measured'\n";
/// let built_in = catalog::data::FILES.iter().map(|(name, text)| intake::Source { name, text });
/// let own = intake::Source { name: "own.toml", text };
/// let catalogue = intake::read_catalogue(&built_in.chain([own]).collect::<Vec<_>>()).unwrap();
/// assert_eq!(catalogue.own[0].built_in.as_deref(), Some("52 mm memory"));
/// assert_eq!(catalogue.own[0].own, "50 mm measured");
/// ```
///
/// # Errors
/// All [`Problems`] of all files. If a file cannot be read as tables at all, the problems of its spelling come
/// alone.
pub fn read_catalogue(sources: &[Source<'_>]) -> Result<Catalogue, Problems> {
    let sources: Vec<Source<'_>> = sources.iter().map(|source| unmarked(*source)).collect();
    let tables = sources
        .iter()
        .map(|source| parse_to(MOST_CATALOGUE_BYTES, *source))
        .collect::<Result<Vec<_>, _>>()?;
    let mut notes: Vec<Notes> = sources.iter().map(|_| Notes::default()).collect();
    let mut catalogue = Catalogue::default();
    // The sources come first: any file may name a source of any other.
    for (table, notes) in tables.iter().zip(&mut notes) {
        read_sources(table, &mut catalogue, notes);
    }
    let mut taken = BTreeMap::new();
    for ((source, table), notes) in sources.iter().zip(&tables).zip(&mut notes) {
        let breaks =
            source.text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n').map(|(at, _)| at).collect();
        let mut entries = Entries { name: source.name, breaks, taken: &mut taken, notes };
        entries.read(table, &mut catalogue);
    }
    // The shop's own figures come last: any file may have one for a part of any other.
    let mut given = BTreeSet::new();
    let places = own_figure::places(&catalogue);
    for (table, notes) in tables.iter().zip(&mut notes) {
        own_figure::read(table, &places, &mut given, &mut catalogue, notes);
    }
    let files = sources.iter().zip(notes).map(|(source, notes)| (source.name, source.text, notes));
    Problems::gathered(files).map_or(Ok(catalogue), Err)
}

/// The catalogue that comes with the program.
///
/// # Errors
/// [`Problems`] if the built-in files are at fault; a test reads them.
pub fn built_in() -> Result<Catalogue, Problems> {
    let sources: Vec<Source<'_>> =
        catalog::data::FILES.iter().map(|(name, text)| Source { name, text }).collect();
    read_catalogue(&sources)
}

fn read_sources(table: &DeTable<'_>, catalogue: &mut Catalogue, notes: &mut Notes) {
    let Some((_, value)) = table.iter().find(|(key, _)| key.get_ref() == "sources") else { return };
    let Some(listed) = notes.keep(table_of("sources", value, "[sources]")) else { return };
    for (key, value) in listed.iter() {
        let Some(told) = notes.keep(words(key.get_ref(), value, "author, title, number")) else { continue };
        let key_text = key.get_ref().to_string();
        match catalogue.sources.get(&key_text) {
            Some(before) if *before != told => {
                let what =
                    format!("the source {} stands for something else in another file", quoted(&key_text));
                notes.refuse(Refusal::at(key.span(), what).help("give one of the two another key"));
            }
            _ => _ = catalogue.sources.insert(key_text, told),
        }
    }
}

/// The entries of one file.
struct Entries<'e, 'a> {
    name: &'a str,
    /// Where its lines end.
    breaks: Vec<usize>,
    /// Where each key was given first.
    taken: &'e mut BTreeMap<String, String>,
    notes: &'e mut Notes,
}

impl Entries<'_, '_> {
    fn read(&mut self, table: &DeTable<'_>, catalogue: &mut Catalogue) {
        let mut parts: Vec<(usize, Part)> = Vec::new();
        for (key, value) in table.iter() {
            match key.get_ref().as_ref() {
                "sources" | "own" => {}
                "small" => {
                    for (span, entry) in self.each("small", value) {
                        if let Some(small) = self.small(span, entry) {
                            catalogue.small.insert(small.id.clone(), small);
                        }
                    }
                }
                found => match Slot::read(found) {
                    Some(slot) => {
                        for (span, entry) in self.each(found, value) {
                            let start = span.start;
                            parts.extend(self.part(slot, span, entry, catalogue).map(|part| (start, part)));
                        }
                    }
                    None => {
                        let slots = Slot::ALL.iter().map(|slot| slot.key());
                        let known: Vec<&str> = ["sources", "small", "own"].into_iter().chain(slots).collect();
                        self.notes.refuse(unknown_key(key.span(), found, "of a catalogue", &known));
                    }
                },
            }
        }
        parts.sort_by_key(|(start, _)| *start);
        catalogue.parts.extend(parts.into_iter().map(|(_, part)| part));
    }

    /// The tables under `[[key]]`.
    fn each<'t, 'b>(
        &mut self,
        key: &str,
        value: &'t Spanned<DeValue<'b>>,
    ) -> Vec<(Range<usize>, &'t DeTable<'b>)> {
        let DeValue::Array(entries) = value.get_ref() else {
            self.notes.refuse(wrong_form(key, value, "a list of tables", &format!("[[{key}]]")));
            return Vec::new();
        };
        let mut tables = Vec::new();
        for entry in entries.iter() {
            match entry.get_ref() {
                DeValue::Table(table) => tables.push((entry.span(), table)),
                _ => self.notes.refuse(wrong_form(key, entry, "a table", &format!("[[{key}]]"))),
            }
        }
        tables
    }

    fn part(
        &mut self,
        slot: Slot,
        span: Range<usize>,
        table: &DeTable<'_>,
        catalogue: &Catalogue,
    ) -> Option<Part> {
        let context = Context { sources: &catalogue.sources };
        let part = part(slot, Home::Catalogue, table, catalogue, context, self.notes);
        self.is_named(span, table);
        let id = part.id()?.to_owned();
        self.is_new(&id, table).then_some(part)
    }

    fn small(&mut self, span: Range<usize>, table: &DeTable<'_>) -> Option<SmallPart> {
        let mut small = SmallPart { id: String::new(), name: String::new(), price: None, lead_days: None };
        for (key, value) in table.iter() {
            match key.get_ref().as_ref() {
                "id" => small.id = self.notes.keep(id(value)).unwrap_or_default(),
                "name" => {
                    small.name = self.notes.keep(name("name", value, "ferrule, 5 mm")).unwrap_or_default()
                }
                "price" => small.price = self.notes.keep(money("price", value)),
                "lead_days" => small.lead_days = self.notes.keep(lead_days(value)),
                found => self.notes.refuse(unknown_key(key.span(), found, "of `[[small]]`", SMALL_KEYS)),
            }
        }
        self.is_named(span, table);
        (!small.id.is_empty() && self.is_new(&small.id, table)).then_some(small)
    }

    /// Notes what is missing of the identity.
    fn is_named(&mut self, span: Range<usize>, table: &DeTable<'_>) {
        for (key, example) in [("id", "cassette-11-road-11-28"), ("name", "11-speed road cassette 11-28")] {
            if key_of(table, key).is_none() {
                let refusal = Refusal::at(span.clone(), format!("this entry has no `{key}`"));
                self.notes.refuse(refusal.help(format!("write `{key} = \"{example}\"`")));
            }
        }
    }

    /// Whether the key was not given before, in this file or another.
    fn is_new(&mut self, id: &str, table: &DeTable<'_>) -> bool {
        let span = table.iter().find(|(key, _)| key.get_ref() == "id").map(|(_, value)| value.span());
        let span = span.unwrap_or_default();
        if let Some(first) = self.taken.get(id) {
            let what = format!("the key {} is taken", quoted(id));
            self.notes.refuse(Refusal::at(span, what).help(format!("it stands first at {first}")));
            return false;
        }
        let line = self.breaks.partition_point(|end| *end < span.start) + 1;
        self.taken.insert(id.to_owned(), format!("{}:{line}", self.name));
        true
    }
}
