//! Tables in and out: customers, bikes and catalogue as CSV. What comes in is looked through first, whole, and taken
//! only if nothing is wrong.

use crate::ask::Ask;
use crate::clock;
use crate::failure::{Failure, FieldFault};
use crate::page::Page;
use crate::reply::Reply;
use crate::routes::{Route, change, show};
use crate::who::MANAGER;
use intake::spreadsheet::{self, Format, HeaderMap, Settings};
use maud::html;
use store::CustomerRecord;

const CSV: &str = "text/csv; charset=utf-8";
/// Most bytes of a table that is taken in.
const TABLE_BYTES: usize = 8 * 1024 * 1024;

pub(crate) fn routes() -> Vec<Route> {
    vec![
        show("/tables", MANAGER, page),
        change("/tables", MANAGER, take_in).up_to(TABLE_BYTES),
        show("/tables/customers.csv", MANAGER, customers),
        show("/tables/bikes.csv", MANAGER, bikes),
        show("/tables/catalogue.csv", MANAGER, catalogue),
    ]
}

fn page(_: &Ask) -> Result<Reply, Failure> {
    let body = html! {
        h1 { "Tables in and out" }
        section.card {
            h2 { "Out" }
            ul {
                li { a href="/tables/customers.csv" { "Customers" } }
                li { a href="/tables/bikes.csv" { "Bikes" } }
                li { a href="/tables/catalogue.csv" { "Parts of the catalogue" } }
            }
        }
        section.card {
            h2 { "In" }
            p { "A table is looked through first. If one line is wrong nothing of it is taken, and every fault is named with its line." }
            form.sheet method="post" action="/tables" enctype="multipart/form-data" {
                label for="kind" { "What it holds" }
                select #kind name="kind" {
                    option value="customers" { "customers: columns name, phone, mail, words" }
                    option value="bikes" { "bikes: columns customer, name, frame_number, words" }
                    option value="catalogue" { "parts, with the columns of the table that goes out" }
                }
                label for="table" { "The table, CSV in UTF-8" }
                input #table name="table" type="file" accept=".csv,text/csv" required;
                button.main { "Look through it and take it in" }
            }
        }
    };
    Ok(Reply::Page(Page::new("Tables", body)))
}

fn written(rows: Vec<Vec<String>>) -> Result<Vec<u8>, Failure> {
    let fault =
        |why: csv::Error| Failure::Fault { what: "the table cannot be written", why: why.to_string() };
    let mut writer = csv::Writer::from_writer(Vec::new());
    for row in rows {
        writer.write_record(row.iter().map(|cell| plain(cell))).map_err(fault)?;
    }
    writer
        .into_inner()
        .map_err(|why| Failure::Fault { what: "the table cannot be written", why: why.to_string() })
}

/// A cell as a table shows it: what a spreadsheet would take for a formula is marked as text.
fn plain(cell: &str) -> String {
    if cell.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{cell}") } else { cell.to_owned() }
}

/// A cell as it was before [`plain`].
fn unmarked(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if rest.starts_with(['=', '+', '-', '@']) => rest,
        _ => cell,
    }
}

fn all_customers(ask: &Ask) -> Result<Vec<CustomerRecord>, Failure> {
    Ok(ask.house.store.all_customers()?)
}

fn customers(ask: &Ask) -> Result<Reply, Failure> {
    let mut rows = vec![["name", "phone", "mail", "words"].map(str::to_owned).to_vec()];
    for one in all_customers(ask)? {
        rows.push(vec![one.name, one.phone, one.mail, one.words]);
    }
    Ok(Reply::saved(CSV, "customers.csv".to_owned(), written(rows)?))
}

fn bikes(ask: &Ask) -> Result<Reply, Failure> {
    let mut rows = vec![["customer", "name", "frame_number", "words"].map(str::to_owned).to_vec()];
    for (customer, bike) in ask.house.store.all_bikes()? {
        rows.push(vec![customer, bike.name, bike.frame_number, bike.words]);
    }
    Ok(Reply::saved(CSV, "bikes.csv".to_owned(), written(rows)?))
}

fn catalogue(ask: &Ask) -> Result<Reply, Failure> {
    let catalogue = ask.house.catalogue();
    let bytes = spreadsheet::export(&catalogue.parts, Format::Csv)
        .map_err(|why| Failure::Fault { what: "the table cannot be written", why: why.to_string() })?;
    Ok(Reply::saved(CSV, "catalogue.csv".to_owned(), bytes))
}

fn take_in(ask: &Ask) -> Result<Reply, Failure> {
    let Some(bytes) = ask.files.get("table").filter(|bytes| !bytes.is_empty()) else {
        return Err(FieldFault::one("The table", "", "a CSV file is wanted"));
    };
    let taken = match ask.form.text("kind") {
        "customers" => take_customers(ask, bytes)?,
        "bikes" => take_bikes(ask, bytes)?,
        "catalogue" => take_parts(ask, bytes)?,
        other => {
            return Err(FieldFault::one("What it holds", other, "customers, bikes or catalogue is wanted"));
        }
    };
    let body = html! { h1 { "Taken in" } p { (taken) } p { a.button href="/shop" { "To the shop" } } };
    Ok(Reply::Page(Page::new("Taken in", body)))
}

