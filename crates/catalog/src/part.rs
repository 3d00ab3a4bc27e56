//! Parts with their identity, and the set of parts that makes a bike.

use crate::dimension::Dimension;
use crate::kind::{
    Bar, BottomBracket, Cables, Calipers, Cassette, Chain, Chainrings, Crankset, Field, Frame,
    FrontDerailleur, FrontWheel, Headset, Kind, Levers, Pedals, RearDerailleur, RearWheel, Rotors, Seatpost,
    Shifters, Stem, Tape,
};
use crate::own_figure::OwnFigure;
use crate::value::Value;
use quantity::{Mass, Money, Reading};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A part: what it is, what it costs, when it can be had.
#[derive(Clone, Debug, PartialEq)]
pub struct Item<K> {
    /// Its key in the catalogue; none for a part described on the spot.
    pub id: Option<String>,
    /// What it is called: its dimensions in words.
    pub name: String,
    /// Price; unknown is not zero.
    pub price: Option<Money>,
    /// Mass; unknown is not zero.
    pub mass: Option<Mass>,
    /// Working days until it is here; 0 is in stock; unknown is not zero.
    pub lead_days: Option<u32>,
    /// Its dimensions.
    pub spec: K,
}

impl<K: Kind> Item<K> {
    /// A part as found on a bike, with nothing known but what is in `spec`.
    pub fn found(spec: K) -> Self {
        let name = K::SLOT.words().to_owned();
        Self { id: None, name, price: None, mass: None, lead_days: None, spec }
    }
}

