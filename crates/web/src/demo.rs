//! An invented shop: six people, a dozen jobs in all stages. Every entry goes through the same door as a real one.

mod walk;

use crate::clock;
use crate::failure::Failure;
use crate::house::{DemoSignIn, House};
use crate::secret::{is_secret, slow_hash};
use fit::Refit;
use intake::Source;
use intake::case::read_case;
use shop::{Event, Person, Stage};
use store::Role;
use walk::{Since, Walk};

/// The password of everybody in the invented shop.
const PASSWORD: &str = "open-the-shop";
/// The PIN of everybody in the invented shop.
const PIN: &str = "2468";
/// Who the page proposes to sign in as.
pub(crate) const MANAGER: &str = "Rowan";

/// The people, all invented.
const PEOPLE: [(&str, Role); 6] = [
    (MANAGER, Role::Manager),
    ("Hazel", Role::Technician),
    ("Linden", Role::Technician),
    ("Aspen", Role::Technician),
    ("Juniper", Role::Counter),
    ("Sorrel", Role::Manager),
];

/// A job of the invented shop.
struct DemoJob {
    customer: &'static str,
    phone: &'static str,
    bike: &'static str,
    name: &'static str,
    words: &'static str,
    refit: &'static str,
    to: Stage,
    /// Hours since somebody asked, and since it has been where it is.
    ago_h: (i64, i64),
}

const WORKS: &str = include_str!("../../../cases/case-1-control.toml");
const SHORT_BODY: &str = include_str!("../../../cases/case-2-short-body.toml");
const TRIPLE: &str = include_str!("../../../cases/case-3-triple-to-double.toml");
const PULL: &str = include_str!("../../../cases/case-5-pull-trap.toml");
const LARGEST_COG: &str = include_str!("../../../cases/case-9-largest-cog.toml");
const CRACK: &str = include_str!("../../../cases/case-15-send-home.toml");

const JOBS: [DemoJob; 13] = [
    DemoJob {
        customer: "Wren Alder",
        phone: "0100 555 01",
        bike: "green road bike",
        name: "eleven cogs and new levers",
        words: "The hills got steeper, or I got older. I like the frame.",
        refit: WORKS,
        to: Stage::FollowedUp,
        ago_h: (1700, 700),
    },
    DemoJob {
        customer: "Robin Sedge",
        phone: "0100 555 02",
        bike: "blue tourer",
        name: "eleven cogs",
        words: "Eleven at the back and brakes that I can hold with two fingers.",
        refit: WORKS,
        to: Stage::Collected,
        ago_h: (640, 400),
    },
    DemoJob {
        customer: "Finch Marlow",
        phone: "0100 555 03",
        bike: "old racing bike",
        name: "new drivetrain",
        words: "Everything is worn. While it is apart, make the hills easier.",
        refit: WORKS,
        to: Stage::Ready,
        ago_h: (430, 26),
    },
    DemoJob {
        customer: "Heron Vale",
        phone: "0100 555 04",
        bike: "commuter",
        name: "levers, cables, cassette",
        words: "It shifts when it wants.",
        refit: WORKS,
        to: Stage::Checks,
        ago_h: (98, 5),
    },
    DemoJob {
        customer: "Lark Hollis",
        phone: "0100 555 05",
        bike: "winter bike",
        name: "eleven cogs before the snow",
        words: "I want it back before the first snow.",
        refit: WORKS,
        to: Stage::InWork,
        ago_h: (120, 27),
    },
    DemoJob {
        customer: "Swift Rowley",
        phone: "0100 555 06",
        bike: "club bike",
        name: "eleven cogs",
        words: "Same as my friend has.",
        refit: WORKS,
        to: Stage::Paused,
        ago_h: (150, 50),
    },
    DemoJob {
        customer: "Martin Fell",
        phone: "0100 555 07",
        bike: "grey road bike",
        name: "cassette, levers, tape",
        words: "New levers, and tape in a colour that I do not have to wash.",
        refit: WORKS,
        to: Stage::Agreed,
        ago_h: (123, 22),
    },
    DemoJob {
        customer: "Plover Dale",
        phone: "0100 555 08",
        bike: "steel road bike",
        name: "eleven cogs",
        words: "Easier hills, and keep the wheels.",
        refit: WORKS,
        to: Stage::WaitingForParts,
        ago_h: (125, 72),
    },
    DemoJob {
        customer: "Teal Brook",
        phone: "0100 555 09",
        bike: "red road bike",
        name: "two by eleven",
        words: "What would it cost to go to eleven?",
        refit: WORKS,
        to: Stage::Estimate,
        ago_h: (98, 70),
    },
    DemoJob {
        customer: "Curlew March",
        phone: "0100 555 10",
        bike: "road bike with a short body",
        name: "nine becomes eleven",
        words: "Nobody has nine any more.",
        refit: SHORT_BODY,
        to: Stage::Intake,
        ago_h: (51, 49),
    },
    DemoJob {
        customer: "Dove Harrow",
        phone: "0100 555 11",
        bike: "touring bike",
        name: "triple becomes a double",
        words: "I never use the third ring.",
        refit: TRIPLE,
        to: Stage::Intake,
        ago_h: (27, 25),
    },
    DemoJob {
        customer: "Pipit Lowe",
        phone: "0100 555 12",
        bike: "flat-bar bike",
        name: "shifters from the drawer",
        words: "It is all ten-speed, just fit it.",
        refit: PULL,
        to: Stage::Intake,
        ago_h: (24, 23),
    },
    DemoJob {
        customer: "Siskin Ash",
        phone: "0100 555 13",
        bike: "mountain-pass bike",
        name: "an 11-34 for the mountains",
        words: "Just an 11-34 for the mountains, keep everything.",
        refit: LARGEST_COG,
        to: Stage::Intake,
        ago_h: (5, 4),
    },
];

