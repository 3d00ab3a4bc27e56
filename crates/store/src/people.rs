//! People, what each may do, their sessions, and the tablets that the shop has enrolled.
//!
//! Passwords, PINs and tokens come here as hashes only: whoever reads the database signs in as nobody.

use crate::error::StoreError;
use crate::shelf::{Stop, Store};
use crate::tables::{people, sessions, skills, tablets};
use crate::text::{fold, said};
use diesel::prelude::*;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use shop::Moment;

/// What a person may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Everything.
    Manager,
    /// Work on bikes.
    Technician,
    /// Customers and estimates.
    Counter,
}

impl Role {
    /// All roles.
    pub const ALL: [Self; 3] = [Self::Manager, Self::Technician, Self::Counter];

    /// The word in the store.
    pub fn key(self) -> &'static str {
        match self {
            Self::Manager => "manager",
            Self::Technician => "technician",
            Self::Counter => "counter",
        }
    }

    /// The role of a word.
    pub fn read(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.key() == key)
    }
}

/// A person.
#[derive(
    Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, Queryable, Selectable, Insertable,
)]
#[diesel(table_name = people)]
#[serde(deny_unknown_fields)]
pub struct PersonRecord {
    /// Key.
    pub id: String,
    /// Name, as it is shown.
    pub name: String,
    /// Name, as it is compared: two ways of writing one name are one person.
    pub name_key: String,
    /// `manager`, `technician` or `counter`.
    pub role: String,
    /// Hash of the password.
    pub password_hash: Option<String>,
    /// Hash of the PIN for tablets.
    pub pin_hash: Option<String>,
    /// Whether the person may sign in.
    pub active: bool,
    /// When the person was added, milliseconds since 1970.
    pub created_ms: i64,
}

/// How far a person may do an operation alone.
#[derive(
    Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, Queryable, Selectable, Insertable,
)]
#[diesel(table_name = skills)]
#[serde(deny_unknown_fields)]
pub struct SkillRecord {
    /// Key of the person.
    pub person: String,
    /// Key of the operation.
    pub operation: String,
    /// `alone`, `under-eye` or `may-check`.
    pub level: String,
}

/// A tablet that the shop has enrolled.
#[derive(
    Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, Queryable, Selectable, Insertable,
)]
#[diesel(table_name = tablets)]
#[serde(deny_unknown_fields)]
pub struct TabletRecord {
    /// Key.
    pub id: String,
    /// What it is called, such as the stand that it hangs on.
    pub name: String,
    /// Hash of the token that it carries.
    pub token_hash: String,
    /// Key of the person who enrolled it.
    pub enrolled_by: String,
    /// When, milliseconds since 1970.
    pub enrolled_ms: i64,
    /// Whether it may still be used.
    pub active: bool,
}

/// A session of a person. It is no record: it is neither exported nor kept once it is over.
#[derive(Clone, Debug, PartialEq, Eq, Queryable, Selectable, Insertable)]
#[diesel(table_name = sessions)]
pub struct SessionRecord {
    /// Hash of the token in the cookie.
    pub token_hash: String,
    /// Key of the person.
    pub person: String,
    /// When it began, milliseconds since 1970.
    pub begun_ms: i64,
    /// When it ends by itself.
    pub until_ms: i64,
    /// The tablet it was begun on.
    pub tablet: Option<String>,
}

/// The levels of a skill.
const LEVELS: [&str; 3] = ["alone", "under-eye", "may-check"];

impl Store {
    /// Adds a person.
    ///
    /// # Errors
    /// [`StoreError::Taken`] if the name is there already in any way of writing, [`StoreError::Refused`] if it is
    /// empty.
    pub fn add_person(&self, name: &str, role: Role, now: Moment) -> Result<PersonRecord, StoreError> {
        let name = said("name of a person", name)?;
        let record = PersonRecord {
            id: new_id(),
            name_key: fold(&name),
            name,
            role: role.key().to_owned(),
            password_hash: None,
            pin_hash: None,
            active: true,
            created_ms: now.0,
        };
        self.write(|db| {
            let known = people::table.filter(people::name_key.eq(&record.name_key)).count();
            if known.get_result::<i64>(db)? > 0 {
                return Err(StoreError::Taken { what: "person", name: record.name.clone() }.into());
            }
            diesel::insert_into(people::table).values(&record).execute(db)?;
            Ok(())
        })?;
        Ok(record)
    }

