//! Days that are promised: laws, bad input, and what happens when a fact moves. Shops and jobs are invented.

#![expect(clippy::unwrap_used, reason = "a day that cannot be read stops the test")]

use jiff::civil::{Date, Weekday, date};
use proptest::prelude::*;
use shop::{
    Awaited, LeadRecord, OpenJob, Promise, PromiseError, Queue, Range, Skill, WorkPiece, Workshop, all_here,
    broken, promises,
};

const SHOP: &str = include_str!("../../cogwright/shop.toml");
const TODAY: Date = date(2026, 11, 25);

fn shop() -> Workshop {
    intake::read_shop(intake::Source { name: "shop.toml", text: SHOP }).unwrap()
}

fn minutes(usual: u32) -> Range {
    let usual = f64::from(usual);
    Range { p50: usual, p80: usual * 1.2, p95: usual * 1.5 }
}

fn job(name: &str, skill: Skill, work: &[u32]) -> OpenJob {
    OpenJob {
        name: name.to_owned(),
        tell: format!("the customer of {name}"),
        pieces: work
            .iter()
            .map(|usual| WorkPiece {
                words: "work; parked whole".to_owned(),
                skill,
                minutes: minutes(*usual),
            })
            .collect(),
        check: Some(minutes(20)),
        awaits: Vec::new(),
        promised: None,
    }
}

fn awaited(what: &str, supplier: &str, due: Date) -> Awaited {
    Awaited { what: what.to_owned(), supplier: supplier.to_owned(), due }
}

/// Six independent deliveries of which nine in ten are on time are all on time in 53 of 100 cases, ten in 35: 0.9⁶ and
/// 0.9¹⁰.
#[test]
fn six_deliveries_that_are_mostly_on_time_are_rarely_all_on_time() {
    let shop = shop();
    let due = date(2026, 12, 1);
    let parts =
        |n: usize| (0..n).map(|at| awaited(&format!("part {at}"), "nobody knows", due)).collect::<Vec<_>>();
    // Without a record: nine of ten on time.
    assert_eq!(LeadRecord::default().by(0), 0.9);
    assert_eq!(format!("{:.2}", 0.9f64.powi(6)), "0.53");
    assert_eq!(format!("{:.2}", 0.9f64.powi(10)), "0.35");
    assert_eq!(all_here(&shop, &parts(6), TODAY, 0.53), due);
    assert!(all_here(&shop, &parts(6), TODAY, 0.54) > due);
    assert!(all_here(&shop, &parts(10), TODAY, 0.36) > due);
    assert_eq!(all_here(&shop, &[], TODAY, 0.99), TODAY);
}

fn days(shop: &Workshop, jobs: &[OpenJob]) -> Vec<Promise> {
    promises(shop, jobs, TODAY).into_iter().map(Result::unwrap).collect()
}

/// Nobody works on a closed day, when away, or beyond the hours less the share that is kept for who walks in.
fn keeps_hours(shop: &Workshop, promise: &Promise) {
    for piece in &promise.pieces {
        assert!(!shop.calendar.closed.contains(&piece.day), "{piece:?}");
        assert!(!matches!(piece.day.weekday(), Weekday::Sunday | Weekday::Monday), "{piece:?}");
        let person = shop.people.iter().find(|person| person.name == piece.person).unwrap();
        assert!(person.away.iter().all(|(first, last)| piece.day < *first || *last < piece.day), "{piece:?}");
        let closes = if piece.day.weekday() == Weekday::Saturday { 14 * 60 } else { 18 * 60 };
        assert!(9 * 60 <= piece.from && piece.from < piece.to && piece.to <= closes, "{piece:?}");
        // 18 % of nine hours less half an hour of pause are 91 minutes.
        assert!(piece.to <= closes - 45, "{piece:?}");
    }
    let (check, work) = promise.pieces.split_last().unwrap();
    assert!(work.iter().all(|piece| piece.person != check.person), "{promise:?}");
}

#[test]
fn the_jobs_of_the_built_in_shop_have_days_within_hours() {
    let shop = shop();
    for promise in days(&shop, &shop.open_jobs) {
        assert!(promise.planned <= promise.promised);
        keeps_hours(&shop, &promise);
    }
    assert!(broken(&shop.open_jobs, &promises(&shop, &shop.open_jobs, TODAY)).is_empty());
}

#[test]
fn a_job_longer_than_a_day_is_parked_between() {
    let shop = shop();
    let long = days(&shop, &[job("a long one", Skill::Specialist, &[900])]);
    assert!(long[0].pieces.len() >= 4, "{:?}", long[0].pieces);
    assert!(long[0].pieces[0].words.contains("finger-tight is noted"));
    keeps_hours(&shop, &long[0]);
}

#[test]
fn a_part_that_comes_later_breaks_promises_and_names_who_is_told() {
    let shop = shop();
    let mut jobs = shop.open_jobs.clone();
    let wheel = jobs.iter().position(|job| !job.awaits.is_empty()).unwrap();
    jobs[wheel].awaits[0].due = date(2026, 12, 18);
    let now = promises(&shop, &jobs, TODAY);
    let told = broken(&jobs, &now);
    assert_eq!(told.len(), 1);
    let words = told[0].to_string();
    assert!(
        words.starts_with(
            "tell the customer of hook 5, by message: hook 5: new rear wheel was promised for 2026-12-11"
        ),
        "{words}"
    );
    assert!(words.contains("rear wheel, due 2026-12-18"), "{words}");
}

