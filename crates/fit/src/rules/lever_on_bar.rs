//! Do levers and shifters clamp on the bar?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::room::{inside, judge, tightest};
use catalog::{Dimension, Slot};
use quantity::{Reading, Span};

/// How much thinner than the clamp the bar may be.
const THINNER_MM: f64 = 0.3;
/// How much thicker than the clamp the bar may be.
const THICKER_MM: f64 = 0.4;

/// The rule.
pub static RULE: Rule = Rule {
    id: "lever-on-bar",
    title: "do levers and shifters clamp on the bar?",
    coupling: Coupling::Hands,
    hazard: Hazard::Rider,
    touches: &[Slot::Levers, Slot::Shifters, Slot::Bar],
    cured_by: &[Slot::Levers, Slot::Shifters, Slot::Bar],
    heals: None,
    silent_without: &[],
    sentence: "the bar must have the diameter of the clamp, at most 0.3 mm thinner or 0.4 mm thicker",
    long: "Drop bars are 23.8 to 24.2 mm thick where levers clamp, flat bars 22.2 mm. A band clamp opens over a bar \
           that is up to 0.4 mm thicker, and still bites on one that is 0.3 mm thinner; on a thinner bar the lever \
           turns in the hand. Shifters that do not sit on the bar are noted as not needed and are left out where \
           they stay on the bike; new ones are always asked.",
    source: "diameters and both limits: common practice",
    caution: Some(Warning::Technician(
        "a lever that turns on the bar cannot be braked with: twist it by hand with full force before the tape goes on, and keep off parts of a carbon bar that are not marked for clamps",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let bar_changes = ask.build.changes(Slot::Bar);
    let bar = ask.number(After, Dimension::BarGrip);
    let mut clamps = Vec::new();
    if bar_changes || ask.build.changes(Slot::Levers) {
        clamps.push((Slot::Levers, ask.number_in(Slot::Levers, After, Dimension::LeverClamp)));
    }
    if ask.build.changes(Slot::Shifters) || (bar_changes && keeps_shifters_on_bar(ask)) {
        clamps.push((Slot::Shifters, ask.number_in(Slot::Shifters, After, Dimension::LeverClamp)));
    }
    let known: Vec<(Slot, Span)> =
        clamps.iter().filter_map(|(slot, clamp)| clamp.map(|clamp| (*slot, clamp))).collect();
    let Some(bar) = bar else { return Checked::CannotTell };
    if known.is_empty() || known.len() < clamps.len() {
        return Checked::CannotTell;
    }
    let rooms = |clamp: Span| inside(bar - clamp, Span::exact(-THINNER_MM), Span::exact(THICKER_MM));
    let all: Vec<Span> = known.iter().flat_map(|(_, clamp)| rooms(*clamp)).collect();
    let verdict = judge(ask, &all, &[(0.0, Verdict::Works)]);
    let mut judged =
        Judgement::new(verdict).margin(tightest(&all), "mm", 2).number(Number::new("bar", bar, "mm", 1));
    for (slot, clamp) in &known {
        let (name, step) = match slot {
            Slot::Shifters => {
                ("shifters", "the bar is {bar} at the grips, the clamp of the shifters {shifters}")
            }
            _ => ("levers", "the bar is {bar} at the grips, the clamp of the levers {levers}"),
        };
        judged = judged.number(Number::new(name, *clamp, "mm", 1)).says(step);
        if verdict == Verdict::Fails && tightest(&rooms(*clamp)).middle() < 0.0 {
            let thinner = bar.middle() < clamp.middle();
            judged = judged.says(if thinner {
                "on so thin a bar it turns in the hand"
            } else {
                "the clamp does not close round the bar"
            });
        }
    }
    judged.done()
}

/// Whether the bike has separate shifters that may sit on the bar.
fn keeps_shifters_on_bar(ask: &Ask<'_>) -> bool {
    ask.build.has(Slot::Shifters, After)
        && ask.build.reading(Slot::Shifters, After, Dimension::LeverClamp) != Reading::NotNeeded
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(bar_mm: f64, clamp_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::BarGrip, mm(bar_mm, 0.1))
            .chosen(Dimension::LeverClamp, mm(clamp_mm, 0.0))
    }

    #[test]
    fn a_drop_lever_clamps_on_a_drop_bar() {
        bench(23.8, 23.8).gives(Verdict::Works);
        bench(24.1, 23.8).gives(Verdict::Works);
    }

    #[test]
    fn a_drop_lever_turns_on_a_flat_bar() {
        let finding = bench(22.2, 23.8).gives(Verdict::Fails);
        assert!((finding.margin.unwrap().span.middle() + 1.3).abs() < 1e-9);
    }

    #[test]
    fn a_flat_lever_does_not_close_on_a_drop_bar() {
        bench(23.8, 22.2).gives(Verdict::Fails);
    }

    #[test]
    fn a_bar_at_the_limit_is_measured_again() {
        bench(24.2, 23.8).gives(Verdict::Measure);
        bench(23.5, 23.8).gives(Verdict::Measure);
    }

    #[test]
    fn chosen_shifters_are_judged_beside_chosen_levers() {
        let both = bench(23.8, 23.8).chosen_in(Slot::Shifters, Dimension::LeverClamp, mm(22.2, 0.0));
        let finding = both.gives(Verdict::Fails);
        assert_eq!(finding.steps.len(), 3);
    }

    #[test]
    fn a_new_bar_asks_for_the_clamp_of_the_kept_levers() {
        let finding = Bench::of(&RULE).chosen(Dimension::BarGrip, mm(23.8, 0.0)).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].slot, Slot::Levers);
    }

    #[test]
    fn chosen_shifters_alone_leave_the_levers_alone() {
        Bench::of(&RULE)
            .found(Dimension::BarGrip, mm(22.2, 0.1))
            .chosen_in(Slot::Shifters, Dimension::LeverClamp, mm(22.2, 0.0))
            .gives(Verdict::Works);
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::BarGrip, Dimension::LeverClamp] {
            let finding = bench(23.8, 23.8).without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
