//! One value of one dimension, whatever its sort: what readers write and rules ask for.

use crate::Word;
use quantity::{Angle, Basis, Length, Measured, Quantity, Ratio, Span, Teeth, digits};
use std::fmt;

/// Something counted, chosen from words or listed, with the way it was got.
#[derive(Clone, Debug, PartialEq)]
pub struct Noted<T> {
    /// The value.
    pub value: T,
    /// How it was got.
    pub basis: Basis,
}

impl<T> Noted<T> {
    /// A value that somebody counted or saw.
    pub fn counted(value: T) -> Self {
        Self { value, basis: Basis::Counted }
    }
}

/// A value of any sort.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A length.
    Length(Measured<Length>),
    /// An angle.
    Angle(Measured<Angle>),
    /// A ratio of like quantities.
    Ratio(Measured<Ratio>),
    /// Several lengths in order, such as the pull of each click.
    Lengths(Vec<Measured<Length>>),
    /// A whole number.
    Count(Noted<u32>),
    /// Tooth counts, in the order of the part.
    Teeth(Noted<Vec<Teeth>>),
    /// One of a fixed set of words.
    Word(Noted<&'static str>),
}

impl Value {
    /// How the value was got. A list counts as its first entry.
    pub fn basis(&self) -> &Basis {
        match self {
            Self::Length(m) => &m.basis,
            Self::Angle(m) => &m.basis,
            Self::Ratio(m) => &m.basis,
            Self::Lengths(all) => all.first().map_or(&Basis::Assumed, |m| &m.basis),
            Self::Count(n) => &n.basis,
            Self::Teeth(n) => &n.basis,
            Self::Word(n) => &n.basis,
        }
    }

    /// The interval in base units, where the value is a single number.
    pub fn span(&self) -> Option<Span> {
        match self {
            Self::Length(m) => Some(m.span()),
            Self::Angle(m) => Some(m.span()),
            Self::Ratio(m) => Some(m.span()),
            Self::Count(n) => Some(Span::exact(f64::from(n.value))),
            Self::Lengths(_) | Self::Teeth(_) | Self::Word(_) => None,
        }
    }

    /// The same value with the tolerance made wider by a factor of at least one, where it has a tolerance.
    pub fn widened(&self, factor: f64) -> Self {
        fn wide<Q: Quantity>(m: &Measured<Q>, factor: f64) -> Measured<Q> {
            Measured { tolerance: Q::from_base(m.tolerance.base() * factor.max(1.0)), ..m.clone() }
        }
        match self {
            Self::Length(m) => Self::Length(wide(m, factor)),
            Self::Angle(m) => Self::Angle(wide(m, factor)),
            Self::Ratio(m) => Self::Ratio(wide(m, factor)),
            Self::Lengths(all) => Self::Lengths(all.iter().map(|m| wide(m, factor)).collect()),
            other => other.clone(),
        }
    }
}

impl fmt::Display for Value {
    /// The value with its unit and tolerance, as a person would write it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Length(m) => write!(f, "{m}"),
            Self::Angle(m) => write!(f, "{m}"),
            Self::Ratio(m) => write!(f, "{m}"),
            Self::Lengths(all) => {
                let numbers: Vec<String> = all.iter().map(|m| digits::fixed(m.value.to_mm(), 2)).collect();
                write!(f, "{} mm", numbers.join(", "))
            }
            Self::Count(n) => write!(f, "{}", n.value),
            Self::Teeth(n) => {
                let teeth: Vec<String> = n.value.iter().map(Teeth::to_string).collect();
                f.write_str(&teeth.join("-"))
            }
            Self::Word(n) => f.write_str(n.value),
        }
    }
}

/// A field type that can be carried as a [`Value`].
pub trait Held: Clone {
    /// The value of this field.
    fn to_value(&self) -> Value;
    /// The field from a value of the same sort.
    fn from_value(value: Value) -> Option<Self>;
}

macro_rules! held {
    ($($Type:ty => $Arm:ident),+ $(,)?) => {$(
        impl Held for $Type {
            fn to_value(&self) -> Value { Value::$Arm(self.clone()) }
            fn from_value(value: Value) -> Option<Self> {
                match value { Value::$Arm(held) => Some(held), _ => None }
            }
        }
    )+};
}

held! {
    Measured<Length> => Length, Measured<Angle> => Angle, Measured<Ratio> => Ratio,
    Vec<Measured<Length>> => Lengths, Noted<u32> => Count, Noted<Vec<Teeth>> => Teeth,
}

impl<W: Word> Held for Noted<W> {
    fn to_value(&self) -> Value {
        Value::Word(Noted { value: self.value.as_str(), basis: self.basis.clone() })
    }

    fn from_value(value: Value) -> Option<Self> {
        match value {
            Value::Word(Noted { value, basis }) => W::read(value).map(|value| Self { value, basis }),
            _ => None,
        }
    }
}
