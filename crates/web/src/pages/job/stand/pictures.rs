//! A picture beside a step: what it is about, drawn from the plan, or where on the bike it is. Begin with [`of`].
//!
//! Pictures come apart from the steps, all of a job at once, so that the tablet fetches and keeps them once and a tap
//! carries none of them.

use crate::card::JobCard;
use crate::failure::Failure;
use crate::secret::token_hash;
use catalog::Slot;
use document::PlanDocument;
use serde::Serialize;
use sheet::{Drawing, Shows, drawings};
use shop::job::gate::stand_steps;
use shop::{Book, StepId};
use std::collections::BTreeMap;

/// The pictures of a job.
#[derive(Serialize)]
pub(crate) struct Pictures {
    /// What they were drawn from; another mark, other pictures.
    mark: String,
    /// The name of the picture of each step that has one.
    steps: BTreeMap<&'static str, &'static str>,
    pictures: BTreeMap<&'static str, Picture>,
}

/// A picture with its words.
#[derive(Serialize)]
struct Picture {
    title: String,
    /// What it shows, for who cannot see it.
    words: String,
    /// Whether it has figures that are read: it is shown larger than the screen then.
    figures: bool,
    svg: String,
}

/// A drawing of the plan.
#[derive(Clone, Copy)]
enum Drawn {
    Cables,
    Drivetrain,
    Chainlines,
    Gears,
    Index,
    Hands,
    Tape,
    Wheel,
}

/// What the picture of a step is: a drawing of the plan, or where it cannot be drawn the place on the bike.
fn about(step: &str) -> (Option<Drawn>, Option<Slot>) {
    let drawn = match step {
        "shift-housings" | "brake-housings" | "hoses-route" | "internal-run" | "rear-inner"
        | "front-inner" | "brake-inners" | "settle" => Some(Drawn::Cables),
        "chain-fit" | "b-gap-coarse" | "b-gap-final" => Some(Drawn::Drivetrain),
        "chainline-check" => Some(Drawn::Chainlines),
        "front-cable" | "first-ride" => Some(Drawn::Gears),
        "rear-index" => Some(Drawn::Index),
        "levers-on" | "position-check" | "stem-and-bar-on" => Some(Drawn::Hands),
        "tape-on" => Some(Drawn::Tape),
        "wheels-true" => Some(Drawn::Wheel),
        _ => None,
    };
    let place = match step {
        "cables-out" | "hoses-off" | "shift-housings" | "brake-housings" | "hoses-route" | "internal-run"
        | "rear-inner" | "front-inner" | "brake-inners" | "settle" => Some(Slot::Cables),
        "chain-off" | "chain-fit" | "chain-measure" | "chain-oil" => Some(Slot::Chain),
        "rear-derailleur-off"
        | "rear-derailleur-on"
        | "rear-limits"
        | "rear-index"
        | "b-gap-coarse"
        | "b-gap-final"
        | "hanger-align"
        | "hanger-exchange"
        | "hanger-insert"
        | "pulleys-swap" => Some(Slot::RearDerailleur),
        "front-derailleur-off" | "front-derailleur-place" | "front-low-limit" | "front-cable" => {
            Some(Slot::FrontDerailleur)
        }
        "cranks-off" | "crank-on" | "rings-swap" | "chainline-check" => Some(Slot::Crankset),
        "bottom-bracket-out"
        | "bottom-bracket-in"
        | "shell-prepare"
        | "guides-fitted"
        | "bore-measure"
        | "pressed-bearings-out"
        | "pressed-bearings-in" => Some(Slot::BottomBracket),
        "pedals-off" | "pedals-on" => Some(Slot::Pedals),
        "cassette-off" | "cassette-on" | "cassette-wash" => Some(Slot::Cassette),
        "front-wheel-out" => Some(Slot::FrontWheel),
        "rear-wheel-out" | "wheels-seated" | "wheels-true" => Some(Slot::RearWheel),
        "rotors-on" | "disc-pads-in" | "disc-pads-out" | "disc-calipers-centre" => Some(Slot::Rotors),
        "brakes-off" | "calipers-fit" | "pads-swap" | "brakes-set" | "brake-posts" | "pistons-free" => {
            Some(Slot::Calipers)
        }
        "levers-off" | "levers-on" | "position-check" => Some(Slot::Levers),
        "bar-off" | "carbon-clamps" => Some(Slot::Bar),
        "stem-off" | "stem-and-bar-on" | "front-straight" | "carbon-witness" => Some(Slot::Stem),
        "headset-service" | "headset-cups-in" | "headset-cups-out" | "crown-race-on" | "fork-on"
        | "fork-off" => Some(Slot::Headset),
        "seatpost-in" | "seatpost-out" | "saddle-on" | "saddle-off" => Some(Slot::Seatpost),
        "tape-off" | "tape-on" | "grips-on" | "grips-off" => Some(Slot::Tape),
        "frame-track" | "bare-frame-look" | "cold-set" => Some(Slot::Frame),
        _ => None,
    };
    (drawn, place)
}

