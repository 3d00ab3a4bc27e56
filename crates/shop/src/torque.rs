//! How a fastener is closed with a torque wrench: the torque in three units, the setting with an extension, what it
//! clamps, and in which rounds.
//!
//! The figure printed on the part wins over every figure here; of two parts in one joint the lower figure wins.

use crate::check::TorqueRange;
use crate::fastener::{Closing, Fastener};
use crate::own_torque::OwnTorque;
pub use mechanics::bolts::BoltError;
use mechanics::bolts::{
    Clamp, Condition, PRELOAD_SCATTER, Preload, WrenchTurn, even_tightening, preload, proof_share,
    wrench_setting,
};
use quantity::{Angle, Force, Length, Quantity, Torque};

/// A torque wrench with an extension, a crowfoot or none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wrench {
    /// Middle of the grip to the square drive.
    pub length: Length,
    /// Square drive to the bolt.
    pub extension: Length,
    /// Angle between extension and wrench: 0° straight on, 90° square, 180° back toward the hand.
    pub angle: Angle,
}

/// Where the torque comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Printed on the part: the lowest of what was given.
    Printed,
    /// The shop's own figure, with name and date.
    Own,
    /// The range of the trade, for a part that says nothing.
    Range,
    /// The range of the trade for what the part has to be asked first.
    AskFirst,
    /// The kinds of part differ by so much that nothing is said: the part has to be asked.
    Ask,
}

/// How a fastener is closed.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// The fastener.
    pub fastener: &'static Fastener,
    /// Where the torque comes from.
    pub basis: Basis,
    /// The torque at the bolt, least and greatest.
    pub torque: Option<(Torque, Torque)>,
    /// The shop's own figure, shown beside the others whichever counts.
    pub own: Option<OwnTorque>,
    /// The figure of the trade, shown beside the others whichever counts; none where only the part can say it.
    pub usual: Option<TorqueRange>,
    /// What is set on the wrench for it, least and greatest.
    pub set: Option<(Torque, Torque)>,
    /// What one bolt clamps at the middle of the torque.
    pub clamps: Option<Clamps>,
    /// The turns of the wrench for a clamp of several bolts, to the middle of the torque at the bolt.
    pub turns: Vec<WrenchTurn>,
    /// What the thread wants.
    pub condition: Option<&'static str>,
    /// What carbon in the joint asks for.
    pub carbon: Option<&'static str>,
}

/// What a torque is in a bolt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Clamps {
    /// Nominal diameter of the thread.
    pub diameter: Length,
    /// Clamping force with its scatter.
    pub force: Preload,
    /// Share of the proof load of a bolt of class 8.8 that the greatest force takes.
    pub proof: f64,
}

/// The bolts of a fastener where every part of the trade has the same ones.
struct Bolts {
    id: &'static str,
    /// Nominal diameter and stress area, where the joint has one size.
    thread: Option<(f64, f64)>,
    /// Newton metres; none where the table of fasteners says it.
    usual: Option<(f64, f64)>,
    clamp: Option<Clamp>,
    condition: &'static str,
    carbon: Option<&'static str>,
}

/// Stress areas of ISO 898-1, from memory; with them the proof strength of class 8.8.
const M5: Option<(f64, f64)> = Some((5.0, 14.2));
const M6: Option<(f64, f64)> = Some((6.0, 20.1));
const PROOF_MPA: f64 = 580.0;

const BAR: Option<&str> = Some(
    "carbon bar: friction paste and no grease, the lower of the two printed torques, an even gap above and below, no \
     sharp edge",
);
const STEERER: Option<&str> = Some(
    "carbon steerer: expander under the whole clamp, friction paste and no grease, the fork's print wins",
);
const LEVER: Option<&str> =
    Some("carbon bar: friction paste, 5 N·m at most unless print says less; the lever may turn in a fall");
const POST: Option<&str> = Some(
    "carbon post: friction paste and no grease, the lower of frame's and post's print, never more to stop a slip",
);

/// Common practice: printed leaflets of many years as workshop crib sheets gather them. No published source.
const BOLTS: &[Bolts] = &[
    Bolts {
        id: "stem-faceplate",
        thread: M5,
        usual: Some((4.0, 6.0)),
        clamp: Some(Clamp::Four),
        condition: "grease on the thread",
        carbon: BAR,
    },
    Bolts {
        id: "stem-steerer",
        thread: M5,
        usual: Some((4.0, 6.0)),
        clamp: Some(Clamp::Two),
        condition: "grease on the thread, after the preload",
        carbon: STEERER,
    },
    Bolts {
        id: "lever-left",
        thread: M5,
        usual: Some((6.0, 8.0)),
        clamp: None,
        condition: "none",
        carbon: LEVER,
    },
    Bolts {
        id: "lever-right",
        thread: M5,
        usual: Some((6.0, 8.0)),
        clamp: None,
        condition: "none",
        carbon: LEVER,
    },
    Bolts {
        id: "ring-bolts",
        thread: None,
        usual: Some((8.0, 10.0)),
        clamp: None,
        condition: "grease; aluminium at the lower end",
        carbon: None,
    },
    Bolts {
        id: "pedals",
        thread: None,
        usual: None,
        clamp: None,
        condition: "grease; the left one has a left-hand thread",
        carbon: None,
    },
    Bolts {
        id: "cassette-lockring",
        thread: None,
        usual: None,
        clamp: None,
        condition: "a little grease",
        carbon: None,
    },
    Bolts { id: "timing-eccentric", thread: M6, usual: None, clamp: None, condition: "grease", carbon: None },
    Bolts {
        id: "rear-derailleur",
        thread: None,
        usual: None,
        clamp: None,
        condition: "grease",
        carbon: None,
    },
    Bolts {
        id: "front-derailleur",
        thread: M5,
        usual: Some((5.0, 7.0)),
        clamp: None,
        condition: "grease; thin tubes take less",
        carbon: Some("carbon tube: 4 to 5 N·m, and no band on a tube that its maker does not allow for it"),
    },
    Bolts {
        id: "rear-shift-anchor",
        thread: M5,
        usual: None,
        clamp: None,
        condition: "grease",
        carbon: None,
    },
    Bolts {
        id: "front-shift-anchor",
        thread: M5,
        usual: None,
        clamp: None,
        condition: "grease",
        carbon: None,
    },
    Bolts {
        id: "caliper-front",
        thread: M6,
        usual: Some((8.0, 10.0)),
        clamp: None,
        condition: "grease",
        carbon: Some("carbon fork: the fork's print wins, 6 to 7 N·m in some"),
    },
    Bolts {
        id: "caliper-rear",
        thread: M6,
        usual: Some((8.0, 10.0)),
        clamp: None,
        condition: "grease",
        carbon: None,
    },
    Bolts {
        id: "brake-anchor-front",
        thread: M6,
        usual: None,
        clamp: None,
        condition: "grease",
        carbon: None,
    },
    Bolts {
        id: "brake-anchor-rear",
        thread: M6,
        usual: None,
        clamp: None,
        condition: "grease",
        carbon: None,
    },
    Bolts {
        id: "seatpost",
        thread: M5,
        usual: Some((4.0, 7.0)),
        clamp: None,
        condition: "grease on the thread",
        carbon: POST,
    },
];

