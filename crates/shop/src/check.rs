//! Who touched what, how tight it is, who rode it, and whether the bike may leave. Begin with [`Record`].
//!
//! A record is a value: each act gives a new one, or says why it is refused.

use crate::fastener::{Closing, Fastener, FastenerId};
use crate::step::{Block, Skill, Step, StepId};
use fit::{Change, Hazard, Plan, changes};
use quantity::Torque;
use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

/// A person. Two ways of writing one name are one person.
#[derive(Clone, Debug)]
pub struct Person {
    name: String,
    key: String,
}

impl Person {
    /// The person of this name.
    ///
    /// # Errors
    /// [`CheckError::Nameless`] if nothing is left but blanks.
    pub fn new(name: &str) -> Result<Self, CheckError> {
        let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
        if name.is_empty() {
            return Err(CheckError::Nameless);
        }
        Ok(Self { key: name.to_lowercase(), name })
    }
}

impl PartialEq for Person {
    fn eq(&self, other: &Self) -> bool {
        self.key == other.key
    }
}

impl Eq for Person {}

impl PartialOrd for Person {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Person {
    fn cmp(&self, other: &Self) -> Ordering {
        self.key.cmp(&other.key)
    }
}

impl fmt::Display for Person {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name)
    }
}

/// How tight a fastener is. There is no "probably".
#[derive(Clone, Debug, PartialEq)]
pub enum Tightness {
    /// Off, or loose.
    Off,
    /// Closed by hand.
    FingerTight,
    /// Tightened to its value.
    AtValue {
        /// The torque set on the wrench; none where it was closed by hand.
        torque: Option<Torque>,
        /// Who tightened it.
        by: Person,
    },
    /// Tightened to its value, and another person saw that it does not move at that torque.
    Witnessed {
        /// The torque set on the wrench; none where it was closed by hand.
        torque: Option<Torque>,
        /// Who tightened it.
        by: Person,
        /// Who saw it.
        witness: Person,
    },
}

impl Tightness {
    /// The state in words.
    pub fn words(&self) -> &'static str {
        match self {
            Self::Off => "off",
            Self::FingerTight => "finger-tight",
            Self::AtValue { .. } => "at value",
            Self::Witnessed { .. } => "at value and witnessed",
        }
    }

    fn is_at_value(&self) -> bool {
        matches!(self, Self::AtValue { .. } | Self::Witnessed { .. })
    }
}

/// The torque that a fastener wants: what is printed on the part, else the range of the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TorqueRange {
    /// The least.
    pub least: Torque,
    /// The greatest.
    pub most: Torque,
}

impl Fastener {
    /// The range of the table, where the part says nothing; none where only the part can say it.
    pub fn range(&self) -> Option<TorqueRange> {
        let Closing::Range(least, most) = self.closing else { return None };
        Some(TorqueRange { least: Torque::newton_metres(least), most: Torque::newton_metres(most) })
    }
}

/// What a step did to the bike: kept with the entry, so that a record reads the same when the book has changed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StepWork {
    /// The fasteners that it turned.
    pub turned: Vec<FastenerId>,
    /// Whether it takes off: then they are off, else finger-tight.
    pub strips: bool,
    /// Whether it moves anything on the bike: talking and paper do not.
    pub moves_something: bool,
}

impl StepWork {
    /// What a step of the book does.
    pub fn of(step: &Step) -> Self {
        Self {
            turned: step.fasteners.to_vec(),
            strips: step.block == Block::Strip,
            moves_something: !matches!(step.skill, Skill::Counter | Skill::Second)
                || !step.fasteners.is_empty(),
        }
    }
}

/// Why an act is refused.
#[derive(Clone, Debug, PartialEq)]
pub enum CheckError {
    /// A person without a name.
    Nameless,
    /// A torque outside what the fastener wants.
    OutsideRange {
        /// The fastener.
        fastener: FastenerId,
        /// What was set.
        found: Torque,
        /// What is wanted.
        wanted: TorqueRange,
    },
    /// A fastener is closed by hand that wants a torque.
    WantsTorque(FastenerId),
    /// A fastener is witnessed that is not at its value.
    NotAtValue {
        /// The fastener.
        fastener: FastenerId,
        /// Its state.
        state: &'static str,
    },
    /// The witness tightened it.
    OwnWitness {
        /// The fastener.
        fastener: FastenerId,
        /// The person.
        person: Person,
    },
    /// The second check is signed by someone who worked on the bike.
    Touched {
        /// The person.
        person: Person,
        /// The steps that the person touched.
        steps: Vec<StepId>,
        /// The fasteners that the person tightened.
        fasteners: Vec<FastenerId>,
    },
    /// Nobody has ridden it yet.
    NotRidden,
    /// The second ride comes after the second check.
    NotChecked,
    /// The second ride is for the person who checked.
    OtherRider {
        /// Who checked.
        checked_by: Person,
        /// Who wanted to ride.
        person: Person,
    },
}

