//! Killed, full, read-only, opened twice: nothing that was acknowledged is lost, and each is said in words.
//!
//! The one who is killed is this test program itself, started again as `the_writer`.

use crate::invented::{Home, append, fill, hook, open};
use shop::EntryKey;
use std::collections::BTreeSet;
use std::ffi::OsString;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;
use store::{Appended, Place, Store, StoreError};

/// Where the writer finds its place.
const PLACE: &str = "STORE_TEST_WRITER";
/// How often the writer is killed; 40 if it is not said.
const KILLS: &str = "STORE_TEST_KILLS";
/// Entries in one call: they are kept together or not at all.
const BATCH: u128 = 3;

/// What the killed program does. Run as a test it finds no place and does nothing.
#[test]
fn the_writer() {
    let Some(setting) = std::env::var_os(PLACE) else { return };
    let say = |words: String| {
        let mut out = std::io::stdout().lock();
        writeln!(out, "\n{words}").and_then(|()| out.flush()).unwrap();
    };
    let store = match Store::open(&Place::read(setting.to_str().unwrap())) {
        Ok(store) => store,
        Err(error) => return say(format!("refused {error}")),
    };
    let job = store.job_numbered("A-1").unwrap().unwrap();
    let mut version = job.version as usize;
    loop {
        let from = 10 + version as u128;
        let entries: Vec<_> = (from..from + BATCH).map(hook).collect();
        let standing = crate::invented::standing(shop::Stage::Intake);
        let append = store::Append {
            job: &job.id,
            expected: version,
            entries: &entries,
            standing: &standing,
            now: shop::Moment(1),
        };
        match store.append(&append) {
            Ok(Appended::Kept { version: now, .. }) => {
                version = now;
                say(format!("kept {}", from + BATCH - 1));
            }
            other => {
                return say(format!(
                    "refused {}",
                    other.map_or_else(|e| e.to_string(), |c| format!("{c:?}"))
                ));
            }
        }
    }
}

