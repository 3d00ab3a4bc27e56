//! The sheets of a job: which there are, and what each gets from the documents.
//!
//! Begin with [`Job::sheet`]. Numbers go into the templates as the documents hold them and are only rounded there.

mod told;

use crate::drawing::{Drawing, DrawingError, Shows};
use crate::drawings::{self, Share, estimate};
use crate::typeset::SheetFiles;
use document::{PlanDocument, StepDocument, WorkDocument};
use fast_qr::convert::{Builder, Shape, svg::SvgBuilder};
use fast_qr::{ECL, QRBuilder};
use serde::Serialize;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};

/// A sheet of a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SheetKind {
    /// What it costs, with its risks.
    Estimate,
    /// Parts and small parts, to order and to pick.
    Parts,
    /// One leaf for the stand.
    Build,
    /// Torques and measurements, with room for what was found.
    Record,
    /// The cut list at 1 : 1.
    Strip,
    /// The tag on the bike.
    Tag,
    /// Labels for the bags of old parts.
    Labels,
    /// What the customer takes home.
    HandOver,
    /// All drawings and charts.
    Drawings,
}

impl SheetKind {
    /// Every sheet, in the order of a job.
    pub const ALL: [Self; 9] = [
        Self::Estimate,
        Self::Parts,
        Self::Build,
        Self::Record,
        Self::Strip,
        Self::Tag,
        Self::Labels,
        Self::HandOver,
        Self::Drawings,
    ];

    /// The word in file names and on the command line.
    pub fn word(self) -> &'static str {
        match self {
            Self::Estimate => "estimate",
            Self::Parts => "parts",
            Self::Build => "build",
            Self::Record => "record",
            Self::Strip => "cut-strip",
            Self::Tag => "hang-tag",
            Self::Labels => "bag-labels",
            Self::HandOver => "hand-over",
            Self::Drawings => "drawings",
        }
    }

    /// What it is called on paper.
    fn title(self) -> &'static str {
        match self {
            Self::Estimate => "Estimate",
            Self::Parts => "Parts and pick list",
            Self::Build => "Build sheet",
            Self::Record => "Torque and measurement record",
            Self::Strip => "Cut-list strip 1 : 1",
            Self::Tag => "Hang-tag",
            Self::Labels => "Bag labels",
            Self::HandOver => "Your bike after the refit",
            Self::Drawings => "Drawings and charts",
        }
    }

    fn template(self) -> &'static str {
        match self {
            Self::Estimate => include_str!("sheets/estimate.typ"),
            Self::Parts => include_str!("sheets/parts.typ"),
            Self::Build => include_str!("sheets/build.typ"),
            Self::Record => include_str!("sheets/record.typ"),
            Self::Strip => include_str!("sheets/strip.typ"),
            Self::Tag => include_str!("sheets/tag.typ"),
            Self::Labels => include_str!("sheets/labels.typ"),
            Self::HandOver => include_str!("sheets/hand_over.typ"),
            Self::Drawings => include_str!("sheets/drawings.typ"),
        }
    }
}

/// What the desk knows of a job and no plan does; what is left out is a line to write on.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct JobTag {
    /// The hook on which the bike hangs.
    pub hook: Option<String>,
    /// The name of the customer.
    pub customer: Option<String>,
    /// The hour that was promised.
    pub promised: Option<String>,
    /// The day on which the bike is fetched.
    pub collect: Option<String>,
    /// The shop: name and how to reach it.
    pub shop: Option<String>,
    /// The day of printing.
    pub made: Option<String>,
    /// Where the job opens: an address or the key of the job.
    pub link: Option<String>,
}

/// A job of which sheets are made.
#[derive(Clone, Copy, Debug)]
pub struct Job<'a> {
    /// The plan.
    pub plan: &'a PlanDocument,
    /// The work.
    pub work: &'a WorkDocument,
    /// What the desk knows.
    pub tag: &'a JobTag,
    /// The estimate as JSON, if one was made; without it the sheet shows parts and minutes and no sum.
    pub estimate: Option<&'a Value>,
    /// Ring and cog that are drawn from the drive side.
    pub pair: Option<(u32, u32)>,
}