macro_rules! slots {
    ($($(#[$doc:meta])* $Name:ident $field:ident $key:literal $words:literal),+ $(,)?) => {
        /// A place on the bike that one part fills.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Slot { $($(#[$doc])* $Name),+ }

        impl Slot {
            /// All slots, front of the file first.
            pub const ALL: &'static [Slot] = &[$(Slot::$Name),+];
            /// The key in files.
            pub fn key(self) -> &'static str { match self { $(Self::$Name => $key),+ } }
            /// The word of the trade.
            pub fn words(self) -> &'static str { match self { $(Self::$Name => $words),+ } }
            /// The fields of such a part.
            pub fn fields(self) -> &'static [Field] { match self { $(Self::$Name => <$Name as Kind>::FIELDS),+ } }
            /// An empty part for this slot: everything unknown.
            pub fn empty(self) -> Part { match self { $(Self::$Name => Part::$Name(Arc::new(Item::found($Name::default())))),+ } }
        }

        /// A part of any sort.
        #[derive(Clone, Debug, PartialEq)]
        pub enum Part { $($(#[$doc])* $Name(Arc<Item<$Name>>)),+ }

        impl Part {
            /// Where it sits.
            pub fn slot(&self) -> Slot { match self { $(Self::$Name(_) => Slot::$Name),+ } }
            /// Its key in the catalogue.
            pub fn id(&self) -> Option<&str> { match self { $(Self::$Name(item) => item.id.as_deref()),+ } }
            /// What it is called.
            pub fn name(&self) -> &str { match self { $(Self::$Name(item) => &item.name),+ } }
            /// Its price.
            pub fn price(&self) -> Option<Money> { match self { $(Self::$Name(item) => item.price),+ } }
            /// Its mass.
            pub fn mass(&self) -> Option<Mass> { match self { $(Self::$Name(item) => item.mass),+ } }
            /// Working days until it is here.
            pub fn lead_days(&self) -> Option<u32> { match self { $(Self::$Name(item) => item.lead_days),+ } }
            /// The reading of a dimension; `None` if such a part has no such dimension.
            pub fn get(&self, dimension: Dimension) -> Option<Reading<Value>> {
                match self { $(Self::$Name(item) => item.spec.get(dimension)),+ }
            }
            /// Puts a reading in. `false` if such a part has no such dimension.
            pub fn set(&mut self, dimension: Dimension, reading: Reading<Value>) -> bool {
                match self { $(Self::$Name(item) => Arc::make_mut(item).spec.set(dimension, reading)),+ }
            }
            /// Its identity.
            pub fn label(&self) -> Label {
                Label {
                    id: self.id().map(str::to_owned),
                    name: self.name().to_owned(),
                    price: self.price(),
                    mass: self.mass(),
                    lead_days: self.lead_days(),
                }
            }
            /// Gives the part another identity.
            pub fn relabel(&mut self, label: Label) {
                match self { $(Self::$Name(item) => { let item = Arc::make_mut(item);
                    item.id = label.id; item.name = label.name; item.price = label.price;
                    item.mass = label.mass; item.lead_days = label.lead_days; }),+ }
            }
        }

        /// The parts of a bike, slot by slot; an empty slot is unknown or not there.
        #[derive(Clone, Debug, Default, PartialEq)]
        pub struct Parts { $($(#[$doc])* pub $field: Option<Arc<Item<$Name>>>),+ }

        impl Parts {
            /// The part in a slot.
            pub fn get(&self, slot: Slot) -> Option<Part> {
                match slot { $(Slot::$Name => self.$field.clone().map(Part::$Name)),+ }
            }
            /// Puts a part in its slot, in place of what was there.
            pub fn put(&mut self, part: Part) {
                match part { $(Part::$Name(item) => self.$field = Some(item)),+ }
            }
            /// Empties a slot.
            pub fn clear(&mut self, slot: Slot) {
                match slot { $(Slot::$Name => self.$field = None),+ }
            }
            /// Whether a slot is filled.
            pub fn has(&self, slot: Slot) -> bool {
                match slot { $(Slot::$Name => self.$field.is_some()),+ }
            }
            /// The reading of a dimension of the part in a slot, without copying the part.
            pub fn reading(&self, slot: Slot, dimension: Dimension) -> Option<Reading<Value>> {
                match slot { $(Slot::$Name => self.$field.as_ref().and_then(|item| item.spec.get(dimension))),+ }
            }
            /// The name of the part in a slot.
            pub fn name(&self, slot: Slot) -> Option<&str> {
                match slot { $(Slot::$Name => self.$field.as_ref().map(|item| item.name.as_str())),+ }
            }
            /// All parts that are there, in the order of the slots.
            pub fn iter(&self) -> impl Iterator<Item = Part> + '_ {
                Slot::ALL.iter().filter_map(|slot| self.get(*slot))
            }
        }
    };
}

slots! {
    /// Frame and fork.
    Frame frame "frame" "frame",
    /// Rear wheel.
    RearWheel rear_wheel "rear_wheel" "rear wheel",
    /// Front wheel.
    FrontWheel front_wheel "front_wheel" "front wheel",
    /// Brake rotors, a pair.
    Rotors rotors "rotors" "rotors",
    /// Cassette.
    Cassette cassette "cassette" "cassette",
    /// Chain.
    Chain chain "chain" "chain",
    /// Crankset.
    Crankset crankset "crankset" "crankset",
    /// Rings bought apart from a crankset.
    Chainrings chainrings "chainrings" "chainrings",
    /// Bottom bracket.
    BottomBracket bottom_bracket "bottom_bracket" "bottom bracket",
    /// Rear derailleur.
    RearDerailleur rear_derailleur "rear_derailleur" "rear derailleur",
    /// Front derailleur.
    FrontDerailleur front_derailleur "front_derailleur" "front derailleur",
    /// Seatpost.
    Seatpost seatpost "seatpost" "seatpost",
    /// Pedals.
    Pedals pedals "pedals" "pedals",
    /// Levers.
    Levers levers "levers" "levers",
    /// Separate shifters.
    Shifters shifters "shifters" "shifters",
    /// Brake calipers or arms.
    Calipers calipers "calipers" "calipers",
    /// Handlebar.
    Bar bar "bar" "handlebar",
    /// Stem.
    Stem stem "stem" "stem",
    /// Headset.
    Headset headset "headset" "headset",
    /// Bar tape.
    Tape tape "tape" "bar tape",
    /// Cables and housing.
    Cables cables "cables" "cables and housing",
}

impl Slot {
    /// The slot with this key.
    pub fn read(key: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|slot| slot.key() == key)
    }
}

/// The identity of a part, given in one go.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// Key in the catalogue.
    pub id: Option<String>,
    /// What it is called.
    pub name: String,
    /// Price.
    pub price: Option<Money>,
    /// Mass.
    pub mass: Option<Mass>,
    /// Working days until it is here.
    pub lead_days: Option<u32>,
}

/// A small part that is never chosen but always used: ferrule, tip, spacer, link.
#[derive(Clone, Debug, PartialEq)]
pub struct SmallPart {
    /// Its key.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// Price of one piece or one metre.
    pub price: Option<Money>,
    /// Working days until it is here.
    pub lead_days: Option<u32>,
}

/// Everything that can be ordered, in the order of the files it was read from.
#[derive(Clone, Debug, Default)]
pub struct Catalogue {
    /// Parts that fill a slot.
    pub parts: Vec<Part>,
    /// Small parts by key.
    pub small: BTreeMap<String, SmallPart>,
    /// What the keys after `published` stand for.
    pub sources: BTreeMap<String, String>,
    /// The shop's own figures, which the parts carry already, with the figures that they stand in for.
    pub own: Vec<OwnFigure>,
}

impl Catalogue {
    /// The part with this key.
    pub fn find(&self, id: &str) -> Option<&Part> {
        self.parts.iter().find(|part| part.id() == Some(id))
    }

    /// The shop's own figures for a part.
    pub fn own_of(&self, id: &str) -> impl Iterator<Item = &OwnFigure> {
        self.own.iter().filter(move |own| own.part == id)
    }

    /// All parts for a slot.
    pub fn for_slot(&self, slot: Slot) -> impl Iterator<Item = &Part> {
        self.parts.iter().filter(move |part| part.slot() == slot)
    }
}
