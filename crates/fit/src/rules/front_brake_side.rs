//! Which lever works the front brake?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::{Line, line, spoken_of};
use catalog::{Dimension, LeverSide, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "front-brake-side",
    title: "which lever works the front brake?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Levers],
    cured_by: &[],
    heals: None,
    silent_without: &[],
    sentence: "the rider says which lever works the front brake, and every sheet says it again; with hoses it is asked before anything is ordered",
    long: "Countries and riders differ, and a hand that squeezes the wrong lever hard throws the rider over the bar. \
           With cables the sides are changed in minutes, so an answer is welcome and not waited for; with hoses it \
           means a new hose and a bleed, so the job waits for the answer. The rule never says which side is right.",
    source: "common practice; local rules win",
    caution: Some(Warning::Each {
        technician: "before the bike leaves: squeeze the lever that the sheet names and see that the FRONT wheel stops",
        customer: "the front brake is on the lever that this sheet names: try it at walking pace before the first ride",
    }),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let Some(line) = line(ask) else { return Checked::CannotTell };
    // What is said of the bike to come wins; else the rider keeps the habit.
    let when = if spoken_of(ask, After, Dimension::FrontBrakeLever) { After } else { Before };
    if line == Line::Cable && !spoken_of(ask, when, Dimension::FrontBrakeLever) {
        return Judgement::new(Verdict::Works)
            .says("which lever works the front brake was not asked: the sides stay as they are on the bike")
            .done();
    }
    match ask.word::<LeverSide>(when, Dimension::FrontBrakeLever) {
        Some(LeverSide::Left) => Judgement::new(Verdict::Works).says("FRONT BRAKE: LEFT LEVER").done(),
        Some(LeverSide::Right) => Judgement::new(Verdict::Works).says("FRONT BRAKE: RIGHT LEVER").done(),
        None => Checked::CannotTell,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, word};

    fn bench(fluid: &'static str) -> Bench {
        Bench::of(&RULE).chosen(Dimension::LeverFluid, word(fluid))
    }

    #[test]
    fn the_side_stands_on_every_sheet_in_capitals() {
        let right = bench("mineral").found(Dimension::FrontBrakeLever, word("right")).gives(Verdict::Works);
        assert_eq!(right.steps, ["FRONT BRAKE: RIGHT LEVER"]);
        let left = bench("cable").found(Dimension::FrontBrakeLever, word("left")).gives(Verdict::Works);
        assert_eq!(left.steps, ["FRONT BRAKE: LEFT LEVER"]);
    }

    #[test]
    fn the_bike_to_come_wins_over_the_habit() {
        let finding = bench("mineral")
            .found(Dimension::FrontBrakeLever, word("left"))
            .chosen(Dimension::FrontBrakeLever, word("right"))
            .gives(Verdict::Works);
        assert_eq!(finding.steps, ["FRONT BRAKE: RIGHT LEVER"]);
    }

    #[test]
    fn hoses_wait_for_the_answer_and_cables_do_not() {
        let finding = bench("mineral").gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::FrontBrakeLever);
        assert!(bench("cable").gives(Verdict::Works).steps[0].contains("not asked"));
    }

    #[test]
    fn without_the_line_nothing_can_be_told() {
        let finding = bench("cable").without(Dimension::LeverFluid).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::LeverFluid);
    }
}
