//! The fasteners whose tightness is on record before a bike leaves: what they hold, and which are redone together.

use fit::Hazard;
use std::fmt;

/// The key of a fastener.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct FastenerId(pub &'static str);

impl fmt::Display for FastenerId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0)
    }
}

/// A fastener, or a set of like ones that are closed in one go, or another point that stops a bike when it is open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fastener {
    /// Its key.
    pub id: FastenerId,
    /// What it is.
    pub title: &'static str,
    /// What is redone with it when one of them is found loose.
    pub group: &'static str,
    /// The harm if it is loose.
    pub hazard: Hazard,
    /// How it is closed.
    pub closing: Closing,
}

/// How a fastener is closed. What is printed on the part wins; where two parts share a joint the lower figure wins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Closing {
    /// To a torque in this range, newton metres: printed leaflets of many years as a workshop crib sheet gathers them,
    /// for the case that the part says nothing.
    Range(f64, f64),
    /// To the torque of its kind: a taper and a pinch bolt differ by a factor of three, so no figure stands here and
    /// the part has to be asked.
    AsPrinted,
    /// Without a wrench: a lever closed, a joint or a stop looked at. A wrench may be used where there is one.
    ByHand,
}

impl Fastener {
    /// The fastener with this key.
    pub fn find(id: FastenerId) -> Option<&'static Self> {
        FASTENERS.iter().find(|fastener| fastener.id == id)
    }
}

macro_rules! fasteners {
    ($($id:literal $title:literal $group:literal $hazard:ident $closing:expr;)+) => {
        /// Every fastener that a step of the start values touches.
        pub static FASTENERS: &[Fastener] = &[$(Fastener {
            id: FastenerId($id), title: $title, group: $group, hazard: Hazard::$hazard, closing: $closing,
        }),+];
    };
}

use Closing::{AsPrinted, ByHand, Range};

fasteners! {
    "stem-faceplate" "bolts of the stem's faceplate" "stem" Rider AsPrinted;
    "stem-steerer" "bolts of the stem on the steerer" "stem" Rider AsPrinted;
    "headset-preload" "preload of the headset" "headset" Function AsPrinted;
    "lever-left" "clamp of the left lever" "lever-left" Rider AsPrinted;
    "lever-right" "clamp of the right lever" "lever-right" Rider AsPrinted;
    "bottom-bracket-cups" "cups of the bottom bracket" "bottom-bracket" Damage AsPrinted;
    "crank-arms" "bolts of the crank arms" "crank" Rider AsPrinted;
    "ring-bolts" "bolts of the chainrings" "rings" Damage AsPrinted;
    "pedals" "pedals in the arms" "pedals" Rider Range(35.0, 43.0);
    "cassette-lockring" "lockring of the cassette" "cassette" Damage Range(30.0, 50.0);
    "chain-joint" "joint of the chain" "chain" Rider ByHand;
    "timing-chain-joint" "joint of the timing chain" "timing" Rider ByHand;
    "timing-eccentric" "bolts of the eccentric shell" "timing" Damage Range(8.5, 11.3);
    "rear-derailleur" "bolt of the rear derailleur" "rear-derailleur" Damage Range(8.0, 10.0);
    "rear-limits" "limit screws behind" "rear-limits" Rider ByHand;
    "hanger" "bolts of the hanger" "hanger" Rider AsPrinted;
    "front-derailleur" "band or tab bolt of the front derailleur" "front-derailleur" Damage AsPrinted;
    "rear-shift-anchor" "anchor of the rear shift cable" "rear-shift-anchor" Function Range(4.0, 7.0);
    "front-shift-anchor" "anchor of the front shift cable" "front-shift-anchor" Function Range(5.0, 7.0);
    "wheel-front" "closure of the front wheel" "wheel-front" Rider ByHand;
    "wheel-rear" "closure of the rear wheel" "wheel-rear" Rider ByHand;
    "caliper-front" "bolt of the front caliper" "brake-front" Rider AsPrinted;
    "caliper-rear" "bolt of the rear caliper" "brake-rear" Rider AsPrinted;
    "pads" "pads" "pads" Rider AsPrinted;
    "brake-anchor-front" "anchor of the front brake cable" "brake-front" Rider Range(6.0, 8.0);
    "brake-anchor-rear" "anchor of the rear brake cable" "brake-rear" Rider Range(6.0, 8.0);
    "rotors" "bolts or lockrings of the rotors" "rotors" Rider AsPrinted;
    "hose-front" "hose nut and bleed screw of the front brake" "brake-front" Rider AsPrinted;
    "hose-rear" "hose nut and bleed screw of the rear brake" "brake-rear" Rider AsPrinted;
    "disc-calipers" "bolts of the disc calipers" "disc-calipers" Rider AsPrinted;
    "seatpost" "binder of the seatpost" "seatpost" Rider AsPrinted;
    "saddle-clamp" "clamp of the saddle rails" "saddle-clamp" Rider AsPrinted;
    "child-seat" "mount of the child seat" "child-seat" Rider AsPrinted;
}
