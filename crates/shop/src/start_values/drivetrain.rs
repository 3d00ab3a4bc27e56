//! Drivetrain, from the shell outward, and the brakes that are set to the seated wheels.

use super::steps;
use crate::step::Step;

pub(super) static STEPS: &[Step] = steps! { Drivetrain;
    "bottom-bracket-in" "bottom bracket in with its spacers, threads greased"
        [6 10 15] Mechanic "bottom bracket tool" after {
            "bottom-bracket-out": "the old one is out";
            "shell-prepare": "chips and a face out of square kill bearings";
            "guides-fitted": "the guide is screwed on while the shell is empty";
        } turns ["bottom-bracket-cups"];
    "rings-swap" "chainrings exchanged on the arm, bolts crosswise"
        [6 10 15] Mechanic "hex key 5" after {
            "cranks-off": "the bolts are reached from both sides";
        } turns ["ring-bolts"];
    "crank-on" "crank on: preload to no play and free turning, then its bolts in turn"
        [5 8 12] Mechanic "torque wrench" after {
            "cranks-off": "the old one is off";
            "bottom-bracket-in": "the spindle runs in it";
            "pressed-bearings-in": "the spindle runs in them";
            "rings-swap": "the rings are on the arm";
        } turns ["crank-arms"];
    "chainline-check" "chainline, arm to stay, ring to stay, ring gap"
        [3 4 8] Mechanic "slide caliper" after {
            "crank-on": "it is measured on the arm";
            "bottom-bracket-in": "the spacers move the chainline";
        };
    "timing-chain-fit" "timing chain on, both cranks in the same position"
        [8 12 20] Mechanic "chain tool" after {
            "crank-on": "it joins two cranks";
            "chainline-check": "both rings stand in one plane before the chain goes on";
        } turns ["timing-chain-joint"], no_way_back;
    "timing-chain-tension" "timing chain tensioned by the eccentric, at its tightest spot"
        [5 8 12] Mechanic "hex key 6" after {
            "timing-chain-fit": "there is nothing to tension before";
        } turns ["timing-eccentric"];
    "pedals-on" "pedals in, greased, to their torque"
        [2 3 5] Mechanic "pedal spanner" after {
            "pedals-off": "the old ones are out";
            "crank-on": "they go into the arm";
        } turns ["pedals"];
    "cassette-on" "cassette on with its spacers, lockring to its torque, no cog rattles"
        [3 5 8] Mechanic "cassette tool" after {
            "cassette-off": "the old one is off";
            "cassette-wash": "it is clean";
            "body-swap": "it goes on the new body";
            "hub-rear-close": "the locknut lies behind it";
            "wheel-out-measure": "the body says which spacers";
            "wheels-true": "the spokes behind it are reached before";
        } turns ["cassette-lockring"];
    "rotors-on" "rotors on, bolts in star order, run-out read"
        [4 6 10] Mechanic "torque wrench" after {
            "wheels-true": "a rotor is read against a true wheel";
            "rear-wheel-out": "the wheel is out";
            "front-wheel-out": "the wheel is out";
        } turns ["rotors"];
    "wheels-seated" "wheels fully seated and closed; smallest cog to stay checked"
        [1 2 4] Mechanic "axle tool" after {
            "front-wheel-out": "it has to come in again";
            "rear-wheel-out": "it has to come in again";
            "frame-track": "dropouts first, then the wheel";
            "cold-set": "dropouts first, then the wheel";
            "headset-service": "the fork is in";
            "fork-on": "the fork is in";
            "hub-rear-close": "the hub is closed";
            "hub-front-close": "the hub is closed";
            "tube-swap": "the tyre is whole";
            "tubeless-seal": "the tyre is whole";
            "tension-read": "the wheel is whole";
            "rotor-true": "the rotor is on and true";
            "disc-pads-out": "the rotor has to be out of the way for it";
            "pistons-free": "the rotor has to be out of the way for it";
            "tyre-fit": "the tyre is on";
            "cassette-on": "the cassette is on";
            "rotors-on": "the rotor is on";
        } turns ["wheel-front", "wheel-rear"];
    "rear-derailleur-on" "rear derailleur on, its bolt full thread deep"
        [2 3 5] Mechanic "torque wrench" after {
            "rear-derailleur-off": "the old one is off";
            "pulleys-swap": "it is easier on the bench";
            "hanger-insert": "its bolt goes in there";
            "hanger-align": "a bent hanger tilts every gear";
            "wheels-seated": "its place is judged against the cogs";
        } turns ["rear-derailleur"];
    "front-derailleur-place" "front derailleur on: height over the largest ring, cage in line, no cable"
        [4 6 12] Mechanic "hex key 5" after {
            "front-derailleur-off": "the old one is off";
            "bottom-bracket-in": "the rings stand where they will stay";
            "chainline-check": "height and line are taken from the ring";
        } turns ["front-derailleur"];
    "rear-limits" "rear limit screws, the cage pushed by hand"
        [3 4 6] Mechanic "screwdriver" after {
            "rear-derailleur-on": "it is on";
            "wheels-seated": "a tilted wheel moves the cogs";
            "cassette-on": "the limits are those of this cassette";
            "cables-out": "a taut cable hides the stop: the cage could reach the spokes";
        } turns ["rear-limits"];
    "front-low-limit" "inner limit in front, no cable"
        [1 2 4] Mechanic "screwdriver" after {
            "front-derailleur-place": "it is in place";
            "crank-on": "the limit is that of these rings";
            "cables-out": "a taut cable hides the stop";
        };
    "chain-fit" "chain: counted, laid round the largest pair, cut, joined with a new link, on the right side of the cage tab; the joint seen seated and its kind written down"
        [5 8 12] Mechanic "chain tool" after {
            "chain-off": "the old one is off";
            "chainline-check": "a spacer can still be changed before the chain is cut";
            "rear-derailleur-on": "the cage takes part of the length";
            "front-derailleur-place": "the chain goes through the cage";
            "rear-limits": "the cage stands under the cogs";
            "front-low-limit": "the cage stands over the ring";
            "cassette-on": "the largest cog decides the length";
            "rings-swap": "the largest ring decides the length";
            "wheels-seated": "the axle decides the length";
            "timing-chain-tension": "the eccentric moves the shell";
        } turns ["chain-joint"], no_way_back;
    "b-gap-coarse" "upper pulley to largest cog, roughly"
        [1 2 3] Mechanic "screwdriver" after {
            "chain-fit": "the chain pulls the cage forward";
            "rear-limits": "the pulley stands under the cog";
        };
};