impl fmt::Display for CheckError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nameless => write!(f, "a person without a name was found where a name was wanted"),
            Self::OutsideRange { fastener, found, wanted } => {
                let (found, least, most) = (
                    found.to_newton_metres(),
                    wanted.least.to_newton_metres(),
                    wanted.most.to_newton_metres(),
                );
                write!(f, "{} to {found:.1} N·m, but {least:.1} to {most:.1} N·m is wanted", title(*fastener))
            }
            Self::WantsTorque(fastener) => {
                write!(f, "{}: closed by hand, but a torque is wanted", title(*fastener))
            }
            Self::NotAtValue { fastener, state } => {
                write!(f, "{}: {state}, but at value is wanted", title(*fastener))
            }
            Self::OwnWitness { fastener, person } => {
                write!(f, "{}: {person} tightened it, so another person has to witness it", title(*fastener))
            }
            Self::Touched { person, steps, fasteners } => {
                let names: Vec<String> = steps
                    .iter()
                    .map(StepId::to_string)
                    .chain(fasteners.iter().map(|fastener| title(*fastener).to_owned()))
                    .collect();
                write!(
                    f,
                    "{person} worked on this bike ({}), so the second check is for a person who touched nothing of it",
                    names.join(", ")
                )
            }
            Self::NotRidden => write!(f, "the first ride is not done, and the second check comes after it"),
            Self::NotChecked => {
                write!(f, "the second check is not signed, and the second ride comes after it")
            }
            Self::OtherRider { checked_by, person } => {
                write!(f, "{checked_by} signed the second check, so the second ride is not for {person}")
            }
        }
    }
}

impl std::error::Error for CheckError {}

fn title(id: FastenerId) -> &'static str {
    Fastener::find(id).map_or(id.0, |fastener| fastener.title)
}

/// Why a bike may not leave yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Held {
    /// A fastener that was touched is not at its value, or nobody witnessed it.
    Fastener {
        /// The fastener.
        fastener: FastenerId,
        /// Its state.
        state: &'static str,
    },
    /// The first ride is not done.
    FirstRide,
    /// The second check is not signed.
    SecondCheck,
    /// The second ride is not done.
    SecondRide,
}

impl fmt::Display for Held {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Fastener { fastener, state } => {
                write!(f, "{}: {state}, but at value and witnessed is wanted", title(*fastener))
            }
            Self::FirstRide => write!(f, "the first ride is not done"),
            Self::SecondCheck => write!(f, "the second check is not signed by a second person"),
            Self::SecondRide => write!(f, "the second ride is not done"),
        }
    }
}

/// What was done on a bike, as far as its release depends on it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Record {
    hands: BTreeMap<StepId, BTreeSet<Person>>,
    fasteners: BTreeMap<FastenerId, Tightness>,
    /// Everyone who ever tightened it: who was corrected by another one still has touched it.
    tightened: BTreeMap<FastenerId, BTreeSet<Person>>,
    first_ride: Option<Person>,
    second_check: Option<Person>,
    second_ride: Option<Person>,
}

impl Record {
    /// Who touched which step.
    pub fn hands(&self) -> &BTreeMap<StepId, BTreeSet<Person>> {
        &self.hands
    }

    /// Every fastener that was touched, with its state.
    pub fn fasteners(&self) -> &BTreeMap<FastenerId, Tightness> {
        &self.fasteners
    }

    /// Who signed the second check, if it stands.
    pub fn second_person(&self) -> Option<&Person> {
        self.second_check.as_ref()
    }

    /// A person does a step. Its fasteners are off or finger-tight from now on, whatever they were; work after the
    /// second check undoes the check and the second ride. Talking and paper do not.
    #[must_use]
    pub fn work(&self, step: &Step, by: &Person) -> Self {
        self.work_on(step.id, &StepWork::of(step), by)
    }

