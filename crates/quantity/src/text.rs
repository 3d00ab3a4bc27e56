//! Quantities as a person writes them: `410 mm`, `410 ± 3 mm`, `1 3/8 in`, `130 mm assumed`.
//!
//! [`Stated::parse`] refuses what it does not understand and says what it would accept. A number without
//! a unit is refused with the likely unit named; nothing is guessed.

use crate::{Basis, Length, Measured, Quantity, Thread};
use std::fmt;

/// A quantity as it was written: the tolerance only if one was stated.
#[derive(Clone, Debug, PartialEq)]
pub struct Stated<Q> {
    /// The value.
    pub value: Q,
    /// The tolerance written after `±`.
    pub tolerance: Option<Q>,
    /// The word written at the end; measured where there is none.
    pub basis: Basis,
}

/// Why a text is no quantity.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TextError {
    /// Nothing was written.
    Empty,
    /// Something else stands where the number should be.
    NotANumber(String),
    /// Infinite or not a number.
    NotFinite(String),
    /// A number without a unit.
    NoUnit {
        /// The number.
        number: String,
        /// The unit that such a value usually has.
        likely: &'static str,
    },
    /// A unit of another kind or none at all.
    UnknownUnit {
        /// What was found.
        found: String,
        /// The accepted units.
        accepted: Vec<&'static str>,
    },
    /// A tolerance below zero.
    NegativeTolerance(String),
    /// A decimal comma.
    DecimalComma(String),
    /// A word after the unit that says nothing of the basis.
    UnknownWord(String),
}

/// The words that may stand at the end of a quantity.
pub const BASIS_WORDS: &[&str] =
    &["measured", "counted", "printed", "assumed", "published KEY", "practice", "memory"];

impl fmt::Display for TextError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => write!(f, "nothing is written here"),
            Self::NotANumber(found) => write!(f, "`{found}` is not a number"),
            Self::NotFinite(found) => write!(f, "`{found}` is not a finite number"),
            Self::NoUnit { number, likely } => {
                write!(f, "`{number}` needs a unit; did you mean `{number} {likely}`?")
            }
            Self::UnknownUnit { found, accepted } => {
                write!(f, "`{found}` is not a unit that fits here; accepted: ")?;
                for (i, unit) in accepted.iter().enumerate() {
                    write!(f, "{}`{unit}`", if i == 0 { "" } else { ", " })?;
                }
                Ok(())
            }
            Self::NegativeTolerance(found) => write!(f, "the tolerance `{found}` is below zero"),
            Self::DecimalComma(found) => {
                write!(f, "`{found}` has a decimal comma; write `{}`", found.replace(',', "."))
            }
            Self::UnknownWord(found) => {
                write!(
                    f,
                    "`{found}` does not say how the value was got; accepted: {}",
                    BASIS_WORDS.join(", ")
                )
            }
        }
    }
}

impl std::error::Error for TextError {}

impl<Q: Quantity> Stated<Q> {
    /// Reads a quantity.
    ///
    /// The form is: number, optional `± tolerance`, unit, optional word for the basis. The number may be a
    /// fraction as on old rims, `1 3/8`. `+-` and `+/-` are read as `±`.
    ///
    /// # Errors
    /// [`TextError`], which names what was found and what is accepted.
    pub fn parse(text: &str) -> Result<Self, TextError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(TextError::Empty);
        }
        let (body, basis) = split_basis(text)?;
        let body = body.replace("+/-", "±").replace("+-", "±");
        let (value_text, rest) = split_number(&body)?;
        let value = number(value_text)?;
        let rest = rest.trim_start();
        let (tolerance, unit) = match rest.strip_prefix('±') {
            None => (None, rest.trim()),
            Some(after) => {
                let (tolerance_text, unit) = split_number(after.trim_start())?;
                (Some(tolerance_text), unit.trim())
            }
        };
        let size = unit_size::<Q>(unit, value_text)?;
        let tolerance = match tolerance {
            None => None,
            Some(written) => {
                let tolerance = number(written)?;
                if tolerance < 0.0 {
                    return Err(TextError::NegativeTolerance(written.to_owned()));
                }
                Some(Q::from_base(tolerance * size))
            }
        };
        Ok(Self { value: Q::from_base(value * size), tolerance, basis })
    }

    /// The value with its own tolerance, or with that of the usual tool. A counted, printed or agreed value
    /// without a stated tolerance is exact; an assumed one has the tool's tolerance at least.
    pub fn or_tolerance(self, usual: Q) -> Measured<Q> {
        let tolerance = self.tolerance.unwrap_or(match self.basis {
            Basis::Measured | Basis::Assumed => usual,
            _ => Q::from_base(0.0),
        });
        Measured { value: self.value, tolerance, basis: self.basis }
    }
}

