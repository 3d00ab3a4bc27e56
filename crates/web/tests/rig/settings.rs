//! What a server of the tests is told. Begin with [`settings`].

use std::net::SocketAddr;
use std::path::Path;
use store::Place;

/// The invented shop, its records kept for this folder, listening there.
pub(crate) fn settings(folder: &Path, listen: SocketAddr) -> web::Settings {
    let shop = include_str!("../../../cogwright/shop.toml");
    let workshop = intake::read_shop(intake::Source { name: "shop.toml", text: shop }).unwrap();
    web::Settings {
        place: place(folder),
        listen,
        tls: None,
        address: None,
        branch: "A".to_owned(),
        workshop,
        own_rules: Vec::new(),
        demo: true,
        first_manager: None,
    }
}

/// The folder; with the feature for servers and a server of the test command, the database that belongs to the folder,
/// made when it is first asked for.
pub(crate) fn place(folder: &Path) -> Place {
    #[cfg(feature = "postgres")]
    if let Ok(address) = std::env::var("STORE_TEST_POSTGRES") {
        let told = folder.join("database");
        let name = std::fs::read_to_string(&told).unwrap_or_else(|_| {
            let name = format!("w{}", uuid::Uuid::new_v4().simple());
            let made = std::process::Command::new("createdb")
                .arg(format!("--maintenance-db={}", address.replace("{}", "postgres")))
                .arg(&name)
                .status();
            assert!(made.unwrap().success(), "no database was made");
            std::fs::create_dir_all(folder).unwrap();
            std::fs::write(&told, &name).unwrap();
            name
        });
        return Place::Server(address.replace("{}", &name));
    }
    Place::Folder(folder.to_owned())
}