#[test]
fn a_person_who_falls_ill_moves_days_and_never_forward() {
    let shop = shop();
    let jobs: Vec<OpenJob> =
        (0..8).map(|at| job(&format!("hook {at}"), Skill::Mechanic, &[120, 60])).collect();
    let well = days(&shop, &jobs);
    let mut ill = shop.clone();
    ill.people[1].away.push((TODAY, date(2026, 12, 31)));
    let mut promised = jobs.clone();
    for (job, day) in promised.iter_mut().zip(&well) {
        job.promised = Some(day.promised);
    }
    let now = promises(&ill, &promised, TODAY);
    assert!(!broken(&promised, &now).is_empty());
    let last = |days: &[Promise]| days.iter().map(|day| day.promised).max();
    let now: Vec<Promise> = now.into_iter().map(Result::unwrap).collect();
    assert!(last(&well) <= last(&now));
}

#[test]
fn what_has_no_day_says_why_and_the_others_have_theirs() {
    let mut shop = shop();
    shop.people.retain(|person| person.skill != Skill::Specialist);
    let mut past = job("hook 1", Skill::Mechanic, &[60]);
    past.awaits.push(awaited("chain", "catalogue", date(2026, 11, 20)));
    let jobs = [past, job("hook 2", Skill::Specialist, &[60]), job("hook 3", Skill::Mechanic, &[60])];
    let told: Vec<String> = promises(&shop, &jobs, TODAY)
        .into_iter()
        .map(|day| day.map_or_else(|why| why.to_string(), |day| day.job))
        .collect();
    assert_eq!(
        told[0],
        "hook 1: chain was due on 2026-11-20, which has gone by (today is 2026-11-25); ask the supplier for a new day"
    );
    assert_eq!(
        told[1],
        "hook 2: nobody who works here is a specialist or more, which `work; parked whole` takes"
    );
    assert_eq!(told[2], "hook 3");
}

#[test]
fn one_person_alone_has_no_second_check_unless_the_shop_says_next_morning() {
    let mut shop = shop();
    shop.people.truncate(1);
    let jobs = [job("hook 1", Skill::Mechanic, &[60])];
    let why = promises(&shop, &jobs, TODAY).pop().unwrap().unwrap_err();
    assert_eq!(why, PromiseError::NoSecondPerson("hook 1".to_owned()));
    shop.cold_check = true;
    let day = promises(&shop, &jobs, TODAY).pop().unwrap().unwrap();
    assert_eq!(day.pieces.len(), 2);
    assert!(day.pieces[0].day < day.pieces[1].day, "{day:?}");
    shop.people.clear();
    assert_eq!(promises(&shop, &jobs, TODAY).pop().unwrap(), Err(PromiseError::NeverOpen));
}

#[test]
fn more_work_than_days_is_told() {
    let shop = shop();
    let jobs: Vec<OpenJob> =
        (0..3).map(|at| job(&format!("hook {at}"), Skill::Specialist, &[2400; 9])).collect();
    let told = promises(&shop, &jobs, TODAY);
    assert!(told.iter().any(|day| matches!(day, Err(PromiseError::NoRoom { .. }))), "{told:?}");
}

fn any_jobs() -> impl Strategy<Value = Vec<OpenJob>> {
    let skill = prop::sample::select(vec![Skill::Learner, Skill::Mechanic, Skill::Specialist]);
    let one = (skill, prop::collection::vec(10..300u32, 1..4), 0..3usize, 0..20i64);
    prop::collection::vec(one, 1..12).prop_map(|all| {
        all.into_iter()
            .enumerate()
            .map(|(at, (skill, work, parts, due))| {
                let mut job = job(&format!("hook {at}"), skill, &work);
                let due = TODAY.saturating_add(jiff::Span::new().days(due));
                job.awaits = (0..parts).map(|part| awaited(&format!("part {part}"), "wheels", due)).collect();
                job
            })
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(40) })]

    #[test]
    fn a_promise_is_never_before_its_plan_and_the_same_jobs_give_the_same_days(jobs in any_jobs()) {
        let shop = shop();
        let first = promises(&shop, &jobs, TODAY);
        for (job, day) in jobs.iter().zip(first.iter().flatten()) {
            prop_assert!(day.planned <= day.promised);
            keeps_hours(&shop, day);
            let begins = day.pieces.first().unwrap().day;
            prop_assert!(job.awaits.iter().all(|part| part.due <= begins), "{:?}", day);
        }
        prop_assert_eq!(first, promises(&shop, &jobs, TODAY));
    }
}

/// Beside nobody a queue says what the plan of all jobs says; beside others the new one waits, and takes nobody's place.
#[test]
fn a_queue_gives_one_more_job_what_the_others_leave_free() {
    let shop = shop();
    let new = job("new", Skill::Specialist, &[200, 240, 90]);
    let alone = Queue::of(&shop, &[], TODAY);
    assert!(alone.is_empty());
    assert_eq!(alone.promise(&shop, &new), promises(&shop, std::slice::from_ref(&new), TODAY).pop().unwrap());
    let mut before = None;
    for waiting in [0, 6, 12, 24] {
        let jobs: Vec<OpenJob> =
            (0..waiting).map(|at| job(&format!("job {at}"), Skill::Mechanic, &[180, 240])).collect();
        let day = Queue::of(&shop, &jobs, TODAY).promise(&shop, &new).unwrap();
        assert!(day.promised >= day.planned);
        assert!(before.is_none_or(|before| day.promised >= before), "{waiting}: {}", day.promised);
        before = Some(day.promised);
    }
    assert!(before > Some(alone.promise(&shop, &new).unwrap().promised), "two dozen jobs move the day");
    let mut late = new;
    late.awaits = vec![awaited("cassette", "nobody knows", date(2026, 11, 1))];
    assert!(matches!(alone.promise(&shop, &late), Err(PromiseError::DueInThePast { .. })));
}
