//! A fastener at the stand: what it wants before the hand reaches, and how far it is. Begin with [`bolt`].

use crate::card::JobCard;
use catalog::{Dimension, Slot};
use document::basis_words;
use fit::{Hazard, When};
use quantity::Torque;
use serde::Serialize;
use shop::torque::closing;
use shop::{Closing, Event, Fastener, FastenerId, Tightness, TorqueRange};

/// A fastener.
#[derive(Serialize)]
pub(crate) struct Bolt {
    title: &'static str,
    /// Whether it hurts the rider if it is open.
    hurts: bool,
    /// `hand`, `range`, or `print` where the part has to be asked.
    closing: &'static str,
    least: Option<f64>,
    most: Option<f64>,
    basis: &'static str,
    condition: Option<&'static str>,
    carbon: Option<&'static str>,
    left_hand: Option<String>,
    /// `untouched`, `off`, `finger-tight`, `at value`, `at value and witnessed`.
    state: &'static str,
    torque: Option<f64>,
    by: Option<String>,
}

/// A fastener as the stand shows it.
pub(crate) fn bolt(card: &JobCard, id: FastenerId) -> Option<(&'static str, Bolt)> {
    let fastener = Fastener::find(id)?;
    let setting = closing(fastener, &[], &[], None).ok().flatten();
    // What was printed on the part and read once is not read again.
    let read = read_before(card, id);
    let range = match (read, setting.as_ref().and_then(|setting| setting.torque)) {
        (Some(read), _) => Some((read.least, read.most)),
        (None, torque) => torque,
    };
    let nm = |torque: Torque| (torque.to_newton_metres() * 10.0).round() / 10.0;
    let (state, torque, by) = match card.state().record.fasteners().get(&id) {
        None => ("untouched", None, None),
        Some(known) => match known {
            Tightness::Off | Tightness::FingerTight => (known.words(), None, None),
            Tightness::AtValue { torque, by } | Tightness::Witnessed { torque, by, .. } => {
                (known.words(), torque.map(nm), Some(by.to_string()))
            }
        },
    };
    let bolt = Bolt {
        title: fastener.title,
        hurts: fastener.hazard == Hazard::Rider,
        closing: match fastener.closing {
            Closing::ByHand => "hand",
            Closing::Range(..) => "range",
            Closing::AsPrinted if read.is_some() => "range",
            Closing::AsPrinted => "print",
        },
        least: range.map(|(least, _)| nm(least)),
        most: range.map(|(_, most)| nm(most)),
        basis: match (&setting, read) {
            (_, Some(_)) => "as read before",
            (Some(setting), None) => basis_words(setting.basis),
            (None, None) => "",
        },
        condition: setting
            .as_ref()
            .and_then(|setting| setting.condition)
            .filter(|condition| *condition != "none"),
        carbon: setting.as_ref().and_then(|setting| setting.carbon),
        left_hand: left_hand(card, id),
        state,
        torque,
        by,
    };
    Some((id.0, bolt))
}

/// The range that the last tightening of a fastener went by.
fn read_before(card: &JobCard, id: FastenerId) -> Option<TorqueRange> {
    card.job.entries().iter().rev().find_map(|entry| match &entry.event {
        Event::Tightened { fastener, wanted, .. } if *fastener == id => Some(*wanted),
        _ => None,
    })
}

/// A thread that turns the other way is said before the hand turns it.
fn left_hand(card: &JobCard, id: FastenerId) -> Option<String> {
    match id.0 {
        "pedals" => Some("Left pedal: left-hand thread. Both close toward the front wheel.".to_owned()),
        "bottom-bracket-cups" => {
            let build = &card.plan.build;
            let found = build.reading(Slot::Frame, When::Before, Dimension::DriveCup);
            let hand =
                found.is_answered().then(|| intake::value_text(Slot::Frame, Dimension::DriveCup, &found));
            let new = build.reading(Slot::BottomBracket, When::After, Dimension::CupThread);
            let thread = new
                .is_answered()
                .then(|| intake::value_text(Slot::BottomBracket, Dimension::CupThread, &new));
            match (hand, thread) {
                (Some(hand), _) if hand.starts_with("left-hand") => {
                    Some("Drive-side cup: left-hand thread.".to_owned())
                }
                (Some(hand), _) if hand.starts_with("right-hand") => None,
                (_, Some(thread)) if thread.starts_with("1.37x24") => {
                    Some("Drive-side cup of 1.37x24: left-hand thread.".to_owned())
                }
                (_, Some(thread)) if thread.starts_with("pressed") => None,
                _ => Some("Drive-side cup: 1.37x24 has a left-hand thread; look before you turn.".to_owned()),
            }
        }
        _ => None,
    }
}
