//! Who may open what: every route of the table with nobody, with each role; sign-in, lock-out, tablets.

use super::{Browser, PASSWORD, PIN, Shop};
use crate::routes::routes;
use crate::who::Access;
use axum::http::{Method, StatusCode};
use store::Role;

/// A path with something in each pair of braces.
fn filled(path: &str) -> String {
    let mut whole = String::new();
    for (at, piece) in path.split(['{', '}']).enumerate() {
        whole.push_str(match (at % 2, piece) {
            (1, "job") => "A-1",
            (1, _) => "something",
            (_, piece) => piece,
        });
    }
    whole
}

async fn asked(browser: &mut Browser<'_>, method: &Method, path: &str) -> StatusCode {
    match *method {
        Method::GET => browser.get(path).await.status,
        _ => browser.post(path, &[]).await.status,
    }
}

#[tokio::test]
async fn every_route_lets_in_whom_its_row_says_and_nobody_else() {
    let shop = Shop::new();
    let names = [(Role::Manager, "Manager"), (Role::Counter, "Counter"), (Role::Technician, "First")];
    let mut tried = 0;
    for route in routes() {
        let path = filled(route.path);
        let here = format!("{} {path}", route.method);
        let nobody = asked(&mut shop.as_nobody(), &route.method, &path).await;
        match (route.access, &route.method) {
            (Access::Anyone, _) => {
                assert_ne!(nobody, StatusCode::FORBIDDEN, "{here}");
                continue;
            }
            // A page leads to the sign-in, an act is refused.
            (_, &Method::GET) => assert_eq!(nobody, StatusCode::SEE_OTHER, "{here}"),
            _ => assert_eq!(nobody, StatusCode::UNAUTHORIZED, "{here}"),
        }
        for (role, name) in names {
            let status = asked(&mut shop.as_person(name), &route.method, &path).await;
            let may = match route.access {
                Access::Only(roles) => roles.contains(&role),
                Access::Anyone | Access::Staff => true,
            };
            assert_eq!(status == StatusCode::FORBIDDEN, !may, "{here} as {name}: {status}");
            assert_ne!(status, StatusCode::UNAUTHORIZED, "{here} as {name}");
            assert_ne!(status, StatusCode::INTERNAL_SERVER_ERROR, "{here} as {name}");
            tried += 1;
        }
    }
    assert!(tried > 100, "{tried}");
    // The stream of changes stands beside the table.
    assert_eq!(shop.as_nobody().get("/live").await.status, StatusCode::UNAUTHORIZED);
}

#[tokio::test]
async fn a_password_opens_wrong_ones_wait_and_a_sign_out_ends_it() {
    let shop = Shop::new();
    let mut browser = shop.as_nobody();
    let page = browser.get("/jobs/A-1/plan").await;
    assert_eq!(page.header("location"), "/sign-in?to=/jobs/A-1/plan");
    let name = [("name", "manager"), ("password", PASSWORD), ("to", "/customers")];
    let answer = browser.post("/sign-in", &name).await;
    assert_eq!((answer.status, answer.header("location")), (StatusCode::SEE_OTHER, "/customers"));
    let cookie = answer.header("set-cookie");
    for word in ["HttpOnly", "SameSite=Lax", "Path=/"] {
        assert!(cookie.contains(word), "{cookie}");
    }
    assert_eq!(browser.get("/").await.status, StatusCode::OK);
    let old = browser.cookies.clone();
    assert_eq!(browser.post("/sign-out", &[("to", "/")]).await.status, StatusCode::SEE_OTHER);
    // The cookie of before opens nothing any more, wherever it is kept.
    browser.cookies = old;
    assert_eq!(browser.get("/").await.status, StatusCode::SEE_OTHER);

    let mut other = shop.as_nobody();
    for _ in 0..5 {
        let wrong = other.post("/sign-in", &[("name", "Manager"), ("password", "wrong")]).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(!wrong.text().contains("wrong\""), "what was typed does not come back");
    }
    let locked = other.post("/sign-in", &[("name", " MANAGER "), ("password", PASSWORD)]).await;
    assert_eq!(locked.status, StatusCode::TOO_MANY_REQUESTS);
    assert!(locked.header("retry-after").parse::<u32>().unwrap() > 0);
    // Another person still may.
    let right = other.post("/sign-in", &[("name", "Counter"), ("password", PASSWORD)]).await;
    assert_eq!(right.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_pin_opens_only_on_a_tablet_of_the_shop_until_it_is_retired() {
    let shop = Shop::new();
    let first = shop.house.store.person_named("First").unwrap().unwrap();
    let pin = [("who", first.id.as_str()), ("pin", PIN)];
    let mut nowhere = shop.as_nobody();
    assert_eq!(nowhere.post("/sign-in", &pin).await.status, StatusCode::FORBIDDEN);

    let mut tablet = shop.as_person("Manager");
    assert_eq!(tablet.post("/shop/tablets", &[("name", "stand 1")]).await.status, StatusCode::SEE_OTHER);
    tablet.post("/sign-out", &[]).await;
    assert!(tablet.get("/sign-in").await.text().contains("Who is at the stand?"));
    assert_eq!(tablet.post("/sign-in", &pin).await.status, StatusCode::SEE_OTHER);
    assert!(tablet.get("/").await.text().contains("Hand over"));
    for _ in 0..5 {
        tablet.post("/sign-in", &[("who", &first.id), ("pin", "0000")]).await;
    }
    assert_eq!(tablet.post("/sign-in", &pin).await.status, StatusCode::TOO_MANY_REQUESTS);

    let id = shop.house.store.tablets().unwrap()[0].id.clone();
    let mut manager = shop.as_person("Manager");
    assert_eq!(manager.post(&format!("/shop/tablets/{id}/retire"), &[]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(tablet.get("/").await.status, StatusCode::SEE_OTHER, "its session ended with it");
    assert_eq!(tablet.post("/sign-in", &pin).await.status, StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn people_are_added_and_shut_out_and_nobody_takes_their_own_keys() {
    let shop = Shop::new();
    let mut manager = shop.as_person("Manager");
    let short = [("name", "New"), ("role", "technician"), ("password", "short")];
    assert_eq!(manager.post("/shop/people", &short).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(shop.house.store.person_named("New").unwrap().is_none());
    let new = [("name", "New"), ("role", "technician"), ("password", "long enough now")];
    assert_eq!(manager.post("/shop/people", &new).await.status, StatusCode::SEE_OTHER);
    assert_eq!(manager.post("/shop/people", &new).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    let person = shop.house.store.person_named("New").unwrap().unwrap();
    let mut browser = shop.as_person("New");
    assert_eq!(browser.get("/").await.status, StatusCode::OK);
    let path = format!("/shop/people/{}", person.id);
    assert_eq!(manager.post(&path, &[("role", "technician")]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(browser.get("/").await.status, StatusCode::SEE_OTHER, "shut out at once");
    let own = shop.house.store.person_named("Manager").unwrap().unwrap();
    let path = format!("/shop/people/{}", own.id);
    let taken = manager.post(&path, &[("role", "counter"), ("active", "yes")]).await;
    assert_eq!(taken.status, StatusCode::UNPROCESSABLE_ENTITY);
}
