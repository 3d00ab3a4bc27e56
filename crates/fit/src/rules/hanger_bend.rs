//! Can the hanger be brought straight?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, FrameMaterial, HangerKind, Slot, Value};
use mechanics::derailleur::{hanger_angle, hanger_slope};
use quantity::{Angle, Length, Reading, Span};

/// Above this over the span of the gauge, about one degree, the hanger is bent rather than out of line.
const BENT_MM: f64 = 10.0;
/// The span over which the gauge reads.
const GAUGE_SPAN: Length = Length::mm(600.0);

/// The rule.
pub static RULE: Rule = Rule {
    id: "hanger-bend",
    title: "can the hanger be brought straight?",
    coupling: Coupling::Indexing,
    hazard: Hazard::Function,
    touches: &[Slot::Cassette, Slot::RearDerailleur, Slot::Levers, Slot::Shifters],
    cured_by: &[],
    heals: None,
    silent_without: &[],
    sentence: "a hanger less than 10 mm out over 600 mm is brought in line with every refit; beyond that it is bent",
    long: "Aligning the hanger is part of every refit, so what has to be known before the strip is whether it can be \
           aligned at all. From about one degree on a bolted hanger is exchanged, steel is straightened, and a hanger \
           that is one piece with an aluminium frame may break at the first attempt: the customer is told before. \
           After the work 4 mm may remain for 8 to 10 cogs and 2 mm for 11 and 12.",
    source: "angle and slope: geometry; 10, 4 and 2 mm over 600 mm: common practice, sources disagree (1 to 4 mm)",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let Some(bend) = ask.number(After, Dimension::HangerBend) else { return Checked::CannotTell };
    let angle = bend.map_monotone(|mm| hanger_angle(Length::mm(mm), GAUGE_SPAN).to_deg());
    let slope = angle.map_monotone(|deg| hanger_slope(Angle::deg(deg)).to_mm());
    let allowed = match ask.build.reading(Slot::Cassette, After, Dimension::Cogs) {
        Reading::Taken(Value::Teeth(cogs)) if cogs.value.len() >= 11 => 2.0,
        _ => 4.0,
    };
    let verdict = ask.bands(-bend + BENT_MM, &[(0.0, Verdict::Works)]);
    let judged = |verdict| {
        Judgement::new(verdict)
            .margin(-bend + BENT_MM, "mm", 1)
            .number(Number::new("bend", bend, "mm", 1))
            .number(Number::new("angle", angle, "°", 2))
            .number(Number::new("slope", slope, "mm", 2))
            .number(Number::new("allowed", Span::exact(allowed), "mm", 0))
            .says("the gauge shows {bend} over 600 mm, {angle}: {slope} of error across the cassette that no adjuster cures")
    };
    match verdict {
        Verdict::Works => {
            return judged(verdict)
                .says("it is aligned to {allowed} or better before the derailleur goes on")
                .done();
        }
        Verdict::Measure => {
            return judged(verdict).says("too near to the limit to say whether it is bent").done();
        }
        _ => {}
    }
    let kind = ask.word::<HangerKind>(After, Dimension::HangerKind);
    let Some(kind) = kind else { return Checked::CannotTell };
    if kind == HangerKind::Bolted {
        let cure = Cure::by(Act::Work("order a new hanger for this frame and exchange it"), Verdict::Works);
        return judged(Verdict::Fails)
            .remedy(Verdict::Fails, cure)
            .says("it is bent, and it can be exchanged")
            .done();
    }
    let Some(material) = ask.word::<FrameMaterial>(After, Dimension::FrameMaterial) else {
        return Checked::CannotTell;
    };
    match material {
        FrameMaterial::Steel => {
            let cure = Cure::by(Act::Work("straighten the hanger; steel takes it"), Verdict::Works);
            judged(Verdict::Fails).remedy(Verdict::Fails, cure).says("it is bent, and steel can be straightened").done()
        }
        FrameMaterial::Carbon => judged(Verdict::Fails).says("it is one piece with a carbon frame and cannot be straightened").done(),
        FrameMaterial::Aluminium | FrameMaterial::Titanium => judged(Verdict::Marginal)
            .says("it is one piece with the frame: it may break when it is straightened, and the customer must know before")
            .done(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, word};

    fn bench(bend_mm: f64, kind: &'static str, material: &'static str) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::HangerBend, mm(bend_mm, 1.0))
            .found(Dimension::HangerKind, word(kind))
            .found(Dimension::FrameMaterial, word(material))
            .chosen(Dimension::RatedCog, crate::bench::count(30))
    }

    #[test]
    fn a_hanger_out_of_line_is_aligned() {
        bench(2.0, "one-piece", "aluminium").gives(Verdict::Works);
    }

    #[test]
    fn a_bent_hanger_is_exchanged_straightened_or_a_risk() {
        bench(14.0, "bolted", "aluminium").gives(Verdict::Remedy);
        bench(14.0, "one-piece", "steel").gives(Verdict::Remedy);
        bench(14.0, "one-piece", "aluminium").gives(Verdict::Marginal);
        bench(14.0, "one-piece", "carbon").gives(Verdict::Fails);
    }

    #[test]
    fn without_the_gauge_nothing_can_be_told() {
        bench(2.0, "bolted", "steel").without(Dimension::HangerBend).gives(Verdict::Measure);
        bench(14.0, "bolted", "steel").without(Dimension::HangerKind).gives(Verdict::Measure);
    }
}
