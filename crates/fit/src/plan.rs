//! The answer: everything that is known of a refit before the strip.

use crate::answers::explain;
use crate::build::{Build, When};
use crate::cures::{couplings, cures};
use crate::finding::{Act, Cure, Finding, Hazard, Verdict};
use crate::flags::flags;
use crate::geometry::{Geometry, geometry};
use crate::heal::{Added, heal};
use crate::judge::judge;
use crate::measure_first::{ToMeasure, to_measure};
use crate::nothing_chosen::{NothingChosen, open_for_the_wish};
use crate::own_rule::{OwnFinding, OwnRule, judge_own, own_rule_forbids};
use crate::pairs::{Pair, pairs};
use crate::parts_list::{PartsList, parts_list};
use crate::refit::Refit;
use crate::rule::{Audience, Coupling, Rule, Warning};
use catalog::Catalogue;

/// The plan of a refit.
#[derive(Clone, Debug)]
pub struct Plan {
    /// What the job is called.
    pub name: String,
    /// The worst verdict of all findings.
    pub verdict: Verdict,
    /// One finding for each interface that the refit touches, in the order of the walk round the bike.
    pub findings: Vec<Finding>,
    /// What the shop's own rules found, in their order.
    pub own: Vec<OwnFinding>,
    /// The gears of the bike as found.
    pub gears_before: Vec<Pair>,
    /// The gears after the refit.
    pub gears_after: Vec<Pair>,
    /// The shape of chain, cages, cables and hands after the refit.
    pub geometry: Geometry,
    /// Parts put on the list as a matter of course.
    pub added: Vec<Added>,
    /// What to order.
    pub parts: PartsList,
    /// What to measure, best first.
    pub to_measure: Vec<ToMeasure>,
    /// The refusal that ends the job, if there is one: nothing more is measured, ordered or sold.
    pub stopped: Option<&'static Rule>,
    /// Where a wish has no parts yet: no verdict on it stands, only what to measure.
    pub nothing_chosen: Option<NothingChosen>,
    /// What stands at the head of every sheet: where overlooking it hurts somebody.
    pub flags: Vec<&'static str>,
    /// Those of them that concern whoever rides it as well.
    pub flags_for_customer: Vec<&'static str>,
    /// Cautions with the harm they warn of, worst first.
    pub cautions: Vec<Caution>,
    /// The chains of dependence that the chosen and added parts pull.
    pub pulls: Vec<Coupling>,
    /// The bike before and after, added parts included.
    pub build: Build,
    /// What the customer said.
    pub refit: Refit,
}

/// A caution and the harm that it warns of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// Whom it speaks to.
    pub audience: Audience,
    /// The harm.
    pub hazard: Hazard,
    /// The caution.
    pub words: &'static str,
}

impl Plan {
    /// The cautions that a reader has to mind, worst first.
    pub fn cautions_for(&self, reader: Audience) -> impl Iterator<Item = &Caution> {
        let minds = move |caution: &&Caution| [Audience::Everybody, reader].contains(&caution.audience);
        self.cautions.iter().filter(minds)
    }
}

/// Rules whose refusal ends the whole job: a cracked frame is not refitted with other parts.
const ENDS_THE_JOB: &[&str] = &["frame-damage", "fork-damage"];

/// The sentence that every sheet carries.
pub const MAKER_WINS: Caution = Caution {
    audience: Audience::Everybody,
    hazard: Hazard::Rider,
    words: "the figure that the maker prints on a part or in its leaflet wins over every figure here, and local rules come first",
};

/// Works out the plan of a refit from a catalogue.
///
/// Pure: the same refit and catalogue give the same plan.
pub fn plan(refit: &Refit, catalogue: &Catalogue) -> Plan {
    plan_with(refit, catalogue, &[])
}

