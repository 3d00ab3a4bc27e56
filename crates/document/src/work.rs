//! The work of a refit: minutes, operations, the order of steps, the bolts.

use crate::order::{MinutesDocument, StepDocument};
use crate::plan::round;
use fit::Plan;
use quantity::Torque;
use schemars::JsonSchema;
use serde::Serialize;
use shop::torque::{Basis, Setting, in_unit};
use shop::{
    Because, Block, Book, BookError, Circumstances, FastenerId, Labour, Marginal, OperationId, Placed,
    Wanted, wanted,
};

/// Everything that the work of a refit is made of: laid once, told on the screen, in JSON and on paper.
#[derive(Clone, Debug)]
pub struct LaidWork<'a> {
    /// The operations that the plan asks for, with the reason.
    pub wanted: Vec<Wanted>,
    /// The minutes.
    pub labour: Labour,
    /// The operations that lead, each with its minutes alone and in this job.
    pub lines: Vec<(OperationId, Marginal)>,
    /// The steps in their order.
    pub order: Vec<Placed<'a>>,
}

impl<'a> LaidWork<'a> {
    /// The work that a plan asks for.
    ///
    /// # Errors
    /// [`BookError`] if the book does not have what the plan asks for.
    pub fn of(plan: &Plan, book: &'a Book, circumstances: Circumstances) -> Result<Self, BookError> {
        Self::with(plan, book, circumstances, &[])
    }

    /// The same with operations that the customer added while the work went on.
    ///
    /// # Errors
    /// As [`LaidWork::of`].
    pub fn with(
        plan: &Plan,
        book: &'a Book,
        circumstances: Circumstances,
        added: &[OperationId],
    ) -> Result<Self, BookError> {
        let mut wanted = wanted(plan, circumstances);
        for operation in added {
            if !wanted.iter().any(|known| known.operation == *operation) {
                wanted.push(Wanted { operation: *operation, because: Because::Change });
            }
        }
        let all: Vec<OperationId> = wanted.iter().map(|wanted| wanted.operation).collect();
        let leading = book.leading(&all)?;
        let others =
            |id: &OperationId| leading.iter().copied().filter(|other| other != id).collect::<Vec<_>>();
        let lines = leading
            .iter()
            .map(|id| Ok((*id, book.marginal(&others(id), *id)?)))
            .collect::<Result<_, BookError>>()?;
        let labour = book.labour(&all, circumstances.age)?;
        Ok(Self { wanted, labour, lines, order: book.order(&all)? })
    }

    /// Whether a fastener is closed in this job. A step of taking off that several sorts of brake share names the fasteners of
    /// all of them: what no later step turns is not on this bike, or goes with the old part.
    pub fn closes(&self, fastener: FastenerId) -> bool {
        let after = self.order.iter().filter(|placed| placed.step.block != Block::Strip);
        after.flat_map(|placed| placed.step.fasteners.iter()).any(|turned| *turned == fastener)
    }

    /// Why an operation is in this job.
    pub fn because(&self, id: OperationId) -> Option<String> {
        let wanted = self.wanted.iter().find(|wanted| wanted.operation == id)?;
        Some(match wanted.because {
            Because::EveryJob => "every job has it".to_owned(),
            Because::NewPart(slot) => format!("new {}", slot.words()),
            Because::Remedy(rule) => format!("remedy of {rule}"),
            Because::Refusal(rule) => format!("refused by {rule}"),
            Because::Circumstance => "this bike".to_owned(),
            Because::Change => "found while working, and agreed".to_owned(),
        })
    }
}

/// The work of a refit.
#[derive(Debug, Serialize, JsonSchema)]
pub struct WorkDocument {
    /// What the job is called.
    pub name: String,
    /// The verdict of the plan.
    pub verdict: &'static str,
    /// What must not be overlooked.
    pub flags: Vec<&'static str>,
    /// Minutes of all steps, each counted once.
    pub minutes: MinutesDocument,
    /// The operations one after the other in one visit.
    pub sum_in_one_visit: MinutesDocument,
    /// The operations as jobs of their own.
    pub sum_of_lines: MinutesDocument,
    /// Minutes that counting once saves.
    pub saved: u32,
    /// What this bike adds.
    pub extras: Vec<ExtraDocument>,
    /// Minutes with what this bike adds.
    pub total: MinutesDocument,
    /// The operations.
    pub operations: Vec<OperationDocument>,
    /// The steps in their order.
    pub order: Vec<StepDocument>,
    /// The bolts.
    pub bolts: Vec<BoltDocument>,
}

/// Minutes that the bike adds.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ExtraDocument {
    /// Why.
    pub because: &'static str,
    /// How many.
    pub minutes: MinutesDocument,
}

/// An operation.
#[derive(Debug, Serialize, JsonSchema)]
pub struct OperationDocument {
    /// Its key.
    pub operation: &'static str,
    /// What it is called.
    pub title: &'static str,
    /// Why it is in this job.
    pub because: Option<String>,
    /// Its minutes as a job of its own.
    pub alone: MinutesDocument,
    /// What it adds to this job.
    pub in_this_job: MinutesDocument,
}

/// A torque with its tolerance.
#[derive(Debug, Serialize, JsonSchema)]
pub struct RangeDocument {
    /// The least.
    pub least: f64,
    /// The greatest.
    pub most: f64,
}

