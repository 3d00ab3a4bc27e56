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

pub use dimension::{Dimension, Row, Sort, Tolerance, Tool};
pub use kind::{
    Bar, BottomBracket, Cables, Calipers, Cassette, Chain, Crankset, Field, Frame, FrontDerailleur, Kind,
    Levers, RearDerailleur, RearWheel, Shifters, Stem, Tape,
};
pub use own_figure::OwnFigure;
pub use part::{Catalogue, Item, Part, Parts, Slot, SmallPart};
pub use value::{Noted, Value};
pub use word::{
    CagePlates, CageSize, CaliperBolt, CupHand, FrameMaterial, FrontMount, HangerKind, ShellThread, Spindle,
    Spline, Word,
};
