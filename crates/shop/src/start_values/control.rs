//! Control and hand-over: bolts, brakes, rides, tape, a second person, and the look after some weeks.

use super::steps;
use crate::step::Step;

pub(super) static STEPS: &[Step] = steps! { Control;
    "first-bolt-check" "every fastener that was touched, with the wrench; the values are written down"
        [6 10 15] Mechanic "torque wrench" after {
            "finish-small": "nothing is opened after it";
            "front-straight": "the torque on record is the last one";
            "brakes-set": "the anchors stand as they stay";
            "pedals-on": "they are among them";
            "crank-on": "it is among them";
            "timing-chain-tension": "the eccentric is among them";
            "rear-derailleur-on": "it is among them";
            "front-derailleur-place": "it is among them";
            "cassette-on": "the lockring is among them";
            "wheels-seated": "the closure of the wheels is among them";
            "levers-on": "the clamps are among them";
            "carbon-clamps": "the clamps are closed as carbon wants it";
            "seatpost-in": "the binder is among them";
            "bleed-front": "the hose nuts are among them";
            "bleed-rear": "the hose nuts are among them";
            "hoses-route": "the hose nuts are among them";
            "rear-index": "anchors are opened while indexing";
            "front-cable": "anchors are opened while setting";
            "b-gap-final": "nothing is opened after it";
            "bottom-bracket-in": "the cups are among them";
            "hanger-align": "the hanger is among them";
            "bare-frame-look": "a crack stops the job before the wrench";
            "headset-service": "the headset is among them";
            "named-work": "what it touched is among them";
            "other-part-on": "what it touched is among them";
            "tyre-fit": "the wheel is whole";
            "disc-calipers-centre": "the calipers are among them";
            "break-loose": "what was tried loose is among them";
            "wheel-out-measure": "the lockring is among them";
            "saddle-on": "the rails are among them";
            "fork-on": "the headset is among them";
            "pressed-bearings-in": "the cups are among them";
            "disc-pads-in": "the pads are among them";
            "child-seat-mount": "its mount is among them";
            "rack-on": "its screws are among them";
            "guards-on": "their screws are among them";
            "stand-on": "its bolt is among them";
            "lamp-front-on": "nothing is opened after it";
            "lamp-rear-on": "nothing is opened after it";
            "dynamo-wire": "nothing is opened after it";
            "computer-on": "nothing is opened after it";
            "sensor-place": "nothing is opened after it";
            "chain-catcher-on": "its bolt is among them";
            "chain-oil": "nothing is opened after it";
            "brake-posts": "the brakes are among them";
            "film-on": "the bike is whole";
            "tubeless-seal": "the wheel is whole";
            "tube-swap": "the wheel is whole";
            "hub-rear-close": "the axle is among them";
            "hub-front-close": "the axle is among them";
            "rotor-true": "the rotors are among them";
            "caliper-mounts-face": "the calipers are among them";
            "corrosion-treat": "the frame is closed again";
            "hanger-insert": "the hanger is among them";
            "pulleys-swap": "their screws are among them";
        };
    "position-check" "the rider's points against the figures on record"
        [5 10 15] Mechanic "tape measure" after {
            "contact-points": "the figures are needed";
            "first-bolt-check": "it is sat on: the bolts come first";
            "seatpost-in": "the saddle stands where it stays";
        };
    "static-brake-test" "brake test standing: both levers hard, rocked forward; short runs to bed the pads in"
        [3 5 8] Mechanic "by hand" after {
            "first-bolt-check": "the bolts come first";
            "brakes-set": "the brakes are set";
            "pads-swap": "the pads are in";
        };
    "fold-test" "folded and unfolded five times: every loop of housing watched at the hinge, no cable pulled; chain parked on its pair, pedal at the named position, guides on the hinge side"
        [5 8 12] Mechanic "by hand" after {
            "first-bolt-check": "the bolts come first";
            "shift-housings": "the loops are cut";
            "brake-housings": "the loops are cut";
            "rear-index": "the gear says whether a cable was pulled";
            "hinge-check": "a hinge that is cracked is not closed";
        };
    "carbon-witness" "every bolt of bar and stem clamps witnessed by a second person: torque, even gap, plugs in"
        [3 5 8] Second "torque wrench" after {
            "first-bolt-check": "the first values are written down";
        };
    "ride-with-assist" "battery in: ride with assist and without; the speed is shown, and the assist ends where it should"
        [5 8 12] Mechanic "the bike" after {
            "first-ride": "it has been ridden without";
            "drive-off": "the battery goes back in";
            "battery-in": "the drive is live";
        };
    "first-ride" "first ride: all gears under load, both brakes, a short line without hands"
        [6 10 15] Mechanic "the bike" after {
            "first-bolt-check": "nobody rides on bolts that were not checked";
            "brakes-set": "nobody rides without brakes";
            "static-brake-test": "the brake is proven before the speed";
            "position-check": "the rider sits where the figures say";
            "lamp-test": "it is ridden with what it needs on the road";
            "battery-in": "the drive is in";
            "fold-test": "a loop that catches is found before the ride";
            "grips-on": "the hands hold on to them";
        };
    "readjust" "what the ride showed is set right"
        [0 10 20] Mechanic "screwdriver" after {
            "first-ride": "the ride shows it";
        };
    "tape-on" "tape and end plugs on"
        [12 18 25] Mechanic "knife" after {
            "tape-off": "the old one is off";
            "shift-housings": "it covers the housings";
            "brake-housings": "it covers the housings";
            "hoses-route": "it covers the hoses";
            "levers-on": "it covers the clamps";
            "position-check": "a lever that has to move takes the tape with it";
            "first-ride": "a fault of the routing is found before it is covered";
            "readjust": "a fault of the routing is cured before it is covered";
        };
    "grips-on" "grips on"
        [2 5 8] Learner "spirit" after {
            "grips-off": "the old ones are off";
            "levers-on": "they close off the levers";
            "front-straight": "they are gripped as soon as they are on";
            "shift-housings": "shifters slide only on a bare bar";
            "brake-housings": "levers slide only on a bare bar";
            "hoses-route": "levers slide only on a bare bar";
        };
    "second-check" "check by a second person, without the first values: torques, brakes, wheels, chain joint, hanger"
        [10 15 20] Second "torque wrench" after {
            "tape-on": "the finished bike is checked";
            "grips-on": "the finished bike is checked";
            "first-bolt-check": "a missing reading is no release";
            "readjust": "nothing is opened after it";
            "first-ride": "it has been ridden";
            "refused-part-back": "what was refused is not on the bike";
            "fold-test": "it has been folded";
            "carbon-witness": "the clamps have been witnessed";
            "ride-with-assist": "it has been ridden with assist";
            "pads-bed": "the brakes are checked bedded";
            "rest-pressure": "the finished bike is checked";
        };
    "second-ride" "second ride, by the person who checked"
        [5 8 12] Second "the bike" after {
            "second-check": "nobody rides what he has not checked";
        };
    "hand-over" "cleaned, sheet signed, old parts back; bedding in, settling and the next look explained"
        [10 15 25] Counter "sheet" after {
            "second-ride": "it is signed when both have ridden it";
            "second-check": "it is signed when both have checked it";
        };
    "follow-up" "the look after four to six weeks: bolts, cables, chain, headset, spokes"
        [12 20 30] Mechanic "torque wrench" after {
            "hand-over": "clamps settle and cables seat in use";
        };
};
