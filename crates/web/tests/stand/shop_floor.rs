//! The invented shop with its network, which can be cut and mended.

use crate::rig::Server;
use std::net::SocketAddr;
use std::path::Path;
use std::sync::OnceLock;
use tempfile::TempDir;

/// The shop and its server. Cut, every connection breaks and nobody listens; mended, it is where it was.
pub(crate) struct ShopFloor {
    folder: TempDir,
    address: SocketAddr,
    server: Option<Server>,
}

/// Filling the invented shop takes longer than most tests: it is filled once and copied.
fn filled() -> &'static TempDir {
    static FILLED: OnceLock<TempDir> = OnceLock::new();
    FILLED.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        drop(Server::demo(folder.path()));
        folder
    })
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let (path, to) = (entry.as_ref().unwrap().path(), to.join(entry.unwrap().file_name()));
        if path.is_dir() {
            copy(&path, &to);
        } else {
            std::fs::copy(&path, &to).unwrap();
        }
    }
}

impl ShopFloor {
    pub(crate) async fn open() -> Self {
        apart(|| {
            let folder = tempfile::tempdir().unwrap();
            copy(filled().path(), folder.path());
            let server = Server::demo(folder.path());
            Self { address: server.address(), folder, server: Some(server) }
        })
        .await
    }

    pub(crate) async fn cut(&mut self) {
        let server = self.server.take();
        apart(move || drop(server)).await;
    }

    pub(crate) async fn mend(&mut self) {
        let (folder, address) = (self.folder.path().to_owned(), self.address);
        self.server = Some(apart(move || Server::demo_on(&folder, address)).await);
    }

    pub(crate) fn server(&self) -> &Server {
        self.server.as_ref().unwrap()
    }

    pub(crate) fn page(&self, path: &str) -> String {
        format!("http://{}{path}", self.address)
    }

    /// Ends it while the test still can: a server is not let go in the middle of other tasks.
    pub(crate) async fn close(mut self) {
        self.cut().await;
    }
}

/// Something that waits, apart from the tasks that talk to browsers.
async fn apart<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> T {
    tokio::task::spawn_blocking(work).await.unwrap()
}