/// Reads a thread: `1.37 in x 24 tpi`, `M5 x 0.8`, `35 mm x 1 mm`.
///
/// # Errors
/// [`TextError`] on any other form.
pub fn parse_thread(text: &str) -> Result<Thread, TextError> {
    let refused = || TextError::UnknownUnit {
        found: text.to_owned(),
        accepted: vec!["1.37 in x 24 tpi", "M5 x 0.8", "35 mm x 1 mm"],
    };
    let (diameter, pitch) = text.split_once('x').ok_or_else(refused)?;
    let (diameter, pitch) = (diameter.trim(), pitch.trim());
    let metric = diameter.strip_prefix('M');
    let diameter = match metric {
        Some(size) => Length::mm(number(size.trim())?),
        None => Stated::<Length>::parse(diameter)?.value,
    };
    let pitch = if let Some(count) = pitch.strip_suffix("tpi") {
        let count = number(count.trim())?;
        if count <= 0.0 {
            return Err(refused());
        }
        Length::inches(1.0 / count)
    } else if metric.is_some() && !pitch.contains("mm") {
        Length::mm(number(pitch)?)
    } else {
        Stated::<Length>::parse(pitch)?.value
    };
    if diameter.to_mm() <= 0.0 || pitch.to_mm() <= 0.0 {
        return Err(refused());
    }
    Ok(Thread { diameter, pitch })
}

fn split_basis(text: &str) -> Result<(&str, Basis), TextError> {
    if let Some((body, key)) = text.rsplit_once(" published ") {
        return Ok((body, Basis::Published(key.trim().to_owned())));
    }
    let Some((body, word)) = text.rsplit_once(' ') else { return Ok((text, Basis::Measured)) };
    let basis = match word {
        "measured" => Basis::Measured,
        "counted" => Basis::Counted,
        "printed" => Basis::Printed,
        "assumed" => Basis::Assumed,
        "practice" => Basis::Practice,
        "memory" => Basis::Memory,
        "published" => {
            return Err(TextError::UnknownWord("published (without the key of a source)".to_owned()));
        }
        _ => return Ok((text, Basis::Measured)),
    };
    Ok((body.trim_end(), basis))
}

/// Splits `1 3/8 in` into `1 3/8` and ` in`.
fn split_number(text: &str) -> Result<(&str, &str), TextError> {
    let is_part = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '−' | '+' | '/' | ' ');
    let lower = text.to_ascii_lowercase();
    for odd in ["nan", "inf", "-inf", "infinity"] {
        if lower.starts_with(odd) && !lower.starts_with("in ") {
            return Err(TextError::NotFinite(text.to_owned()));
        }
    }
    let end = text.find(|c| !is_part(c)).unwrap_or(text.len());
    // An exponent is part of the number: `1e3`.
    let end = match text.get(end..).map(str::as_bytes) {
        Some([b'e' | b'E', next, ..]) if next.is_ascii_digit() || *next == b'-' => {
            let tail = text.get(end + 2..).unwrap_or("");
            end + 2 + tail.find(|c: char| !c.is_ascii_digit()).unwrap_or(tail.len())
        }
        _ => end,
    };
    let (number, rest) = text.split_at_checked(end).unwrap_or((text, ""));
    if number.trim().is_empty() {
        return Err(TextError::NotANumber(text.to_owned()));
    }
    Ok((number.trim(), rest))
}

fn number(text: &str) -> Result<f64, TextError> {
    let not = || TextError::NotANumber(text.to_owned());
    if text.contains(',') {
        return Err(TextError::DecimalComma(text.to_owned()));
    }
    let plain = text.replace('−', "-");
    let (whole, fraction) = match plain.rsplit_once(' ') {
        Some((whole, fraction)) if fraction.contains('/') => (Some(whole.trim()), fraction),
        _ => (None, plain.as_str()),
    };
    let value = match fraction.split_once('/') {
        Some((top, bottom)) => {
            let (top, bottom) = (decimal(top).ok_or_else(not)?, decimal(bottom).ok_or_else(not)?);
            if bottom == 0.0 || top < 0.0 || bottom < 0.0 {
                return Err(not());
            }
            top / bottom
        }
        None => decimal(fraction).ok_or_else(not)?,
    };
    let value = match whole {
        Some(whole) => {
            let whole = decimal(whole).ok_or_else(not)?;
            whole.abs().mul_add(1.0, value).copysign(whole)
        }
        None => value,
    };
    if value.is_finite() { Ok(value) } else { Err(TextError::NotFinite(text.to_owned())) }
}

