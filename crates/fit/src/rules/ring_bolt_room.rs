//! Is there room for the bolts inside the smallest ring?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Hazard, Number, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule};
use catalog::standards::bolt_circle::TABLE;
use catalog::{Dimension, Slot};
use mechanics::crank::bolt_room;
use quantity::{Length, Span};

/// How far a circle may be off and still be the one of the table.
const SAME_MM: f64 = 0.3;
/// Room between bolt circle and pitch circle that every evenly spaced pair of the table has.
const ROOM_MM: f64 = 10.6;
/// Room of the one pair of the table with recessed bolts.
const RECESSED_MM: f64 = 8.7;

/// The rule.
pub static RULE: Rule = Rule {
    id: "ring-bolt-room",
    title: "is there room for the bolts inside the smallest ring?",
    coupling: Coupling::Front,
    hazard: Hazard::Damage,
    touches: &[Slot::Chainrings],
    cured_by: &[Slot::Chainrings],
    heals: None,
    silent_without: &[],
    sentence: "a ring on a bolt circle must have at least the teeth that leave the bolts clear of the chain",
    long: "Below the smallest ring of a circle the chain runs on the bolts or the spider. The tables of the trade give \
           it for each circle; where two of them disagree by a tooth, the smaller is a trial. For a circle that is \
           in no table the pitch circle of the ring must stand 10.6 mm outside the bolt circle, as it does for all \
           known pairs but one with recessed bolts, which has 8.7 mm. A crankset sold with its rings is not asked.",
    source: "bolt circle tables of the trade, `standards::bolt_circle`; 10.6 mm: arithmetic on them",
    caution: None,
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let holes = ask.count(After, Dimension::RingHoles);
    let circle = ask.number(After, Dimension::RingCircle);
    let rings = ask.teeth(After, Dimension::Rings);
    let (Some(holes), Some(circle), Some(rings)) = (holes, circle, rings) else { return Checked::CannotTell };
    let Some(smallest) = rings.iter().min().copied() else { return Checked::CannotTell };
    let room = circle.map_monotone(|mm| bolt_room(smallest, Length::mm(mm)).to_mm());
    let teeth = Span::exact(smallest.to_f64());
    let judged = |verdict, margin, unit, decimals| {
        Judgement::new(verdict)
            .margin(margin, unit, decimals)
            .number(Number::new("ring", teeth, "teeth", 0))
            .number(Number::new("circle", circle, "mm", 1))
            .number(Number::new("room", room, "mm", 1))
            .says("the pitch circle of a ring of {ring} stands {room} outside a bolt circle of {circle}")
    };
    match smallest_rings(holes, circle) {
        Known::Table(rings) => {
            let (least, most) = (rings.iter().min(), rings.iter().max());
            let (Some(least), Some(most)) = (least.copied(), most.copied()) else {
                return Checked::CannotTell;
            };
            let margin = teeth - f64::from(most);
            let trial = f64::from(least) - f64::from(most);
            let verdict = ask.bands(margin, &[(0.0, Verdict::Works), (trial, Verdict::Marginal)]);
            let judged = judged(verdict, margin, "teeth", 0).number(Number::new(
                "smallest",
                Span::exact(f64::from(most)),
                "teeth",
                0,
            ));
            match verdict {
                Verdict::Works => judged.says("the smallest ring for this circle has {smallest}").done(),
                Verdict::Marginal => judged
                    .says("most lists end at {smallest}; one goes lower: try it with the bolts in")
                    .done(),
                _ => judged.says("below {smallest} the chain runs on the bolts").done(),
            }
        }
        Known::Nothing => {
            let verdict = ask
                .bands(room - ROOM_MM, &[(0.0, Verdict::Works), (RECESSED_MM - ROOM_MM, Verdict::Marginal)]);
            judged(verdict, room - ROOM_MM, "mm", 1)
                .says("no table has this circle; known pairs have 10.6 mm and more")
                .done()
        }
        Known::Unclear => {
            ask.again();
            judged(Verdict::Measure, room - ROOM_MM, "mm", 1)
                .says("the reading does not tell which circle of the tables it is")
                .done()
        }
    }
}

/// What the tables say of a circle.
enum Known {
    /// The smallest rings that they give.
    Table(Vec<u32>),
    /// No table has it.
    Nothing,
    /// The tolerance leaves it open.
    Unclear,
}

fn smallest_rings(holes: u32, circle: Span) -> Known {
    let near = |row: &&catalog::standards::bolt_circle::Row| {
        let mm = row.circle.to_mm();
        row.holes == holes && circle.least() - SAME_MM <= mm && mm <= circle.most() + SAME_MM
    };
    let rows: Vec<_> = TABLE.iter().filter(near).collect();
    let Some(first) = rows.first() else { return Known::Nothing };
    let one = rows.iter().all(|row| row.circle == first.circle);
    let inside = circle - first.circle.to_mm();
    if !one || inside.least() < -SAME_MM - 1e-6 || inside.most() > SAME_MM + 1e-6 {
        return Known::Unclear;
    }
    let rings: Vec<u32> = rows.iter().filter_map(|row| row.smallest_ring).collect();
    if rings.is_empty() { Known::Nothing } else { Known::Table(rings) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, count, mm, teeth};

    fn bench(holes: u32, circle_mm: f64, rings: &[i64]) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::RingHoles, count(holes))
            .chosen(Dimension::RingCircle, mm(circle_mm, 0.1))
            .chosen_in(catalog::Slot::Chainrings, Dimension::Rings, teeth(rings))
    }

    #[test]
    fn the_smallest_ring_of_the_table_works() {
        bench(5, 130.0, &[53, 38]).gives(Verdict::Works);
        bench(4, 104.0, &[32]).gives(Verdict::Works);
    }

    #[test]
    fn a_smaller_ring_runs_on_the_bolts() {
        bench(5, 130.0, &[50, 37]).gives(Verdict::Fails);
    }

    #[test]
    fn where_the_tables_disagree_by_a_tooth_it_is_a_trial() {
        bench(5, 110.0, &[48, 34]).gives(Verdict::Works);
        bench(5, 110.0, &[48, 33]).gives(Verdict::Marginal);
        bench(5, 110.0, &[48, 32]).gives(Verdict::Fails);
    }

    #[test]
    fn a_circle_of_no_table_is_judged_by_its_room() {
        // 12.7 / (2 sin(π/44)) = 89.0 mm less 60 mm leave 29 mm; 30 teeth leave 0.8 mm.
        bench(4, 120.0, &[44]).gives(Verdict::Works);
        bench(4, 120.0, &[30]).gives(Verdict::Fails);
    }

    #[test]
    fn a_coarse_reading_does_not_tell_which_circle() {
        let coarse = bench(5, 129.0, &[38]).chosen(Dimension::RingCircle, mm(129.0, 2.0));
        coarse.gives(Verdict::Measure);
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::RingHoles, Dimension::RingCircle] {
            bench(5, 130.0, &[53, 39]).without(dimension).gives(Verdict::Measure);
        }
        Bench::of(&RULE).chosen(Dimension::RingHoles, count(5)).gives(Verdict::Measure);
    }
}
