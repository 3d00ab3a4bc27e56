//! Takes a sheet row by row: the header first, then a part from every row, with all that is wrong on the way.

use super::cell::{Cell, letters};
use super::cell_problem::{CellProblem, CellProblems};
use super::cell_value::{self, Refused};
use super::columns::{Column, Target, columns, known};
use super::{MOST_ROWS, Settings};
use crate::nearest::offer;
use crate::part_table::{MOST_LEAD_DAYS, MOST_PART_GRAMS, id};
use crate::plain_value::{money, name, quantity};
use crate::problem::{Refusal, quoted};
use crate::value_text::Context;
use catalog::part::Label;
use catalog::{Part, Slot, Sort};
use quantity::Mass;
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use toml::Spanned;
use toml::de::DeValue;

/// A header is not longer than this.
const MOST_IN_HEADER: usize = 40;

/// Where the rows of all sheets of a file go.
pub(super) struct RowTaker<'s> {
    settings: &'s Settings<'s>,
    /// What is wrong.
    pub problems: CellProblems,
    /// The parts of the rows that are in order.
    pub parts: Vec<Part>,
    /// How many rows there were below the headers.
    pub rows_read: usize,
    ids: BTreeSet<&'s str>,
    taken: BTreeMap<String, String>,
    sheet: Option<String>,
    first: Option<(usize, Vec<Cell<'static>>)>,
    columns: Option<Vec<Column>>,
    data_row: usize,
    unnamed: BTreeSet<usize>,
    is_closed: bool,
}

/// Whether more rows are wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Next {
    /// Go on.
    Row,
    /// Nothing more of this sheet.
    Sheet,
    /// Nothing more of this file.
    Nothing,
}

impl<'s> RowTaker<'s> {
    pub(super) fn new(file: &str, settings: &'s Settings<'s>) -> Self {
        let parts = settings.catalogue.parts.iter().filter_map(Part::id);
        Self {
            settings,
            problems: CellProblems::of(file),
            parts: Vec::new(),
            rows_read: 0,
            ids: parts.chain(settings.catalogue.small.keys().map(String::as_str)).collect(),
            taken: BTreeMap::new(),
            sheet: None,
            first: None,
            columns: None,
            data_row: 0,
            unnamed: BTreeSet::new(),
            is_closed: false,
        }
    }

    /// The slot that is known without looking at a row.
    fn slot(&self) -> Option<Slot> {
        self.settings.slot.or(self.settings.map.slot)
    }

    /// Begins a sheet; a CSV file is one without a name.
    pub(super) fn begin(&mut self, sheet: Option<&str>) {
        self.sheet = sheet.map(str::to_owned);
        (self.first, self.columns, self.data_row, self.is_closed) = (None, None, 0, false);
        self.unnamed.clear();
    }

    /// Notes something wrong with the sheet as a whole or with one row.
    pub(super) fn note(&mut self, row: Option<usize>, what: impl Into<String>, accepted: impl Into<String>) {
        self.problems.note(CellProblem {
            sheet: self.sheet.clone(),
            row,
            column: None,
            what: what.into(),
            accepted: Some(accepted.into()),
        });
    }

    /// Takes a row, `number` as it is counted in the file.
    pub(super) fn row(&mut self, number: usize, cells: &[Cell<'_>]) -> Next {
        if self.is_closed {
            return Next::Sheet;
        }
        if cells.iter().all(Cell::is_empty) {
            return Next::Row;
        }
        if self.columns.is_none() {
            let Some((header_row, header)) = self.first.take() else {
                self.first = Some((number, cells.iter().map(owned).collect()));
                return Next::Row;
            };
            self.header(header_row, &header, Some((number, cells)));
        }
        if self.is_closed {
            return Next::Sheet;
        }
        if self.rows_read == MOST_ROWS {
            self.note(
                Some(number),
                format!("the file has more than {MOST_ROWS} rows; no more are read"),
                "split the file: a catalogue of that size is no longer one shop's",
            );
            return Next::Nothing;
        }
        self.rows_read += 1;
        self.data_row += 1;
        let Some(columns) = self.columns.take() else { return Next::Sheet };
        self.part(number, cells, &columns);
        self.columns = Some(columns);
        Next::Row
    }

    /// Ends a sheet. A header without rows is still read for what is wrong with it.
    pub(super) fn end(&mut self) {
        if let Some((row, header)) = self.first.take() {
            self.header(row, &header, None);
        }
    }

    /// Whether a header was seen in the sheet.
    pub(super) fn is_blank(&self) -> bool {
        self.first.is_none() && self.columns.is_none() && !self.is_closed
    }

    fn header(&mut self, row: usize, header: &[Cell<'_>], next: Option<(usize, &[Cell<'_>])>) {
        let slot = self.slot();
        let map = self.settings.map;
        if let Some((below, cells)) = next
            && known(header, slot, map) == 0
            && known(cells, slot, map) >= 2
        {
            let accepted = "delete what stands above the header, so that the header is the first row";
            self.note(Some(row), format!("this row is no header, but row {below} is one"), accepted);
            self.is_closed = true;
            return;
        }
        let mut found = Vec::new();
        let read = columns(header, slot, map, self.sheet.is_some(), &mut found);
        let has = |target: &Target| read.iter().any(|column| column.target == *target);
        // Without these every row would be refused for the same reason.
        self.is_closed = !has(&Target::Id) || !has(&Target::Name) || (slot.is_none() && !has(&Target::Slot));
        for problem in found {
            self.problems.note(CellProblem { sheet: self.sheet.clone(), row: Some(row), ..problem });
        }
        self.columns = Some(read);
    }

