//! Taking off, from the front to the rear.

use super::steps;
use crate::step::Step;

pub(super) static STEPS: &[Step] = steps! { Strip;
    "clean-and-clamp" "clean the bike; into the stand by the seatpost, never by a carbon tube"
        [6 10 20] Learner "stand" after {
            "agree": "no bolt moves before the customer's word";
            "measure-parts": "a wrong part is found before the bike is in pieces";
            "customer-parts-check": "a wrong part is found before the bike is in pieces";
            "photo-routing": "the picture shows the bike as it came";
            "drive-off": "the battery is out before hands go in";
        };
    "accessories-off" "guards, bags, sensors, lamps off, bagged and labelled"
        [2 4 10] Learner "hex keys" after {
            "clean-and-clamp": "clean parts go into the bag";
        };
    "tape-off" "tape and end plugs off"
        [2 3 5] Learner "knife" after {
            "clean-and-clamp": "the bike is held";
        };
    "grips-off" "grips off"
        [1 2 5] Learner "thin rod and spirit" after {
            "clean-and-clamp": "the bike is held";
        };
    "chain-off" "chain off; it is kept as a witness of the length"
        [1 2 4] Learner "chain tool" after {
            "clean-and-clamp": "the bike is held";
        } turns ["chain-joint"];
    "cables-out" "cables out, with a follower in every inner run; old housings kept as patterns"
        [4 6 15] Mechanic "cable cutter" after {
            "clean-and-clamp": "the bike is held";
            "tape-off": "the housings lie under the tape";
            "grips-off": "shifters slide only on a bare bar";
        } turns ["rear-shift-anchor", "front-shift-anchor", "brake-anchor-front", "brake-anchor-rear"];
    "hoses-off" "hoses off the levers, closed with caps; fluid kept away from pads and paint"
        [5 8 15] Specialist "hose spanners" after {
            "clean-and-clamp": "the bike is held";
            "tape-off": "the hoses lie under the tape";
        } turns ["hose-front", "hose-rear"];
    "front-wheel-out" "front wheel out"
        [1 1 2] Learner "axle tool" after {
            "clean-and-clamp": "the bike is held";
        } turns ["wheel-front"];
    "rear-wheel-out" "rear wheel out"
        [1 1 3] Learner "axle tool" after {
            "clean-and-clamp": "the bike is held";
            "chain-off": "the wheel drops out without the chain";
        } turns ["wheel-rear"];
    "rear-derailleur-off" "rear derailleur off"
        [2 3 5] Mechanic "hex key 5" after {
            "chain-off": "the chain runs through its cage";
            "cables-out": "the cable holds it";
        } turns ["rear-derailleur"];
    "front-derailleur-off" "front derailleur off"
        [1 2 4] Mechanic "hex key 5" after {
            "chain-off": "the chain runs through its cage";
            "cables-out": "the cable holds it";
        } turns ["front-derailleur"];
    "levers-off" "levers off the bar"
        [3 4 8] Mechanic "hex key 5" after {
            "tape-off": "the clamp lies under the tape";
            "grips-off": "the lever slides over the end of the bar";
            "cables-out": "the head of the cable sits inside";
            "hoses-off": "a hose would be bent";
        } turns ["lever-left", "lever-right"];
    "brakes-off" "brakes off"
        [3 4 8] Mechanic "hex key 5" after {
            "clean-and-clamp": "the bike is held";
            "cables-out": "the anchor is loosened first";
            "hoses-off": "a hose would be bent";
        } turns ["caliper-front", "caliper-rear"];
    "seatpost-out" "seatpost out, with its height marked"
        [2 4 15] Mechanic "hex key 4" after {
            "clean-and-clamp": "the bike is clean where the post slides";
            "contact-points": "the saddle height is lost with it";
        } turns ["seatpost"];
    "pedals-off" "pedals off; the left one has a left-hand thread"
        [1 2 6] Mechanic "pedal spanner" after {
            "clean-and-clamp": "the bike is held";
            "break-loose": "nobody begins on a pedal that is stuck";
        } turns ["pedals"];
    "cranks-off" "crank arms off"
        [3 4 10] Mechanic "crank tool" after {
            "chain-off": "the chain lies on the rings";
            "pedals-off": "the arm holds while the pedal is loosened";
            "break-loose": "nobody begins on an arm that is stuck";
        } turns ["crank-arms"];
    "bottom-bracket-out" "bottom bracket out"
        [5 8 20] Mechanic "bottom bracket tool" after {
            "cranks-off": "the arms are in the way";
        } turns ["bottom-bracket-cups"];
    "cassette-off" "cassette off"
        [1 2 5] Mechanic "cassette tool" after {
            "rear-wheel-out": "the tool goes in from the axle end";
        } turns ["cassette-lockring"];
    "bar-off" "bar out of the stem"
        [1 2 5] Mechanic "hex key 4" after {
            "contact-points": "where the hands were cannot be measured afterwards";
            "levers-off": "levers would hang on their cables";
        } turns ["stem-faceplate"];
    "stem-off" "stem off; the stack of spacers is marked"
        [2 3 10] Mechanic "hex key 4" after {
            "contact-points": "where the hands were cannot be measured afterwards";
            "bar-off": "the bar would hang on the cables";
        } turns ["stem-steerer", "headset-preload"];
};
