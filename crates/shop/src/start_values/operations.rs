//! What can be ordered, as steps and as other operations that always come with it.

use crate::operation::{Operation, OperationId};
use crate::step::StepId;
use std::borrow::Cow;

macro_rules! operations {
    ($($id:literal $title:literal [$($step:literal)*] brings [$($brought:literal)*];)+) => {
        pub(super) static OPERATIONS: &[Operation] = &[$(Operation {
            id: OperationId($id),
            title: $title,
            steps: Cow::Borrowed(&[$(StepId($step)),*]),
            brings: Cow::Borrowed(&[$(OperationId($brought)),*]),
        }),+];
    };
}

operations! {
    // What every job has.
    "intake" "intake" ["talk" "safety-look" "ride-as-found" "agree"] brings [];
    "stand" "on the stand" ["clean-and-clamp" "accessories-off" "finish-small"] brings [];
    "checks" "checks and hand-over"
        ["first-bolt-check" "static-brake-test" "first-ride" "readjust" "second-check" "second-ride" "hand-over"]
        brings [];
    "job" "what every job has" [] brings ["intake" "stand" "checks"];
    // What several bring.
    "measuring" "measuring before the strip" ["measure-bike" "order-parts" "measure-parts"] brings ["job"];
    "hands" "hand position recorded and checked" ["contact-points" "position-check"] brings [];
    "follow-up" "look after some weeks" ["follow-up"] brings [];
    "rear-wheel-turn" "rear wheel out and in" ["rear-wheel-out" "chain-off" "chain-fit" "wheels-seated"] brings [];
    "rear-tuning" "rear gears set" ["rear-limits" "b-gap-coarse" "rear-index" "b-gap-final"] brings [];
    "front-tuning" "front gears set" ["front-low-limit" "front-cable"] brings [];
    "rear-shift-cable" "rear shift cable"
        ["photo-routing" "cables-out" "shift-housings" "rear-inner" "settle"]
        brings ["job" "rear-tuning" "follow-up"];
    "front-shift-cable" "front shift cable"
        ["photo-routing" "cables-out" "shift-housings" "front-inner" "settle"]
        brings ["job" "front-tuning" "follow-up"];
    "brake-cables" "brake cables"
        ["photo-routing" "cables-out" "brake-housings" "brake-inners" "brakes-set"]
        brings ["job" "follow-up"];
    "tape" "bar tape" ["tape-off" "tape-on"] brings ["job"];
    "grips" "grips" ["grips-off" "grips-on"] brings ["job"];
    // Drivetrain.
    "cassette" "cassette"
        ["wheel-out-measure" "cassette-off" "cassette-on"]
        brings ["measuring" "rear-wheel-turn" "rear-tuning"];
    "chain" "chain" ["chain-off" "chain-fit"] brings ["measuring"];
    "rear-wheel" "rear wheel"
        ["wheel-out-measure" "cassette-off" "wheels-true" "tyre-fit" "cassette-on" "brakes-set"]
        brings ["measuring" "rear-wheel-turn" "rear-tuning" "follow-up"];
    "front-wheel" "front wheel"
        ["front-wheel-out" "wheels-true" "tyre-fit" "wheels-seated" "brakes-set"] brings ["measuring" "follow-up"];
    "crankset" "crankset"
        ["break-loose" "chain-off" "pedals-off" "cranks-off" "crank-on" "chainline-check" "pedals-on" "chain-fit"]
        brings ["measuring" "follow-up"];
    "bottom-bracket" "bottom bracket, shell prepared"
        ["break-loose" "chain-off" "pedals-off" "cranks-off" "bottom-bracket-out" "bare-frame-look" "shell-prepare"
         "guides-fitted" "bottom-bracket-in" "crank-on" "chainline-check" "pedals-on" "chain-fit"]
        brings ["measuring" "follow-up"];
    "bottom-bracket-service" "bottom bracket serviced"
        ["break-loose" "chain-off" "pedals-off" "cranks-off" "bottom-bracket-out" "bottom-bracket-in" "crank-on"
         "chainline-check" "pedals-on" "chain-fit"]
        brings ["job"];
    "chainrings" "chainrings"
        ["break-loose" "chain-off" "pedals-off" "cranks-off" "rings-swap" "crank-on" "chainline-check" "pedals-on"
         "chain-fit"]
        brings ["measuring" "follow-up"];
    "pedals" "pedals" ["break-loose" "pedals-off" "pedals-on"] brings ["job"];
    "hanger-alignment" "hanger aligned"
        ["rear-derailleur-off" "frame-track" "hanger-align" "rear-derailleur-on"]
        brings ["job" "rear-wheel-turn" "rear-shift-cable"];
    "hanger-exchange" "hanger exchanged" ["hanger-exchange"] brings ["hanger-alignment"];
    "rear-derailleur" "rear derailleur" [] brings ["measuring" "hanger-alignment" "follow-up"];
    "front-derailleur" "front derailleur"
        ["chain-off" "front-derailleur-off" "front-derailleur-place" "chain-fit"]
        brings ["measuring" "front-shift-cable"];
    // Brakes.
    "calipers" "rim calipers" ["brakes-off" "calipers-fit"] brings ["measuring" "brake-cables"];
    "disc-calipers" "disc calipers" ["brakes-off" "disc-calipers-centre" "brakes-set"] brings ["measuring"];
    "pads" "brake pads" ["pads-swap" "brakes-set"] brings ["job"];
    "rotors" "rotors"
        ["front-wheel-out" "rotors-on" "disc-calipers-centre" "brakes-set"] brings ["measuring" "rear-wheel-turn"];
    "hydraulic-hoses" "brake hoses" ["hoses-off" "hoses-route" "brakes-set"] brings ["job"];
    "bleed-front" "front brake bled" ["bleed-front" "brakes-set"] brings ["job"];
    "bleed-rear" "rear brake bled" ["bleed-rear" "brakes-set"] brings ["job"];
    // Cockpit.
    "levers" "levers on a drop bar" ["levers-off" "levers-on"] brings ["measuring" "hands" "tape" "follow-up"];
    "levers-flat" "levers on a flat bar" ["levers-off" "levers-on"] brings ["measuring" "hands" "grips" "follow-up"];
    "bar" "drop bar"
        ["levers-off" "bar-off" "stem-and-bar-on" "levers-on" "front-straight"]
        brings ["measuring" "hands" "tape" "follow-up"];
    "bar-flat" "flat bar"
        ["levers-off" "bar-off" "stem-and-bar-on" "levers-on" "front-straight"]
        brings ["measuring" "hands" "grips" "follow-up"];
    "stem" "stem" ["stem-off" "stem-and-bar-on" "front-straight"] brings ["measuring" "hands" "follow-up"];
    "headset" "headset"
        ["front-wheel-out" "stem-off" "bare-frame-look" "headset-service" "stem-and-bar-on" "front-straight"
         "wheels-seated"]
        brings ["measuring" "hands" "follow-up"];
    "seatpost" "seatpost" ["break-loose" "seatpost-out" "seatpost-in"] brings ["measuring" "hands"];
    // Frame.
    "spreading" "steel dropouts spread"
        ["bare-frame-look" "frame-track" "cold-set"] brings ["measuring" "hanger-alignment"];
    "named-work" "work that a finding names" ["named-work"] brings ["job"];
    "other-part" "another part" ["other-part-on"] brings ["measuring"];
    // What the bike or the customer adds to every job that meets it.
    "internal-routing" "cables through the frame" ["internal-run"] brings [];
    "timing-chain" "timing chain of a tandem" ["timing-chain-fit" "timing-chain-tension"] brings [];
    "electric-drive" "electric drive made safe and tried" ["drive-off" "sensor-place" "battery-in" "ride-with-assist"] brings [];
    "folding" "fold tried" ["hinge-check" "fold-test"] brings [];
    "carbon-bar" "carbon bar clamped and witnessed" ["carbon-clamps" "carbon-witness"] brings [];
    "refused-part" "refused part given back" ["refused-part-back"] brings [];
    "send-home" "the job ends: told, tagged and signed"
        ["talk" "safety-look" "do-not-ride" "told-and-signed"] brings [];
    "customer-parts" "parts that the customer brought" ["customer-parts-check"] brings [];
    // Wheels, one by one.
    "wheel-truing" "wheels trued" ["rear-wheel-out" "front-wheel-out" "chain-off" "cassette-off" "wheels-true" "cassette-on"
         "wheels-seated" "chain-fit" "brakes-set"] brings ["job"];
    "spokes" "spokes replaced" ["tyre-off" "spokes-replace" "wheel-dish" "tension-read" "tyre-fit"] brings ["wheel-truing"];
    "hub-service-rear" "rear hub serviced" ["cassette-off" "hub-rear-open" "hub-rear-close" "cassette-on"]
        brings ["job" "rear-wheel-turn"];
    "hub-service-front" "front hub serviced" ["front-wheel-out" "hub-front-open" "hub-front-close" "wheels-seated"]
        brings ["job"];
    "cassette-body" "cassette body exchanged" ["body-swap" "wheel-dish"] brings ["hub-service-rear" "rear-tuning"];
    "tube" "tube exchanged" ["rear-wheel-out" "chain-off" "tyre-off" "rim-tape-swap" "tube-swap" "tyre-fit"
         "wheels-seated" "chain-fit"] brings ["job"];
    "tyres" "tyres exchanged" ["front-wheel-out" "tyre-off" "tyre-fit"] brings ["measuring" "rear-wheel-turn"];
    "tubeless" "tyres sealed on their rims" ["rim-tape-swap" "tubeless-seal" "rest-pressure"] brings ["tyres"];
    // Brakes, bearings, fork.
    "disc-pads" "disc pads"
        ["front-wheel-out" "fluid-look" "disc-pads-out" "pistons-free" "rotor-true" "disc-pads-in" "disc-calipers-centre"
         "brakes-set" "pads-bed"] brings ["job" "rear-wheel-turn"];
    "caliper-facing" "disc mounts faced" ["brakes-off" "caliper-mounts-face" "disc-calipers-centre" "brakes-set"]
        brings ["job"];
    "brake-posts" "brake posts serviced" ["brakes-off" "brake-posts" "calipers-fit"] brings ["brake-cables"];
    "pressed-bracket" "pressed bottom bracket"
        ["break-loose" "chain-off" "pedals-off" "cranks-off" "pressed-bearings-out" "bare-frame-look" "bore-measure"
         "pressed-bearings-in" "crank-on" "chainline-check" "pedals-on" "chain-fit"] brings ["measuring" "follow-up"];
    "headset-cups" "headset with its cups" ["brakes-off" "fork-off" "headset-cups-out" "headset-cups-in" "crown-race-on"
         "fork-on"] brings ["headset" "brake-cables"];
    "fork" "fork" ["steerer-cut" "calipers-fit"] brings ["headset-cups"];
    "hanger-insert" "thread insert in the hanger" ["hanger-insert"] brings ["hanger-alignment"];
    "rust" "corrosion treated" ["corrosion-treat"] brings ["bottom-bracket-service"];
    // Smaller things.
    "pulleys" "pulleys" ["rear-derailleur-off" "pulleys-swap" "rear-derailleur-on" "chain-off" "chain-fit"]
        brings ["job" "rear-wheel-turn" "rear-shift-cable"];
    "chain-care" "chain measured, drivetrain washed and oiled"
        ["chain-measure" "rear-wheel-out" "chain-off" "cassette-off" "cassette-wash" "cassette-on" "wheels-seated"
         "chain-fit" "chain-oil"] brings ["job"];
    "chain-catcher" "chain catcher" ["chain-catcher-on"] brings ["job"];
    "wash" "whole bike washed" ["wash"] brings ["job"];
    "film" "film against rubbing" ["film-on"] brings ["job"];
    "saddle" "saddle" ["saddle-off" "saddle-on"] brings ["job" "hands"];
    "guards" "guards" ["guards-off" "bosses-check" "guards-on"] brings ["job"];
    "rack" "rack" ["bosses-check" "rack-on"] brings ["job"];
    "child-seat" "child seat" ["child-seat-mount"] brings ["job"];
    "side-stand" "side stand" ["stand-on"] brings ["job"];
    "lamps" "lamps" ["lamp-front-on" "lamp-rear-on" "lamp-test"] brings ["job"];
    "dynamo-lamps" "lamps on a dynamo" ["dynamo-wire"] brings ["lamps"];
    "computer" "computer" ["computer-on"] brings ["job"];
    // What a kind of bike adds.
}
