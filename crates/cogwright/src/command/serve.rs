//! `serve`: the workshop app, until it is told to stop.

use crate::args::Serve;
use crate::files::{self, Failure, own_book};
use crate::{Status, screen};
use std::fmt::Write;
use store::Place;
use web::{Server, Settings, Tls};

/// The folder of the invented shop, beside that of a real one.
const DEMO_FOLDER: &str = "cogwright-demo";

pub(super) fn run(args: &Serve) -> Result<Status, Failure> {
    let place = match (&args.store, args.demo) {
        (Some(place), _) => Place::read(place),
        (None, true) => Place::Folder(DEMO_FOLDER.into()),
        (None, false) => Place::Folder("cogwright-shop".into()),
    };
    let tls = match (&args.tls_certificate, &args.tls_key) {
        (Some(certificate), Some(key)) => Some(Tls { certificate: certificate.clone(), key: key.clone() }),
        _ => None,
    };
    let settings = Settings {
        place: place.clone(),
        listen: args.listen,
        tls,
        address: args.address.clone(),
        branch: args.branch.clone(),
        workshop: files::shop(args.shop.as_deref())?,
        own_rules: own_book(&args.own)?.rules,
        demo: args.demo,
        first_manager: args.first_manager.clone(),
    };
    let is_tls = settings.tls.is_some();
    let serve = |why: String| Failure::Serve(why);
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(|why| serve(why.to_string()))?;
    runtime.block_on(async {
        let server = Server::open(settings).await.map_err(|why| serve(why.to_string()))?;
        let address = server.address().map_err(|why| serve(why.to_string()))?;
        let scheme = if is_tls { "https" } else { "http" };
        let mut text = format!("open {scheme}://{address}\nrecords are kept in {place}\n");
        if let Some((name, password, pin)) = server.demo_sign_in() {
            let _ = writeln!(
                text,
                "an invented shop: sign in as {name}, password {password}; on an enrolled tablet PIN {pin}"
            );
        }
        if let Some(first) = server.first_sign_in() {
            let _ = writeln!(
                text,
                "sign in as {}, password {}; it is shown this once, set your own under Shop",
                first.name, first.password
            );
        }
        text.push_str("stop it with Ctrl-C\n");
        screen::print(&text)?;
        server.run(stopped()).await.map_err(|why| serve(why.to_string()))
    })?;
    screen::print("stopped; everything is on the disk\n")?;
    Ok(Status::Works)
}

/// Comes back when somebody stops the program: from the keyboard or by the system.
async fn stopped() {
    let keyboard = tokio::signal::ctrl_c();
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut system) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = keyboard => {}
                _ = system.recv() => {}
            }
            return;
        }
    }
    let _ = keyboard.await;
}
