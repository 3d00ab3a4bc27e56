//! Facts: what can be measured on a bicycle, what parts are, and the standards they are made to.
//!
//! Begin with [`dimension`], the one list of everything that can be known of a bike or a part: its words,
//! its usual tool and tolerance, its plausible range. [`kind`] says which dimensions each sort of part
//! has. [`part`] adds identity, price and delivery. [`standards`] holds the published tables.

pub mod data;
pub mod dimension;
pub mod kind;
pub mod own_figure;
pub mod part;
pub mod standards;
pub mod value;
pub mod word;

pub use dimension::{Dimension, Reach, Row, Sort, Tolerance, Tool};
pub use kind::{
    Bar, BottomBracket, Cables, Calipers, Cassette, Chain, Chainrings, Crankset, Field, Frame,
    FrontDerailleur, FrontWheel, Headset, Kind, Levers, Pedals, RearDerailleur, RearWheel, Rotors, Seatpost,
    Shifters, Stem, Tape,
};
pub use own_figure::OwnFigure;
pub use part::{Catalogue, Item, Part, Parts, Slot, SmallPart};
pub use value::{Noted, Value};
pub use word::{
    ArmPattern, AxleKind, BarHistory, BarMaterial, BrakeFluid, BrakeMount, CableHead, CablePull, CableStops,
    CagePlates, CageSize, CaliperBolt, CaliperHole, CogWear, CupHand, Damage, DerailleurMount, Drive,
    Dropout, FrameMaterial, FreewheelThread, FrontMount, HangerKind, HangerMount, HangerThread, HousingKind,
    HubRotor, LeverSeat, LeverSide, Loosening, PedalThread, Play, RimEdge, RimTrack, RotorMount, ShellInside,
    ShellThread, Spindle, Spline, SteererKind, TyreNamed, Word,
};