    /// A person does a step that is known by what it did.
    #[must_use]
    pub fn work_on(&self, step: StepId, work: &StepWork, by: &Person) -> Self {
        let mut record = self.clone();
        record.hands.entry(step).or_default().insert(by.clone());
        let state = if work.strips { Tightness::Off } else { Tightness::FingerTight };
        for fastener in &work.turned {
            record.fasteners.insert(*fastener, state.clone());
        }
        if work.moves_something {
            record.undo_check();
        }
        record
    }

    /// A person tightens a fastener. This undoes the second check and the second ride.
    ///
    /// # Errors
    /// [`CheckError::OutsideRange`] if the torque is not what the fastener wants.
    pub fn tighten(
        &self,
        fastener: FastenerId,
        torque: Torque,
        wanted: TorqueRange,
        by: &Person,
    ) -> Result<Self, CheckError> {
        let nm = torque.to_newton_metres();
        if !(wanted.least.to_newton_metres() <= nm && nm <= wanted.most.to_newton_metres()) {
            return Err(CheckError::OutsideRange { fastener, found: torque, wanted });
        }
        Ok(self.closed(fastener, Some(torque), by))
    }

    /// A person closes a fastener that wants no wrench. This undoes the second check and the second ride.
    ///
    /// # Errors
    /// [`CheckError::WantsTorque`] if it is not one of those.
    pub fn close_by_hand(&self, fastener: FastenerId, by: &Person) -> Result<Self, CheckError> {
        let by_hand = Fastener::find(fastener).is_some_and(|found| found.closing == Closing::ByHand);
        if by_hand { Ok(self.closed(fastener, None, by)) } else { Err(CheckError::WantsTorque(fastener)) }
    }

    fn closed(&self, fastener: FastenerId, torque: Option<Torque>, by: &Person) -> Self {
        let mut record = self.clone();
        record.fasteners.insert(fastener, Tightness::AtValue { torque, by: by.clone() });
        record.tightened.entry(fastener).or_default().insert(by.clone());
        record.undo_check();
        record
    }

    /// A person sees that a fastener does not move at its torque.
    ///
    /// # Errors
    /// [`CheckError::NotAtValue`] if it is not at its value, [`CheckError::OwnWitness`] if that person tightened it.
    pub fn witness(&self, fastener: FastenerId, witness: &Person) -> Result<Self, CheckError> {
        let (torque, by) = match self.fasteners.get(&fastener) {
            Some(Tightness::AtValue { torque, by } | Tightness::Witnessed { torque, by, .. }) => {
                (*torque, by)
            }
            other => {
                let state = other.map_or("not touched", Tightness::words);
                return Err(CheckError::NotAtValue { fastener, state });
            }
        };
        if by == witness {
            return Err(CheckError::OwnWitness { fastener, person: witness.clone() });
        }
        let mut record = self.clone();
        let seen = Tightness::Witnessed { torque, by: by.clone(), witness: witness.clone() };
        record.fasteners.insert(fastener, seen);
        Ok(record)
    }

    /// A fastener was found loose: it and all of its group that were touched are finger-tight again.
    #[must_use]
    pub fn found_loose(&self, fastener: FastenerId) -> Self {
        let mut record = self.clone();
        let group = |id: FastenerId| Fastener::find(id).map(|found| found.group);
        for (id, state) in &mut record.fasteners {
            if *id == fastener || (group(*id).is_some() && group(*id) == group(fastener)) {
                *state = Tightness::FingerTight;
            }
        }
        record.fasteners.insert(fastener, Tightness::FingerTight);
        record.undo_check();
        record
    }

    /// A person rides it for the first time.
    ///
    /// # Errors
    /// [`CheckError::NotAtValue`] for every touched fastener that the rider's safety hangs on and that is not at value.
    pub fn ride_first(&self, by: &Person) -> Result<Self, Vec<CheckError>> {
        let open = self.open_for_riding();
        if !open.is_empty() {
            return Err(open);
        }
        Ok(Self { first_ride: Some(by.clone()), ..self.clone() })
    }

