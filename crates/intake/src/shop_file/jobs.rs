//! Records of deliveries, and the jobs that wait.

use crate::fields::{Fields, Given, numbers, rising};
use crate::problem::{Notes, Refusal};
use shop::{Awaited, LeadRecord, OpenJob, Range, Skill, WorkPiece};
use std::collections::BTreeMap;
use toml::de::DeValue;

/// A delivery later than a year will not come.
const MOST_DAYS: u32 = 366;
/// A piece of work longer than this is several.
const MOST_MINUTES: u32 = 2400;

/// Days late, by supplier.
pub(super) fn deliveries(top: &Fields<'_, '_>, notes: &mut Notes) -> BTreeMap<String, LeadRecord> {
    let mut records = BTreeMap::new();
    let Some(value) = top.get("deliveries") else { return records };
    let DeValue::Table(table) = value.get_ref() else {
        notes.refuse(Refusal::at(value.span(), "`deliveries` is no table"));
        return records;
    };
    for (supplier, value) in table.iter() {
        if let Some(days_late) = notes.keep(numbers(supplier.get_ref(), value, MOST_DAYS)) {
            records.insert(supplier.get_ref().to_string(), LeadRecord { days_late });
        }
    }
    records
}

/// The jobs that wait.
pub(super) fn jobs(top: &Fields<'_, '_>, notes: &mut Notes) -> Vec<OpenJob> {
    const KEYS: &[&str] = &["name", "tell", "pieces", "check", "awaits", "promised"];
    let mut jobs = Vec::new();
    for entry in top.list("job", notes) {
        let Some(fields) = Fields::of("[[job]]", entry, KEYS, notes) else { continue };
        let name = fields.name("name", "hook 7: a chain", notes);
        let tell = fields.name("tell", "the customer, by telephone", notes);
        let pieces =
            fields.list("pieces", notes).into_iter().filter_map(|entry| piece(entry, notes)).collect();
        let check = fields.get("check").and_then(|value| range("check", value, notes));
        let awaits =
            fields.list("awaits", notes).into_iter().filter_map(|entry| awaited(entry, notes)).collect();
        let promised = fields.day_if("promised", notes);
        let (Some(name), Some(tell)) = (name, tell) else { continue };
        jobs.push(OpenJob { name, tell, pieces, check, awaits, promised });
    }
    jobs
}

fn piece(entry: Given<'_, '_>, notes: &mut Notes) -> Option<WorkPiece> {
    let fields = Fields::of("a piece of work", entry, &["words", "skill", "minutes"], notes)?;
    let words = fields.name("words", "taking off; parked with the parts bagged", notes);
    let skills = [Skill::Learner, Skill::Mechanic, Skill::Specialist].map(|skill| (skill.words(), skill));
    let skill = fields.one_of("skill", &skills, notes);
    let minutes =
        fields.want("minutes", "[50, 60, 80]", notes).and_then(|value| range("minutes", value, notes));
    Some(WorkPiece { words: words?, skill: skill?, minutes: minutes? })
}

fn range(key: &str, value: Given<'_, '_>, notes: &mut Notes) -> Option<Range> {
    let [p50, p80, p95] = notes.keep(rising(key, value, MOST_MINUTES))?.map(f64::from);
    Some(Range { p50, p80, p95 })
}

fn awaited(entry: Given<'_, '_>, notes: &mut Notes) -> Option<Awaited> {
    let fields = Fields::of("a part that is waited for", entry, &["what", "supplier", "due"], notes)?;
    let what = fields.name("what", "rear wheel", notes);
    let supplier = fields.name("supplier", "wheels", notes);
    let due = fields.day("due", notes);
    Some(Awaited { what: what?, supplier: supplier?, due: due? })
}
