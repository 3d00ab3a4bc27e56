//! Brakes, cockpit and cables: set to the seated wheels, then to the rider's hands.

use super::steps;
use crate::step::Step;

static BRAKES: &[Step] = steps! { Brakes;
    "calipers-fit" "calipers on and centred, pads set to the rim"
        [8 12 20] Mechanic "torque wrench" after {
            "brakes-off": "the old ones are off";
            "brake-posts": "they turn on the posts";
            "fork-on": "the front one hangs on the fork";
            "wheels-true": "pads set to a wobble touch later";
            "wheels-seated": "pads follow the wheel as it sits";
        } turns ["caliper-front", "caliper-rear", "pads"];
    "pads-swap" "pads exchanged, on the track over their whole length"
        [5 8 12] Mechanic "hex key 4" after {
            "wheels-true": "pads set to a wobble touch later";
            "wheels-seated": "pads follow the wheel as it sits";
            "calipers-fit": "the caliper is centred first";
        } turns ["pads"];
    "disc-calipers-centre" "disc calipers centred over the rotors"
        [4 8 15] Mechanic "torque wrench" after {
            "wheels-seated": "the rotor stands where the wheel is seated";
            "rotors-on": "the rotor is on";
            "caliper-mounts-face": "the mount is square";
            "disc-pads-in": "the pads show the gap";
        } turns ["disc-calipers"];
};

