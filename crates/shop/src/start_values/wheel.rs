//! Wheels: hubs, spokes, tyres, and what is opened in them.

use super::steps;
use crate::step::Step;

pub(super) static STEPS: &[Step] = steps! { Frame;
    "tyre-off" "tyre and tube off"
        [2 4 10] Learner "tyre lever" after {
            "rear-wheel-out": "the wheel is out";
            "front-wheel-out": "the wheel is out";
        };
    "spokes-replace" "broken spokes replaced by their length"
        [10 15 30] Specialist "spoke spanner" after {
            "tyre-off": "a nipple is reached from the rim bed";
            "cassette-off": "the spokes behind the cassette can be reached";
        };
    "wheel-dish" "rim brought over the middle of the axle"
        [6 10 20] Specialist "dishing gauge" after {
            "spokes-replace": "all spokes are in";
            "body-swap": "the body moves the locknut";
        };
    "tension-read" "spoke tension read all round, mean and spread"
        [5 8 12] Specialist "tension gauge" after {
            "wheels-true": "tension is read on the true wheel";
            "wheel-dish": "dishing changes it";
        };
    "hub-rear-open" "rear hub opened, axle out, bearings and races washed and looked at"
        [8 12 20] Mechanic "cone spanners" after {
            "rear-wheel-out": "the axle comes out";
            "cassette-off": "the locknut lies behind it";
        };
    "body-swap" "cassette body exchanged"
        [6 10 20] Mechanic "hex key 10" after {
            "cassette-off": "the cassette sits on it";
            "hub-rear-open": "the axle is out";
        };
    "hub-rear-close" "rear hub greased and closed, play gone with the axle clamped"
        [8 12 20] Mechanic "cone spanners" after {
            "hub-rear-open": "there is nothing to close before";
            "body-swap": "the body is on";
        };
    "hub-front-open" "front hub opened, axle out, bearings and races washed and looked at"
        [6 10 15] Mechanic "cone spanners" after {
            "front-wheel-out": "the axle comes out";
        };
    "hub-front-close" "front hub greased and closed, play gone with the axle clamped"
        [6 10 15] Mechanic "cone spanners" after {
            "hub-front-open": "there is nothing to close before";
        };
    "rim-tape-swap" "rim tape exchanged"
        [3 5 8] Learner "by hand" after {
            "tyre-off": "it lies below";
            "tension-read": "no nipple is turned after it";
            "wheels-true": "no nipple is turned after it";
        };
    "tube-swap" "tube exchanged, tyre looked through from inside"
        [4 8 12] Learner "tyre lever" after {
            "tyre-off": "it lies in the tyre";
            "rim-tape-swap": "it lies on the tape";
        };
    "tubeless-seal" "tyre sealed on its rim: valve, fluid, seated with air, shaken, left to stand"
        [12 20 40] Mechanic "air tank" after {
            "tyre-off": "rim and bead are cleaned";
            "rim-tape-swap": "the tape is the seal";
            "tyre-fit": "the bead is on";
        };
    "rotor-true" "rotors cleaned and set true"
        [4 8 15] Mechanic "rotor fork" after {
            "rear-wheel-out": "the wheel is out";
            "front-wheel-out": "the wheel is out";
            "rotors-on": "the new one is read";
        };
};
