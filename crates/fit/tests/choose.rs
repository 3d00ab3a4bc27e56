//! Sets of parts for a wish: they hold before the whole engine, conflicts are minimal, ways out lead out.

#![expect(clippy::unwrap_used, reason = "a problem that cannot be laid out stops the run")]

#[path = "choose/stock.rs"]
mod stock;

use catalog::{Catalogue, Slot};
use fit::choose::{Answer, ChooseError, Labour, Waiting, choose, waiting};
use fit::{AimName, Build, Refit, Verdict, judge, worst};
use frontier::Watch;
use intake::{Source, built_in, read_refit};
use quantity::{Length, Money, Percent};
use std::sync::atomic::AtomicBool;
use stock::{Stream, stock};

const SHORT_BODY: &str = include_str!("../../../examples/choose/eleven-cogs-on-a-short-body.toml");
const TRIPLE: &str = include_str!("../../../examples/choose/triple-to-double.toml");
const KEEP: &str = include_str!("../../../examples/choose/mountains-keep-everything.toml");
const SINGLE: &str = include_str!("../../../examples/choose/old-steel-frame-single-ring.toml");

fn refit(text: &str) -> Refit {
    read_refit(Source { name: "wish.toml", text }, &built_in().unwrap()).unwrap()
}

fn answer(refit: &Refit, catalogue: &Catalogue) -> Answer {
    choose(refit, catalogue, &Labour::default(), Watch::default()).unwrap()
}

fn from_library(refit: &Refit) -> Answer {
    answer(refit, &built_in().unwrap())
}

/// The refit with the parts of a set chosen, judged by the whole engine and by nothing of the search.
fn judged_alone(refit: &Refit, parts: &[catalog::Part]) -> Verdict {
    let mut chosen = refit.clone();
    parts.iter().for_each(|part| chosen.choice.put(part.clone()));
    worst(&judge(&Build::new(&chosen)))
}

#[test]
fn every_set_holds_before_the_whole_engine() {
    for text in [SHORT_BODY, TRIPLE] {
        let refit = refit(text);
        let answer = from_library(&refit);
        assert!(answer.complete && !answer.sets.is_empty());
        for set in &answer.sets {
            let verdict = judged_alone(&refit, &set.parts);
            assert!(verdict < Verdict::Fails && verdict == set.verdict, "{:?}", set.keys());
        }
    }
}

#[test]
fn seeded_wishes_on_seeded_catalogues_hold_before_the_whole_engine() {
    let mut sets = 0;
    for seed in 0..12 {
        let mut stream = Stream(seed);
        let mut refit = refit([SHORT_BODY, TRIPLE, SINGLE][stream.below(3) as usize]);
        refit.wish.set.parts_at_most = None;
        refit.wish.set.cogs = [None, Some(9), Some(10), Some(11)][stream.below(4) as usize];
        refit.wish.set.no_marginal = stream.below(3) == 0;
        refit.wish.set.parts_within_days = [None, Some(0), Some(3)][stream.below(3) as usize];
        refit.wish.set.aims = vec![AimName::Price, AimName::ALL[1 + stream.below(4) as usize]];
        let answer = answer(&refit, &stock(seed, 60 + 90 * seed as usize));
        for set in &answer.sets {
            assert!(judged_alone(&refit_as_judged(&refit), &set.parts) < Verdict::Fails, "{seed}");
            assert!(!refit.wish.set.no_marginal || set.count(Verdict::Marginal) == 0, "{seed}");
            assert!(
                set.parts
                    .iter()
                    .all(|part| part.lead_days() <= refit.wish.set.parts_within_days.or(Some(99)))
            );
        }
        sets += answer.sets.len();
    }
    assert!(sets > 30, "{sets} sets");
}

/// With one ring wished the front derailleur comes off.
fn refit_as_judged(refit: &Refit) -> Refit {
    let mut judged = refit.clone();
    if refit.wish.set.rings == Some(1) {
        judged.bike.clear(Slot::FrontDerailleur);
    }
    judged
}