static COCKPIT: &[Step] = steps! { Cockpit;
    "stem-and-bar-on" "stem and bar on, headset preload taken up, clamps only snug"
        [5 8 15] Mechanic "hex key 4" after {
            "stem-off": "the old one is off";
            "bar-off": "the old one is off";
            "headset-service": "the preload is that of the finished headset";
            "fork-on": "the steerer stands in the head tube";
        } turns ["stem-faceplate", "stem-steerer", "headset-preload"];
    "levers-on" "levers on at the recorded height, angle and reach, clamps to their torque"
        [8 12 20] Mechanic "torque wrench" after {
            "levers-off": "the old ones are off";
            "stem-and-bar-on": "the bar is in";
            "contact-points": "the figures say where the hands were";
        } turns ["lever-left", "lever-right"];
    "carbon-clamps" "carbon bar: paste in the clamps, the lower of the printed torques, an even gap, no serrated or sharp-edged clamp, plugs in the ends"
        [3 5 8] Mechanic "torque wrench" after {
            "stem-and-bar-on": "the bar is in";
            "levers-on": "the levers are on";
        };
    "front-straight" "on the ground: bar in line with the wheel, then steerer clamp, then faceplate crosswise"
        [4 6 10] Mechanic "torque wrench" after {
            "stem-and-bar-on": "the preload cannot be set any more once the stem is clamped";
            "levers-on": "hoods level on the ground, not in the stand";
            "wheels-seated": "the wheel shows the line";
        } turns ["stem-faceplate", "stem-steerer"];
    "internal-run" "liners and cables through the frame"
        [15 30 45] Mechanic "followers and magnet" after {
            "cables-out": "the follower went in with the old cable";
            "stem-and-bar-on": "the run ends where the bar is";
            "bottom-bracket-in": "some runs pass under the shell";
            "guides-fitted": "the guides lead them";
        };
    "shift-housings" "shift housings cut with the bar at both locks, ends dressed, ferrules seated"
        [8 12 20] Mechanic "cable cutter" after {
            "levers-on": "the place of the lever decides the length";
            "front-straight": "the bar stands where it stays";
            "guides-fitted": "the stops are in";
            "internal-run": "the run decides the length";
            "cables-out": "the old housing is the pattern";
            "rear-derailleur-on": "the last piece ends there";
            "front-derailleur-place": "the inner ends there";
        }, no_way_back;
    "brake-housings" "brake housings cut with the bar at both locks, ends dressed, ferrules seated"
        [5 8 15] Mechanic "cable cutter" after {
            "levers-on": "the place of the lever decides the length";
            "front-straight": "the bar stands where it stays";
            "guides-fitted": "the stops are in";
            "internal-run": "the run decides the length";
            "cables-out": "the old housing is the pattern";
            "calipers-fit": "the housing ends at the caliper";
        }, no_way_back;
    "brake-inners" "brake inners in, anchored, tails left long"
        [5 8 12] Mechanic "torque wrench" after {
            "brake-housings": "the inner runs in it";
            "calipers-fit": "it is anchored there";
            "cables-out": "the old one is out";
        } turns ["brake-anchor-front", "brake-anchor-rear"];
    "hoses-route" "hoses routed with the bar at both locks, cut, closed with new inserts and olives"
        [10 15 25] Specialist "hose cutter" after {
            "hoses-off": "the old ones are off";
            "levers-on": "the place of the lever decides the length";
            "front-straight": "the bar stands where it stays";
            "internal-run": "the run decides the length";
            "disc-calipers-centre": "the hose ends at the caliper";
        } turns ["hose-front", "hose-rear"], no_way_back;
    "bleed-front" "front brake bled; pads and rotor away from the fluid"
        [15 20 35] Specialist "bleed kit" after {
            "hoses-route": "an open hose is closed before it is bled";
            "levers-on": "the lever stands as it stays";
        } turns ["hose-front"];
    "bleed-rear" "rear brake bled; pads and rotor away from the fluid"
        [15 20 35] Specialist "bleed kit" after {
            "hoses-route": "an open hose is closed before it is bled";
            "levers-on": "the lever stands as it stays";
        } turns ["hose-rear"];
    "rear-inner" "rear shift inner in, anchored, no kink"
        [3 4 8] Mechanic "torque wrench" after {
            "shift-housings": "the inner runs in it";
            "rear-limits": "the stop is set before a cable can hide it";
            "rear-derailleur-on": "it is anchored there";
            "cables-out": "the old one is out";
        } turns ["rear-shift-anchor"];
    "front-inner" "front shift inner in, anchored, no kink"
        [3 4 8] Mechanic "torque wrench" after {
            "shift-housings": "the inner runs in it";
            "front-low-limit": "the stop is set before a cable can hide it";
            "front-derailleur-place": "it is anchored there";
            "cables-out": "the old one is out";
        } turns ["front-shift-anchor"];
    "settle" "shift hard by hand, press every housing into its stop, take up the slack"
        [3 4 6] Mechanic "by hand" after {
            "rear-inner": "there is nothing to settle before";
            "front-inner": "there is nothing to settle before";
            "rear-limits": "pulling hard against a stop that is not set bends the cage";
            "front-low-limit": "pulling hard against a stop that is not set bends the cage";
        };
    "brakes-set" "brakes set: pad gap, balance, three hard pulls, lever clear of the bar"
        [5 8 12] Mechanic "by hand" after {
            "brake-inners": "the cable is anchored";
            "calipers-fit": "the pads stand on the track";
            "pads-swap": "the new pads are set";
            "bleed-front": "the lever is hard";
            "bleed-rear": "the lever is hard";
            "disc-calipers-centre": "the pads run free of the rotor";
            "wheels-seated": "the wheel stands where it stays";
        };
    "rear-index" "rear gears indexed over the whole cassette"
        [5 8 15] Mechanic "by hand" after {
            "hanger-align": "no adjuster cures a bent hanger";
            "rear-derailleur-on": "it is on";
            "wheels-seated": "a tilted wheel moves the cogs";
            "rear-limits": "the limits come before the tension";
            "front-low-limit": "the chain lies on a ring";
            "settle": "a housing that settles afterwards undoes it";
            "chain-fit": "it is done with the chain on";
            "b-gap-coarse": "a pulley far from the cogs shifts late";
        };
    "front-cable" "front cable taken up, outer limit, trims, every pair tried"
        [5 8 15] Mechanic "by hand" after {
            "front-low-limit": "the limits come before the tension";
            "rear-limits": "the chain is carried to both ends of the cassette";
            "settle": "a housing that settles afterwards undoes it";
            "rear-index": "where the chain runs behind decides what the cage must clear";
            "chain-fit": "it is done with the chain on";
        };
    "b-gap-final" "upper pulley to largest cog for good; largest pair and smallest pair tried"
        [3 5 8] Mechanic "screwdriver" after {
            "b-gap-coarse": "first roughly";
            "rear-index": "the pulley stands under its cog";
            "front-cable": "both largest and both smallest are shifted to";
        };
    "finish-small" "tails trimmed and capped, guards, sensors, lamps on again"
        [2 4 10] Learner "cable cutter" after {
            "accessories-off": "they were taken off";
            "b-gap-final": "a tail that was cut cannot be let out";
            "rear-index": "a tail that was cut cannot be let out";
            "front-cable": "a tail that was cut cannot be let out";
            "brakes-set": "a tail that was cut cannot be let out";
        };
};

pub(super) static STEPS: [&[Step]; 2] = [BRAKES, COCKPIT];
