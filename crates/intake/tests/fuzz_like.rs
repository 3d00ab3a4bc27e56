//! Every reader over thousands of spoiled files: whatever stands in a file, it is read or refused.
//!
//! The spoiling is the same on every run. A search that learns from what it reaches is in the folder `fuzz`.

#![expect(clippy::unwrap_used, reason = "a test that cannot have its input fails there")]

use catalog::{Catalogue, Slot};
use intake::spreadsheet::{Format, HeaderMap, Settings, export, import};
use intake::{Source, built_in, case, check_bytes, read_catalogue, read_refit, starter};
use quantity::{Angle, Length, Mass, Money, Ratio, Stated};
use std::io::{Cursor, Read, Write};
use zip::write::SimpleFileOptions;
use zip::{ZipArchive, ZipWriter};

/// Numbers without pattern: a shift register with the shifts 13, 7 and 17 (Marsaglia, Xorshift RNGs, Journal of
/// Statistical Software 8, 2003, no. 14).
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, most: usize) -> usize {
        usize::try_from(self.next() % most.max(1) as u64).unwrap()
    }
}

/// Pieces that mean something to one of the readers.
const PIECES: &[&str] = &[
    "\"",
    "'",
    "\"\"\"",
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    "=",
    ".",
    ",",
    ";",
    "\t",
    "\n",
    "\r\n",
    "#",
    "\\",
    "\u{0}",
    "\u{FEFF}",
    "±",
    "−",
    "1e308",
    "-1",
    "0",
    "NaN",
    "inf",
    "1/0",
    "99999999999999999999",
    "mm",
    " published ",
    "measured",
    "[own]",
    "[[own]]",
    "[[stem]]",
    "[sources]",
    "slot",
    "id",
    "name",
    "fine",
    "🚲",
    "ß",
    "=1+1",
    "sep=;",
    "part = 'x'",
    "0x1F",
];

/// A file with up to five mistakes in it.
fn spoiled(seed: &[u8], random: &mut Random) -> Vec<u8> {
    let mut bytes = seed.to_vec();
    for _ in 0..=random.below(5) {
        let at = random.below(bytes.len() + 1);
        let to = (at + random.below(40)).min(bytes.len());
        match random.below(6) {
            0 => _ = bytes.splice(at..at, PIECES[random.below(PIECES.len())].bytes()),
            1 => _ = bytes.drain(at..to),
            2 => {
                let copied = bytes[at..to].to_vec();
                let place = random.below(bytes.len() + 1);
                bytes.splice(place..place, copied);
            }
            3 if !bytes.is_empty() => {
                let place = random.below(bytes.len());
                bytes[place] ^= 1 << random.below(8);
            }
            4 => bytes.truncate(at),
            _ => _ = bytes.splice(at..to, PIECES[random.below(PIECES.len())].bytes()),
        }
    }
    bytes
}

/// Calls `read` with so many spoiled files; the answer is how many of them `read` accepted.
fn stress(seeds: &[&[u8]], runs: usize, mut read: impl FnMut(&[u8]) -> bool) -> usize {
    let mut random = Random(0x9E37_79B9_7F4A_7C15);
    let mut accepted = 0;
    for run in 0..runs {
        accepted += usize::from(read(&spoiled(seeds[run % seeds.len()], &mut random)));
    }
    accepted
}

const CASES: &[&str] = &[
    include_str!("../../../cases/case-1-control.toml"),
    include_str!("../../../cases/case-3-triple-to-double.toml"),
    include_str!("../../../cases/case-9-largest-cog.toml"),
];

#[test]
fn refit_and_case_files_are_read_or_refused() {
    let catalogue = built_in().unwrap();
    let seeds: Vec<&[u8]> = CASES.iter().chain([&starter()]).map(|text| text.as_bytes()).collect();
    let accepted = stress(&seeds, 4000, |bytes| {
        let Ok(text) = check_bytes("x", bytes) else { return false };
        let refit = read_refit(Source { name: "x", text }, &catalogue);
        let case = case::read_case(Source { name: "x", text }, &catalogue);
        if let Err(problems) = &case {
            assert!(!problems.render(false).is_empty());
        }
        refit.is_ok() || case.is_ok()
    });
    assert!((1..4000).contains(&accepted), "{accepted}");
}

#[test]
fn catalogue_files_are_read_or_refused() {
    let own = "[[own]]\npart = 'a'\nfield = 'hood'\nvalue = '50 mm'\nby = 'x'\non = '2026-11-20'\n\
        [[levers]]\nid = 'a'\nname = 'b'\npulls = ['2.5 mm', '2.6 mm']\n[[small]]\nid = 'c'\nname = 'd'\n";
    let files = catalog::data::FILES.iter().map(|(_, text)| text.as_bytes());
    let seeds: Vec<&[u8]> = files.filter(|bytes| bytes.len() < 8000).chain([own.as_bytes()]).collect();
    let accepted = stress(&seeds, 3000, |bytes| {
        let Ok(text) = std::str::from_utf8(bytes) else { return false };
        read_catalogue(&[Source { name: "x", text }]).is_ok()
    });
    assert!((1..3000).contains(&accepted), "{accepted}");
}