impl Job<'_> {
    /// The files of a sheet, for [`Typesetter::pdf`](crate::Typesetter::pdf).
    ///
    /// # Errors
    /// [`DrawingError`] if a number of the documents cannot be drawn.
    pub fn sheet(&self, kind: SheetKind) -> Result<SheetFiles, DrawingError> {
        let mut drawings = BTreeMap::new();
        let code = self.tag.link.as_deref().filter(|link| !link.is_empty()).and_then(code);
        let mut names: Vec<Value> = Vec::new();
        match kind {
            SheetKind::Drawings => {
                for (name, drawing) in paged(self.drawings()) {
                    names.push(json!({
                        "file": format!("{name}.svg"),
                        "title": drawing.title(),
                        "alt": drawing.description(),
                        "width_mm": drawing.width_mm(),
                        "drawn": drawing.shows() == Shows::Picture,
                    }));
                    drawings.insert(name.to_owned(), drawing.svg()?);
                }
            }
            SheetKind::Estimate => {
                let shares = self.shares();
                if !shares.is_empty() {
                    drawings.insert("shares".to_owned(), estimate(&shares).svg()?);
                }
                let gears = drawings::gears(self.plan);
                if gears.shows() == Shows::Picture {
                    drawings.insert("gears".to_owned(), gears.svg()?);
                }
            }
            SheetKind::HandOver => {
                if let Some(ride) = &self.plan.ride {
                    drawings.insert("ride".to_owned(), drawings::ride_short(ride).svg()?);
                }
            }
            _ => {}
        }
        let (plan, work) = self.documents_of(kind);
        let data = json!({
            "least": if kind == SheetKind::Build { 12 } else { 9 },
            "kind": kind.title(),
            "name": self.plan.name,
            "plan": plan,
            "work": work,
            "tag": self.tag,
            "estimate": self.estimate,
            "qr": code.is_some(),
            "stop": told::stop(self.plan),
            "facts": told::facts(self.plan),
            "wear": told::wear(self.plan),
            "open": told::open(self.plan),
            "cuts": self.plan.geometry.cut_list.value.as_ref().map(|list| &list.cuts),
            "cuts_open": section_words(self.plan.geometry.cut_list.state),
            "cuts_wanted": &self.plan.geometry.cut_list.wanted,
            "blocks": self.blocks(),
            "blanks": told::blanks(self.work),
            "records": told::records(self.work),
            "bags": self.bags(),
            "drawings": names,
            "drawn": drawings.keys().collect::<Vec<_>>(),
        });
        if let Some(code) = code {
            drawings.insert("qr".to_owned(), code);
        }
        let title = format!("{}: {}", kind.title(), self.plan.name);
        Ok(SheetFiles { title, template: kind.template(), data, drawings })
    }

    /// The documents as a sheet gets them: the longest parts, nine tenths of the text, only go where they are read.
    fn documents_of(&self, kind: SheetKind) -> (Value, Value) {
        let (mut plan, mut work) = (json!(self.plan), json!(self.work));
        if !matches!(kind, SheetKind::Estimate | SheetKind::HandOver) {
            let drop = |document: &mut Value, keys: &[&str]| {
                if let Some(fields) = document.as_object_mut() {
                    fields.retain(|key, _| !keys.contains(&key.as_str()));
                }
            };
            drop(&mut plan, &["findings", "geometry"]);
            drop(&mut work, &["order"]);
        }
        (plan, work)
    }

    /// Every drawing and chart of the job by the name of its file: those of the plan, and what the price is made of.
    pub fn drawings(&self) -> Vec<(&'static str, Drawing)> {
        let mut all = drawings::all(self.plan, self.pair);
        let shares = self.shares();
        if !shares.is_empty() {
            all.push(("price", estimate(&shares)));
        }
        all
    }

    /// The order of work by block, steps numbered through, each with the first reason for its place.
    fn blocks(&self) -> Vec<Value> {
        let mut blocks: Vec<(String, Vec<Value>)> = Vec::new();
        for (at, step) in self.work.order.iter().enumerate() {
            if blocks.last().is_none_or(|(letter, _)| *letter != step.block) {
                blocks.push((step.block.clone(), Vec::new()));
            }
            if let Some((_, steps)) = blocks.last_mut() {
                steps.push(json!({
                    "at": at + 1,
                    "title": step.title,
                    "short": told::short(step.title),
                    "no_way_back": step.no_way_back,
                    "because": reason(step),
                    "fasteners": step.fasteners,
                    "tool": step.tool,
                }));
            }
        }
        let words = |letter: &str| {
            let block = shop::Block::ALL.iter().find(|block| block.letter().to_string() == letter);
            block.map_or("", |block| block.words())
        };
        blocks
            .iter()
            .map(|(letter, steps)| json!({ "letter": letter, "words": words(letter), "steps": steps }))
            .collect()
    }

    /// The old parts that come off: what the plan exchanges.
    fn bags(&self) -> Vec<String> {
        let new = self.work.operations.iter().filter_map(|operation| operation.because.as_deref());
        let bags: BTreeSet<String> =
            new.filter_map(|because| Some(format!("old {}", because.strip_prefix("new ")?))).collect();
        bags.into_iter().collect()
    }

    /// The shares of the estimate by sort of line.
    fn shares(&self) -> Vec<Share> {
        let lines = self.estimate.and_then(|all| all["estimate"]["lines"].as_array());
        let mut by_kind: BTreeMap<String, (i64, String)> = BTreeMap::new();
        for line in lines.into_iter().flatten() {
            let kind = kind_words(line["kind"].as_str().unwrap_or_default());
            let currency = line["amount"]["currency"].as_str().unwrap_or_default().to_owned();
            let share = by_kind.entry(kind).or_insert((0, currency));
            share.0 += line["amount"]["minor"].as_i64().unwrap_or_default();
        }
        by_kind
            .into_iter()
            .map(|(name, (minor, currency))| Share { name, minor, text: money(minor, &currency) })
            .collect()
    }
}