/// As [`plan`], with the shop's own rules judged beside the built-in ones: they count as they do, and a way out that
/// one of them forbids is not offered.
pub fn plan_with(refit: &Refit, catalogue: &Catalogue, own_rules: &[OwnRule]) -> Plan {
    let asked = Build::new(refit);
    let as_chosen = judge(&asked);
    let (build, added) = heal(&asked, catalogue);
    let judged = if added.is_empty() { as_chosen.clone() } else { judge(&build) };
    let mut findings: Vec<Finding> = judged
        .iter()
        .map(|finding| match added.iter().find(|added| added.rule == finding.rule) {
            Some(added) => with_added_part(finding, &as_chosen, added),
            None => finding.clone(),
        })
        .collect();
    let mut own = judge_own(own_rules, &build, &findings);
    for finding in &mut findings {
        match finding.verdict {
            // A refusal is not overridden, but another part in place of the refused one is a way out.
            Verdict::Fails | Verdict::Marginal | Verdict::Refused => {
                finding.cures = cures(&build, &judged, finding, catalogue);
                finding.cures.retain(|cure| !own_rule_forbids(cure, own_rules, &build, &own));
            }
            Verdict::Measure => explain(&build, finding),
            Verdict::Works | Verdict::Remedy => {}
        }
    }
    let mut pulls: Vec<Coupling> =
        build.choice.iter().flat_map(|part| couplings(part.slot())).copied().collect();
    pulls.sort();
    pulls.dedup();
    let ends =
        |finding: &&Finding| finding.verdict == Verdict::Refused && ENDS_THE_JOB.contains(&finding.rule.id);
    let stopped = findings.iter().find(ends).map(|finding| finding.rule);
    if stopped.is_some() {
        findings.retain(|finding| finding.verdict != Verdict::Measure);
        own.retain(|own| own.verdict != Verdict::Measure);
    }
    let nothing_chosen = NothingChosen::of(refit).filter(|_| stopped.is_none());
    let (parts, to_measure) = match stopped {
        Some(_) => (PartsList::default(), Vec::new()),
        None => {
            let open = nothing_chosen.map(|_| open_for_the_wish(refit, catalogue)).unwrap_or_default();
            let mut waiting = findings.clone();
            waiting.extend(open.findings);
            let mut list = to_measure(&waiting, &own);
            // The order within stays: verdicts decided per minute.
            if nothing_chosen.is_some() {
                list.sort_by_key(|wanted| {
                    !wanted.waits.iter().any(|rule| open.first.contains(&rule.as_ref()))
                });
            }
            (parts_list(&build, &added, &findings, catalogue), list)
        }
    };
    let verdict = worst_with(&findings, &own);
    let told = flags(&build, &findings, stopped.is_some());
    Plan {
        name: refit.name.clone(),
        stopped,
        flags_for_customer: told
            .iter()
            .filter(|(to, _)| *to != Audience::Technician)
            .map(|(_, flag)| *flag)
            .collect(),
        flags: told.into_iter().map(|(_, flag)| flag).collect(),
        // What works with nothing changed says nothing of the wish.
        verdict: if nothing_chosen.is_some() { verdict.max(Verdict::Measure) } else { verdict },
        nothing_chosen,
        gears_before: pairs(&build, When::Before),
        gears_after: pairs(&build, When::After),
        geometry: geometry(&build, catalogue),
        parts,
        to_measure,
        cautions: cautions(&build, &findings),
        pulls,
        added,
        own,
        findings,
        build,
        refit: refit.clone(),
    }
}

/// The worst verdict of all; what an own rule overrides openly counts as works, though its finding stays.
fn worst_with(findings: &[Finding], own: &[OwnFinding]) -> Verdict {
    let overridden = |rule: &Rule| own.iter().any(|own| own.overrides().is_some_and(|other| other == rule));
    let built_in = findings.iter().map(|finding| match finding.verdict {
        Verdict::Marginal if overridden(finding.rule) => Verdict::Works,
        verdict => verdict,
    });
    built_in.chain(own.iter().map(|own| own.verdict)).max().unwrap_or(Verdict::Works)
}

/// The finding as it stands without the part, with the part as its remedy.
fn with_added_part(healed: &Finding, as_chosen: &[Finding], added: &Added) -> Finding {
    let without = as_chosen.iter().find(|finding| finding.rule == healed.rule).unwrap_or(healed);
    let mut finding = without.clone();
    finding.verdict = healed.verdict.max(Verdict::Remedy);
    finding.without = Some(without.verdict);
    finding.missing = healed.missing.clone();
    finding.cures = vec![Cure {
        price: added.part.price(),
        days: added.part.lead_days(),
        pulls: couplings(added.part.slot()).to_vec(),
        ..Cure::by(Act::Fit(added.part.clone()), healed.verdict)
    }];
    finding
}

fn cautions(build: &Build, findings: &[Finding]) -> Vec<Caution> {
    let mut list = vec![MAKER_WINS];
    for finding in findings {
        let sentences = finding
            .rule
            .caution
            .filter(|caution| caution.concerns(build))
            .into_iter()
            .flat_map(Warning::sentences);
        for (audience, words) in sentences {
            // Two rules may warn alike.
            if !list.iter().any(|other| other.audience == audience && other.words == words) {
                list.push(Caution { audience, hazard: finding.rule.hazard, words });
            }
        }
    }
    list[1..].sort_by_key(|caution| std::cmp::Reverse(caution.hazard));
    list
}
