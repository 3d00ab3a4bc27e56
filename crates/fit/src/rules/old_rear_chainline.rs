//! Can the gap from the smallest cog to the locknut be believed?

use crate::ask::Ask;
use crate::build::When::Before;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::{Dimension, Value};
use quantity::Stand;

/// On a 130 mm hub the middle of a cassette does not lie further out than this.
const MOST_MM: f64 = 45.0;
/// Hubs this wide or narrower.
const NARROW_HUB_MM: f64 = 131.0;

/// The rule.
pub static RULE: Rule = Rule {
    id: "old-rear-chainline",
    title: "can the gap from the smallest cog to the locknut be believed?",
    coupling: Coupling::Record,
    hazard: Hazard::Function,
    touches: &[],
    cured_by: &[],
    heals: None,
    silent_without: &[],
    sentence: "the middle of the cassette on a hub of 130 mm lies at most 45 mm from the middle of the wheel",
    long: "The rear chainline follows from hub width, the gap at the smallest cog and the cog pitch. If it comes out \
           beyond 45 mm on a 130 mm hub, the gap was mis-read. A doubt is raised only where no value \
           inside the tolerances agrees, so a coarser reading can silence it but never raise it.",
    source: "geometry; 45 mm: common practice",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let [hub, gap, thickness, pitch] =
        [Dimension::HubWidth, Dimension::SmallCogGap, Dimension::CogThickness, Dimension::CogPitch]
            .map(|dimension| ask.known_number(Before, dimension));
    let cogs = match ask.known(Before, Dimension::Cogs) {
        Some(Value::Teeth(noted)) => noted.value.len(),
        _ => return Checked::NotTouched,
    };
    let (Some(hub), Some(gap), Some(thickness), Some(pitch)) = (hub, gap, thickness, pitch) else {
        return Checked::NotTouched;
    };
    if hub.middle() > NARROW_HUB_MM {
        return Checked::NotTouched;
    }
    let middle = hub * 0.5 - gap - thickness * 0.5 - pitch * (cogs.saturating_sub(1) as f64 / 2.0);
    let doubted = (-middle).against(-MOST_MM) == Stand::Below;
    if doubted {
        ask.recount(Before, Dimension::SmallCogGap);
        ask.recount(Before, Dimension::HubWidth);
    }
    let judged = Judgement::new(if doubted { Verdict::Measure } else { Verdict::Works })
        .number(Number::new("middle", middle, "mm", 1))
        .says("the middle of the cassette lies {middle} from the middle of the wheel");
    if doubted { judged.says("the gap at the smallest cog was mis-read").done() } else { judged.done() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, mm, teeth};

    fn bench(gap_mm: f64) -> Bench {
        Bench::of(&RULE)
            .found(Dimension::HubWidth, mm(130.0, 0.5))
            .found(Dimension::SmallCogGap, mm(gap_mm, 0.3))
            .found(Dimension::CogThickness, mm(1.6, 0.0))
            .found(Dimension::CogPitch, mm(3.95, 0.0))
            .found(Dimension::Cogs, teeth(&[12, 13, 14, 15, 16, 17, 19, 21, 23, 25]))
    }

    #[test]
    fn a_usual_gap_is_believed() {
        bench(3.2).gives(Verdict::Works);
    }

    #[test]
    fn a_gap_of_nothing_is_doubted() {
        bench(0.5).gives(Verdict::Measure);
    }

    #[test]
    fn an_unmeasured_gap_checks_nothing() {
        assert!(bench(3.2).without(Dimension::SmallCogGap).finding().is_none());
    }
}