/// The rows of a table under its headings; every line that has another shape is a fault.
fn rows(bytes: &[u8], wanted: &[&str]) -> Result<Vec<(usize, Vec<String>)>, Failure> {
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(bytes);
    let headings = reader
        .headers()
        .map_err(|why| FieldFault::one("The table", &why.to_string(), "CSV in UTF-8 is wanted"))?
        .clone();
    let places: Vec<Option<usize>> =
        wanted.iter().map(|name| headings.iter().position(|heading| heading.trim() == *name)).collect();
    if places.first().copied().flatten().is_none() {
        let found: Vec<&str> = headings.iter().collect();
        let columns = format!("the columns {} are wanted", wanted.join(", "));
        return Err(FieldFault::one("Line 1", &found.join(", "), columns));
    }
    let (mut rows, mut faults) = (Vec::new(), Vec::new());
    for (at, record) in reader.records().enumerate() {
        let line = at + 2;
        match record {
            Ok(record) => {
                let cell = |place: &Option<usize>| {
                    let text = place.and_then(|place| record.get(place)).unwrap_or_default();
                    unmarked(text.trim()).to_owned()
                };
                rows.push((line, places.iter().map(cell).collect()));
            }
            Err(why) => faults.push(FieldFault {
                field: format!("Line {line}"),
                found: why.to_string(),
                wanted: "CSV in UTF-8 is wanted".to_owned(),
            }),
        }
    }
    if faults.is_empty() { Ok(rows) } else { Err(Failure::Fields(faults)) }
}

fn fault(line: usize, column: &str, found: &str, wanted: &str) -> FieldFault {
    FieldFault { field: format!("Line {line}, {column}"), found: found.to_owned(), wanted: wanted.to_owned() }
}

fn take_customers(ask: &Ask, bytes: &[u8]) -> Result<String, Failure> {
    let rows = rows(bytes, &["name", "phone", "mail", "words"])?;
    let nameless: Vec<FieldFault> = rows
        .iter()
        .filter(|(_, row)| row[0].is_empty() || row[0].chars().count() > 200)
        .map(|(line, row)| fault(*line, "name", &row[0], "a name of 1 to 200 letters is wanted"))
        .collect();
    if !nameless.is_empty() {
        return Err(Failure::Fields(nameless));
    }
    let (mut added, mut known) = (0, 0);
    for (_, row) in rows {
        let same = |one: &CustomerRecord| one.name == row[0] && one.phone == row[1] && one.mail == row[2];
        if ask.house.store.customers_named(&row[0])?.iter().any(same) {
            known += 1;
            continue;
        }
        let mut one = ask.house.store.add_customer(&row[0], clock::now())?;
        (one.phone, one.mail, one.words) = (row[1].clone(), row[2].clone(), row[3].clone());
        ask.house.store.change_customer(&one)?;
        added += 1;
    }
    Ok(format!("{added} customers were added, {known} were there already."))
}

fn take_bikes(ask: &Ask, bytes: &[u8]) -> Result<String, Failure> {
    let store = &ask.house.store;
    let rows = rows(bytes, &["customer", "name", "frame_number", "words"])?;
    let (mut faults, mut owners) = (Vec::new(), Vec::new());
    for (line, row) in &rows {
        let found: Vec<CustomerRecord> =
            store.customers_named(&row[0])?.into_iter().filter(|one| one.name == row[0]).collect();
        match (&found[..], row[1].is_empty()) {
            ([owner], false) => owners.push(owner.id.clone()),
            (_, true) => faults.push(fault(*line, "name", "", "what the bike is called is wanted")),
            ([], _) => faults.push(fault(
                *line,
                "customer",
                &row[0],
                "no customer has this name: take customers in first",
            )),
            _ => faults.push(fault(
                *line,
                "customer",
                &row[0],
                "several customers have this name: add the bike on the right one's page",
            )),
        }
    }
    if !faults.is_empty() {
        return Err(Failure::Fields(faults));
    }
    let (mut added, mut known) = (0, 0);
    for ((_, row), owner) in rows.iter().zip(owners) {
        if store.bikes_of(&owner)?.iter().any(|bike| bike.name == row[1]) {
            known += 1;
            continue;
        }
        let mut bike = store.add_bike(&owner, &row[1], clock::now())?;
        (bike.frame_number, bike.words) = (row[2].clone(), row[3].clone());
        store.change_bike(&bike)?;
        added += 1;
    }
    Ok(format!("{added} bikes were added, {known} were there already."))
}

fn take_parts(ask: &Ask, bytes: &[u8]) -> Result<String, Failure> {
    let catalogue = ask.house.catalogue();
    let map = HeaderMap::default();
    let settings = Settings { slot: None, map: &map, catalogue: &catalogue };
    let taken = spreadsheet::import("the table", bytes, &settings);
    if !taken.problems.is_empty() {
        let faults = taken.problems.iter().map(|problem| FieldFault {
            field: "The table".to_owned(),
            found: problem.to_string(),
            wanted: "the columns of the table that goes out are wanted".to_owned(),
        });
        return Err(Failure::Fields(faults.collect()));
    }
    let count = ask.house.store.put_parts(&taken.parts, clock::now())?;
    ask.house.read_catalogue_again()?;
    Ok(format!("{count} parts were taken in; plans are worked out with them from now on."))
}