    fn part(&mut self, row: usize, cells: &[Cell<'_>], columns: &[Column]) {
        let mut found: Vec<(usize, Refused)> = Vec::new();
        let part = self.read(cells, columns, &mut found);
        for (at, _) in cells.iter().enumerate().filter(|(_, cell)| !cell.is_empty()) {
            let is_unnamed = columns.get(at).is_none_or(|column| column.target == Target::Unnamed);
            if is_unnamed && self.unnamed.insert(at) {
                let what = "something stands in a column without a header".to_owned();
                found.push((at, (what, "give the column a header, or empty it".to_owned())));
            }
        }
        if !found.is_empty()
            && self.data_row == 1
            && let Some(words) = second_header(cells, columns)
        {
            self.note(
                Some(row),
                format!("this row looks like a second header: where numbers are wanted it has {words}"),
                "keep one header row; a unit stands in brackets behind the header, such as `length [mm]`",
            );
            return;
        }
        if found.is_empty()
            && let Some(id) = part.as_ref().and_then(Part::id)
        {
            let place = match &self.sheet {
                Some(sheet) => format!("row {row} of sheet `{sheet}`"),
                None => format!("row {row}"),
            };
            let first = match self.taken.get(id) {
                Some(first) => Some(format!("it stands first in {first}")),
                None if self.ids.contains(id) => Some("a part of the catalogue has it already".to_owned()),
                None => None,
            };
            match first {
                Some(first) => {
                    let at =
                        columns.iter().position(|column| column.target == Target::Id).unwrap_or_default();
                    found.push((at, (format!("the key {} is taken", quoted(id)), first)));
                }
                None => _ = self.taken.insert(id.to_owned(), place),
            }
        }
        if found.is_empty() {
            // With anything wrong nothing is taken, so that the rows after a mistake need not be kept.
            if self.problems.is_empty() {
                self.parts.extend(part);
            }
            return;
        }
        self.parts = Vec::new();
        for (at, (what, accepted)) in found {
            let column = columns.get(at).map_or_else(|| letters(at), |column| column.shown.clone());
            self.problems.note(CellProblem {
                sheet: self.sheet.clone(),
                row: Some(row),
                column: Some(column),
                what,
                accepted: Some(accepted),
            });
        }
    }

    fn read(
        &self,
        cells: &[Cell<'_>],
        columns: &[Column],
        found: &mut Vec<(usize, Refused)>,
    ) -> Option<Part> {
        let filled = || {
            let pairs = columns.iter().zip(cells).enumerate();
            pairs.filter(|(_, (_, cell))| !cell.is_empty()).map(|(at, (column, cell))| (at, column, cell))
        };
        let slot = match filled().find(|(_, column, _)| column.target == Target::Slot) {
            Some((at, _, cell)) => match self.slot_of(cell) {
                Ok(slot) => slot,
                Err(refused) => {
                    found.push((at, refused));
                    return None;
                }
            },
            None => match self.slot() {
                Some(slot) => slot,
                None => {
                    let at =
                        columns.iter().position(|column| column.target == Target::Slot).unwrap_or_default();
                    let known: Vec<&str> = Slot::ALL.iter().map(|slot| slot.key()).collect();
                    found.push((
                        at,
                        ("the row does not say which sort of part it is".to_owned(), offer("", &known)),
                    ));
                    return None;
                }
            },
        };
        let mut part = slot.empty();
        let mut label = Label { id: None, name: String::new(), price: None, mass: None, lead_days: None };
        let context = Context { sources: &self.settings.catalogue.sources };
        let comma = self.settings.map.comma;
        for (at, column, cell) in filled() {
            let unit = column.unit.as_deref();
            let read = match &column.target {
                Target::Slot | Target::Nothing | Target::Unnamed => Ok(()),
                Target::Dimension(fields) => match fields.get(&slot) {
                    None => Err((
                        format!("a {} has no such dimension, but something stands here", slot.words()),
                        "empty the cell".to_owned(),
                    )),
                    Some(field) => cell_value::reading(*field, cell, unit, comma, context).map(|reading| {
                        part.set(field.dimension, reading);
                    }),
                },
                target => labelled(target, cell, unit, comma, &mut label),
            };
            found.extend(read.err().map(|refused| (at, refused)));
        }
        for (target, is_missing, key) in
            [(Target::Id, label.id.is_none(), "id"), (Target::Name, label.name.is_empty(), "name")]
        {
            let at = columns.iter().position(|column| column.target == target).unwrap_or_default();
            if is_missing && !found.iter().any(|(other, _)| *other == at) {
                found.push((at, (format!("the row has no `{key}`"), "every part needs one".to_owned())));
            }
        }
        part.relabel(label);
        Some(part)
    }

    fn slot_of(&self, cell: &Cell<'_>) -> Result<Slot, Refused> {
        let known: Vec<&str> = Slot::ALL.iter().map(|slot| slot.key()).collect();
        let text = cell_value::text(cell).map_err(|what| (what, offer("", &known)))?;
        let slot = Slot::read(&text)
            .ok_or_else(|| (format!("{} is not a slot", quoted(&text)), offer(&text, &known)))?;
        match self.slot() {
            Some(said) if said != slot => Err((
                format!("the row is for `{}`, but the sheet was said to hold `{}`", slot.key(), said.key()),
                "leave the slot out where the column names it, or correct the row".to_owned(),
            )),
            _ => Ok(slot),
        }
    }
}

/// Reads what is not a dimension.
fn labelled(
    target: &Target,
    cell: &Cell<'_>,
    unit: Option<&str>,
    comma: bool,
    label: &mut Label,
) -> Result<(), Refused> {
    let example = match target {
        Target::Id => "small letters, digits, `.` and `-`: `stem-31.8-110`",
        Target::Name => "one line of text",
        Target::Price => "an amount with its currency: `64.00 EUR`; an empty cell is unknown",
        Target::Mass => "a mass with its unit: `284 g`; an empty cell is unknown",
        _ => "working days, 0 to 500; an empty cell is unknown",
    };
    let refused = |what: String| (what, example.to_owned());
    let text = cell_value::text(cell).map_err(refused)?;
    let wrong = |refusal: Refusal| (refusal.what, example.to_owned());
    let given = |text: &str| Spanned::new(0..0, DeValue::String(Cow::Owned(text.to_owned())));
    match target {
        Target::Id => label.id = Some(id(&given(&text)).map_err(wrong)?),
        Target::Name => label.name = name("name", &given(&text), "").map_err(wrong)?,
        Target::Price => {
            let text = numbered(&text, unit, comma).map_err(refused)?;
            label.price = Some(money("price", &given(&text)).map_err(wrong)?);
        }
        Target::Mass => {
            let text = numbered(&text, unit, comma).map_err(refused)?;
            label.mass = Some(
                quantity::<Mass>("mass", &given(&text), "284 g", (0.0, MOST_PART_GRAMS)).map_err(wrong)?,
            );
        }
        _ => {
            let days = text.parse::<u32>().ok().filter(|days| *days <= MOST_LEAD_DAYS);
            label.lead_days =
                Some(days.ok_or_else(|| refused(format!("{} is no count of days", quoted(&text))))?);
        }
    }
    Ok(())
}

/// A price or a mass with the unit of its column where it has none.
fn numbered(text: &str, unit: Option<&str>, comma: bool) -> Result<String, String> {
    let text = cell_value::pointed(text, comma)?;
    let is_bare = text.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b',' | b'-'));
    match unit {
        Some(unit) if is_bare => Ok(format!("{text} {unit}")),
        None if is_bare => Err(format!("{} has no unit and its column names none", quoted(&text))),
        _ => Ok(text.into_owned()),
    }
}