fn decimal(text: &str) -> Option<f64> {
    let bytes = text.trim().as_bytes();
    let plain = bytes.iter().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+' | b'e' | b'E'));
    if plain { text.trim().parse().ok() } else { None }
}

fn unit_size<Q: Quantity>(unit: &str, number: &str) -> Result<f64, TextError> {
    let found = Q::UNITS.iter().find(|(word, _)| *word == unit);
    match found {
        Some((_, size)) => Ok(*size),
        None if unit.is_empty() => {
            Err(TextError::NoUnit { number: number.to_owned(), likely: Q::UNITS[0].0 })
        }
        None => {
            let accepted: Vec<&'static str> = Q::UNITS.iter().map(|(word, _)| *word).collect();
            // `410 mm asumed`: the unit is right and a word follows that is not known.
            let known = accepted.iter().find(|word| {
                !word.is_empty() && unit.strip_prefix(**word).is_some_and(|rest| rest.starts_with(' '))
            });
            match known {
                Some(word) => Err(TextError::UnknownWord(unit.trim_start_matches(word).trim().to_owned())),
                None => Err(TextError::UnknownUnit { found: unit.to_owned(), accepted }),
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Angle, Ratio};

    fn length(text: &str) -> Result<Stated<Length>, TextError> {
        Stated::parse(text)
    }

    #[test]
    fn the_forms_a_person_writes_are_read() {
        for (text, mm, tolerance) in [
            ("410 mm", 410.0, None),
            ("410 ± 3 mm", 410.0, Some(3.0)),
            ("410 +- 3 mm", 410.0, Some(3.0)),
            ("41 ± 0.3 cm", 410.0, Some(3.0)),
            ("1 3/8 in", 34.925, None),
            ("-17.5 mm", -17.5, None),
            ("−17.5 mm", -17.5, None),
            ("130 mm assumed", 130.0, None),
        ] {
            let read = length(text).unwrap();
            assert!((read.value.to_mm() - mm).abs() < 1e-9, "{text}");
            assert_eq!(read.tolerance.map(|t| (t.to_mm() * 1e6).round() / 1e6), tolerance, "{text}");
        }
        assert_eq!(length("130 mm assumed").unwrap().basis, Basis::Assumed);
        assert_eq!(
            length("36.75 mm published hub-table").unwrap().basis,
            Basis::Published("hub-table".into())
        );
        assert_eq!(Stated::<Angle>::parse("-17 deg").unwrap().value.to_deg(), -17.0);
        assert_eq!(Stated::<Angle>::parse("73°").unwrap().value.to_deg(), 73.0);
        assert_eq!(Stated::<Ratio>::parse("1.7 memory").unwrap().basis, Basis::Memory);
    }

    #[test]
    fn a_number_without_a_unit_is_refused_with_the_likely_one() {
        let error = length("410").unwrap_err();
        assert_eq!(error.to_string(), "`410` needs a unit; did you mean `410 mm`?");
    }

    #[test]
    fn what_is_no_quantity_is_refused() {
        for text in [
            "",
            " ",
            "mm",
            "NaN mm",
            "inf mm",
            "1e999 mm",
            "410 furlong",
            "410,5 mm",
            "410 mm asumed",
            "4 1 0 mm",
            "1/0 in",
            "± 3 mm",
            "410 ± mm",
            "410 ± -3 mm",
            "--3 mm",
            "3/-8 in",
            "410 mm published",
            "🚲",
            "410\u{0} mm",
            "1 3/8",
        ] {
            assert!(length(text).is_err(), "{text:?} was read as {:?}", length(text));
        }
    }

    #[test]
    fn threads_are_read() {
        let thread = parse_thread("1.37 in x 24 tpi").unwrap();
        assert!(
            (thread.diameter.to_mm() - 34.798).abs() < 1e-9 && (thread.pitch.to_mm() - 1.0583).abs() < 1e-4
        );
        assert_eq!(parse_thread("M5 x 0.8").unwrap(), Thread::metric(5.0, 0.8));
        for text in ["", "x", "M x 1", "1.37 x 24", "M5 x 0", "M-5 x 1", "1.37 in x 0 tpi"] {
            assert!(parse_thread(text).is_err(), "{text}");
        }
    }
}