    /// Everyone, in the order of names.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn people(&self) -> Result<Vec<PersonRecord>, StoreError> {
        self.read(|db| people::table.select(PersonRecord::as_select()).order(people::name_key).load(db))
    }

    /// The person with this key.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn person(&self, id: &str) -> Result<Option<PersonRecord>, StoreError> {
        self.read(|db| {
            people::table.filter(people::id.eq(id)).select(PersonRecord::as_select()).first(db).optional()
        })
    }

    /// The person of this name, however it is written.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn person_named(&self, name: &str) -> Result<Option<PersonRecord>, StoreError> {
        let key = fold(name);
        self.read(|db| {
            let found = people::table.filter(people::name_key.eq(&key));
            found.select(PersonRecord::as_select()).first(db).optional()
        })
    }

    /// Changes what a person may do, and how the person signs in. The name stays: entries carry it.
    ///
    /// # Errors
    /// [`StoreError::NotFound`], or [`StoreError::Refused`] for a role that there is not.
    pub fn change_person(&self, record: &PersonRecord) -> Result<(), StoreError> {
        if Role::read(&record.role).is_none() {
            let why = format!("`{}` was found; manager, technician or counter is wanted", record.role);
            return Err(StoreError::Refused { what: "role", why });
        }
        self.write(|db| {
            let changed = diesel::update(people::table.filter(people::id.eq(&record.id)))
                .set((
                    people::role.eq(&record.role),
                    people::password_hash.eq(&record.password_hash),
                    people::pin_hash.eq(&record.pin_hash),
                    people::active.eq(record.active),
                ))
                .execute(db)?;
            found(changed, "person", &record.id)
        })
    }

    /// Writes down how far a person may do an operation.
    ///
    /// # Errors
    /// [`StoreError::Refused`] for a level that there is not.
    pub fn set_skill(&self, skill: &SkillRecord) -> Result<(), StoreError> {
        if !LEVELS.contains(&skill.level.as_str()) {
            let why = format!("`{}` was found; {} is wanted", skill.level, LEVELS.join(", "));
            return Err(StoreError::Refused { what: "level of a skill", why });
        }
        self.write(|db| {
            let same = skills::person.eq(&skill.person).and(skills::operation.eq(&skill.operation));
            diesel::delete(skills::table.filter(same)).execute(db)?;
            diesel::insert_into(skills::table).values(skill).execute(db)?;
            Ok(())
        })
    }

    /// Writes down all that a person may do: what was there before and is not named is gone.
    ///
    /// # Errors
    /// [`StoreError::Refused`] for a level that there is not, or for another person's line.
    pub fn set_skills(&self, person: &str, all: &[SkillRecord]) -> Result<(), StoreError> {
        if let Some(other) = all.iter().find(|skill| !LEVELS.contains(&skill.level.as_str())) {
            let why = format!("`{}` was found; {} is wanted", other.level, LEVELS.join(", "));
            return Err(StoreError::Refused { what: "level of a skill", why });
        }
        if let Some(other) = all.iter().find(|skill| skill.person != person) {
            let why = format!("a line of `{}` was found among those of `{person}`", other.person);
            return Err(StoreError::Refused { what: "skill", why });
        }
        self.write(|db| {
            diesel::delete(skills::table.filter(skills::person.eq(person))).execute(db)?;
            for skill in all {
                diesel::insert_into(skills::table).values(skill).execute(db)?;
            }
            Ok(())
        })
    }

    /// What everybody may do.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn skills(&self) -> Result<Vec<SkillRecord>, StoreError> {
        self.read(|db| {
            let all = skills::table.order((skills::person, skills::operation));
            all.select(SkillRecord::as_select()).load(db)
        })
    }

    /// What a person may do.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn skills_of(&self, person: &str) -> Result<Vec<SkillRecord>, StoreError> {
        self.read(|db| {
            let all = skills::table.filter(skills::person.eq(person)).order(skills::operation);
            all.select(SkillRecord::as_select()).load(db)
        })
    }

    /// Enrols a tablet.
    ///
    /// # Errors
    /// [`StoreError::Refused`] without a name.
    pub fn enrol_tablet(
        &self,
        name: &str,
        token_hash: &str,
        by: &str,
        now: Moment,
    ) -> Result<TabletRecord, StoreError> {
        let record = TabletRecord {
            id: new_id(),
            name: said("name of a tablet", name)?,
            token_hash: token_hash.to_owned(),
            enrolled_by: by.to_owned(),
            enrolled_ms: now.0,
            active: true,
        };
        self.write(|db| {
            diesel::insert_into(tablets::table).values(&record).execute(db)?;
            Ok(())
        })?;
        Ok(record)
    }

    /// The tablet that carries a token, if it may still be used.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn tablet(&self, token_hash: &str) -> Result<Option<TabletRecord>, StoreError> {
        self.read(|db| {
            let found =
                tablets::table.filter(tablets::token_hash.eq(token_hash).and(tablets::active.eq(true)));
            found.select(TabletRecord::as_select()).first(db).optional()
        })
    }

    /// All tablets, oldest first.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn tablets(&self) -> Result<Vec<TabletRecord>, StoreError> {
        self.read(|db| tablets::table.select(TabletRecord::as_select()).order(tablets::id).load(db))
    }

    /// A tablet is lost or sold: it may not be used any more, and sessions on it end.
    ///
    /// # Errors
    /// [`StoreError::NotFound`].
    pub fn retire_tablet(&self, id: &str) -> Result<(), StoreError> {
        self.write(|db| {
            diesel::delete(sessions::table.filter(sessions::tablet.eq(id))).execute(db)?;
            let row = tablets::table.filter(tablets::id.eq(id));
            let changed = diesel::update(row).set(tablets::active.eq(false)).execute(db)?;
            found(changed, "tablet", id)
        })
    }

    /// Begins a session.
    ///
    /// # Errors
    /// [`StoreError`] if it cannot be kept.
    pub fn begin_session(&self, session: &SessionRecord) -> Result<(), StoreError> {
        self.write(|db| {
            diesel::insert_into(sessions::table).values(session).execute(db)?;
            Ok(())
        })
    }

    /// The session of a token, with its person, if it is not over and the person may still sign in.
    ///
    /// # Errors
    /// [`StoreError`] if the database does not answer.
    pub fn session(
        &self,
        token_hash: &str,
        now: Moment,
    ) -> Result<Option<(SessionRecord, PersonRecord)>, StoreError> {
        self.read(|db| {
            let open = sessions::token_hash.eq(token_hash).and(sessions::until_ms.gt(now.0));
            let session: Option<SessionRecord> =
                sessions::table.filter(open).select(SessionRecord::as_select()).first(db).optional()?;
            let Some(session) = session else { return Ok(None) };
            let person = people::table.filter(people::id.eq(&session.person).and(people::active.eq(true)));
            let person: Option<PersonRecord> =
                person.select(PersonRecord::as_select()).first(db).optional()?;
            Ok(person.map(|person| (session, person)))
        })
    }

    /// Ends a session.
    ///
    /// # Errors
    /// [`StoreError`] if it cannot be kept.
    pub fn end_session(&self, token_hash: &str) -> Result<(), StoreError> {
        self.write(|db| {
            diesel::delete(sessions::table.filter(sessions::token_hash.eq(token_hash))).execute(db)?;
            Ok(())
        })
    }

    /// Ends all sessions of a person, or those that are over: on a new password, and once a day.
    ///
    /// # Errors
    /// [`StoreError`] if it cannot be kept.
    pub fn end_sessions(&self, person: Option<&str>, now: Moment) -> Result<usize, StoreError> {
        self.write(|db| {
            let ended = match person {
                Some(person) => {
                    diesel::delete(sessions::table.filter(sessions::person.eq(person))).execute(db)?
                }
                None => diesel::delete(sessions::table.filter(sessions::until_ms.le(now.0))).execute(db)?,
            };
            Ok(ended)
        })
    }
}

/// A key for a new line: begins with the time, so that new lines lie together; no order hangs on it.
pub(crate) fn new_id() -> String {
    uuid::Uuid::now_v7().to_string()
}

/// Whether a change found its line.
pub(crate) fn found(changed: usize, what: &'static str, key: &str) -> Result<(), Stop> {
    if changed == 0 { Err(StoreError::NotFound { what, key: key.to_owned() }.into()) } else { Ok(()) }
}
