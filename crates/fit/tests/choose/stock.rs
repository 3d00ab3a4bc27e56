//! Seeded catalogues of any size that look like a dealer's list: most parts are another make of a known one at another
//! price, some have other teeth, lengths or ratings.

use catalog::part::Label;
use catalog::{Catalogue, Dimension, Noted, Part, Value};
use quantity::{Mass, Money, Quantity, Reading, Teeth};

/// A random stream: splitmix64 (Steele, Lea, Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014).
pub(crate) struct Stream(pub(crate) u64);

impl Stream {
    pub(crate) fn below(&mut self, most: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        (z ^ (z >> 31)) % most
    }
}

/// A catalogue with so many parts: the built-in ones first, varied copies of them behind.
pub(crate) fn stock(seed: u64, parts: usize) -> Catalogue {
    let built_in = intake::built_in().unwrap();
    let mut catalogue = built_in.clone();
    catalogue.parts.truncate(parts);
    let mut stream = Stream(seed);
    while catalogue.parts.len() < parts {
        let number = catalogue.parts.len();
        let model = &built_in.parts[stream.below(built_in.parts.len() as u64) as usize];
        catalogue.parts.push(varied(model, number, &mut stream));
    }
    catalogue
}

fn varied(model: &Part, number: usize, stream: &mut Stream) -> Part {
    let mut part = model.clone();
    let percent = 60 + stream.below(130) as i64;
    let price =
        model.price().map(|price| Money::new(price.minor() * percent / 100, price.currency()).unwrap());
    // What costs more weighs a little less.
    let mass =
        model.mass().map(|mass| Mass::from_base(mass.base() * (112.0 - percent as f64 / 10.0) / 100.0));
    part.relabel(Label {
        id: Some(format!("{}-{number}", model.id().unwrap())),
        name: format!("{}, make {number}", model.name()),
        price,
        mass,
        lead_days: Some([0, 0, 0, 1, 2, 3, 5, 8, 14, 21][stream.below(10) as usize]),
    });
    if stream.below(10) < 3 {
        for field in model.slot().fields() {
            if let Some(Reading::Taken(value)) = part.get(field.dimension) {
                part.set(field.dimension, Reading::Taken(other(field.dimension, value, stream)));
            }
        }
    }
    part
}

/// Another value of the same dimension: a step of the trade up or down.
fn other(dimension: Dimension, value: Value, stream: &mut Stream) -> Value {
    let step = stream.below(3) as i64 - 1;
    let moved = |teeth: Teeth, by: i64| Teeth::new(i64::from(teeth.get()) + by).unwrap_or(teeth);
    match (dimension, value) {
        (Dimension::Cogs, Value::Teeth(mut cogs)) => {
            if let Some(largest) = cogs.value.last_mut() {
                *largest = moved(*largest, 2 * step.max(0));
            }
            Value::Teeth(cogs)
        }
        (Dimension::Rings, Value::Teeth(mut rings)) => {
            rings.value.iter_mut().for_each(|ring| *ring = moved(*ring, 2 * step));
            Value::Teeth(rings)
        }
        (Dimension::RatedCog | Dimension::Capacity, Value::Count(noted)) => {
            Value::Count(Noted { value: noted.value.saturating_add_signed(2 * step as i32), ..noted })
        }
        (_, value) => value,
    }
}
