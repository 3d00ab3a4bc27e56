//! The bolts of a sheet of work: every fastener that its steps close, with torque, setting, force and rounds.

use crate::files::Failure;
use crate::report::{plain_table, print_table, right, wrapped};
use crate::screen::HEADING;
use comfy_table::Cell;
use document::{LaidWork, basis_words};
use quantity::{Torque, digits};
use shop::torque::{Setting, Wrench, closing, in_unit};
use shop::{FASTENERS, FastenerId, OwnTorque, TorqueRange};
use std::collections::BTreeMap;
use std::fmt::Write;

/// Every fastener that the steps close with a wrench, in the order of the table.
pub(super) fn settings(
    laid: &LaidWork<'_>,
    printed: &[(FastenerId, Torque)],
    own: &[OwnTorque],
    wrench: Option<Wrench>,
) -> Result<Vec<Setting>, Failure> {
    let mut settings = Vec::new();
    for fastener in FASTENERS.iter().filter(|fastener| laid.closes(fastener.id)) {
        let of_it: Vec<Torque> =
            printed.iter().filter(|(id, _)| *id == fastener.id).map(|(_, torque)| *torque).collect();
        settings.extend(closing(fastener, &of_it, own, wrench).map_err(Failure::Bolt)?);
    }
    Ok(settings)
}

/// The table of bolts.
pub(super) fn tell(out: &mut String, settings: &[Setting], wrench: Option<Wrench>) {
    if settings.is_empty() {
        return;
    }
    let _ = writeln!(
        out,
        "\n{HEADING}Bolts{HEADING:#}, the torque printed on the part wins, and of two parts in a joint the lower"
    );
    let mut table = plain_table();
    let mut header = vec!["".to_owned(), "N·m".to_owned(), "lbf in".to_owned(), "kgf cm".to_owned()];
    if wrench.is_some() {
        header.push("on the wrench".to_owned());
    }
    header.extend(["clamps, kN, of proof".to_owned(), "because".to_owned()]);
    table.add_row(header);
    for setting in settings {
        let mut row = vec![
            Cell::new(setting.fastener.title),
            right(setting.torque.map_or("?".to_owned(), |torque| range(torque, "N·m"))),
            right(setting.torque.map_or(String::new(), |torque| range(torque, "lbf in"))),
            right(setting.torque.map_or(String::new(), |torque| range(torque, "kgf cm"))),
        ];
        if wrench.is_some() {
            row.push(right(setting.set.map_or(String::new(), |set| range(set, "N·m"))));
        }
        let clamps = setting.clamps.map_or(String::new(), |clamps| {
            let [least, _, most] = clamps.kilonewtons();
            format!("{least:.1} to {most:.1} ({:.0} %)", clamps.proof * 100.0)
        });
        row.extend([right(clamps), Cell::new(basis_words(setting.basis))]);
        table.add_row(row);
    }
    print_table(out, &table);
    if let Some(wrench) = wrench {
        let _ = writeln!(
            out,
            "  a wrench of {:.0} with {:.0} of extension at {:.0}: the hand stays on the middle of the grip",
            wrench.length, wrench.extension, wrench.angle
        );
    }
    for setting in settings {
        if let Some(own) = &setting.own {
            wrapped(out, "-", &beside(setting, own));
        }
    }
    for setting in settings.iter().filter(|setting| !setting.turns.is_empty()) {
        wrapped(out, "-", &rounds(setting));
    }
    wrapped(
        out,
        "-",
        "a force by torque scatters by 30 % to each side, and its greatest is told as a share of the proof load of class 8.8; grease where the print is for dry threads adds up to two thirds",
    );
    let mut threads: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for setting in settings {
        if let Some(condition) = setting.condition.filter(|condition| *condition != "none") {
            threads.entry(condition).or_default().push(setting.fastener.title);
        }
    }
    for (condition, titles) in threads {
        wrapped(out, "-", &format!("{condition}: {}", titles.join(", ")));
    }
    let mut carbon: Vec<&str> = settings.iter().filter_map(|setting| setting.carbon).collect();
    carbon.dedup();
    for words in carbon {
        wrapped(out, "!", words);
    }
}

/// The shop's own figure with name and date, and the built-in one that it overrides.
fn beside(setting: &Setting, own: &OwnTorque) -> String {
    let words = |known: TorqueRange| format!("{} N·m", range((known.least, known.most), "N·m"));
    let built_in = setting.usual.map_or("as printed on the part".to_owned(), words);
    let why = own.why.as_ref().map_or_else(String::new, |why| format!(": {why}"));
    let title = setting.fastener.title;
    format!(
        "{title}: {}, the shop's own, {}, {}{why}; built in: {built_in}",
        words(own.range),
        own.by,
        own.on
    )
}

fn range((least, most): (Torque, Torque), unit: &str) -> String {
    let number = |torque| {
        in_unit(torque, unit).map_or(String::new(), |value| {
            // A wrench of a workshop is read to a tenth at best, and no finer than its class.
            let decimals = if value < 20.0 { 1 } else { 0 };
            digits::fixed(value, decimals)
        })
    };
    let (least, most) = (number(least), number(most));
    if least == most { least } else { format!("{least} to {most}") }
}

/// The rounds of a clamp: one line, since the order is the same in each.
fn rounds(setting: &Setting) -> String {
    let mut bolts: Vec<String> = Vec::new();
    let mut torques: Vec<String> = Vec::new();
    for turn in &setting.turns {
        let torque = digits::trimmed(turn.torque.to_newton_metres());
        if torques.last() != Some(&torque) {
            torques.push(torque);
        }
        if torques.len() == 1 {
            bolts.push(turn.bolt.to_string());
        }
    }
    format!(
        "{}: bolts {} in rounds of {} N·m, the last until none moves any more",
        setting.fastener.title,
        bolts.join(", "),
        torques.join(", ")
    )
}
