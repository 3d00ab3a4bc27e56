//! The map from the headers of somebody else's sheet to the fields of parts, written by the shop.

use super::columns::{Target, flat, target};
use crate::document::{Source, parse, table_of, unmarked, wrong_form};
use crate::nearest::{offer, unknown_key};
use crate::plain_value::{MOST_IN_NAME, text};
use crate::problem::{Notes, Problems, Refusal, quoted};
use catalog::Slot;
use std::collections::BTreeMap;
use toml::Spanned;
use toml::de::DeValue;

/// Keys of a map.
const KEYS: &[&str] = &["slot", "decimal", "sheets", "ignore", "columns"];
/// Keys of a column that is written as a table.
const COLUMN_KEYS: &[&str] = &["field", "unit"];

/// What a column is mapped to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Mapped {
    /// The key of a field, the words of a dimension, or `id`, `name` and their sisters.
    pub field: String,
    /// The unit of bare numbers in the column.
    pub unit: Option<String>,
}

/// What the shop says of a sheet that is not written in the words of this program.
///
/// ```toml
/// slot = "stem"               # what the sheet holds, if it has no column for it
/// decimal = ","               # decimals are written with a comma
/// sheets = ["Stems"]          # only these sheets of a workbook
/// ignore = ["Colour"]         # columns that are left out on purpose
/// [columns]
/// "Bore" = "clamp"
/// "Reach" = { field = "length", unit = "mm" }
/// ```
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HeaderMap {
    /// What the sheet holds.
    pub(super) slot: Option<Slot>,
    /// Decimals are written with a comma.
    pub(super) comma: bool,
    /// The sheets that are read; all if empty.
    pub(super) sheets: Vec<String>,
    /// Headers that are left out, flattened.
    pub(super) ignored: Vec<String>,
    /// By flattened header.
    pub(super) columns: BTreeMap<String, Mapped>,
}

impl HeaderMap {
    /// Reads a map.
    ///
    /// # Errors
    /// All [`Problems`] of the text: an unknown key, a field that no part has, a decimal sign that is neither a
    /// point nor a comma.
    ///
    /// # Examples
    /// ```
    /// use intake::{Source, spreadsheet::HeaderMap};
    ///
    /// let text = "ignore = ['Colour']\n[columns]\n'Bore' = 'clamp'\n";
    /// assert!(HeaderMap::read(Source { name: "map.toml", text }).is_ok());
    /// let text = "[columns]\n'Bore' = 'clmap'\n";
    /// let problems = HeaderMap::read(Source { name: "map.toml", text }).unwrap_err();
    /// assert!(problems.to_string().contains("did you mean `clamp`?"));
    /// ```
    pub fn read(source: Source<'_>) -> Result<Self, Problems> {
        let source = unmarked(source);
        let table = parse(source)?;
        let mut notes = Notes::default();
        let mut map = Self::default();
        for (key, value) in table.iter() {
            match key.get_ref().as_ref() {
                "slot" => map.slot = notes.keep(slot(value)),
                "decimal" => map.comma = notes.keep(decimal(value)).unwrap_or_default(),
                "sheets" => map.sheets = notes.keep(texts("sheets", value)).unwrap_or_default(),
                "ignore" => {
                    let ignored = notes.keep(texts("ignore", value)).unwrap_or_default();
                    map.ignored = ignored.iter().map(|header| flat(header)).collect();
                }
                "columns" => {
                    let Some(columns) = notes.keep(table_of("columns", value, "[columns]")) else { continue };
                    for (header, value) in columns.iter() {
                        if let Some(mapped) = notes.keep(mapped(header.get_ref(), value)) {
                            map.columns.insert(flat(header.get_ref()), mapped);
                        }
                    }
                }
                found => notes.refuse(unknown_key(key.span(), found, "of a header map", KEYS)),
            }
        }
        Problems::gathered([(source.name, source.text, notes)]).map_or(Ok(map), Err)
    }
}

fn slot(value: &Spanned<DeValue<'_>>) -> Result<Slot, Refusal> {
    let found = text("slot", value, "stem", MOST_IN_NAME)?;
    Slot::read(found).ok_or_else(|| {
        let known: Vec<&str> = Slot::ALL.iter().map(|slot| slot.key()).collect();
        Refusal::at(value.span(), format!("{} is not a slot", quoted(found))).help(offer(found, &known))
    })
}

fn decimal(value: &Spanned<DeValue<'_>>) -> Result<bool, Refusal> {
    match text("decimal", value, ",", MOST_IN_NAME)? {
        "," => Ok(true),
        "." => Ok(false),
        found => Err(Refusal::at(value.span(), format!("{} is no decimal sign", quoted(found)))
            .help("accepted: `decimal = \",\"` or `decimal = \".\"`")),
    }
}

fn texts(key: &str, value: &Spanned<DeValue<'_>>) -> Result<Vec<String>, Refusal> {
    let example = format!("{key} = [\"text\"]");
    let DeValue::Array(entries) = value.get_ref() else {
        return Err(wrong_form(key, value, "a list of texts", &example));
    };
    entries.iter().map(|entry| text(key, entry, "text", MOST_IN_NAME).map(str::to_owned)).collect()
}

fn mapped(header: &str, value: &Spanned<DeValue<'_>>) -> Result<Mapped, Refusal> {
    let shown = quoted(header);
    let known = |field: &str, at: &Spanned<DeValue<'_>>| match target(field, None) {
        Some(_) => Ok(field.to_owned()),
        None => Err(Refusal::at(at.span(), format!("{} is not a field of any part", quoted(field)))
            .help(offer(field, &Target::words(None)))),
    };
    match value.get_ref() {
        DeValue::String(field) => Ok(Mapped { field: known(field, value)?, unit: None }),
        DeValue::Table(table) => {
            let (mut field, mut unit) = (None, None);
            for (key, value) in table.iter() {
                match key.get_ref().as_ref() {
                    "field" => field = Some(known(text("field", value, "length", MOST_IN_NAME)?, value)?),
                    "unit" => unit = Some(text("unit", value, "mm", MOST_IN_NAME)?.trim().to_owned()),
                    found => return Err(unknown_key(key.span(), found, "of a column", COLUMN_KEYS)),
                }
            }
            let missing = || {
                Refusal::at(value.span(), format!("{shown} names no `field`"))
                    .help("write it such as `{ field = \"length\", unit = \"mm\" }`")
            };
            Ok(Mapped { field: field.ok_or_else(missing)?, unit })
        }
        _ => Err(wrong_form(&shown, value, "the key of a field", "\"Bore\" = \"clamp\"")),
    }
}
