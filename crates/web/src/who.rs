//! Who is signed in, and what each may do.

use crate::ask::Ask;
use crate::clock;
use crate::failure::Failure;
use crate::house::House;
use crate::secret::token_hash;
use shop::{Event, Person};
use store::{PersonRecord, Role, TabletRecord};

/// The cookie of a session.
pub(crate) const SESSION: &str = "session";
/// The cookie of a tablet that the shop has enrolled.
pub(crate) const TABLET: &str = "tablet";
/// How the name of a device begins that reads the calendar and opens nothing else.
pub(crate) const CALENDAR: &str = "calendar: ";

/// A person who is signed in.
#[derive(Clone, Debug)]
pub(crate) struct Who {
    /// As entries carry it.
    pub(crate) person: Person,
    /// As the store keeps it.
    pub(crate) record: PersonRecord,
    /// What the person may do.
    pub(crate) role: Role,
    /// The tablet that the session was begun on.
    pub(crate) tablet: Option<TabletRecord>,
}

/// Who may open a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Access {
    /// Anyone: the sign-in, what pages are made of, and the private link of a customer, which its token guards.
    Anyone,
    /// Whoever is signed in.
    Staff,
    /// These roles.
    Only(&'static [Role]),
}

/// The manager alone.
pub(crate) const MANAGER: Access = Access::Only(&[Role::Manager]);
/// Those who talk with customers and suppliers.
pub(crate) const DESK: Access = Access::Only(&[Role::Manager, Role::Counter]);

impl Access {
    /// Lets somebody in.
    ///
    /// # Errors
    /// [`Failure::SignIn`] if nobody is signed in, [`Failure::NotAllowed`] if the role is another one.
    pub(crate) fn admits(self, who: Option<&Who>) -> Result<(), Failure> {
        match (self, who) {
            (Self::Anyone, _) | (Self::Staff, Some(_)) => Ok(()),
            (Self::Staff | Self::Only(_), None) => Err(Failure::SignIn),
            (Self::Only(roles), Some(who)) if roles.contains(&who.role) => Ok(()),
            (Self::Only(roles), Some(who)) => Err(Failure::NotAllowed { why: for_roles(roles, who) }),
        }
    }
}

fn for_roles(roles: &[Role], who: &Who) -> String {
    let names: Vec<&str> = roles.iter().map(|role| role.key()).collect();
    format!("This is for {}; {} is signed in as {}.", names.join(" or "), who.person, who.role.key())
}

/// The roles that may put an event into a job. What the job itself allows is judged after that.
pub(crate) fn roles_for(event: &Event) -> &'static [Role] {
    use Role::{Counter, Manager, Technician};
    match event {
        Event::Enquired { .. }
        | Event::Received { .. }
        | Event::WishSet(_)
        | Event::RiderSet(_)
        | Event::RideSet(_)
        | Event::CircumstancesSet(_)
        | Event::Measured { .. }
        | Event::HandsRecorded { .. }
        | Event::Arrived { .. }
        | Event::PartChecked { .. }
        | Event::Problem { .. }
        | Event::Noted { .. }
        | Event::FollowedUp { .. }
        // Who corrects what is asked where the entry is known.
        | Event::Corrected { .. } => &[Manager, Technician, Counter],
        Event::Chosen(_)
        | Event::Dropped(_)
        | Event::Estimated { .. }
        | Event::Promised { .. }
        | Event::Approved { .. }
        | Event::Declined { .. }
        | Event::Ordered { .. }
        | Event::Settled { .. }
        | Event::ChangeAsked { .. }
        | Event::ChangeAnswered { .. }
        | Event::Collected { .. } => &[Manager, Counter],
        Event::Started
        | Event::Done { .. }
        | Event::Tightened { .. }
        | Event::ClosedByHand { .. }
        | Event::Witnessed { .. }
        | Event::FoundLoose { .. }
        | Event::Paused { .. }
        | Event::Resumed
        | Event::Looked { .. }
        | Event::Rode { .. }
        | Event::SecondChecked => &[Manager, Technician],
        Event::SentHome { .. } => &[Manager],
    }
}

impl Who {
    /// Whether this person may put such an event into a job.
    pub(crate) fn may(&self, event: &Event) -> Result<(), Failure> {
        let roles = roles_for(event);
        if roles.contains(&self.role) {
            Ok(())
        } else {
            Err(Failure::NotAllowed { why: for_roles(roles, self) })
        }
    }
}

impl House {
    /// Who is signed in with this session cookie.
    pub(crate) fn signed_in(&self, session: &str) -> Result<Option<Who>, Failure> {
        if session.is_empty() {
            return Ok(None);
        }
        let Some((session, record)) = self.store.session(&token_hash(session), clock::now())? else {
            return Ok(None);
        };
        let tablet = match &session.tablet {
            Some(id) => self.store.tablets()?.into_iter().find(|tablet| tablet.id == *id && tablet.active),
            None => None,
        };
        // A name or role that an older program could not have written: nobody is let in with it.
        let (Ok(person), Some(role)) = (Person::new(&record.name), Role::read(&record.role)) else {
            return Ok(None);
        };
        Ok(Some(Who { person, record, role, tablet }))
    }
}

impl Ask {
    /// The tablet that asks, if the shop has enrolled it.
    pub(crate) fn tablet(&self) -> Result<Option<TabletRecord>, Failure> {
        match self.cookies.text(TABLET) {
            "" => Ok(None),
            token => {
                let found = self.house.store.tablet(&token_hash(token))?;
                Ok(found.filter(|tablet| !tablet.name.starts_with(CALENDAR)))
            }
        }
    }
}

/// A cookie that scripts cannot read and other sites cannot send.
pub(crate) fn cookie(house: &House, name: &str, value: &str, seconds: i64) -> String {
    let secure = if house.secure { "; Secure" } else { "" };
    format!("{name}={value}; Path=/; HttpOnly; SameSite=Lax; Max-Age={seconds}{secure}")
}
