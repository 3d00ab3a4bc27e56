//! The shop's own steps and operations.

use crate::fields::{Fields, rising};
use crate::nearest::offer;
use crate::problem::{Notes, Refusal, quoted};
use shop::{
    Block, Book, Fastener, FastenerId, Minutes, Need, OperationId, Own, OwnOperation, OwnStep, Skill, StepId,
    keep,
};

const STEP_KEYS: &[&str] = &[
    "id",
    "title",
    "block",
    "minutes",
    "skill",
    "tool",
    "after",
    "no_way_back",
    "turns",
    "consumable",
    "record",
    "caution",
    "picture",
    "by",
    "on",
];
const OPERATION_KEYS: &[&str] = &["id", "title", "steps", "brings", "by", "on"];

/// A step of more than a day is several.
const MOST_MINUTES: u32 = 480;

/// The book of start values with the shop's own steps and operations.
pub(super) fn book(top: &Fields<'_, '_>, notes: &mut Notes) -> Option<Book> {
    let start = Book::start_values();
    let mut steps = Vec::new();
    for entry in top.list("step", notes) {
        let Some(fields) = Fields::of("[[step]]", entry, STEP_KEYS, notes) else { continue };
        let Some(own) = step(&fields, notes) else { continue };
        match own.on(start.step(own.id)) {
            Ok(step) => steps.push(step),
            Err(missing) => {
                let what = format!("the step `{}` is new and has no {}", own.id, missing.join(", "));
                notes.refuse(Refusal::at(fields.span(), what));
            }
        }
    }
    let mut operations = Vec::new();
    for entry in top.list("operation", notes) {
        let Some(fields) = Fields::of("[[operation]]", entry, OPERATION_KEYS, notes) else { continue };
        operations.extend(operation(&fields, notes));
    }
    match start.with_own(&steps, &operations) {
        Ok(book) => Some(book),
        Err(problems) => {
            for problem in problems {
                notes.refuse(Refusal::of_file(problem.to_string()));
            }
            None
        }
    }
}

fn step(fields: &Fields<'_, '_>, notes: &mut Notes) -> Option<OwnStep> {
    let id = fields.name("id", "chain-fit", notes);
    let letters: Vec<(String, Block)> =
        Block::ALL.iter().map(|block| (block.letter().to_string(), *block)).collect();
    let letters: Vec<(&str, Block)> =
        letters.iter().map(|(letter, block)| (letter.as_str(), *block)).collect();
    let skills: Vec<(&str, Skill)> = Skill::ALL.iter().map(|skill| (skill.words(), *skill)).collect();
    let minutes = match fields.get("minutes") {
        None => None,
        Some(value) => Some(notes.keep(rising("minutes", value, MOST_MINUTES))?),
    };
    let word = |key: &str, notes: &mut Notes| fields.name_if(key, "words", notes).map(|word| keep(&word));
    let own = own(fields, notes);
    let needs = fields.get("after").is_some().then(|| {
        let list = fields.list("after", notes);
        list.into_iter().filter_map(|entry| need(entry, notes)).collect()
    });
    let turns = fields.get("turns").is_some().then(|| {
        let names = fields.names("turns", "pedals", notes);
        names.into_iter().filter_map(|(found, entry)| notes.keep(fastener(&found, entry))).collect()
    });
    Some(OwnStep {
        id: StepId(keep(&id?)),
        title: word("title", notes),
        block: fields.one_of_if("block", &letters, notes),
        minutes: minutes.map(|[low, usual, high]| Minutes::new(low, usual, high)),
        skill: fields.one_of_if("skill", &skills, notes),
        tool: word("tool", notes),
        needs,
        irreversible: fields.is_if("no_way_back", notes),
        fasteners: turns,
        notes: shop::Notes {
            consumable: word("consumable", notes),
            record: word("record", notes),
            caution: word("caution", notes),
            picture: word("picture", notes),
            own: None,
        },
        own: own?,
    })
}

/// A figure without a name and a day is nobody's.
fn own(fields: &Fields<'_, '_>, notes: &mut Notes) -> Option<Own> {
    let by = fields.name("by", "head of the workshop", notes);
    let on = fields.day("on", notes);
    Some(Own { by: keep(&by?), on: on? })
}

fn need(entry: crate::fields::Given<'_, '_>, notes: &mut Notes) -> Option<Need> {
    let fields = Fields::of("a step before", entry, &["step", "because"], notes)?;
    let step = fields.name("step", "chain-off", notes);
    let because = fields.name("because", "the reason", notes);
    Some(Need { step: StepId(keep(&step?)), because: keep(&because?) })
}

fn fastener(found: &str, entry: crate::fields::Given<'_, '_>) -> Result<FastenerId, Refusal> {
    let known = || shop::FASTENERS.iter().map(|fastener| fastener.id.0).collect::<Vec<_>>();
    Fastener::find(FastenerId(keep(found))).map(|fastener| fastener.id).ok_or_else(|| {
        Refusal::at(entry.span(), format!("{} is no fastener", quoted(found))).help(offer(found, &known()))
    })
}

fn operation(fields: &Fields<'_, '_>, notes: &mut Notes) -> Option<OwnOperation> {
    let id = fields.name("id", "chain", notes);
    let own = own(fields, notes);
    let listed = |key: &str, notes: &mut Notes| {
        fields.get(key).is_some().then(|| {
            fields.names(key, "chain-fit", notes).into_iter().map(|(name, _)| keep(&name)).collect::<Vec<_>>()
        })
    };
    let steps = listed("steps", notes).map(|all| all.into_iter().map(StepId).collect());
    let brings = listed("brings", notes).map(|all| all.into_iter().map(OperationId).collect());
    let title = fields.name_if("title", "chain exchanged", notes).map(|title| keep(&title));
    own?;
    Some(OwnOperation { id: OperationId(keep(&id?)), title, steps, brings })
}
