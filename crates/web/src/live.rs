//! What changed just now, told to every page that is open.

use tokio::sync::broadcast;

/// How many changes a slow page may be behind before it is told to look at everything again.
const BACKLOG: usize = 256;

/// A job has a new entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Changed {
    /// Its number.
    pub(crate) number: String,
    /// How many entries it has now.
    pub(crate) version: usize,
    /// Who did it.
    pub(crate) by: String,
    /// What, in a word.
    pub(crate) what: &'static str,
}

/// The changes of this server.
#[derive(Debug)]
pub(crate) struct Live {
    sender: broadcast::Sender<Changed>,
}

impl Live {
    pub(crate) fn new() -> Self {
        Self { sender: broadcast::channel(BACKLOG).0 }
    }

    /// Tells a change to whoever listens.
    pub(crate) fn tell(&self, changed: Changed) {
        // Nobody listens: nothing is lost, pages read the job when they open.
        let _ = self.sender.send(changed);
    }

    /// Listens from now on.
    pub(crate) fn listen(&self) -> broadcast::Receiver<Changed> {
        self.sender.subscribe()
    }
}
