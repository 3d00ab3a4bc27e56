//! Money in whole minor units of one currency.

use std::fmt;

/// An amount of money: whole minor units and a currency code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Money {
    minor: i64,
    currency: [u8; 3],
}

/// Why an amount was refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MoneyError {
    /// Not of the form `64.00 EUR`.
    Form(String),
    /// Two currencies in one sum.
    Mixed(String, String),
    /// Larger than can be counted.
    TooLarge,
}

impl fmt::Display for MoneyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Form(found) => write!(
                f,
                "`{found}` is not an amount; write a number with two decimals and a currency code, such as `64.00 EUR`"
            ),
            Self::Mixed(a, b) => write!(f, "amounts in `{a}` and `{b}` cannot be added"),
            Self::TooLarge => write!(f, "the amount is too large to be counted"),
        }
    }
}

impl std::error::Error for MoneyError {}

impl Money {
    /// An amount from minor units (cents) and a three-letter currency code.
    ///
    /// # Errors
    /// [`MoneyError::Form`] if the code is not three capital letters.
    pub fn new(minor: i64, currency: &str) -> Result<Self, MoneyError> {
        match <[u8; 3]>::try_from(currency.as_bytes()) {
            Ok(code) if code.iter().all(u8::is_ascii_uppercase) => Ok(Self { minor, currency: code }),
            _ => Err(MoneyError::Form(currency.to_owned())),
        }
    }

    /// Reads `64.00 EUR`, `64 EUR` or `1250.5 EUR`.
    ///
    /// # Errors
    /// [`MoneyError::Form`] on anything else, [`MoneyError::TooLarge`] beyond 92 thousand billion.
    pub fn parse(text: &str) -> Result<Self, MoneyError> {
        let form = || MoneyError::Form(text.to_owned());
        let (number, code) = text.trim().rsplit_once(' ').ok_or_else(form)?;
        let number = number.trim();
        let (negative, digits) = match number.strip_prefix(['-', '−']) {
            Some(rest) => (true, rest),
            None => (false, number),
        };
        let (whole, cents) = digits.split_once('.').unwrap_or((digits, ""));
        let all_digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
        if whole.is_empty() || !all_digits(whole) || !all_digits(cents) || cents.len() > 2 {
            return Err(form());
        }
        let whole: i64 = whole.parse().map_err(|_| MoneyError::TooLarge)?;
        let cents: i64 = format!("{cents:0<2}").parse().map_err(|_| form())?;
        let minor = whole.checked_mul(100).and_then(|m| m.checked_add(cents)).ok_or(MoneyError::TooLarge)?;
        Self::new(if negative { -minor } else { minor }, code)
    }

    /// The amount in minor units.
    pub fn minor(self) -> i64 {
        self.minor
    }

    /// The currency code.
    pub fn currency(&self) -> &str {
        std::str::from_utf8(&self.currency).unwrap_or("???")
    }

    /// The sum.
    ///
    /// # Errors
    /// [`MoneyError::Mixed`] for two currencies, [`MoneyError::TooLarge`] on overflow.
    pub fn plus(self, other: Self) -> Result<Self, MoneyError> {
        if self.currency != other.currency {
            return Err(MoneyError::Mixed(self.currency().to_owned(), other.currency().to_owned()));
        }
        let minor = self.minor.checked_add(other.minor).ok_or(MoneyError::TooLarge)?;
        Ok(Self { minor, currency: self.currency })
    }

    /// The difference.
    ///
    /// # Errors
    /// As [`Money::plus`].
    pub fn minus(self, other: Self) -> Result<Self, MoneyError> {
        let minor = other.minor.checked_neg().ok_or(MoneyError::TooLarge)?;
        self.plus(Self { minor, currency: other.currency })
    }

    /// The amount so many times.
    ///
    /// # Errors
    /// [`MoneyError::TooLarge`] on overflow.
    pub fn times(self, count: u32) -> Result<Self, MoneyError> {
        let minor = self.minor.checked_mul(i64::from(count)).ok_or(MoneyError::TooLarge)?;
        Ok(Self { minor, currency: self.currency })
    }

    /// So many parts of a whole of it, rounded to whole minor units, halves away from zero.
    ///
    /// # Errors
    /// [`MoneyError::TooLarge`] on overflow, or for a part of nothing.
    ///
    /// # Example
    /// ```
    /// // 265 minutes at 66.00 an hour.
    /// let hour = quantity::Money::parse("66.00 EUR").unwrap();
    /// assert_eq!(hour.share(265, 60).unwrap().to_string(), "291.50 EUR");
    /// ```
    pub fn share(self, parts: u32, whole: u32) -> Result<Self, MoneyError> {
        let whole = i128::from(whole);
        if whole == 0 {
            return Err(MoneyError::TooLarge);
        }
        let product = i128::from(self.minor) * i128::from(parts);
        let rounded = (product.abs() * 2 + whole) / (whole * 2) * product.signum();
        let minor = i64::try_from(rounded).map_err(|_| MoneyError::TooLarge)?;
        Ok(Self { minor, currency: self.currency })
    }

    /// Another amount in the same currency, in minor units.
    #[must_use]
    pub fn with_minor(self, minor: i64) -> Self {
        Self { minor, currency: self.currency }
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.minor < 0 { "−" } else { "" };
        let size = self.minor.unsigned_abs();
        write!(f, "{sign}{}.{:02} {}", size / 100, size % 100, self.currency())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_read_and_shown_alike() {
        for (text, shown) in [("64.00 EUR", "64.00 EUR"), ("64 EUR", "64.00 EUR"), ("-0.5 EUR", "−0.50 EUR")]
        {
            assert_eq!(Money::parse(text).unwrap().to_string(), shown);
        }
    }

    #[test]
    fn what_is_not_an_amount_is_refused() {
        for text in
            ["", "64", "64 eur", "64,00 EUR", "1e3 EUR", "64.001 EUR", "99999999999999999999 EUR", "NaN EUR"]
        {
            assert!(Money::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_share_is_rounded_once_halves_away_from_zero() {
        let amount = |minor| Money::new(minor, "EUR").unwrap();
        for (minor, parts, whole, rounded) in [
            (6600, 265, 60, 29150),
            (1, 1, 2, 1),
            (-1, 1, 2, -1),
            (100, 1, 3, 33),
            (200, 1, 3, 67),
            (0, 7, 3, 0),
        ] {
            assert_eq!(amount(minor).share(parts, whole).unwrap().minor(), rounded);
        }
        assert_eq!(amount(1).share(1, 0), Err(MoneyError::TooLarge));
        assert_eq!(amount(i64::MAX).share(2, 1), Err(MoneyError::TooLarge));
    }

    #[test]
    fn currencies_are_not_mixed() {
        let (a, b) = (Money::parse("1 EUR").unwrap(), Money::parse("1 GBP").unwrap());
        assert!(matches!(a.plus(b), Err(MoneyError::Mixed(..))));
    }
}