/// How a fastener is closed.
#[derive(Debug, Serialize, JsonSchema)]
pub struct BoltDocument {
    /// Its key.
    pub fastener: &'static str,
    /// What it is called.
    pub title: &'static str,
    /// Where the torque comes from.
    pub because: &'static str,
    /// Newton metres at the bolt; null if only the part can say it.
    pub newton_metres: Option<RangeDocument>,
    /// The figure of the trade.
    pub built_in_newton_metres: Option<RangeDocument>,
    /// The shop's own figure.
    pub own: Option<OwnTorqueDocument>,
    /// The same in pound-force inches.
    pub pound_inches: Option<RangeDocument>,
    /// The same in kilogram-force centimetres.
    pub kilogram_centimetres: Option<RangeDocument>,
    /// What is set on the wrench that was named.
    pub on_the_wrench_newton_metres: Option<RangeDocument>,
    /// What one bolt clamps.
    pub clamps: Option<ClampsDocument>,
    /// The turns of the wrench for a clamp of several bolts.
    pub turns: Vec<TurnDocument>,
    /// What the thread wants.
    pub thread: Option<&'static str>,
    /// What carbon in the joint asks for.
    pub carbon: Option<&'static str>,
}

/// The shop's own torque.
#[derive(Debug, Serialize, JsonSchema)]
pub struct OwnTorqueDocument {
    /// Newton metres.
    pub newton_metres: Option<RangeDocument>,
    /// Who decided it.
    pub by: String,
    /// When.
    pub on: String,
    /// Why.
    pub why: Option<String>,
}

/// What a torque is in a bolt.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ClampsDocument {
    /// Diameter of the thread.
    pub diameter_mm: f64,
    /// Clamping force: least, by the formula, most.
    pub kilonewtons: [f64; 3],
    /// Share of the proof load that the greatest force takes.
    pub proof_share_at_most: f64,
}

/// One turn of the wrench.
#[derive(Debug, Serialize, JsonSchema)]
pub struct TurnDocument {
    /// The bolt, from 1.
    pub bolt: u8,
    /// The torque.
    pub newton_metres: f64,
    /// Whether it is repeated until nothing moves.
    pub until_still: bool,
}

impl WorkDocument {
    /// The document of laid work and its bolts.
    pub fn of(plan: &Plan, book: &Book, laid: &LaidWork<'_>, bolts: &[Setting]) -> Self {
        let labour = &laid.labour;
        let title = |id: OperationId| book.operation(id).map_or(id.0, |operation| operation.title);
        Self {
            name: plan.name.clone(),
            verdict: plan.verdict.word(),
            flags: plan.flags.clone(),
            minutes: MinutesDocument::of(labour.minutes),
            sum_in_one_visit: MinutesDocument::of(labour.sum_in_one_visit),
            sum_of_lines: MinutesDocument::of(labour.sum_of_lines),
            saved: labour.saved,
            extras: labour
                .extras
                .iter()
                .map(|extra| ExtraDocument {
                    because: extra.words,
                    minutes: MinutesDocument::of(extra.minutes),
                })
                .collect(),
            total: MinutesDocument::of(labour.total),
            operations: laid
                .lines
                .iter()
                .map(|(id, minutes)| OperationDocument {
                    operation: id.0,
                    title: title(*id),
                    because: laid.because(*id),
                    alone: MinutesDocument::of(minutes.alone),
                    in_this_job: MinutesDocument::of(minutes.while_apart),
                })
                .collect(),
            order: laid.order.iter().map(StepDocument::of).collect(),
            bolts: bolts.iter().map(BoltDocument::of).collect(),
        }
    }
}

impl BoltDocument {
    fn of(setting: &Setting) -> Self {
        Self {
            fastener: setting.fastener.id.0,
            title: setting.fastener.title,
            because: basis_words(setting.basis),
            newton_metres: range(setting.torque, "N·m"),
            built_in_newton_metres: range(setting.usual.map(|usual| (usual.least, usual.most)), "N·m"),
            own: setting.own.as_ref().map(|own| OwnTorqueDocument {
                newton_metres: range(Some((own.range.least, own.range.most)), "N·m"),
                by: own.by.clone(),
                on: own.on.clone(),
                why: own.why.clone(),
            }),
            pound_inches: range(setting.torque, "lbf in"),
            kilogram_centimetres: range(setting.torque, "kgf cm"),
            on_the_wrench_newton_metres: range(setting.set, "N·m"),
            clamps: setting.clamps.map(|clamps| ClampsDocument {
                diameter_mm: clamps.diameter.to_mm(),
                kilonewtons: clamps.kilonewtons(),
                proof_share_at_most: clamps.proof,
            }),
            turns: setting
                .turns
                .iter()
                .map(|turn| TurnDocument {
                    bolt: turn.bolt,
                    newton_metres: turn.torque.to_newton_metres(),
                    until_still: turn.until_still,
                })
                .collect(),
            thread: setting.condition,
            carbon: setting.carbon,
        }
    }
}

fn range(torque: Option<(Torque, Torque)>, unit: &str) -> Option<RangeDocument> {
    let (least, most) = torque?;
    Some(RangeDocument { least: round(in_unit(least, unit)?), most: round(in_unit(most, unit)?) })
}

/// Where a torque comes from, in words.
pub fn basis_words(basis: Basis) -> &'static str {
    match basis {
        Basis::Printed => "printed",
        Basis::Own => "the shop's own",
        Basis::Range => "practice",
        Basis::AskFirst => "practice; ask first",
        Basis::Ask => "ask the part",
    }
}
