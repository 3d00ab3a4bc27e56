//! No room on the disk, a folder that may not be written, a second program on the same records.

use crate::client::Visitor;
use crate::running::{Running, server, this_program};
use crate::settings::settings;
use axum::http::StatusCode;
use std::net::SocketAddr;
use std::path::Path;
use std::process::Command;

fn runtime() -> tokio::runtime::Runtime {
    tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap()
}

/// Fills a folder with the invented shop, without a process of its own.
fn fill(folder: &Path) {
    let listen = SocketAddr::from(([127, 0, 0, 1], 0));
    drop(runtime().block_on(web::Server::open(settings(folder, listen))).unwrap());
}

#[test]
fn a_full_disk_is_said_on_the_page_and_loses_nothing() {
    let folder = tempfile::TempDir::new().unwrap();
    fill(folder.path());
    if !folder.path().join("shop.sqlite").exists() {
        return; // A server of databases keeps its own disk.
    }
    // No file may grow past what the records take now and a little more; the system says so instead of ending the
    // program. The limit is told in blocks of 512 bytes.
    let largest = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().metadata().unwrap().len())
        .max()
        .unwrap();
    let blocks = largest / 512 + 400;
    let mut command = Command::new("sh");
    command
        .args(["-c", &format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\"")])
        .arg(std::env::current_exe().unwrap());
    let running = Running::start(server(command, folder.path())).unwrap();
    let runtime = runtime();
    let hazel = runtime.block_on(Visitor::sign_in(running.address, "Hazel"));
    let mut kept = Vec::new();
    let mut key = 0xD15C_u128 << 64;
    let told = loop {
        key += 1;
        let became = runtime.block_on(hazel.taps(running.address, "A-5", &[key])).unwrap();
        match became[0].word.as_str() {
            "kept" => kept.push(key),
            // The tablet holds it and sends it again.
            "later" => break became[0].why.clone(),
            other => panic!("{other}: {}", became[0].why),
        }
        assert!(kept.len() < 20_000, "the disk was never full");
    };
    assert!(told.contains("what was kept before is untouched"), "{told}");
    // A form says the same, and what was written is still readable.
    let form = Some(("application/x-www-form-urlencoded", "act=noted&words=no+room".to_owned()));
    let (status, page) = runtime.block_on(hazel.ask(running.address, "/jobs/A-5/act", form)).unwrap();
    assert!(status.is_server_error(), "{status}");
    let page = String::from_utf8_lossy(&page).into_owned();
    assert!(page.contains("what was kept before is untouched"), "{page}");
    let (status, _) = runtime.block_on(hazel.ask(running.address, "/jobs/A-5/record", None)).unwrap();
    assert_eq!(status, StatusCode::OK);
    running.kill();
    // There is room again: what was answered is there, and the tap that waited is taken.
    let running = Running::start(server(this_program(), folder.path())).unwrap();
    let again = runtime.block_on(hazel.taps(running.address, "A-5", &[kept[0], kept[kept.len() - 1], key]));
    let words: Vec<String> = again.unwrap().into_iter().map(|became| became.word).collect();
    assert_eq!(words, ["repeated", "repeated", "kept"]);
    println!("{} taps kept until the disk was full", kept.len());
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_written_is_said_at_the_start() {
    use std::os::unix::fs::PermissionsExt;
    let mode = |path: &Path, mode: u32| {
        std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).unwrap();
    };
    let home = tempfile::TempDir::new().unwrap();
    let folder = home.path().join("shop");
    fill(&folder);
    if !folder.join("shop.sqlite").exists() {
        return; // As above.
    }
    // Nobody's own copy of this program, in case the build folder is closed to others.
    let program = home.path().join("program");
    std::fs::copy(std::env::current_exe().unwrap(), &program).unwrap();
    mode(home.path(), 0o755);
    mode(&folder, 0o555);
    let each = |to: u32| {
        for entry in std::fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            mode(&path, if path.is_dir() { to | 0o111 } else { to });
        }
    };
    each(0o444);
    // Nothing is closed to the superuser: then another user tries.
    let open_to_us = std::fs::File::create(folder.join("try")).is_ok();
    let command = if open_to_us {
        std::fs::remove_file(folder.join("try")).unwrap();
        let mut command = Command::new("setpriv");
        command.args(["--reuid", "65534", "--regid", "65534", "--clear-groups"]).arg(&program);
        command
    } else {
        Command::new(&program)
    };
    let refused = Running::start(server(command, &folder)).unwrap_err();
    assert!(refused.contains("cannot be written") && refused.contains("choose another folder"), "{refused}");
    mode(&folder, 0o755);
    each(0o644);
    // Opened again it is whole.
    drop(Running::start(server(this_program(), &folder)).unwrap());
}

#[test]
fn a_second_program_on_the_same_records_is_told_who_keeps_them() {
    let folder = tempfile::TempDir::new().unwrap();
    fill(folder.path());
    if !folder.path().join("shop.sqlite").exists() {
        return; // Several programs on one server of databases are what it is for.
    }
    let first = Running::start(server(this_program(), folder.path())).unwrap();
    let refused = Running::start(server(this_program(), folder.path())).unwrap_err();
    assert!(refused.contains(&format!("process {}", first.id())), "{refused}");
    // The first one is none the worse for it.
    let runtime = runtime();
    let hazel = runtime.block_on(Visitor::sign_in(first.address, "Hazel"));
    let became = runtime.block_on(hazel.taps(first.address, "A-5", &[0x2D << 64])).unwrap();
    assert_eq!(became[0].word, "kept");
}