/// The words of a first row below the header that has words only where numbers are wanted.
fn second_header(cells: &[Cell<'_>], columns: &[Column]) -> Option<String> {
    let wants_number = |column: &Column| match &column.target {
        Target::Price | Target::Mass | Target::LeadDays => true,
        Target::Dimension(fields) => {
            !fields.values().any(|field| matches!(field.dimension.row().sort, Sort::Word(_)))
        }
        _ => false,
    };
    let mut words = Vec::new();
    for (column, cell) in columns.iter().zip(cells) {
        match cell {
            Cell::Empty => {}
            _ if !wants_number(column) => {}
            Cell::Text(text) if text.len() <= MOST_IN_HEADER && !text.bytes().any(|b| b.is_ascii_digit()) => {
                words.push(quoted(text));
            }
            _ => return None,
        }
    }
    if words.is_empty() { None } else { Some(words.join(", ")) }
}

fn owned(cell: &Cell<'_>) -> Cell<'static> {
    match cell {
        Cell::Empty => Cell::Empty,
        Cell::Text(text) => Cell::Text(Cow::Owned(text.clone().into_owned())),
        Cell::Number(number) => Cell::Number(*number),
        Cell::Date => Cell::Date,
        Cell::Truth => Cell::Truth,
        Cell::Error(error) => Cell::Error(error.clone()),
        Cell::Unsolved => Cell::Unsolved,
    }
}