/// Fills an empty store.
pub(crate) fn fill(house: &House) -> Result<(), Failure> {
    let no_chance = || Failure::Fault { what: "the system gives no random numbers", why: String::new() };
    let (password, pin) = (slow_hash(PASSWORD).ok_or_else(no_chance)?, slow_hash(PIN).ok_or_else(no_chance)?);
    for (name, role) in PEOPLE {
        let mut person = house.store.add_person(name, role, clock::now())?;
        person.password_hash = Some(password.clone());
        person.pin_hash = Some(pin.clone());
        house.store.change_person(&person)?;
    }
    for job in &JOBS {
        let refit = read(house, job.refit)?;
        open(house, job)?.to(job.to, &refit)?;
    }
    let cracked = DemoJob {
        customer: "Knot Farrow",
        phone: "0100 555 14",
        bike: "race frame",
        name: "new groupset on the old frame",
        words: "The frame is fine, it only creaks.",
        refit: CRACK,
        to: Stage::SentHome,
        ago_h: (330, 310),
    };
    let refit = read(house, cracked.refit)?;
    open(house, &cracked)?
        .home(&refit, "A crack at the seat cluster: no part makes this frame safe. Please do not ride it.")?;
    // And one that begins today, on a bike that was here before.
    enquiry_on_known_bike(house)
}

fn open<'a>(house: &'a House, job: &DemoJob) -> Result<Walk<'a>, Failure> {
    let mut customer = house.store.add_customer(job.customer, clock::now())?;
    customer.phone = job.phone.to_owned();
    let customer = house.store.change_customer(&customer)?;
    let bike = house.store.add_bike(&customer.id, job.bike, clock::now())?;
    let enquiry = Event::Enquired {
        name: job.name.to_owned(),
        customer: customer.name.clone(),
        words: job.words.to_owned(),
    };
    Walk::open(house, &customer.id, &bike.id, enquiry, Since::hours(job.ago_h))
}

fn enquiry_on_known_bike(house: &House) -> Result<(), Failure> {
    let Some(customer) = house.store.customers_named("Robin Sedge")?.into_iter().next() else {
        return Ok(());
    };
    let Some(bike) = house.store.bikes_of(&customer.id)?.into_iter().next() else { return Ok(()) };
    let enquiry = Event::Enquired {
        name: "tape and a new chain".to_owned(),
        customer: customer.name.clone(),
        words: "The tape came off at one end, and the chain is dry.".to_owned(),
    };
    Walk::open(house, &customer.id, &bike.id, enquiry, Since::hours((1, 1))).map(drop)
}

fn read(house: &House, text: &str) -> Result<Refit, Failure> {
    let source = Source { name: "the invented shop", text };
    match read_case(source, &house.catalogue()) {
        Ok(case) => Ok(case.refit),
        Err(problems) => Err(Failure::Fault {
            what: "a bike of the invented shop does not read",
            why: format!("{problems:?}"),
        }),
    }
}

/// The sign-in that stands on the page: only where everybody has the printed password, so that a real shop that was
/// started so by mistake shows nothing.
pub(crate) fn sign_in(house: &House) -> Result<Option<DemoSignIn>, Failure> {
    let manager = house.store.person_named(MANAGER)?;
    let is_demo = manager.is_some_and(|person| is_secret(PASSWORD, person.password_hash.as_deref()));
    Ok(is_demo.then_some(DemoSignIn { password: PASSWORD, pin: PIN }))
}

/// A person of the invented shop.
fn person(name: &str) -> Result<Person, Failure> {
    Person::new(name)
        .map_err(|error| Failure::Fault { what: "a name of the invented shop", why: error.to_string() })
}
