//! The fields of a table: each is asked for by name, what is missing is said, what nobody asked for is refused.

use crate::document::{form_of, wrong_form};
use crate::nearest::{offer, unknown_key};
use crate::plain_value::{MOST_IN_VALUE, integer, money, name, text, whole, words};
use crate::problem::{Notes, Refusal, quoted};
use jiff::civil::Date;
use quantity::{Money, Percent, Stated};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

pub(crate) type Given<'t, 'a> = &'t Spanned<DeValue<'a>>;

/// A table with the keys that it may have.
pub(crate) struct Fields<'t, 'a> {
    table: &'t DeTable<'a>,
    span: std::ops::Range<usize>,
    place: &'static str,
}

impl<'t, 'a> Fields<'t, 'a> {
    /// The fields of a value; a refusal if it is no table or has other keys.
    pub(crate) fn of(
        place: &'static str,
        value: Given<'t, 'a>,
        keys: &[&str],
        notes: &mut Notes,
    ) -> Option<Self> {
        let DeValue::Table(table) = value.get_ref() else {
            let what = format!("`{place}` is {}; a table is wanted", form_of(value.get_ref()));
            notes.refuse(Refusal::at(value.span(), what));
            return None;
        };
        Some(Self::in_table(place, table, value.span(), keys, notes))
    }

    /// The fields of a table.
    pub(crate) fn in_table(
        place: &'static str,
        table: &'t DeTable<'a>,
        span: std::ops::Range<usize>,
        keys: &[&str],
        notes: &mut Notes,
    ) -> Self {
        for (key, _) in table.iter().filter(|(key, _)| !keys.contains(&key.get_ref().as_ref())) {
            notes.refuse(unknown_key(key.span(), key.get_ref(), &format!("of `{place}`"), keys));
        }
        Self { table, span, place }
    }

    /// What stands under a key.
    pub(crate) fn get(&self, key: &str) -> Option<Given<'t, 'a>> {
        self.table.iter().find(|(found, _)| found.get_ref() == key).map(|(_, value)| value)
    }

    /// What stands under a key that has to be there.
    pub(crate) fn want(&self, key: &str, example: &str, notes: &mut Notes) -> Option<Given<'t, 'a>> {
        let found = self.get(key);
        if found.is_none() {
            let what = format!("`{}` has no `{key}`", self.place);
            notes.refuse(Refusal::at(self.span.clone(), what).help(format!("write `{key} = {example}`")));
        }
        found
    }

    /// A name that has to be there.
    pub(crate) fn name(&self, key: &str, example: &str, notes: &mut Notes) -> Option<String> {
        let value = self.want(key, &format!("\"{example}\""), notes)?;
        notes.keep(name(key, value, example))
    }

    /// A name that may be there.
    pub(crate) fn name_if(&self, key: &str, example: &str, notes: &mut Notes) -> Option<String> {
        notes.keep(name(key, self.get(key)?, example))
    }

    /// Words that have to be there.
    pub(crate) fn words(&self, key: &str, example: &str, notes: &mut Notes) -> Option<String> {
        let value = self.want(key, &format!("\"{example}\""), notes)?;
        notes.keep(words(key, value, example))
    }

    /// An amount of money that has to be there.
    pub(crate) fn money(&self, key: &str, notes: &mut Notes) -> Option<Money> {
        let value = self.want(key, "\"64.00 EUR\"", notes)?;
        notes.keep(money(key, value))
    }

    /// A whole number that has to be there.
    pub(crate) fn whole(&self, key: &str, (least, most): (u32, u32), notes: &mut Notes) -> Option<u32> {
        let value = self.want(key, &least.midpoint(most.min(least.saturating_add(14))).to_string(), notes)?;
        notes.keep(whole(key, value, least, most))
    }

    /// A whole number that may be there.
    pub(crate) fn whole_or(&self, key: &str, (least, most): (u32, u32), or: u32, notes: &mut Notes) -> u32 {
        match self.get(key) {
            Some(value) => notes.keep(whole(key, value, least, most)).unwrap_or(or),
            None => or,
        }
    }

    /// True or false; false if it is not said.
    pub(crate) fn is(&self, key: &str, notes: &mut Notes) -> bool {
        self.is_if(key, notes).unwrap_or(false)
    }

    /// True or false, if it is said.
    pub(crate) fn is_if(&self, key: &str, notes: &mut Notes) -> Option<bool> {
        let value = self.get(key)?;
        match value.get_ref() {
            DeValue::Boolean(is) => Some(*is),
            _ => {
                notes.refuse(wrong_form(key, value, "true or false", &format!("{key} = true")));
                None
            }
        }
    }

    /// One of some words that has to be there.
    pub(crate) fn one_of<T: Copy>(&self, key: &str, of: &[(&str, T)], notes: &mut Notes) -> Option<T> {
        let example = of.first().map_or("", |(word, _)| word);
        let value = self.want(key, &format!("\"{example}\""), notes)?;
        notes.keep(one_of(key, value, of))
    }

