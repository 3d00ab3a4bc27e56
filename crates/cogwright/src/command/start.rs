//! `start`: a commented starter file, or the built-in example.

use crate::args::Start;
use crate::files::{EXAMPLE, Failure, SHOP};
use crate::{Status, screen};
use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};

pub(super) fn run(args: &Start) -> Result<Status, Failure> {
    let text = match (args.shop, args.example) {
        (true, _) => SHOP,
        (false, true) => EXAMPLE,
        (false, false) => intake::starter(),
    };
    let Some(path) = &args.file else {
        screen::print(text)?;
        return Ok(Status::Works);
    };
    // `create_new` leaves a file that exists untouched, even if it came into being a moment ago.
    let written = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(path)
        .and_then(|mut file| file.write_all(text.as_bytes()));
    match written {
        Ok(()) => {
            let path = path.display();
            let next = if args.shop { "estimate --example --shop" } else { "judge" };
            screen::print(&format!("{path} is written: fill it in, then `cogwright {next} {path}`\n"))?;
            Ok(Status::Works)
        }
        Err(why) if why.kind() == ErrorKind::AlreadyExists => Err(Failure::Exists(path.clone())),
        Err(why) => Err(Failure::File { path: path.clone(), act: "write", why }),
    }
}