/// No set of one to three exchanged parts that holds beats a set of the answer: tried one by one by the whole engine.
#[test]
fn nothing_that_is_tried_by_hand_beats_the_answer() {
    let mut refit = refit(KEEP);
    refit.wish.set.keep = [
        Slot::RearWheel,
        Slot::Crankset,
        Slot::Levers,
        Slot::FrontDerailleur,
        Slot::Calipers,
        Slot::BottomBracket,
        Slot::Chainrings,
        Slot::RearDerailleur,
    ]
    .to_vec();
    refit.wish.set.lowest_at_most = Some(Length::mm(3000.0));
    let library = built_in().unwrap();
    let answer = answer(&refit, &library);
    assert!(!answer.sets.is_empty());
    let mut holding = 0;
    for cassette in library.for_slot(Slot::Cassette) {
        for chain in std::iter::once(None).chain(library.for_slot(Slot::Chain).map(Some)) {
            let parts: Vec<catalog::Part> = std::iter::once(cassette).chain(chain).cloned().collect();
            // New cogs take a new chain: the wish does not keep the old one.
            if chain.is_none() {
                continue;
            }
            let mut chosen = refit.clone();
            parts.iter().for_each(|part| chosen.choice.put(part.clone()));
            let build = Build::new(&chosen);
            let findings = judge(&build);
            let lowest = fit::pairs::pairs(&build, fit::When::After)
                .iter()
                .filter_map(|pair| pair.development_m)
                .min_by(f64::total_cmp);
            let Some(lowest) = lowest.filter(|lowest| *lowest <= 3.0) else { continue };
            if worst(&findings) >= Verdict::Fails {
                continue;
            }
            holding += 1;
            let count = |v: Verdict| findings.iter().filter(|finding| finding.verdict == v).count();
            let open = 3 * count(Verdict::Marginal) + count(Verdict::Measure);
            let price: i64 = parts.iter().map(|part| part.price().unwrap().minor()).sum();
            let as_good = answer.sets.iter().any(|set| {
                set.price.unwrap().minor() <= price
                    && set.lowest_m.unwrap() <= lowest + 1e-6
                    && set.open() <= open
            });
            assert!(as_good, "{:?} beats the answer", parts.iter().map(|part| part.id()).collect::<Vec<_>>());
        }
    }
    assert_eq!(answer.count.sets, holding, "sets counted and sets tried");
}

#[test]
fn where_nothing_fits_the_conflict_is_told_and_the_ways_lead_out() {
    let wish = refit(KEEP);
    let answer = from_library(&wish);
    let why = answer.why_not.as_ref().unwrap();
    assert!(answer.sets.is_empty() && why.complete && why.conflict.len() > 2);
    let words: Vec<&str> = why.conflict.iter().map(|blame| blame.words.as_str()).collect();
    assert!(words.contains(&"lowest gear 2.45 m at most"), "{words:?}");
    // A rule that is blamed fails on the best set that keeps everything else: its numbers are told.
    for blame in why.conflict.iter().filter(|blame| blame.words.contains('[')) {
        assert!(
            blame.finding.as_ref().is_some_and(|finding| finding.verdict >= Verdict::Fails),
            "{}",
            blame.words
        );
    }
    let way = |words: &str| why.ways.iter().find(|way| way.words == words);
    assert!(way("rear derailleur as it is and chain as it is").is_some_and(|way| way.sets > 0));
    // The way out is one: given up, the wish is met.
    let mut given_up = wish.clone();
    given_up.wish.set.keep.retain(|slot| !matches!(slot, Slot::RearDerailleur | Slot::Chain));
    let opened = from_library(&given_up);
    let told = way("rear derailleur as it is and chain as it is").unwrap();
    assert_eq!(opened.count.sets, told.sets);
    assert_eq!(opened.sets[0].price, told.price);
    let prices: Vec<i64> = why.ways.iter().map(|way| way.price.unwrap().minor()).collect();
    assert!(prices.is_sorted(), "{prices:?}");
}