/// How a fastener is closed; none for what is closed without a wrench.
///
/// `printed` are the torques printed on the parts of its joint; they win over `own`, the figures of the shop, and
/// these over the figures of the trade. With a wrench the setting is told beside the torque:
/// [`wrench_setting`]. The clamping force takes the nut factor of a lubricated bolt and a scatter of 30 %.
///
/// # Errors
/// [`BoltError`] for a printed torque that is not above 0, and for a wrench that gives no arm to the bolt.
///
/// # Source
/// Torques: common practice, see the table. Force: *Shigley's Mechanical Engineering Design*, 9th ed., eq. 8-27 and
/// Table 8-15; stress areas and class 8.8 from memory, so the share of the proof load is a hint.
pub fn closing(
    fastener: &'static Fastener,
    printed: &[Torque],
    own: &[OwnTorque],
    wrench: Option<Wrench>,
) -> Result<Option<Setting>, BoltError> {
    if fastener.closing == Closing::ByHand {
        return Ok(None);
    }
    let bolts = BOLTS.iter().find(|bolts| bolts.id == fastener.id.0);
    let lowest = printed.iter().copied().reduce(|one, other| if other < one { other } else { one });
    let nm = Torque::newton_metres;
    let usual = bolts.and_then(|bolts| bolts.usual);
    let own = fastener.torque(own, None).own.cloned();
    let trade = match (fastener.closing, usual) {
        (Closing::Range(least, most), _) | (_, Some((least, most))) => {
            Some(TorqueRange { least: nm(least), most: nm(most) })
        }
        (_, None) => None,
    };
    let (basis, torque) = match (lowest, fastener.closing, usual) {
        (Some(printed), _, _) => (Basis::Printed, Some((printed, printed))),
        _ if own.is_some() => (Basis::Own, own.as_ref().map(|own| (own.range.least, own.range.most))),
        (None, Closing::Range(least, most), _) => (Basis::Range, Some((nm(least), nm(most)))),
        (None, _, Some((least, most))) => (Basis::AskFirst, Some((nm(least), nm(most)))),
        (None, _, None) => (Basis::Ask, None),
    };
    let middle = torque.map(|(least, most)| (least + most) * 0.5);
    // A torque that is no torque is refused whatever is known of the bolts.
    if let Some(middle) = middle {
        even_tightening(Clamp::Two, middle).map(drop)?;
    }
    let set = match (torque, wrench) {
        (Some((least, most)), Some(wrench)) => {
            let set = |torque| wrench_setting(torque, wrench.length, wrench.extension, wrench.angle);
            Some((set(least)?, set(most)?))
        }
        _ => None,
    };
    let clamps = match (middle, bolts.and_then(|bolts| bolts.thread)) {
        (Some(middle), Some((diameter_mm, area_mm2))) => {
            let diameter = Length::mm(diameter_mm);
            let force = preload(middle, Condition::Lubricated.nut_factor(), diameter, PRELOAD_SCATTER)?;
            Some(Clamps { diameter, force, proof: proof_share(force.most, area_mm2, PROOF_MPA)? })
        }
        _ => None,
    };
    let turns = match (middle, bolts.and_then(|bolts| bolts.clamp)) {
        (Some(middle), Some(clamp)) => even_tightening(clamp, middle)?.collect(),
        _ => Vec::new(),
    };
    Ok(Some(Setting {
        fastener,
        basis,
        torque,
        own,
        usual: trade,
        set,
        clamps,
        turns,
        condition: bolts.map(|bolts| bolts.condition),
        carbon: bolts.and_then(|bolts| bolts.carbon),
    }))
}

/// A torque in a unit of torque wrenches: `lbf in`, `kgf cm`, `lbf ft`, `N·m`; none for another word.
pub fn in_unit(torque: Torque, unit: &str) -> Option<f64> {
    Torque::UNITS.iter().find(|(word, _)| *word == unit).map(|(_, size)| torque.to_newton_metres() / size)
}

impl Clamps {
    /// Clamping force in kilonewtons: least, by the formula, most.
    pub fn kilonewtons(&self) -> [f64; 3] {
        [self.force.least, self.force.likely, self.force.most].map(|force: Force| force.to_newtons() / 1000.0)
    }
}
