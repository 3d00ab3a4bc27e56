//! A server in a process of its own, which can be killed: this test program, started again as `the_server`. Begin with
//! [`Running`].

use crate::settings::settings;
use std::io::{BufRead, BufReader, Write};
use std::net::SocketAddr;
use std::path::Path;
use std::process::{Child, Command, Stdio};

/// Where the server finds its folder.
const FOLDER: &str = "WEB_TEST_FOLDER";

/// What the killed program does. Run as a test it finds no folder and does nothing.
#[test]
fn the_server() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    let say = |words: String| {
        let mut out = std::io::stdout().lock();
        writeln!(out, "\n{words}").and_then(|()| out.flush()).unwrap();
    };
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().unwrap();
    let settings = settings(Path::new(&folder), SocketAddr::from(([127, 0, 0, 1], 0)));
    match runtime.block_on(web::Server::open(settings)) {
        Ok(server) => {
            say(format!("listening {}", server.address().unwrap()));
            runtime.block_on(server.run(std::future::pending())).unwrap();
        }
        Err(error) => say(format!("refused {error}")),
    }
}

/// The arguments and the environment with which this program, called `program`, is the server of a folder.
pub(crate) fn server(mut command: Command, folder: &Path) -> Command {
    command
        .args(["running::the_server", "--exact", "--nocapture", "--test-threads=1"])
        .env(FOLDER, folder)
        .stdout(Stdio::piped())
        .stderr(Stdio::null());
    command
}

/// This program.
pub(crate) fn this_program() -> Command {
    Command::new(std::env::current_exe().unwrap())
}

/// A server that listens. When it goes it is killed, as by a pulled plug.
#[derive(Debug)]
pub(crate) struct Running {
    process: Child,
    pub(crate) address: SocketAddr,
}

impl Running {
    /// Waits until it listens.
    ///
    /// # Errors
    /// What it said in place of listening.
    pub(crate) fn start(mut command: Command) -> Result<Self, String> {
        let mut process = command.spawn().unwrap();
        let lines = BufReader::new(process.stdout.take().unwrap()).lines().map(Result::unwrap);
        let mut said = String::new();
        for line in lines {
            if let Some(address) = line.strip_prefix("listening ") {
                return Ok(Self { process, address: address.parse().unwrap() });
            }
            if let Some(why) = line.strip_prefix("refused ") {
                said = why.to_owned();
            }
        }
        process.wait().unwrap();
        Err(said)
    }

    /// Kills it where it stands.
    pub(crate) fn kill(mut self) {
        self.process.kill().unwrap();
        self.process.wait().unwrap();
    }

    /// Its process.
    pub(crate) fn id(&self) -> u32 {
        self.process.id()
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}
