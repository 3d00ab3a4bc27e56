//! Who may do what work: alone, under somebody's eye, or not; and who may check what others did. Begin with
//! [`House::may_by_skill`].
//!
//! A shop that has said nothing of a person holds nothing against them. The right to check is one of its own: once the
//! shop has said of anybody that they may check, nobody else does.

use crate::failure::Failure;
use crate::house::House;
use shop::job::{Look, RideKind};
use shop::{Event, Person, Skill, Step};
use store::SkillRecord;

/// The kinds of work that a person is told apart by, from the easiest on.
pub(crate) const WORK: [Skill; 3] = [Skill::Learner, Skill::Mechanic, Skill::Specialist];

/// How far a person may do a kind of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hand {
    /// Alone, or nobody has said anything.
    Alone,
    /// Under somebody's eye.
    UnderEye,
    /// Not.
    Not,
}

/// The key of a skill in the store.
pub(crate) fn key(skill: Skill) -> &'static str {
    match skill {
        Skill::Learner => "skill-learner",
        Skill::Mechanic => "skill-mechanic",
        Skill::Specialist => "skill-specialist",
        Skill::Counter => "skill-counter",
        Skill::Second => "skill-second",
    }
}

/// How far these lines let a person do a kind of work. Whoever may do the harder may do the easier.
pub(crate) fn hand(lines: &[SkillRecord], skill: Skill) -> Hand {
    let Some(wanted) = WORK.iter().position(|work| *work == skill) else { return Hand::Alone };
    let reaches = |level: &str| {
        WORK[wanted..]
            .iter()
            .any(|work| lines.iter().any(|line| line.operation == key(*work) && line.level == level))
    };
    let is_said = WORK.iter().any(|work| lines.iter().any(|line| line.operation == key(*work)));
    if !is_said || reaches("alone") {
        Hand::Alone
    } else if reaches("under-eye") {
        Hand::UnderEye
    } else {
        Hand::Not
    }
}

/// Whether a line is the right to check.
pub(crate) fn is_check(line: &SkillRecord) -> bool {
    line.operation == key(Skill::Second) && line.level == "may-check"
}

/// What a step says to a person who does not do it alone.
pub(crate) fn said(lines: &[SkillRecord], step: &Step) -> Option<String> {
    match hand(lines, step.skill) {
        Hand::Alone => None,
        Hand::UnderEye => Some(format!("Work for a {}: with somebody beside you.", step.skill.words())),
        Hand::Not => Some(format!("Work for a {}: not yours; ask who does it.", step.skill.words())),
    }
}

impl House {
    /// What a person may do.
    pub(crate) fn skills_of(&self, by: &Person) -> Result<Vec<SkillRecord>, Failure> {
        match self.store.person_named(&by.to_string())? {
            Some(person) => Ok(self.store.skills_of(&person.id)?),
            None => Ok(Vec::new()),
        }
    }

    /// Refuses work that a person may not do, and checks by those who may not check.
    pub(crate) fn may_by_skill(&self, by: &Person, event: &Event) -> Result<(), Failure> {
        match event {
            Event::Done { step, .. } => {
                let Some(step) = self.workshop.book.step(*step) else { return Ok(()) };
                if hand(&self.skills_of(by)?, step.skill) != Hand::Not {
                    return Ok(());
                }
                let why = format!(
                    "“{}” is work for a {}. What {by} does alone or under somebody's eye is said by the manager under Shop.",
                    step.title,
                    step.skill.words()
                );
                Err(Failure::NotAllowed { why })
            }
            Event::Witnessed { .. }
            | Event::SecondChecked
            | Event::Looked { look: Look::Second, .. }
            | Event::Rode { ride: RideKind::Second, .. } => {
                let all = self.store.skills()?;
                let person = self.store.person_named(&by.to_string())?;
                let own = |line: &SkillRecord| person.as_ref().is_some_and(|person| person.id == line.person);
                if !all.iter().any(is_check) || all.iter().any(|line| is_check(line) && own(line)) {
                    return Ok(());
                }
                let why = format!(
                    "Checking what others did is a right of its own, and {by} does not have it. Who has it is said by the manager under Shop."
                );
                Err(Failure::NotAllowed { why })
            }
            _ => Ok(()),
        }
    }
}