    /// One of some words that may be there.
    pub(crate) fn one_of_if<T: Copy>(&self, key: &str, of: &[(&str, T)], notes: &mut Notes) -> Option<T> {
        notes.keep(one_of(key, self.get(key)?, of))
    }

    /// A day that has to be there.
    pub(crate) fn day(&self, key: &str, notes: &mut Notes) -> Option<Date> {
        let value = self.want(key, "\"2026-11-20\"", notes)?;
        notes.keep(day(key, value))
    }

    /// A day that may be there.
    pub(crate) fn day_if(&self, key: &str, notes: &mut Notes) -> Option<Date> {
        notes.keep(day(key, self.get(key)?))
    }

    /// The entries of a list that may be there.
    pub(crate) fn list(&self, key: &str, notes: &mut Notes) -> Vec<Given<'t, 'a>> {
        let Some(value) = self.get(key) else { return Vec::new() };
        notes.keep(entries(key, value)).unwrap_or_default()
    }

    /// The texts of a list that may be there.
    pub(crate) fn names(&self, key: &str, example: &str, notes: &mut Notes) -> Vec<(String, Given<'t, 'a>)> {
        self.list(key, notes)
            .into_iter()
            .filter_map(|entry| notes.keep(name(key, entry, example)).map(|name| (name, entry)))
            .collect()
    }

    /// Where the table stands.
    pub(crate) fn span(&self) -> std::ops::Range<usize> {
        self.span.clone()
    }
}

/// The entries of a list.
pub(crate) fn entries<'t, 'a>(key: &str, value: Given<'t, 'a>) -> Result<Vec<Given<'t, 'a>>, Refusal> {
    match value.get_ref() {
        DeValue::Array(entries) => Ok(entries.iter().collect()),
        _ => Err(wrong_form(key, value, "a list", &format!("{key} = [ ]"))),
    }
}

/// One of some words.
pub(crate) fn one_of<T: Copy>(key: &str, value: Given<'_, '_>, of: &[(&str, T)]) -> Result<T, Refusal> {
    let example = of.first().map_or("", |(word, _)| word);
    let found = text(key, value, example, MOST_IN_VALUE)?;
    of.iter().find(|(word, _)| *word == found.trim()).map(|(_, arm)| *arm).ok_or_else(|| {
        let known: Vec<&str> = of.iter().map(|(word, _)| *word).collect();
        Refusal::at(value.span(), format!("{} is no word for `{key}`", quoted(found)))
            .help(offer(found, &known))
    })
}

/// A day of the calendar.
pub(crate) fn day(key: &str, value: Given<'_, '_>) -> Result<Date, Refusal> {
    let found = match value.get_ref() {
        DeValue::Datetime(day) => day.to_string(),
        _ => text(key, value, "2026-11-20", MOST_IN_VALUE)?.trim().to_owned(),
    };
    let form = found.len() == 10 && found.as_bytes().get(4) == Some(&b'-');
    match found.parse::<Date>() {
        Ok(day) if form => Ok(day),
        _ => Err(Refusal::at(value.span(), format!("{} is no day of the calendar", quoted(&found)))
            .help(format!("write year, month and day such as `{key} = \"2026-11-20\"`"))),
    }
}

/// A share as hundredths of a percent.
pub(crate) fn percent(key: &str, value: Given<'_, '_>) -> Result<u32, Refusal> {
    let found = text(key, value, "19 %", MOST_IN_VALUE)?;
    let help = format!("write it such as `{key} = \"19 %\"`");
    let stated = Stated::<Percent>::parse(found)
        .map_err(|error| Refusal::at(value.span(), format!("`{key}`: {error}")).help(help.as_str()))?;
    let hundredths = stated.value.to_percent() * 100.0;
    let whole = hundredths.round();
    if stated.tolerance.is_some() || !(0.0..=10_000.0).contains(&whole) || (hundredths - whole).abs() > 1e-6 {
        let what = format!("`{key}` is {}; 0 % to 100 % in hundredths is wanted", quoted(found));
        return Err(Refusal::at(value.span(), what).help(help));
    }
    Ok(whole as u32)
}

/// A list of so many whole numbers.
pub(crate) fn numbers(key: &str, value: Given<'_, '_>, most: u32) -> Result<Vec<u32>, Refusal> {
    entries(key, value)?
        .into_iter()
        .map(|entry| match integer(entry.get_ref()) {
            Some(Some(number)) if (0..=i64::from(most)).contains(&number) => Ok(number as u32),
            Some(_) => Err(Refusal::at(entry.span(), format!("a number of `{key}` is outside 0 to {most}"))),
            None => Err(wrong_form(key, entry, "a whole number", &format!("{key} = [8, 12, 20]"))),
        })
        .collect()
}

/// Three numbers that rise.
pub(crate) fn rising(key: &str, value: Given<'_, '_>, most: u32) -> Result<[u32; 3], Refusal> {
    match numbers(key, value, most)?.as_slice() {
        [low, usual, high] if low <= usual && usual <= high => Ok([*low, *usual, *high]),
        _ => Err(Refusal::at(value.span(), format!("`{key}` is not three numbers that rise"))
            .help(format!("write low, usual and high such as `{key} = [8, 12, 20]`"))),
    }
}
