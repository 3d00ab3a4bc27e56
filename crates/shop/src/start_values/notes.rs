//! What belongs to steps beside their work: consumables, values to be written down, cautions. Common practice; what is
//! printed on a part or in its leaflet wins.

use crate::step::Step;

/// Key, consumable, value, caution; empty is none.
const ROWS: &[(&str, &str, &str, &str)] = &[
    ("talk", "", "frame number", ""),
    ("safety-look", "", "", "nobody rides a bike with a crack, a bent fork or a worn rim"),
    ("ride-as-found", "", "which gears, noises and brakes were how", ""),
    ("contact-points", "", "saddle height and setback, saddle to hood, height of the bar", ""),
    ("measure-bike", "", "every value with its tool", ""),
    ("chain-measure", "", "length over twelve pitches, mm", ""),
    ("wheel-out-measure", "", "body length, hub width, mm", ""),
    (
        "break-loose",
        "",
        "what moved and what did not",
        "force that rounds a head is written down as not moved",
    ),
    ("measure-parts", "", "the figures that count, on the part", ""),
    ("drive-off", "", "", "no hand in the drivetrain of a drive that is live"),
    ("clean-and-clamp", "cleaner", "", "never clamp a carbon or thin tube"),
    ("wash", "cleaner", "", "no pressure on bearings, seals and motors"),
    ("chain-off", "", "pitches counted", ""),
    ("cables-out", "", "lengths of the old housings, mm", "a follower goes in with every inner"),
    ("hoses-off", "", "", "brake fluid burns paint and skin: gloves, glasses"),
    ("pedals-off", "", "", "the left one has a left-hand thread"),
    (
        "bottom-bracket-out",
        "penetrating oil",
        "",
        "the drive side of an English shell has a left-hand thread",
    ),
    ("seatpost-out", "", "height of the saddle, mm", ""),
    ("saddle-off", "", "height, setback and tilt", ""),
    ("cold-set", "", "width before and after, mm", "steel only; a bonded or aluminium frame cracks"),
    (
        "hanger-align",
        "",
        "gap at four places, mm",
        "a one-piece aluminium hanger may break: warn before bending",
    ),
    ("hanger-exchange", "threadlocker", "", ""),
    ("hanger-insert", "threadlocker", "thread after", ""),
    ("shell-prepare", "cutting oil", "bore, width, mm", "chips out before bearings go in"),
    ("bore-measure", "", "bore in three directions at both ends, mm", ""),
    ("corrosion-treat", "treatment oil", "", ""),
    ("headset-service", "grease", "", ""),
    ("headset-cups-in", "grease", "gap under the cups: none", ""),
    ("steerer-cut", "", "length left, mm", "carbon: wet cut, mask, fine blade"),
    ("wheels-true", "", "run-out sideways and up, mm", ""),
    ("tension-read", "", "mean and spread of the tension", ""),
    ("hub-rear-close", "grease", "", ""),
    ("hub-front-close", "grease", "", ""),
    ("tyre-fit", "", "width inflated, pressure", "never above the figure on tyre and rim"),
    ("tubeless-seal", "sealant, valve", "pressure", "glasses on: a bead may jump"),
    ("seatpost-in", "grease or carbon paste", "depth in the frame, mm", "not above its mark"),
    ("bottom-bracket-in", "grease", "spacers on either side", ""),
    ("pressed-bearings-in", "retaining compound as the leaflet says", "", "press square or not at all"),
    ("crank-on", "grease", "", "a taper goes on clean and dry or as its maker says"),
    ("chainline-check", "", "chainline, arm to stay, ring to stay, mm", ""),
    ("pedals-on", "grease", "", "the left one has a left-hand thread"),
    ("cassette-on", "grease", "spacers behind it", ""),
    ("rotors-on", "threadlocker", "thickness, run-out, mm", "no oil on the track"),
    ("rear-derailleur-on", "grease", "", "start the bolt by finger"),
    ("front-derailleur-place", "", "height over the largest ring, mm", "not more than its torque on carbon"),
    ("rear-limits", "", "", "a cage in the spokes stops the wheel"),
    ("chain-fit", "joining link or pin", "pitches fitted, how joined", "what is cut off does not come back"),
    ("timing-chain-fit", "joining link or pin", "pitches fitted", ""),
    ("chain-oil", "chain oil", "", "no oil on rim or rotor"),
    ("b-gap-final", "", "gap at the largest cog, mm", ""),
    ("calipers-fit", "grease", "", "the bolt in its full depth"),
    ("pads-swap", "", "pad on track, front and rear", "new pads are not bedded"),
    ("disc-pads-in", "", "", "no finger on pad or rotor"),
    ("pads-bed", "", "", "new pads brake little until they are bedded"),
    ("stem-and-bar-on", "grease or carbon paste", "spacers under and over", ""),
    ("levers-on", "carbon paste on carbon", "height, angle and reach of both", ""),
    ("front-straight", "", "gap of the faceplate above and below", "even gap: a crooked faceplate cracks"),
    ("shift-housings", "housing, ferrules", "lengths as cut, mm", "both full locks before the cut"),
    ("brake-housings", "housing, ferrules", "lengths as cut, mm", "both full locks before the cut"),
    ("hoses-route", "inserts, olives", "lengths as cut, mm", "both full locks before the cut"),
    ("bleed-front", "brake fluid of its kind", "fluid used", "mineral oil and glycol fluid are never mixed"),
    ("bleed-rear", "brake fluid of its kind", "fluid used", "mineral oil and glycol fluid are never mixed"),
    ("brake-inners", "inners, tips", "", ""),
    ("rear-inner", "inner, tip", "", ""),
    ("front-inner", "inner, tip", "", ""),
    ("brakes-set", "", "pad gap, free travel of the lever, mm", "the lever stays clear of the bar"),
    ("rear-index", "", "window of the adjuster in two gears, clicks", ""),
    ("first-bolt-check", "", "torque and wrench of every fastener", ""),
    ("position-check", "", "saddle, hoods, bar against the record", ""),
    ("static-brake-test", "", "", "front brake is the one of this country's side"),
    ("first-ride", "", "gears, brakes, noises, straight line", ""),
    ("tape-on", "tape, finishing tape, plugs", "", "an open bar end wounds"),
    ("grips-on", "spirit", "", "a grip that turns throws"),
    ("second-check", "", "about eight values, taken without seeing the first", ""),
    ("second-ride", "", "brakes and gears", ""),
    ("hand-over", "", "next look, day", ""),
    ("follow-up", "", "clicks added, bolts, chain over twelve pitches", ""),
];

/// A step with what belongs to it. Its picture has the key of the step.
pub(super) fn noted(step: &Step) -> Step {
    let mut step = step.clone();
    step.notes.picture = Some(step.id.0);
    if let Some((_, consumable, record, caution)) = ROWS.iter().find(|(id, ..)| *id == step.id.0) {
        let some = |text: &'static str| Some(text).filter(|text| !text.is_empty());
        step.notes.consumable = some(consumable);
        step.notes.record = some(record);
        step.notes.caution = some(caution);
    }
    step
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Book;

    #[test]
    fn the_book_makes_a_book_and_every_row_belongs_to_a_step_of_it() {
        let book = Book::start_values();
        for (at, (id, ..)) in ROWS.iter().enumerate() {
            assert!(book.steps().iter().any(|step| step.id.0 == *id), "{id}");
            assert!(ROWS[..at].iter().all(|(other, ..)| other != id), "{id}");
        }
        // Counted, so that the book only grows: about 150 steps and 60 operations are what a shop starts with.
        assert!(book.steps().len() >= 148 && book.operations().len() >= 75, "{}", book.steps().len());
        assert_eq!(book.problems(), Vec::new());
        assert!(book.steps().iter().all(|step| step.notes.picture.is_some()));
    }
}