fn writer(mut command: Command, place: &str) -> Child {
    command
        .args(["faults::the_writer", "--exact", "--nocapture", "--test-threads=1"])
        .env(PLACE, place)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

fn this_program() -> OsString {
    std::env::current_exe().unwrap().into_os_string()
}

fn setting(place: &Place) -> String {
    match place {
        Place::Folder(folder) => folder.to_str().unwrap().to_owned(),
        Place::Server(address) => address.clone(),
    }
}

/// Everything that the writer said.
fn said(child: Child) -> Vec<String> {
    let output = child.wait_with_output().unwrap();
    String::from_utf8(output.stdout).unwrap().lines().map(str::to_owned).collect()
}

fn acknowledged(lines: &[String]) -> BTreeSet<u128> {
    lines.iter().filter_map(|line| line.strip_prefix("kept ")).map(|key| key.parse().unwrap()).collect()
}

/// Compares what is there with what was acknowledged.
fn sound(store: &Store, acknowledged: &BTreeSet<u128>) {
    let report = store.check().unwrap();
    assert_eq!(report.faults, Vec::<String>::new());
    let job = store.job_numbered("A-1").unwrap().unwrap();
    let job = store.job(&job.id).unwrap().job;
    let keys: BTreeSet<EntryKey> = job.entries().iter().map(|entry| entry.key).collect();
    for key in acknowledged {
        assert!(keys.contains(&EntryKey(*key)), "{key} was acknowledged and is lost");
    }
    assert_eq!((job.version() - 1) % BATCH as usize, 0, "half of a call was kept");
}

#[test]
fn killed_at_random_in_bursts_of_writes_nothing_acknowledged_is_lost() {
    let kills: u64 = std::env::var_os(KILLS).map_or(40, |count| count.to_str().unwrap().parse().unwrap());
    for home in Home::each() {
        // A server is not killed with its client: fewer will do.
        let kills = if matches!(home.place, Place::Folder(_)) { kills } else { kills.div_ceil(8) };
        open(&Store::open(&home.place).unwrap(), 1);
        let mut all = BTreeSet::new();
        // Any sequence will do that spreads the moments: a linear congruence with the usual constants.
        let mut chance = 7_u64;
        for _ in 0..kills {
            chance = chance.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            let mut child = writer(Command::new(this_program()), &setting(&home.place));
            let mut lines = BufReader::new(child.stdout.take().unwrap()).lines().map(Result::unwrap);
            // Once it writes, it gets up to 12 ms.
            let first = lines.by_ref().find(|line| line.starts_with("kept ")).unwrap();
            std::thread::sleep(Duration::from_micros((chance >> 33) % 12_000));
            child.kill().unwrap();
            child.wait().unwrap();
            let mut told: Vec<String> = std::iter::once(first).chain(lines).collect();
            // The last line may be cut off.
            if told.last().is_some_and(|line| line.strip_prefix("kept ").is_none_or(|key| key.len() < 2)) {
                told.pop();
            }
            let kept = acknowledged(&told);
            all.extend(kept);
            sound(&Store::open(&home.place).unwrap(), &all);
        }
        assert!(all.len() as u64 >= kills, "{} acknowledged in {kills} bursts", all.len());
    }
}

#[test]
fn a_full_disk_is_said_and_loses_nothing() {
    let home = Home::folder();
    open(&Store::open(&home.place).unwrap(), 1);
    // No file may grow past 2 MB, and the system says so instead of ending the program.
    let mut command = Command::new("sh");
    command.args(["-c", "trap '' XFSZ; ulimit -f 4096; exec \"$0\" \"$@\""]).arg(this_program());
    let lines = said(writer(command, &setting(&home.place)));
    let refused = lines.iter().find_map(|line| line.strip_prefix("refused ")).unwrap();
    assert!(refused.contains("what was kept before is untouched"), "{refused}");
    let kept = acknowledged(&lines);
    assert!(kept.len() > 10, "{}", kept.len());
    let store = Store::open(&home.place).unwrap();
    sound(&store, &kept);
    // There is room again.
    let job = store.job_numbered("A-1").unwrap().unwrap();
    assert!(matches!(append(&store, &job.id, job.version as usize, &[hook(5)]), Appended::Kept { .. }));
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_written_is_said_and_loses_nothing() {
    use std::os::unix::fs::PermissionsExt;
    let mode = |path: &Path, mode: u32| {
        std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).unwrap();
    };
    let home = Home::folder();
    fill(&Store::open(&home.place).unwrap());
    let Place::Folder(folder) = &home.place else { panic!("a folder") };
    // Nobody's own copy of this program, in case the build folder is closed to others.
    let program = home.folder.path().join("program");
    std::fs::copy(this_program(), &program).unwrap();
    mode(home.folder.path(), 0o755);
    mode(folder, 0o555);
    for entry in std::fs::read_dir(folder).unwrap() {
        mode(&entry.unwrap().path(), 0o444);
    }
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
    let lines = said(writer(command, &setting(&home.place)));
    let refused = lines.iter().find_map(|line| line.strip_prefix("refused ")).unwrap();
    assert!(refused.contains("cannot be written") && refused.contains("choose another folder"), "{refused}");
    mode(folder, 0o755);
    for entry in std::fs::read_dir(folder).unwrap() {
        mode(&entry.unwrap().path(), 0o644);
    }
    assert_eq!(Store::open(&home.place).unwrap().check().unwrap().faults, Vec::<String>::new());
}

#[test]
fn a_second_program_on_the_same_files_is_refused_and_told_by_whom() {
    let home = Home::folder();
    let store = Store::open(&home.place).unwrap();
    open(&store, 1);
    let here = Store::open(&home.place).map(|_| ()).unwrap_err();
    assert!(matches!(here, StoreError::InUse { .. }));
    let lines = said(writer(Command::new(this_program()), &setting(&home.place)));
    let refused = lines.iter().find_map(|line| line.strip_prefix("refused ")).unwrap();
    assert!(refused.contains("another cogwright"), "{refused}");
    assert!(refused.contains(&format!("process {}", std::process::id())), "{refused}");
    drop(store);
    assert!(Store::open(&home.place).is_ok());
}
