//! The shop file: money, taxes, risks, words, people, hours, deliveries, open jobs, and the shop's own steps.

mod book;
mod hours;
mod jobs;
mod money;

use crate::document::{Source, parse, unmarked};
use crate::fields::Fields;
use crate::problem::{Notes, Problems, Refusal};
use crate::refit_file::key_of;
use shop::{Seller, TextBlock, TextBlocks, Workshop};
use toml::de::DeTable;

/// Keys of the file as a whole.
const TOP_KEYS: &[&str] = &[
    "name",
    "stands",
    "cold_check",
    "seller",
    "money",
    "tax",
    "discount",
    "risk",
    "words",
    "hours",
    "person",
    "deliveries",
    "job",
    "step",
    "operation",
];

/// Reads a shop file.
///
/// # Errors
/// All [`Problems`] of the file, in its order; what is wrong with the book as a whole comes last.
///
/// # Examples
/// ```
/// use intake::{Source, read_shop};
///
/// let text = "name = 'hall'\n[money]\nhour = '66 EUR'\nprices = 'netto'\n";
/// let problems = read_shop(Source { name: "shop.toml", text }).unwrap_err().to_string();
/// assert!(problems.contains("`netto` is no word for `prices`"), "{problems}");
/// assert!(problems.contains("did you mean `net`?"), "{problems}");
/// ```
pub fn read_shop(source: Source<'_>) -> Result<Workshop, Problems> {
    let source = unmarked(source);
    let table = parse(source)?;
    let mut notes = Notes::default();
    let shop = shop(&table, source.text.len(), &mut notes);
    match (Problems::gathered([(source.name, source.text, notes)]), shop) {
        (None, Some(shop)) => Ok(shop),
        (Some(problems), _) => Err(problems),
        (None, None) => Err(Problems::with_file(
            source.name,
            source.text,
            Refusal::of_file("the file does not describe a shop"),
        )),
    }
}

fn shop(table: &DeTable<'_>, length: usize, notes: &mut Notes) -> Option<Workshop> {
    let top = Fields::in_table("the shop", table, 0..length.min(1), TOP_KEYS, notes);
    for key in ["money", "tax", "hours", "person"] {
        if key_of(table, key).is_none() {
            let table = if key == "person" { "[[person]]" } else { key };
            notes.refuse(Refusal::of_file(format!("the shop has no `{table}`")));
        }
    }
    let name = top.name("name", "the hall by the canal", notes);
    let stands = top.whole("stands", (1, 50), notes);
    let cold_check = top.is("cold_check", notes);
    let seller = top.get("seller").and_then(|value| seller(value, notes)).unwrap_or_default();
    let terms = money::terms(&top, notes);
    let risks = money::risks(&top, terms.as_ref().map(|terms| terms.hour), notes);
    let blocks = blocks(&top, notes);
    let calendar = top.get("hours").and_then(|value| hours::calendar(value, notes));
    let people = hours::people(&top, notes);
    let deliveries = jobs::deliveries(&top, notes);
    let open_jobs = jobs::jobs(&top, notes);
    let book = book::book(&top, notes);
    Some(Workshop {
        name: name?,
        seller,
        terms: terms?,
        book: book?,
        risks,
        blocks,
        calendar: calendar?,
        people,
        stands: stands?,
        cold_check,
        deliveries,
        open_jobs,
    })
}

fn seller(value: crate::fields::Given<'_, '_>, notes: &mut Notes) -> Option<Seller> {
    const KEYS: &[&str] =
        &["street", "city", "post_code", "country", "tax_number", "account", "endpoint", "endpoint_scheme"];
    let fields = Fields::of("[seller]", value, KEYS, notes)?;
    let endpoint = fields.name_if("endpoint", "shop@example.org", notes);
    let scheme = fields.name_if("endpoint_scheme", "EM", notes);
    Some(Seller {
        street: fields.name("street", "Canal Street 1", notes)?,
        city: fields.name("city", "Newtown", notes)?,
        post_code: fields.name("post_code", "10000", notes)?,
        country: fields.name("country", "DE", notes)?,
        tax_number: fields.name("tax_number", "DE000000000", notes)?,
        account: fields.name_if("account", "an account number", notes),
        endpoint: endpoint.zip(scheme),
    })
}

fn blocks(top: &Fields<'_, '_>, notes: &mut Notes) -> TextBlocks {
    const KEYS: &[&str] = &["id", "version", "text", "by", "on"];
    let mut blocks = TextBlocks::default();
    for entry in top.list("words", notes) {
        let Some(fields) = Fields::of("[[words]]", entry, KEYS, notes) else { continue };
        let id = fields.name("id", "settling", notes);
        let version = fields.whole("version", (2, 9999), notes);
        let text = fields.words("text", "what is said", notes);
        let (by, on) = (fields.name("by", "head of the workshop", notes), fields.day("on", notes));
        let (Some(id), Some(version), Some(text), Some(by), Some(on)) = (id, version, text, by, on) else {
            continue;
        };
        if let Err(error) = blocks.edit(TextBlock { id, version, text, edited: Some((by, on)) }) {
            let known: Vec<&str> = shop::block_keys().collect();
            let help = format!("blocks: {}", known.join(", "));
            notes.refuse(Refusal::at(fields.span(), error.to_string()).help(help));
        }
    }
    blocks
}
