//! The landing of the gears in the report: a table of all gears, the click window, and what counted clicks say.

use crate::report::{plain_table, print_table, right, wrapped};
use comfy_table::Cell;
use fit::geometry::{ClickRoom, GearLanding, LandingPlan, MeasuredWindow, ShiftLanding};
use quantity::{Length, digits};

/// The whole landing.
pub(super) fn landing(out: &mut String, plan: &LandingPlan) {
    table(out, plan);
    wrapped(out, "window", &window(plan.of_all));
    if let Some(hanger) = &plan.hanger {
        let text = format!(
            "as the gauge reads it leans {} and turns {}: {} across the cassette that no adjuster takes away; {}",
            digits::signed_with_unit(hanger.roll.to_deg(), 1, "°"),
            digits::signed_with_unit(hanger.toe.to_deg(), 1, "°"),
            digits::signed_with_unit(hanger.across.to_mm(), 2, "mm"),
            window(hanger.of_all)
        );
        wrapped(out, "hanger", &text);
    }
    for (title, counted) in [("as found", &plan.counted_before), ("counted", &plan.counted)] {
        if let Some(counted) = counted {
            wrapped(out, title, &told(counted));
        }
    }
    for line in lines(plan) {
        wrapped(out, "-", &line);
    }
}

fn table(out: &mut String, plan: &LandingPlan) {
    let mut table = plain_table();
    let mut row = |title: &str, tell: &dyn Fn(&GearLanding) -> String| {
        let mut cells = vec![Cell::new(title)];
        cells.extend(plan.gears.iter().map(|gear| right(tell(gear))));
        table.add_row(cells);
    };
    let mm = |landing: Option<ShiftLanding>, of: fn(&ShiftLanding) -> Length| {
        landing.map_or("-".to_owned(), |landing| digits::signed(of(&landing).to_mm(), 2))
    };
    let clicks = |clicks: f64| if clicks.is_finite() { digits::fixed(clicks, 1) } else { "-".to_owned() };
    row("mm; inward is +", &|gear| gear.cog.to_string());
    row("to larger: off by", &|gear| mm(gear.to_larger, |landing| landing.error));
    row("  room to rub", &|gear| mm(gear.to_larger, |landing| landing.to_rub));
    row("  room to a failed shift", &|gear| mm(gear.to_larger, |landing| landing.to_failed_shift));
    row("to smaller: off by", &|gear| mm(gear.to_smaller, |landing| landing.error));
    row("  room to rub", &|gear| mm(gear.to_smaller, |landing| landing.to_rub));
    row("  room to a failed shift", &|gear| mm(gear.to_smaller, |landing| landing.to_failed_shift));
    row("clicks to add until it fails", &|gear| clicks(gear.room.add));
    row("clicks to take off", &|gear| clicks(gear.room.take_off));
    print_table(out, &table);
}

fn window(room: ClickRoom) -> String {
    let width = digits::fixed(room.width(), 1);
    if room.width() <= 0.0 {
        return format!("no setting of the adjuster serves every shift: {width} clicks");
    }
    let (add, take_off) = (digits::fixed(room.add, 1), digits::fixed(room.take_off, 1));
    format!(
        "at its best the adjuster bears {add} clicks more and {take_off} fewer in every gear, {width} in all"
    )
}

fn told(counted: &MeasuredWindow) -> String {
    let of = |width: f64| digits::fixed(width, 1);
    let predicted = match counted.predicted {
        Some(shape) => format!(
            "; parts and hanger as read should show {} and {} a gear",
            of(shape.width),
            digits::signed(shape.slope_per_gear, 2)
        ),
        None => String::new(),
    };
    format!(
        "in gears {} and {}: centre {}, {} clicks wide, {} a gear{predicted}. {}",
        counted.gears.0,
        counted.gears.1,
        digits::signed(counted.found.centre, 1),
        of(counted.found.width),
        digits::signed(counted.found.slope_per_gear, 2),
        counted.reading.join("; ")
    )
}

fn lines(plan: &LandingPlan) -> Vec<String> {
    let detent = digits::with_unit(plan.detent.to_mm(), 2, "mm");
    let lost = digits::with_unit(plan.lost_motion.to_mm(), 2, "mm");
    vec![
        if plan.detent_counted {
            format!("a click of the adjuster takes up {detent} of cable, as counted")
        } else {
            format!("a click of the adjuster is taken as {detent} of cable, four to a turn")
        },
        if plan.is_of_housing {
            format!(
                "pulling and returning differ by {lost} of cable for housing and bends as they run, or as a healthy cable does"
            )
        } else {
            format!("pulling and returning differ by {lost} of cable, as on a healthy cable")
        },
        if plan.is_curve {
            "the derailleur was measured along its travel".to_owned()
        } else {
            "the ratio of the derailleur is taken as even along its travel".to_owned()
        },
        "how far off a shift still happens (0.85 mm) is a guess: compare bikes by these clicks".to_owned(),
    ]
}
