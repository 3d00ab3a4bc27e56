//! The ride in sentences. Begin with [`sentence`], the one for the customer.

use crate::refit::Wind;
use crate::ride::{Numbers, OnRide, RankedSet, cheaper, spread};
use mechanics::ride::cog_inference::{InferenceError, UsedCogs};
use quantity::digits::fixed;
use std::cmp::Ordering;
use std::fmt::Write;

/// Rollouts of usual road wheels, metres, for the rings that a product allows.
const USUAL_ROLLOUT_M: (f64, f64) = (2.05, 2.16);

/// Before and after in one sentence.
pub fn sentence(numbers: &Numbers) -> String {
    let (before, after) = (&numbers.before, &numbers.after);
    let below = |on_ride: &OnRide| span(on_ride.spread(|r| r.below_s / 60.0), 1);
    let effect = match cheaper(after, before) {
        Some(Ordering::Less) => "the new gears are easier on this ride",
        Some(_) => "the new gears are harder on this ride",
        None => "on this ride the new gears cannot be told from the old ones",
    };
    format!(
        "{effect}: {} min below the liked cadence instead of {}, and {} % can be climbed seated instead of {} %",
        below(after),
        below(before),
        fixed(after.steepest.first().copied().unwrap_or(0.0) * 100.0, 1),
        fixed(before.steepest.first().copied().unwrap_or(0.0) * 100.0, 1)
    )
}

/// Which of the compared cassettes answers.
pub fn choice(numbers: &Numbers) -> String {
    let holding = || numbers.compared.iter().filter(|set| set.brings.is_empty());
    let Some(best) = holding().next() else {
        return "none of them goes on without another part that fails: see below each".to_owned();
    };
    let before = &numbers.before;
    let alike: Vec<&RankedSet> =
        holding().skip(1).filter(|set| cheaper(&best.on_ride, &set.on_ride).is_none()).collect();
    let (saved, least, most) =
        spread(before.costs_min().iter().zip(best.on_ride.costs_min()).map(|(was, is)| was - is));
    let compared = if least > 0.0 {
        format!("{} min less than the bike as found", span((saved, least, most), 1))
    } else if most < 0.0 {
        format!("{} min more than the bike as found", span((-saved, -most, -least), 1))
    } else {
        format!("which cannot be told from the bike as found ({} min less)", span((saved, least, most), 1))
    };
    let mut words = format!(
        "of those that go on, {} answers best: a cost of {} min, {compared}",
        keys(best),
        span(spread(best.on_ride.costs_min()), 1)
    );
    if !alike.is_empty() {
        let names: Vec<String> = alike.iter().map(|set| keys(set)).collect();
        let _ = write!(
            words,
            "; power and mass are not known well enough to tell it from {}",
            names.join(" and ")
        );
        let worst = |set: &RankedSet| spread(set.on_ride.costs_min()).2;
        let surest = alike.iter().fold(best, |kept, set| if worst(set) < worst(kept) { set } else { kept });
        let _ = write!(words, "; the surest is {}: {} min at worst", keys(surest), fixed(worst(surest), 0));
    }
    words
}

/// What the recording reveals of the gears.
pub fn cogs(cogs: &Result<UsedCogs, InferenceError>) -> String {
    match cogs {
        Err(why) => format!("the cogs used cannot be read from the recording: {why}"),
        Ok(used) => {
            let list = |teeth: &[u32]| teeth.iter().map(u32::to_string).collect::<Vec<_>>().join("-");
            let rings: Vec<String> = used
                .rings(USUAL_ROLLOUT_M)
                .iter()
                .map(|(ring, rollout)| format!("{ring} teeth with {} mm", fixed(rollout * 1000.0, 0)))
                .collect();
            let next = used.next.as_ref().map_or(String::new(), |(cogs, misfit)| {
                format!(", the next best set {} to {} %", list(cogs), fixed(misfit * 100.0, 2))
            });
            let mut words = format!(
                "cogs used: {}, read from cadence and speed to {} %{next}; ring and wheel are known only as a product, {} m",
                list(&used.cogs),
                fixed(used.misfit * 100.0, 2),
                fixed(used.ring_times_rollout_m, 1)
            );
            if !rings.is_empty() {
                let _ = write!(words, ": {} fit alike", rings.join(", "));
            }
            words
        }
    }
}

/// What a set makes of the ride.
pub fn on_ride(on_ride: &OnRide) -> String {
    format!(
        "cost of the ride {} min, {} min below the liked cadence",
        span(spread(on_ride.costs_min()), 1),
        span(on_ride.spread(|r| r.below_s / 60.0), 1)
    )
}

/// Power, mass and habit of the rider.
pub fn rider(numbers: &Numbers) -> String {
    let case = &numbers.case;
    let (power, mass, habit) = (case.power_w, case.mass_kg, case.habit);
    format!(
        "{} ± {} W ({}), {} ± {} kg ({}); likes {} to {} turns a minute, accepts {}",
        fixed(power.value, 0),
        fixed(power.value * power.share, 0),
        power.words,
        fixed(mass.value, 0),
        fixed(mass.value * mass.share, 0),
        mass.words,
        fixed(habit.low_rpm, 0),
        fixed(habit.high_rpm, 0),
        fixed(habit.grinding_rpm, 0)
    )
}

/// The wind that is ridden in.
pub fn wind(wind: Wind) -> String {
    let shown = |speed: quantity::Speed| format!("{} m/s", fixed(speed.abs().to_metres_a_second(), 1));
    match wind {
        Wind::Anywhere(speed) if speed.to_metres_a_second() == 0.0 => "no wind".to_owned(),
        Wind::Anywhere(speed) => format!("{}, direction not known and averaged", shown(speed)),
        Wind::Ahead(speed) if speed.to_metres_a_second() < 0.0 => {
            format!("{} from behind all the way", shown(speed))
        }
        Wind::Ahead(speed) => format!("{} from ahead all the way", shown(speed)),
    }
}

/// Keys of the parts of a set.
pub fn keys(set: &RankedSet) -> String {
    set.parts.iter().filter_map(|part| part.id()).collect::<Vec<_>>().join(" + ")
}

/// `4.1 (2.9 to 6.0)`: as stated, and from the least to the most at the corners; without decimals where these lie far apart.
pub fn span((middle, least, most): (f64, f64, f64), decimals: usize) -> String {
    let decimals = if most - least >= 4.0 { 0 } else { decimals };
    let (low, high) = (fixed(least, decimals), fixed(most, decimals));
    if low == high { low } else { format!("{} ({low} to {high})", fixed(middle, decimals)) }
}
