//! Which blocks are said, by the findings and the parts of a plan and by its money.

use super::{Said, TextBlocks};
use crate::estimate::{Ceiling, Told};
use crate::labour::Circumstances;
use crate::risk::{Faced, Standing};
use catalog::Slot;
use fit::words::cure_words;
use fit::{Act, Cure, Finding, Plan, Verdict};

/// What is said of a plan: which blocks, by its findings and its parts.
pub(crate) fn of_plan(plan: &Plan, blocks: &TextBlocks) -> Vec<Said> {
    let mut said = Vec::new();
    let mut say = |id: &str, with: &[(&str, &str)]| said.extend(blocks.say(id, with));
    let open = plan.to_measure.len();
    let marginal = marginal(plan);
    if plan.verdict == Verdict::Measure {
        let count = if open == 1 { "one thing".to_owned() } else { format!("{open} things") };
        say("provisional", &[("count", &count)]);
    } else if marginal.is_empty() && plan.verdict <= Verdict::Remedy {
        say("fits", &[]);
    }
    if !marginal.is_empty() {
        say("amber", &[("names", &format!("{}.", marginal.join("; ")))]);
    }
    let rule = |id: &str| plan.findings.iter().find(|finding| finding.rule.id == id);
    if rule("index").is_some_and(|finding| finding.verdict == Verdict::Marginal) {
        say("families", &[]);
    }
    if plan.build.changes(Slot::Cables) {
        say("settling", &[]);
    }
    let number = |finding: &Finding, name: &str| finding.number(name).map(fit::words::number_words);
    // The old chain stays, or was exchanged as its own remedy.
    if let Some(worn) = rule("chain-wear").filter(|finding| finding.verdict >= Verdict::Remedy)
        && let (Some(worn), Some(allowed)) = (number(worn, "worn"), number(worn, "allowed"))
    {
        say("wear", &[("worn", &worn), ("allowed", &allowed)]);
    }
    if let Some(wish) = rule("wish-lowest-gear")
        && let Some(easier) = wish.number("easier").filter(|easier| easier.value > 0.0)
    {
        let id = if wish.verdict == Verdict::Works { "gain" } else { "small-gain" };
        say(id, &[("percent", &fit::words::number_words(easier))]);
    }
    let mut places = Vec::new();
    if plan.build.before.has(Slot::Tape) || plan.build.changes(Slot::Tape) {
        places.push("under the tape");
    }
    if plan.build.changes(Slot::BottomBracket) {
        places.push("inside the shell");
    }
    if !places.is_empty() {
        say("hidden", &[("places", &places.join(" and "))]);
    }
    said
}

/// What works only just, by the built-in rules and by the shop's own, each in a few words.
pub(crate) fn marginal(plan: &Plan) -> Vec<String> {
    let built_in = plan.findings.iter().filter(|finding| finding.verdict == Verdict::Marginal).map(answered);
    let own = plan.own.iter().filter(|own| own.verdict == Verdict::Marginal);
    built_in.chain(own.map(|own| own.rule.says.clone())).collect()
}

/// What is said of the money.
pub(crate) fn of_money(
    told: &Told,
    ceiling: &Ceiling,
    faced: &[Faced],
    circumstances: Circumstances,
    blocks: &TextBlocks,
) -> Vec<Said> {
    let [expected, in_mind, amount] = [told.expected, told.in_mind, ceiling.amount].map(|it| it.to_string());
    let mut said = Vec::new();
    let spared: Vec<&str> = faced
        .iter()
        .filter(|faced| faced.standing == Standing::Spared)
        .map(|faced| faced.risk.words.as_str())
        .collect();
    if !spared.is_empty() {
        said.extend(blocks.say("tried", &[("parts", &spared.join(", "))]));
    }
    if circumstances.customer_parts {
        said.extend(blocks.say("own-parts", &[]));
    }
    let (id, with) = if ceiling.named && told.is_over(ceiling) {
        ("over-ceiling", vec![("ceiling", &*amount), ("expected", &*expected)])
    } else if ceiling.named {
        ("your-ceiling", vec![("ceiling", &*amount), ("in_mind", &*in_mind)])
    } else {
        ("money", vec![("expected", &*expected), ("in_mind", &*in_mind), ("ceiling", &*amount)])
    };
    said.extend(blocks.say(id, &with));
    said.extend(blocks.say("no-answer", &[]));
    said
}

/// The question of a finding with its answer in a few words.
pub(crate) fn answered(finding: &Finding) -> String {
    match fit::words::steps(finding).pop() {
        Some(answer) => format!("{} {answer}", finding.rule.title),
        None => finding.rule.title.to_owned(),
    }
}

/// What mends it, by the names of the parts where it is parts: what they do to the gears stands elsewhere.
pub(crate) fn plain_cure(cure: &Cure) -> String {
    let name = |act: &Act| match act {
        Act::Fit(part) => Some(part.name().to_owned()),
        _ => None,
    };
    let names: Option<Vec<String>> = cure.acts.iter().map(name).collect();
    names.filter(|names| !names.is_empty()).map_or_else(|| cure_words(cure), |names| names.join(" and "))
}

/// What a finding comes to in a few words: its last deduction, or the question where there is none.
pub(crate) fn short(finding: &Finding) -> String {
    fit::words::steps(finding).pop().unwrap_or_else(|| finding.rule.title.to_owned())
}
