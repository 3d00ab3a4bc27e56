//! Fork, headset, bearings, brake bodies, saddle, guards, lamps, drives: what is done less often.

use super::steps;
use crate::step::Step;

static INTAKE: &[Step] = steps! { Intake;
    "chain-measure" "chain measured over twelve pitches, stretched"
        [2 3 5] Learner "slide caliper" after {
            "talk": "the wish decides whether it stays";
        };
    "fluid-look" "brake fluid: kind, colour, level; hoses looked along"
        [2 3 5] Mechanic "lamp" after {
            "safety-look": "a leak is found there";
        };
    "hinge-check" "hinges and catches of a folding bike: play, cracks, closing force"
        [4 6 10] Mechanic "lamp" after {
            "safety-look": "it is part of whether the bike is safe";
        };
};

static STRIP: &[Step] = steps! { Strip;
    "wash" "whole bike washed, bearings spared, dried"
        [12 20 30] Learner "brush" after {
            "clean-and-clamp": "the bike is held";
            "drive-off": "no water on a drive that is live";
            "accessories-off": "bags and lamps are off";
        };
    "guards-off" "guards and their stays off"
        [5 8 15] Learner "hex keys" after {
            "clean-and-clamp": "the bike is held";
        };
    "saddle-off" "saddle off, its height, setback and tilt marked"
        [2 3 8] Mechanic "hex key 6" after {
            "contact-points": "where it stood is lost with it";
            "clean-and-clamp": "the bike is held";
        } turns ["saddle-clamp"];
    "fork-off" "fork out, spacers and bearings in their order on a string"
        [4 6 12] Mechanic "headset spanners" after {
            "front-wheel-out": "the fork comes out without the wheel";
            "stem-off": "the stem holds the fork in";
            "brakes-off": "the front brake hangs on it";
        } turns ["headset-preload"];
    "pressed-bearings-out" "pressed bearings of the bottom bracket out"
        [8 12 25] Specialist "bearing driver" after {
            "cranks-off": "the arms are in the way";
        } turns ["bottom-bracket-cups"];
    "headset-cups-out" "headset cups and crown race out"
        [6 10 20] Specialist "cup driver" after {
            "fork-off": "the fork is out";
        };
    "disc-pads-out" "disc pads out, rotor side marked"
        [2 3 6] Mechanic "hex key 3" after {
            "clean-and-clamp": "the bike is held";
            "rear-wheel-out": "the rotor is out of the caliper";
            "front-wheel-out": "the rotor is out of the caliper";
        };
};

static FRAME: &[Step] = steps! { Frame;
    "corrosion-treat" "corrosion inside the tubes brushed out, treated, dried; drain holes opened"
        [6 10 20] Mechanic "long brush" after {
            "bare-frame-look": "a frame that is eaten through ends the job";
        };
    "hanger-insert" "thread insert in the hanger"
        [15 25 40] Specialist "tap and insert" after {
            "rear-derailleur-off": "the derailleur sits there";
            "frame-track": "the dropout is straight first";
            "cold-set": "the dropout is straight first";
        }, no_way_back;
    "bore-measure" "bore of the shell in three directions at both ends"
        [4 6 10] Specialist "bore gauge" after {
            "pressed-bearings-out": "the bearings are out";
            "bottom-bracket-out": "the cups are out";
        };
    "headset-cups-in" "head tube faced, cups pressed in, square and to their stop"
        [10 15 25] Specialist "cup press" after {
            "headset-cups-out": "the old ones are out";
            "bare-frame-look": "a crack at the head tube ends the job";
        }, no_way_back;
    "crown-race-on" "crown race driven on to its seat"
        [4 6 10] Specialist "race driver" after {
            "headset-cups-out": "the old one is off";
            "fork-off": "the fork is out";
        };
    "steerer-cut" "steerer measured against the stack, cut, its end dressed"
        [8 12 20] Specialist "saw guide" after {
            "headset-cups-in": "the cups are in the stack";
            "crown-race-on": "the race is in the stack";
            "measure-parts": "the stem decides the stack";
        }, no_way_back;
    "fork-on" "fork in, bearings greased, spacers in their order"
        [4 6 12] Mechanic "headset spanners" after {
            "fork-off": "the old one is out";
            "headset-cups-in": "it runs in them";
            "crown-race-on": "it carries the race";
            "steerer-cut": "it is cut before";
            "headset-service": "the bearings are clean";
        } turns ["headset-preload"];
    "caliper-mounts-face" "mounts of the disc calipers faced"
        [8 12 25] Specialist "facing tool" after {
            "brakes-off": "the caliper is off";
            "bare-frame-look": "a cracked mount is not faced";
        }, no_way_back;
    "film-on" "film where housings and bags rub"
        [3 5 10] Learner "knife" after {
            "clean-and-clamp": "it holds on clean paint only";
            "wash": "it holds on clean paint only";
        };
    "bosses-check" "bosses of bottle, rack and guards: threads clean, screws greased"
        [2 4 8] Learner "tap 5" after {
            "clean-and-clamp": "the bike is held";
        };
};