#[test]
fn the_old_steel_frame_gets_one_ring() {
    let answer = from_library(&refit(SINGLE));
    assert!(!answer.sets.is_empty());
    for set in &answer.sets {
        assert!(set.lowest_m.unwrap() <= 3.0 && set.verdict < Verdict::Fails);
    }
    let names: Vec<String> = answer.offers.offers.iter().map(|offer| offer.words()).collect();
    assert!(names.iter().any(|name| name.contains("best")), "{names:?}");
}

#[test]
fn the_short_body_is_offered_the_overhung_cassette_and_told_the_brakes_weaken() {
    let answer = from_library(&refit(SHORT_BODY));
    let best = &answer.sets[answer.offers.offers[0].set];
    assert!(best.keys().iter().any(|key| key.contains("overhung")), "{:?}", best.keys());
    let other_brakes = |set: &fit::Set| {
        set.keys().iter().any(|key| key.starts_with("brake-") || key.starts_with("caliper-disc"))
    };
    assert!(!answer.sets.iter().any(other_brakes), "studs and discs do not go where a rim caliper was");
    assert!(answer.only_marginal, "the spoke gap is marginal with every set under the ceiling");
}

#[test]
fn a_dearer_part_a_stock_and_a_measurement_change_the_answer() {
    let (wish, library) = (refit(SHORT_BODY), built_in().unwrap());
    let before = answer(&wish, &library);
    let cheapest = before.sets[0].parts[0].clone();
    let mut dearer = library.clone();
    for part in &mut dearer.parts {
        if part.id() == cheapest.id() {
            let (id, name) = (part.id().map(str::to_owned), part.name().to_owned());
            let price = Some(Money::new(99_900, "EUR").unwrap());
            let (mass, lead_days) = (part.mass(), part.lead_days());
            part.relabel(catalog::part::Label { id, name, price, mass, lead_days });
        }
    }
    let after = answer(&wish, &dearer);
    let (gone, come) = before.differences(&after);
    assert!(!gone.is_empty() || !come.is_empty());
    assert!(before.differences(&before) == (Vec::new(), Vec::new()));
    let mut stock_only = wish.clone();
    stock_only.wish.set.parts_within_days = Some(0);
    let in_stock = answer(&stock_only, &library);
    assert!(in_stock.sets.iter().all(|set| set.days == Some(0)));
    // What the sets wait for is named, most sets first.
    let weight = |w: &Waiting| w.closes + w.settles;
    let waiting = waiting(&wish, &before);
    assert!(waiting.windows(2).all(|pair| weight(&pair[0]) >= weight(&pair[1])) && weight(&waiting[0]) > 0);
}

#[test]
fn the_ceiling_and_the_days_of_the_wish_are_bounds() {
    let (mut wish, library) = (refit(SHORT_BODY), built_in().unwrap());
    wish.wish.set.parts_at_most = None;
    let free = answer(&wish, &library);
    let price = |set: &fit::Set| set.price.unwrap().minor();
    let (least, most) = (price(&free.sets[0]), free.sets.iter().map(price).max().unwrap());
    wish.wish.ceiling = Some(Money::new(least, "EUR").unwrap());
    let bounded = answer(&wish, &library);
    assert!(!bounded.sets.is_empty() && bounded.sets.iter().all(|set| price(set) == least) && most > least);
    wish.wish.ceiling = Some(Money::new(least - 1, "EUR").unwrap());
    let why = answer(&wish, &library).why_not.unwrap();
    assert!(why.conflict.iter().any(|blame| blame.words.starts_with("ceiling of")), "{why:?}");
    assert!(why.ways.iter().any(|way| way.words.starts_with("ceiling of")));
    wish.wish.ceiling = None;
    // A week has five working days at most, and two days have two.
    for (days, working) in [(7, 5), (2, 2)] {
        wish.wish.ready_in_days = Some(days);
        let bounded = answer(&wish, &library);
        assert!(bounded.sets.iter().all(|set| set.days.unwrap() <= working), "{days} days");
        assert!(!bounded.sets.is_empty() || bounded.why_not.is_some());
    }
    wish.wish.ceiling = Some(Money::new(90_000, "GBP").unwrap());
    let error = choose(&wish, &library, &Labour::default(), Watch::default()).unwrap_err();
    assert!(matches!(error, ChooseError::Currencies { .. }), "{error}");
}