    /// A second person signs the check.
    ///
    /// # Errors
    /// Every reason against it: the person touched a step or tightened a fastener, a fastener is not at its value, the
    /// first ride is not done.
    pub fn check_second(&self, by: &Person) -> Result<Self, Vec<CheckError>> {
        let mut reasons = Vec::new();
        reasons.extend(self.touched_by(by));
        reasons.extend(self.open_for_riding());
        if self.first_ride.is_none() {
            reasons.push(CheckError::NotRidden);
        }
        if !reasons.is_empty() {
            return Err(reasons);
        }
        Ok(Self { second_check: Some(by.clone()), second_ride: None, ..self.clone() })
    }

    /// The person who checked rides it.
    ///
    /// # Errors
    /// [`CheckError::NotChecked`] before the second check, [`CheckError::OtherRider`] for anyone else.
    pub fn ride_second(&self, by: &Person) -> Result<Self, CheckError> {
        match &self.second_check {
            None => Err(CheckError::NotChecked),
            Some(checked_by) if checked_by != by => {
                Err(CheckError::OtherRider { checked_by: checked_by.clone(), person: by.clone() })
            }
            Some(_) => Ok(Self { second_ride: Some(by.clone()), ..self.clone() }),
        }
    }

    /// Whether the bike may leave.
    ///
    /// # Errors
    /// Everything that holds it: fasteners first, then rides and checks in their order.
    pub fn release(&self) -> Result<(), Vec<Held>> {
        let mut held: Vec<Held> = self
            .fasteners
            .iter()
            .filter(|(_, state)| !matches!(state, Tightness::Witnessed { .. }))
            .map(|(fastener, state)| Held::Fastener { fastener: *fastener, state: state.words() })
            .collect();
        let missing = [
            (self.first_ride.is_none(), Held::FirstRide),
            (self.second_check.is_none(), Held::SecondCheck),
            (self.second_ride.is_none(), Held::SecondRide),
        ];
        held.extend(missing.into_iter().filter_map(|(is, held)| is.then_some(held)));
        if held.is_empty() { Ok(()) } else { Err(held) }
    }

    /// A person had a hand on a step, whether or not it counts as done.
    #[must_use]
    pub fn touch(&self, step: StepId, by: &Person) -> Self {
        let mut record = self.clone();
        record.hands.entry(step).or_default().insert(by.clone());
        record.undo_check();
        record
    }

    /// A person had a wrench on a fastener, and how tight it is is not known: it counts as finger-tight.
    #[must_use]
    pub fn held(&self, fastener: FastenerId, by: &Person) -> Self {
        let mut record = self.clone();
        record.tightened.entry(fastener).or_default().insert(by.clone());
        record.found_loose(fastener)
    }

    /// Whether it has been ridden once.
    pub fn is_ridden(&self) -> bool {
        self.first_ride.is_some()
    }

    /// What a person touched, if anything: then the second check is for another one.
    pub fn touched_by(&self, person: &Person) -> Option<CheckError> {
        let steps: Vec<StepId> =
            self.hands.iter().filter(|(_, hands)| hands.contains(person)).map(|(step, _)| *step).collect();
        let fasteners: Vec<FastenerId> =
            self.tightened.iter().filter(|(_, hands)| hands.contains(person)).map(|(id, _)| *id).collect();
        (!steps.is_empty() || !fasteners.is_empty()).then(|| CheckError::Touched {
            person: person.clone(),
            steps,
            fasteners,
        })
    }

    fn undo_check(&mut self) {
        self.second_check = None;
        self.second_ride = None;
    }

    /// Touched fasteners on which the rider's safety hangs and that are not at value. A fastener that no table knows
    /// counts among them.
    fn open_for_riding(&self) -> Vec<CheckError> {
        self.fasteners
            .iter()
            .filter(|(id, state)| {
                let hazard = Fastener::find(**id).map_or(Hazard::Rider, |fastener| fastener.hazard);
                hazard == Hazard::Rider && !state.is_at_value()
            })
            .map(|(id, state)| CheckError::NotAtValue { fastener: *id, state: state.words() })
            .collect()
    }
}

/// Whether what the customer agreed to still stands: no interface stands on anything else than it did.
///
/// # Errors
/// What changed since: then the customer is asked again.
pub fn approval_stands(agreed: &Plan, now: &Plan) -> Result<(), Vec<Change>> {
    let changed = changes(agreed, now);
    if changed.is_empty() { Ok(()) } else { Err(changed) }
}
