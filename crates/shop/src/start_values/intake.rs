//! Intake: everything that is free while the bike is whole, up to the customer's word.

use super::steps;
use crate::step::Step;

pub(super) static STEPS: &[Step] = steps! { Intake;
    "drive-off" "electric drive off, battery out and laid aside"
        [1 2 3] Counter "key of the battery" after {};
    "talk" "hear the wish, the limit of the price, what stays, which old parts come back and which hand brakes in front; photograph frame number and old damage"
        [7 10 15] Counter "camera" after {};
    "safety-look" "look for cracks, a bent fork, a stuck seatpost, worn rims"
        [4 6 10] Mechanic "lamp" after {
            "talk": "the customer says first what the bike has been through";
            "drive-off": "no hand goes near chain or crank while the drive can start";
        };
    "ride-as-found" "ride it as it came: every gear, both brakes, noises"
        [4 6 10] Mechanic "the bike" after {
            "safety-look": "nobody rides a bike that was not looked at";
        };
    "contact-points" "record saddle height and setback, saddle to hood, height of the bar, tilt of the levers"
        [6 8 12] Mechanic "tape measure" after {
            "talk": "what hurts the hands decides what is recorded";
        };
    "measure-bike" "measure what this wish needs while the bike is whole"
        [12 20 30] Mechanic "slide caliper" after {
            "safety-look": "a bike that is refused needs no measuring";
        };
    "wheel-out-measure" "rear wheel out, cassette off: body length and splines, hub width"
        [6 8 12] Mechanic "cassette tool" after {
            "measure-bike": "gaps beside the wheel are read with the wheel in";
        } turns ["cassette-lockring", "wheel-rear"];
    "break-loose" "try seatpost, pedals, crank and bottom bracket loose, then tighten them again"
        [5 8 20] Mechanic "spanners" after {
            "measure-bike": "the bike is measured as it came";
        } turns ["crank-arms", "pedals", "bottom-bracket-cups", "seatpost"];
    "agree" "judge the parts, write the estimate with its range, have it signed"
        [10 15 25] Counter "sheet" after {
            "safety-look": "a cracked frame found after the word is given is the shop's loss";
            "ride-as-found": "what was wrong before is agreed on before";
            "contact-points": "the hand position is part of what is agreed";
            "measure-bike": "the verdicts stand on these values";
            "wheel-out-measure": "a short body found after ordering is dead stock";
            "break-loose": "a part that is stuck changes price and duty";
            "chain-measure": "a worn chain changes the list";
            "fluid-look": "a leak changes the list";
            "hinge-check": "a cracked hinge is refused";
        };
    "order-parts" "order the parts on the list"
        [3 5 10] Counter "list" after {
            "agree": "what is ordered before the word is given belongs to the shop";
        };
    "measure-parts" "count the parts that came by their contents, left and right, inserts and olives; measure spindle, rings, clamps, cassette, chain"
        [6 10 15] Mechanic "slide caliper" after {
            "agree": "the plan says which figures count";
            "order-parts": "they have to be here";
        };
    "customer-parts-check" "measure parts that the customer brought, and say in writing who answers for them"
        [10 15 25] Mechanic "slide caliper" after {
            "talk": "the customer hands them over";
            "measure-bike": "they are held against the bike";
        };
    "do-not-ride" "tag the bike not to be ridden, photograph the fault with a rule beside it"
        [2 3 5] Mechanic "camera" after {
            "safety-look": "the look found what ends the job";
        };
    "told-and-signed" "reasons printed, ways out named, the customer signs for having been told"
        [5 10 15] Counter "sheet" after {
            "do-not-ride": "the picture belongs to what is told";
        };
    "refused-part-back" "the refused part photographed, tagged with the reason and given back, not fitted"
        [2 4 6] Counter "camera" after {
            "agree": "the customer has been told why";
        };
    "photo-routing" "photograph every cable and where it goes in"
        [2 4 6] Learner "camera" after {
            "agree": "before that there may be no job";
        };
};
