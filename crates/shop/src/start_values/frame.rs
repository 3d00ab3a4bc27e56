//! Frame and wheels: everything that makes chips or needs a bare frame, before clean parts go on.

use super::steps;
use crate::step::Step;

pub(super) static STEPS: &[Step] = steps! { Frame;
    "bare-frame-look" "look at the bare frame and fork under a lamp"
        [4 6 10] Mechanic "lamp" after {
            "accessories-off": "cracks hide under clamps";
            "bottom-bracket-out": "cracks hide in the shell";
            "stem-off": "cracks hide at the head tube";
            "clean-and-clamp": "cracks show on clean metal";
        };
    "frame-track" "check the track, the width of the dropouts and that they stand parallel"
        [6 10 15] Specialist "frame gauge" after {
            "bare-frame-look": "a cracked frame is not worth it";
            "rear-wheel-out": "the wheel stands in the way";
        };
    "cold-set" "spread the steel dropouts to the agreed width and set them parallel"
        [15 20 40] Specialist "spreading tool" after {
            "agree": "it cannot be undone: the customer signs for it";
            "frame-track": "what it is now decides how far it goes";
            "bare-frame-look": "a frame with a crack is never bent";
        }, no_way_back;
    "hanger-exchange" "exchange the hanger"
        [5 10 15] Mechanic "hex key 4" after {
            "rear-derailleur-off": "the derailleur hangs on it";
        } turns ["hanger"];
    "hanger-align" "hanger: thread cut clean; a wheel put in, aligned against one spot of its rim turned round"
        [5 8 15] Specialist "hanger gauge" after {
            "frame-track": "the dropout comes first: the hanger stands on it";
            "cold-set": "spreading tilts the hanger";
            "hanger-insert": "the gauge is screwed into it";
            "hanger-exchange": "the new one is aligned, not the old one";
            "rear-derailleur-off": "the derailleur sits where the gauge goes";
        };
    "shell-prepare" "clean the threads of the shell, face it, measure the bore"
        [8 15 30] Specialist "shell tools" after {
            "bare-frame-look": "a crack ends the job before the cutting";
            "bottom-bracket-out": "the cups are in the way";
            "pressed-bearings-out": "the bearings are in the way";
        }, no_way_back;
    "headset-service" "clean, grease and close the headset, or fit the new one"
        [7 10 25] Mechanic "headset spanners" after {
            "bare-frame-look": "a crack at the head tube ends the job";
            "stem-off": "the stem holds the fork in";
            "front-wheel-out": "the fork comes out without the wheel";
        } turns ["headset-preload"];
    "guides-fitted" "stops, tab, and the cable guide below the shell, checked and fitted"
        [3 5 10] Mechanic "hex key 3" after {
            "shell-prepare": "the tool would cut through the guide";
        };
    "wheels-true" "true the wheels; hub play, rim wear, spoke tension"
        [8 12 25] Specialist "truing stand" after {
            "wheel-out-measure": "a wheel that does not fit is not trued";
            "rear-wheel-out": "the wheel is out";
            "front-wheel-out": "the wheel is out";
            "cassette-off": "the spokes behind the cassette can be reached";
            "spokes-replace": "all spokes are in";
            "wheel-dish": "roughly over the middle first";
            "hub-rear-close": "a hub with play is not trued";
            "hub-front-close": "a hub with play is not trued";
        };
    "tyre-fit" "tyre on, inflated, its width and clearance measured"
        [4 6 12] Mechanic "tyre lever" after {
            "wheels-true": "nipples are turned before the tyre hides them";
            "tyre-off": "the old one is off";
            "rim-tape-swap": "the tape lies below";
            "tube-swap": "the tube lies in it";
            "tension-read": "nipples are turned before the tyre hides them";
            "wheel-dish": "nipples are turned before the tyre hides them";
        };
    "seatpost-in" "seatpost in to its mark, over the least depth"
        [3 4 8] Mechanic "torque wrench" after {
            "seatpost-out": "the old one is out";
        } turns ["seatpost"];
    "named-work" "the work that a finding names, as it says there"
        [10 15 30] Specialist "as the finding says" after {
            "agree": "it is part of what was agreed";
            "bare-frame-look": "a cracked frame is not worth it";
            "clean-and-clamp": "the bike is held";
        };
    "other-part-on" "a part of another sort exchanged, by its leaflet"
        [5 10 20] Mechanic "as the leaflet says" after {
            "clean-and-clamp": "the bike is held";
        };
};