static DRIVETRAIN: &[Step] = steps! { Drivetrain;
    "pressed-bearings-in" "bearings pressed in, square and to their stop"
        [10 15 25] Specialist "bearing press" after {
            "bore-measure": "the bore says which";
            "pressed-bearings-out": "the old ones are out";
            "shell-prepare": "the seat is clean";
        } turns ["bottom-bracket-cups"];
    "pulleys-swap" "pulleys exchanged, the guide pulley above"
        [4 6 10] Mechanic "hex key 3" after {
            "chain-off": "the chain runs over them";
            "rear-derailleur-off": "it is easier on the bench";
        };
    "cassette-wash" "cassette washed cog by cog, teeth looked at"
        [4 6 12] Learner "brush" after {
            "cassette-off": "it is off";
        };
    "chain-catcher-on" "chain catcher set to the smallest ring"
        [2 4 6] Mechanic "hex key 3" after {
            "crank-on": "it is set to the ring";
            "front-derailleur-place": "it sits under its bolt";
        };
    "chain-oil" "chain oiled link by link, wiped off"
        [2 3 5] Learner "oil" after {
            "chain-fit": "it is on";
        };
};

static BRAKES: &[Step] = steps! { Brakes;
    "brake-posts" "posts of the brakes cleaned and greased, springs in the same hole"
        [4 6 10] Mechanic "hex key 5" after {
            "brakes-off": "the arms are off";
        };
    "pistons-free" "pistons cleaned, moved out and in evenly"
        [6 10 20] Specialist "piston lever" after {
            "disc-pads-out": "the pads are out";
            "fluid-look": "a leak is a new brake";
        };
    "disc-pads-in" "disc pads in, pin and its clip"
        [3 5 8] Mechanic "hex key 3" after {
            "disc-pads-out": "the old ones are out";
            "pistons-free": "the pistons are back";
        } turns ["pads"];
};

static COCKPIT: &[Step] = steps! { Cockpit;
    "saddle-on" "saddle on at its height, setback and tilt"
        [3 5 8] Mechanic "torque wrench" after {
            "saddle-off": "the old one is off";
            "seatpost-in": "the post is in";
        } turns ["saddle-clamp"];
    "guards-on" "guards on, clear of the tyre all round, stays cut and capped"
        [10 18 30] Mechanic "hex keys" after {
            "guards-off": "the old ones are off";
            "tyre-fit": "they are set to the tyre";
            "wheels-seated": "they are set to the wheel as it sits";
            "bosses-check": "their threads are clean";
        };
    "rack-on" "rack on, its screws secured"
        [8 12 20] Mechanic "hex keys" after {
            "guards-on": "it goes over the guard";
            "bosses-check": "its threads are clean";
        };
    "child-seat-mount" "mount of the child seat on, its tube and weight limit read"
        [8 12 20] Mechanic "torque wrench" after {
            "rack-on": "it may sit on the rack";
            "seatpost-in": "it may sit on the post";
        } turns ["child-seat"];
    "stand-on" "side stand on and cut to length"
        [4 8 12] Learner "hex key 6" after {
            "wheels-seated": "the length is that of the standing bike";
        };
    "lamp-front-on" "front lamp on, its beam set against a wall"
        [5 8 12] Mechanic "hex keys" after {
            "front-straight": "the beam follows the bar";
            "accessories-off": "the old one is off";
        };
    "lamp-rear-on" "rear lamp on"
        [4 6 10] Learner "hex keys" after {
            "guards-on": "it may sit on the guard";
            "rack-on": "it may sit on the rack";
        };
    "dynamo-wire" "dynamo wired, wires clear of wheel and lock"
        [5 8 15] Mechanic "wire cutter" after {
            "lamp-front-on": "the wire ends there";
            "lamp-rear-on": "the wire ends there";
            "wheels-seated": "the hub is in";
        };
    "computer-on" "computer and its magnet on, wheel size entered"
        [3 5 8] Learner "by hand" after {
            "front-straight": "it stands where it stays";
            "tyre-fit": "the tyre decides the size";
        };
    "sensor-place" "speed and shift sensors and their magnets at their gaps"
        [3 5 10] Mechanic "feeler gauge" after {
            "drive-off": "the drive is off";
            "wheels-seated": "the magnet turns with the wheel";
            "rear-inner": "a sensor in the housing sits on the inner";
        };
};

static CONTROL: &[Step] = steps! { Control;
    "battery-in" "battery in, errors read, switched through all levels in the stand"
        [3 5 10] Mechanic "key" after {
            "drive-off": "it was out";
            "sensor-place": "an error would be read";
            "first-bolt-check": "hands are off the drivetrain";
        };
    "lamp-test" "lamps tried: riding, standing, pushed"
        [1 2 4] Learner "the bike" after {
            "lamp-front-on": "it is on";
            "lamp-rear-on": "it is on";
            "dynamo-wire": "it is wired";
        };
    "pads-bed" "pads bedded in: twenty even stops from speed, none to a standstill"
        [6 10 15] Mechanic "the bike" after {
            "static-brake-test": "the brake is proven before the speed";
            "disc-pads-in": "the pads are in";
            "rotors-on": "the rotor is on";
        };
    "rest-pressure" "sealed tyres looked at after an hour: pressure, wet spots"
        [1 2 4] Learner "gauge" after {
            "tubeless-seal": "it has stood";
            "readjust": "it has been ridden";
        };
};

pub(super) static STEPS: [&[Step]; 7] = [INTAKE, STRIP, FRAME, DRIVETRAIN, BRAKES, COCKPIT, CONTROL];