impl Drawn {
    /// None of these is the key of a slot: those are the names of places.
    fn name(self) -> &'static str {
        match self {
            Self::Cables => "cut-list",
            Self::Drivetrain => "chain-and-cage",
            Self::Chainlines => "chainlines",
            Self::Gears => "gear-table",
            Self::Index => "index-error",
            Self::Hands => "points-of-the-hands",
            Self::Tape => "tape-wound",
            Self::Wheel => "wheel-section",
        }
    }

    fn draw(self, plan: &PlanDocument) -> Drawing {
        match self {
            Self::Cables => drawings::cables(plan),
            Self::Drivetrain => drawings::drivetrain(plan, None),
            Self::Chainlines => drawings::plan_view(plan),
            Self::Gears => drawings::gears(plan),
            Self::Index => drawings::index(plan),
            Self::Hands => drawings::hands(plan),
            Self::Tape => drawings::tape(plan),
            Self::Wheel => drawings::wheel(plan),
        }
    }
}

/// What the pictures of a job are drawn from, in a few letters: bike, parts, wish, rider, and the work that was added. A
/// ride draws none of them.
pub(crate) fn mark(card: &JobCard) -> String {
    let refit = &card.plan.refit;
    let added = &card.state().added;
    let from = format!("{:?} {:?} {:?} {:?} {added:?}", refit.bike, refit.choice, refit.wish, refit.rider);
    token_hash(&from)[..16].to_owned()
}

/// The pictures of the steps of a job. A step that has nothing to show has none.
pub(crate) fn of(card: &JobCard, book: &Book) -> Result<Pictures, Failure> {
    let plan = PlanDocument::of(&card.plan);
    let (mut steps, mut pictures) = (BTreeMap::new(), BTreeMap::new());
    for step in stand_steps(card.state(), card.judged_by(book)).into_iter().chain([StepId("first-ride")]) {
        if let Some(name) = draw(step.0, &plan, &mut pictures)? {
            steps.insert(step.0, name);
        }
    }
    Ok(Pictures { mark: mark(card), steps, pictures })
}

/// The name of the picture of a step; drawn if no step before it has it.
fn draw(
    step: &str,
    plan: &PlanDocument,
    pictures: &mut BTreeMap<&'static str, Picture>,
) -> Result<Option<&'static str>, Failure> {
    let (drawn, place) = about(step);
    let mut made = None;
    if let Some(drawn) = drawn {
        if pictures.contains_key(drawn.name()) {
            return Ok(Some(drawn.name()));
        }
        let drawing = drawn.draw(plan);
        // A drawing that only says why there is none says nothing to a hand: then the place on the bike.
        made = (drawing.shows() == Shows::Picture).then(|| (drawn.name(), drawing));
    }
    if made.is_none()
        && let Some(slot) = place
    {
        if pictures.contains_key(slot.key()) {
            return Ok(Some(slot.key()));
        }
        made = Some((slot.key(), drawings::place_on_bike(slot, "ringed on a bike seen from the drive side")));
    }
    let Some((name, drawing)) = made else { return Ok(None) };
    let svg = drawing.svg().map_err(|why| Failure::Fault {
        what: "a picture of the stand is not drawn",
        why: why.to_string(),
    })?;
    let picture = Picture {
        title: drawing.title().to_owned(),
        words: drawing.description().to_owned(),
        figures: Slot::read(name).is_none(),
        svg,
    };
    pictures.insert(name, picture);
    Ok(Some(name))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A name that the book does not have would leave its step without a picture and nobody would know.
    #[test]
    fn every_step_with_a_picture_is_a_step_of_the_book() {
        let source = include_str!("pictures.rs");
        let book = Book::start_values();
        let known: Vec<&str> = book.steps().iter().map(|step| step.id.0).collect();
        let body = source.split("fn about").nth(1).unwrap().split("impl Drawn").next().unwrap();
        let named: Vec<&str> = body.split('"').skip(1).step_by(2).collect();
        assert!(named.len() > 80, "{}", named.len());
        for name in named {
            assert!(known.contains(&name), "{name}");
            let (drawn, place) = about(name);
            assert!(drawn.is_some() || place.is_some(), "{name}");
        }
        assert!(known.iter().any(|step| matches!(about(step), (None, None))));
        let drawn = known.iter().filter_map(|step| about(step).0);
        for name in drawn.map(Drawn::name) {
            assert_eq!(Slot::read(name), None, "{name} is a place as well");
        }
    }

    /// Each drawing is drawn for the step that it belongs to, on one of the bikes of the cases at least; where it cannot be,
    /// the step shows the place on the bike.
    #[test]
    fn every_drawing_of_the_plan_comes_to_a_step() {
        let catalogue = intake::built_in().unwrap();
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../cases");
        let (mut seen, mut places) = (std::collections::BTreeSet::new(), 0);
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let text = std::fs::read_to_string(&path).unwrap();
            let source = intake::Source { name: path.to_str().unwrap(), text: &text };
            let refit = intake::case::read_case(source, &catalogue).unwrap().refit;
            let plan = PlanDocument::of(&fit::plan(&refit, &catalogue));
            let mut pictures = BTreeMap::new();
            for step in Book::start_values().steps() {
                let Some(name) = draw(step.id.0, &plan, &mut pictures).unwrap() else {
                    assert!(matches!(about(step.id.0), (_, None)), "{}", step.id.0);
                    continue;
                };
                assert!(pictures[name].svg.starts_with("<svg"));
                if pictures[name].figures {
                    seen.insert(name);
                } else {
                    places += 1;
                }
            }
        }
        // All but the tape: on none of these bikes is the grip of the new bar known.
        assert_eq!(seen.len(), 7, "{seen:?}");
        assert!(places > 100);
    }
}
