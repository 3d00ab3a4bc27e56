//! Does the steerer end where the new stem can be clamped and the bearings set?

use crate::ask::Ask;
use crate::build::When::{After, Before};
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use crate::rules::brake_line::spoken_of;
use crate::rules::room::{inside, tightest};
use catalog::{Dimension, Slot};
use quantity::Span;

/// Least and most that the steerer may end below the upper edge of the stem.
const GAP_MM: (f64, f64) = (3.0, 5.0);

/// The rule.
pub static RULE: Rule = Rule {
    id: "stem-gap",
    title: "does the steerer end where the stem can be clamped and the bearings set?",
    coupling: Coupling::Hands,
    hazard: Hazard::Rider,
    touches: &[Slot::Stem],
    cured_by: &[Slot::Stem],
    heals: None,
    silent_without: &[Dimension::SteererStands],
    sentence: "the steerer must end 3 to 5 mm below the upper edge of stem and spacers",
    long: "If it ends higher, the cap meets the steerer and the bearings cannot be set; if it ends lower, the upper \
           bolt of the stem clamps air. Spacers are taken to stay as they are: too little gap is cured by another \
           spacer, too much by taking spacers out, as far as there are any. Whether a spacer may or must lie above \
           the stem on a carbon steerer, and how many under it, the leaflet of the fork says: makers disagree. The \
           rule speaks only where somebody measured how far the steerer stands up.",
    source: "at most 5 mm, no thread in the clamp: a traffic bureau's text of ISO 4210-2, 4.7.4; at least 3 mm: common practice",
    caution: Some(Warning::Technician(
        "a carbon steerer takes no star nut, and its expander must cover the clamp of the stem; the leaflet of the fork wins",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    if !spoken_of(ask, Before, Dimension::SteererStands) {
        return Checked::NotTouched;
    }
    let stands = ask.number(Before, Dimension::SteererStands);
    let height = ask.number(After, Dimension::StemHeight);
    let spacers = ask.number(Before, Dimension::Spacers);
    let (Some(stands), Some(height), Some(spacers)) = (stands, height, spacers) else {
        return Checked::CannotTell;
    };
    let gap = spacers + height - stands;
    let rooms = inside(gap, Span::exact(GAP_MM.0), Span::exact(GAP_MM.1));
    let [low, high] = rooms.map(|room| ask.bands(room, &[(0.0, Verdict::Works)]));
    let judged = |verdict| {
        Judgement::new(verdict)
            .margin(tightest(&rooms), "mm", 1)
            .number(Number::difference("gap", gap, "mm", 1))
            .says("the steerer ends {gap} below the upper edge of the stem")
    };
    let cure = |work| Cure::by(Act::Work(work), Verdict::Works);
    match (low, high) {
        (Verdict::Works, Verdict::Works) => judged(Verdict::Works).done(),
        (Verdict::Fails, _) => judged(Verdict::Works)
            .says("the cap meets the steerer before it presses on the bearings")
            .remedy(Verdict::Fails, cure("add spacers of 2, 3 or 5 mm until 3 to 5 mm of gap are left"))
            .done(),
        (_, Verdict::Fails) => match ask.bands(spacers - (gap - GAP_MM.1), &[(0.0, Verdict::Remedy)]) {
            Verdict::Remedy => judged(Verdict::Works)
                .says("the upper bolt of the stem clamps no steerer")
                .remedy(Verdict::Fails, cure("take spacers out until 3 to 5 mm of gap are left"))
                .done(),
            Verdict::Measure => {
                judged(Verdict::Measure).says("whether enough spacers can come out is not clear").done()
            }
            _ => judged(Verdict::Fails).says("the steerer is too short for this stem").done(),
        },
        _ => judged(Verdict::Measure).done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm};

    fn bench(stands_mm: f64, height_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::SteererStands, mm(stands_mm, 0.2))
            .found(Dimension::Spacers, mm(20.0, 0.2))
            .chosen(Dimension::StemHeight, mm(height_mm, 0.2))
    }

    #[test]
    fn four_millimetres_of_gap_work() {
        let finding = bench(56.0, 40.0).gives(Verdict::Works);
        assert!((finding.number("gap").unwrap().value - 4.0).abs() < 1e-9);
    }

    #[test]
    fn a_lower_stem_takes_spacers_and_a_higher_one_takes_them_out() {
        bench(56.0, 36.0).gives(Verdict::Remedy);
        bench(56.0, 46.0).gives(Verdict::Remedy);
    }

    #[test]
    fn a_steerer_that_is_too_short_fails() {
        bench(28.0, 40.0).gives(Verdict::Fails);
    }

    #[test]
    fn a_gap_at_the_limit_is_measured_again() {
        bench(55.0, 40.0).gives(Verdict::Measure);
    }

    #[test]
    fn nothing_is_said_where_nobody_measured_the_steerer() {
        assert!(bench(56.0, 40.0).without(Dimension::SteererStands).finding().is_none());
    }

    #[test]
    fn without_the_rest_nothing_can_be_told() {
        let finding = bench(56.0, 40.0).without(Dimension::StemHeight).gives(Verdict::Measure);
        assert_eq!(finding.missing[0].dimension, Dimension::StemHeight);
        let spacers = Bench::of(&RULE)
            .found(Dimension::SteererStands, mm(56.0, 0.2))
            .chosen(Dimension::StemHeight, mm(40.0, 0.2));
        assert_eq!(spacers.gives(Verdict::Measure).missing[0].dimension, Dimension::Spacers);
    }
}