/// Room of a page for drawings, and what stands between two of them, millimetres of A4; on the shorter paper one that has no
/// room goes over the page.
const PAGE_MM: f64 = 297.0 - 22.0;
const BETWEEN_MM: f64 = 6.0;
/// What the title of the sheet takes of its first page.
const TITLE_MM: f64 = 18.0;

/// Drawings in an order in which they fill pages: after each comes the first of the others that still has room.
fn paged(mut all: Vec<(&'static str, Drawing)>) -> Vec<(&'static str, Drawing)> {
    let mut ordered = Vec::with_capacity(all.len());
    let mut room = PAGE_MM - TITLE_MM;
    while !all.is_empty() {
        let fits = |(_, drawing): &(&str, Drawing)| {
            drawing.shows() == Shows::Picture && drawing.height_mm() + BETWEEN_MM <= room
        };
        let at = all.iter().position(fits);
        if at.is_none() {
            room = PAGE_MM;
        }
        let next = all.remove(at.unwrap_or(0));
        room -= next.1.height_mm() + BETWEEN_MM;
        ordered.push(next);
    }
    ordered
}

/// What the lines of a sort are called together.
fn kind_words(kind: &str) -> String {
    match kind {
        "part" => "parts".to_owned(),
        "small_part" => "small parts".to_owned(),
        "consumable" => "consumables".to_owned(),
        other => other.replace('_', " "),
    }
}

fn reason(step: &StepDocument) -> Option<&'static str> {
    step.after.iter().find(|link| link.through.is_empty()).map(|link| link.because)
}

fn section_words(state: &str) -> &'static str {
    match state {
        "measure" => "not known yet: measure first",
        "impossible" => "cannot be worked out",
        _ => "nothing to cut",
    }
}

/// An amount in its currency, as the catalogue writes it.
fn money(minor: i64, currency: &str) -> String {
    let sign = if minor < 0 { "−" } else { "" };
    format!("{sign}{}.{:02} {currency}", minor.abs() / 100, minor.abs() % 100)
}

/// The code that opens a job, as SVG; none where the text is too long for one.
fn code(text: &str) -> Option<String> {
    let code = QRBuilder::new(text).ecl(ECL::M).build().ok()?;
    Some(SvgBuilder::default().shape(Shape::Square).margin(2).to_str(&code))
}