#[test]
fn csv_files_and_header_maps_are_read_or_refused() {
    let catalogue = built_in().unwrap();
    let bare = Catalogue { sources: catalogue.sources.clone(), ..Catalogue::default() };
    let parts = catalogue.parts.iter().step_by(25);
    let sheet = export(parts, Format::Csv).unwrap();
    let plain = "id;name;length [mm];angle (deg);price [EUR]\na;b;110;-17;34.00\nc;d;12 cm printed;;\n";
    let text =
        "decimal = ','\nignore = ['x']\n[columns]\n'length [mm]' = { field = 'length', unit = 'mm' }\n";
    let map = HeaderMap::read(Source { name: "map.toml", text }).unwrap();
    let accepted = stress(&[&sheet, plain.as_bytes()], 2000, |bytes| {
        let settings = Settings { slot: None, map: &HeaderMap::default(), catalogue: &bare };
        let mixed = import("x", bytes, &settings);
        assert_eq!(mixed.parts.is_empty(), !mixed.problems.is_empty() || mixed.rows_read == 0);
        let stems = import("x", bytes, &Settings { slot: Some(Slot::Stem), map: &map, catalogue: &bare });
        assert!(stems.parts.is_empty() || stems.problems.is_empty());
        !mixed.parts.is_empty() || !stems.parts.is_empty()
    });
    assert!((1..2000).contains(&accepted), "{accepted}");
    let accepted = stress(&[text.as_bytes()], 2000, |bytes| {
        std::str::from_utf8(bytes).is_ok_and(|text| HeaderMap::read(Source { name: "x", text }).is_ok())
    });
    assert!((1..2000).contains(&accepted), "{accepted}");
}

/// The files inside a workbook, each with its name.
fn unpacked(bytes: &[u8]) -> Vec<(String, Vec<u8>)> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).unwrap();
    (0..archive.len())
        .map(|at| {
            let mut entry = archive.by_index(at).unwrap();
            let mut content = Vec::new();
            entry.read_to_end(&mut content).unwrap();
            (entry.name().unwrap().into_owned(), content)
        })
        .collect()
}

fn packed(files: &[(String, Vec<u8>)]) -> Vec<u8> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, content) in files {
        writer.start_file(name.as_str(), SimpleFileOptions::default()).unwrap();
        writer.write_all(content).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

/// Spoiled outside, the zip form is refused; spoiled inside and packed again, the sheet itself is.
#[test]
fn workbooks_are_read_or_refused() {
    let catalogue = built_in().unwrap();
    let bare = Catalogue { sources: catalogue.sources.clone(), ..Catalogue::default() };
    let map = HeaderMap::default();
    let sheet = export(catalogue.parts.iter().step_by(40), Format::Xlsx).unwrap();
    let settings = Settings { slot: None, map: &map, catalogue: &bare };
    let read = |bytes: &[u8]| {
        let import = import("x", bytes, &settings);
        assert!(import.parts.is_empty() || import.problems.is_empty());
        !import.parts.is_empty()
    };
    assert!(read(&sheet));
    stress(&[&sheet], 1000, read);
    let files = unpacked(&sheet);
    assert!(files.iter().any(|(name, _)| name.ends_with("sheet1.xml")), "{files:?}");
    let mut random = Random(77);
    let mut accepted = 0;
    for run in 0..2000 {
        let mut files = files.clone();
        // Half of the mistakes go into the sheet and its texts, the others anywhere.
        let place = random.below(files.len());
        let is_sheet =
            |(name, _): &(String, Vec<u8>)| name.ends_with("sheet1.xml") || name.ends_with("Strings.xml");
        let place = if run % 2 == 0 && !is_sheet(&files[place]) {
            files.iter().position(is_sheet).unwrap_or(place)
        } else {
            place
        };
        files[place].1 = spoiled(&files[place].1, &mut random);
        accepted += usize::from(read(&packed(&files)));
    }
    assert!((1..2000).contains(&accepted), "{accepted}");
}

#[test]
fn quantities_are_read_or_refused() {
    let seeds: &[&[u8]] = &[
        "410 ± 3 mm assumed".as_bytes(),
        b"1 3/8 in published hub-bodies",
        "−17 deg".as_bytes(),
        b"1.7 +/- 0.02 printed",
        b"284 g",
        b"64.00 EUR",
        b"1.37 in x 24 tpi",
    ];
    let accepted = stress(seeds, 20_000, |bytes| {
        let text = String::from_utf8_lossy(bytes);
        let length = Stated::<Length>::parse(&text);
        if let Ok(stated) = &length {
            assert!(!stated.value.to_mm().is_nan(), "{text}");
        }
        length.is_ok()
            | Stated::<Angle>::parse(&text).is_ok()
            | Stated::<Ratio>::parse(&text).is_ok()
            | Stated::<Mass>::parse(&text).is_ok()
            | Money::parse(&text).is_ok()
            | quantity::text::parse_thread(&text).is_ok()
    });
    assert!((1..20_000).contains(&accepted), "{accepted}");
}
