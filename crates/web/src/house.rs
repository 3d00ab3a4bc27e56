//! Everything that one running server holds. Begin with [`House`].

use crate::card::Cards;
use crate::failure::Failure;
use crate::guard::{LockOut, Rate};
use crate::live::Live;
use crate::options::Options;
use crate::queue::Queues;
use crate::rides::Roads;
use catalog::Catalogue;
use fit::{OwnRule, Plan, Refit};
use sheet::Typesetter;
use shop::Workshop;
use std::sync::{Arc, OnceLock, PoisonError, RwLock};
use store::Store;

/// What every page is made from.
pub(crate) struct House {
    /// What the shop keeps.
    pub(crate) store: Store,
    /// The shop as it counts.
    pub(crate) workshop: Workshop,
    /// The shop's own rules.
    pub(crate) own_rules: Vec<OwnRule>,
    /// The letters before the number of a job of this branch.
    pub(crate) branch: String,
    /// Where pages are reached from outside, for links and codes; none where nobody said.
    pub(crate) address: Option<String>,
    /// Whether pages come over TLS, here or at the proxy in front: then cookies go over TLS only.
    pub(crate) secure: bool,
    /// What stands at the sign-in of an invented shop.
    pub(crate) demo: Option<DemoSignIn>,
    /// The changes of this server.
    pub(crate) live: Live,
    /// Jobs that were looked at last, with their plans.
    pub(crate) cards: Cards,
    /// Recorded rides, as they were read last.
    pub(crate) roads: Roads,
    /// Options, as they were searched last.
    pub(crate) options: Options,
    /// What waits, as it was worked out last.
    pub(crate) queues: Queues,
    /// Who tried too often to sign in.
    pub(crate) lock_out: LockOut,
    /// How often an address may try something that costs.
    pub(crate) rate: Rate,
    catalogue: RwLock<Arc<Catalogue>>,
    typesetter: OnceLock<Typesetter>,
}

/// The printed sign-in of an invented shop.
#[derive(Clone, Debug)]
pub(crate) struct DemoSignIn {
    /// The password of everybody.
    pub(crate) password: &'static str,
    /// The PIN of everybody.
    pub(crate) pin: &'static str,
}

/// Things that cost (signing in, links of customers, photos): so many at once from one address, so many a second.
const COSTLY: (u32, u32) = (30, 2);

impl House {
    /// A house over an open store.
    ///
    /// # Errors
    /// [`Failure`] if the built-in catalogue or the parts of the store do not read.
    pub(crate) fn new(
        store: Store,
        workshop: Workshop,
        own_rules: Vec<OwnRule>,
        branch: String,
    ) -> Result<Self, Failure> {
        let house = Self {
            store,
            workshop,
            own_rules,
            branch,
            address: None,
            secure: false,
            demo: None,
            live: Live::new(),
            cards: Cards::default(),
            roads: Roads::default(),
            options: Options::default(),
            queues: Queues::default(),
            lock_out: LockOut::default(),
            rate: Rate::new(COSTLY.0, COSTLY.1),
            catalogue: RwLock::new(Arc::new(Catalogue::default())),
            typesetter: OnceLock::new(),
        };
        house.read_catalogue_again()?;
        Ok(house)
    }

    /// The built-in parts together with those of the shop.
    pub(crate) fn catalogue(&self) -> Arc<Catalogue> {
        self.catalogue.read().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// After parts were added: plans are worked out anew when they are next looked at.
    pub(crate) fn read_catalogue_again(&self) -> Result<(), Failure> {
        let mut catalogue = intake::built_in().map_err(|problems| Failure::Fault {
            what: "the built-in catalogue does not read",
            why: format!("{problems:?}"),
        })?;
        for own in self.store.parts(None)? {
            // A part of the shop stands in place of a built-in one with the same key.
            catalogue.parts.retain(|part| part.id() != own.id());
            catalogue.parts.push(own);
        }
        *self.catalogue.write().unwrap_or_else(PoisonError::into_inner) = Arc::new(catalogue);
        self.cards.forget();
        self.queues.forget();
        self.options.forget();
        Ok(())
    }

    /// The plan of a refit with the catalogue and the rules of this shop.
    pub(crate) fn plan(&self, refit: &Refit) -> Plan {
        fit::plan_with(refit, &self.catalogue(), &self.own_rules)
    }

    /// The typesetter; its fonts are read when the first sheet is printed.
    pub(crate) fn typesetter(&self) -> &Typesetter {
        self.typesetter.get_or_init(Typesetter::new)
    }
}