#[test]
fn new_cogs_take_a_new_chain_unless_the_wish_keeps_it() {
    for text in [SHORT_BODY, TRIPLE, SINGLE] {
        for set in from_library(&refit(text)).sets {
            let has = |slot| set.parts.iter().any(|part| part.slot() == slot);
            assert!(!has(Slot::Cassette) || has(Slot::Chain), "{:?}", set.keys());
        }
    }
    let mut kept = refit(TRIPLE);
    kept.wish.set.keep.push(Slot::Chain);
    kept.wish.set.lowest_at_most = None;
    kept.wish.set.cogs = None;
    let answer = from_library(&kept);
    assert!(answer.sets.iter().all(|set| set.parts.iter().all(|part| part.slot() != Slot::Chain)));
}

#[test]
fn bad_input_gets_a_clear_answer() {
    let wish = refit(SHORT_BODY);
    let asked = |catalogue: &Catalogue| choose(&wish, catalogue, &Labour::default(), Watch::default());
    assert_eq!(asked(&Catalogue::default()).unwrap_err(), ChooseError::EmptyCatalogue);
    let relabelled = |currency: Option<&str>| {
        let mut catalogue = built_in().unwrap();
        let part = catalogue.parts.iter_mut().find(|part| part.slot() == Slot::Cassette).unwrap();
        let (id, name) = (part.id().map(str::to_owned), part.name().to_owned());
        let price = currency.map(|currency| Money::new(100, currency).unwrap());
        part.relabel(catalog::part::Label { id, name, price, mass: None, lead_days: None });
        let key = part.id().unwrap().to_owned();
        (catalogue, key)
    };
    let error = asked(&relabelled(Some("GBP")).0).unwrap_err();
    assert!(matches!(error, ChooseError::Currencies { .. }), "{error}");
    let (unpriced, key) = relabelled(None);
    assert_eq!(asked(&unpriced).unwrap().left_out.unpriced, [key]);
    let mut contradictory = wish.clone();
    contradictory.wish.set.step_at_most = Some(Percent::new(1.0));
    let why = from_library(&contradictory).why_not.unwrap();
    assert!(why.conflict.iter().any(|blame| blame.words == "largest step 1.0 % at most"));
    let mut unmeasured = wish.clone();
    unmeasured.bike.clear(Slot::RearWheel);
    unmeasured.wish.set.lowest_at_most = Some(Length::mm(2500.0));
    let error = choose(&unmeasured, &built_in().unwrap(), &Labour::default(), Watch::default()).unwrap_err();
    assert!(error.to_string().contains("has to be measured first"), "{error}");
}

#[test]
fn the_same_wish_gives_the_same_answer_and_a_stopped_search_says_so() {
    let wish = refit(TRIPLE);
    let keys = |answer: &Answer| answer.sets.iter().map(|set| set.keys()).collect::<Vec<_>>();
    let (one, two) = (from_library(&wish), from_library(&wish));
    assert_eq!(keys(&one), keys(&two));
    let stop = AtomicBool::new(true);
    let watch = Watch { stop: Some(&stop), tell: None };
    let stopped = choose(&wish, &built_in().unwrap(), &Labour::default(), watch).unwrap();
    assert!(!stopped.complete && stopped.why_not.is_none());
    for set in &stopped.sets {
        assert!(judged_alone(&wish, &set.parts) < Verdict::Fails);
    }
}
