//! Finding a fault at the stand: one page a part that troubles.

use super::Shop;
use axum::http::StatusCode;

/// A job of the invented shop in work: two rings, rim brakes.
const JOB: &str = "A-5";

#[tokio::test]
async fn a_derailleur_slow_to_every_larger_cog_is_slack_and_limits_come_first() {
    let shop = Shop::demo();
    let mut hazel = shop.as_person("Hazel");
    let slow: String = (2..=11).map(|gear| format!("l{gear}=slow&s{}=clean&", gear - 1)).collect();
    let page = hazel.get(&format!("/jobs/{JOB}/fault?{slow}")).await;
    assert_eq!(page.status, StatusCode::OK);
    let first = page.between("<tbody>", "</tr>");
    assert!(first.contains("cable too slack"), "{first}");
    assert!(page.text().contains("the limits must hold the chain before the tension is changed"));
    // Turned clicks: the grid goes to the earlier ones, the next begins empty, what was looked at stays.
    let next = hazel.get(&format!("/jobs/{JOB}/fault?{slow}clicks=0&high=right&low=right&next=yes")).await;
    assert_eq!(next.status, StatusCode::SEE_OTHER);
    let to = next.header("location").to_owned();
    assert!(to.contains("grid=0%3Bnn%3B") && to.contains("high=right"), "{to}");
    let page = hazel.get(&to).await;
    assert!(page.text().contains("A grid was taken as it was found."));
    assert!(
        page.text().contains("add one click at a time"),
        "{}",
        page.between("id=\"answer\"", "</section>")
    );
    let nonsense = hazel.get(&format!("/jobs/{JOB}/fault?grid=x&clicks=900&l2=%22%3E")).await;
    assert_eq!(nonsense.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn counted_click_windows_stand_in_the_answer_and_in_what_is_recorded() {
    let shop = Shop::demo();
    let wide = answer(&shop, "?l3=clean&w1=3&u1=3&v1=2").await;
    // Centre (3 - 2) / 2, width 3 + 2.
    assert!(wide.contains("Click window, gear 3: centre 0.5, width 5 clicks."), "{wide}");
    assert!(
        wide.contains("; click window, gear 3: centre 0.5, width 5 clicks\"") && !wide.contains("comes back")
    );
    assert!(answer(&shop, "?l3=clean&w1=3&u1=1&v1=1").await.contains("So narrow a window comes back"));
}

#[tokio::test]
async fn what_shows_on_the_road_alone_is_sent_to_the_road() {
    let shop = Shop::demo();
    let clean: String = (1..=11).map(|gear| format!("l{gear}=clean&s{gear}=clean&n{gear}=quiet&")).collect();
    // It was found slow to the larger cogs; four clicks cured it, and what may give way is sound.
    let clean = format!(
        "grid=0;nn;{}&clicks=4&play=none&teeth=sound&drag=free&hanger=straight&{clean}",
        ["scq"; 11].join(",")
    );
    let done = answer(&shop, &format!("?{clean}high=right&low=right")).await;
    assert!(done.contains("count the click window"), "{done}");
    let road = answer(&shop, &format!("?{clean}high=right&low=right&history=worse-on-road")).await;
    assert!(
        road.contains("load it: wheel braked by hand") && road.contains("it was not here that it was bad"),
        "{road}"
    );
}

/// The answer on a page.
async fn answer(shop: &Shop, path: &str) -> String {
    let page = shop.as_person("Hazel").get(&format!("/jobs/{JOB}/fault{path}")).await;
    assert_eq!(page.status, StatusCode::OK, "{path}: {}", page.text());
    page.between("id=\"answer\"", "</section>")
}

#[tokio::test]
async fn every_part_that_troubles_is_offered_and_what_the_bike_has_comes_first() {
    let shop = Shop::demo();
    let page = shop.as_person("Hazel").get(&format!("/jobs/{JOB}/fault")).await;
    let offered = page.between("Which part troubles?", "</nav>");
    let places: Vec<usize> = ["Rear derailleur", "Front derailleur", "A brake", "A noise"]
        .iter()
        .map(|words| offered.find(words).unwrap_or_else(|| panic!("{words} in {offered}")))
        .collect();
    assert!(places.is_sorted(), "{offered}");
    let brake = shop.as_person("Hazel").get(&format!("/jobs/{JOB}/fault/brake")).await;
    assert!(brake.text().contains("name=\"kind\" value=\"rim-brake\""), "the plan has rim brakes");
    assert!(brake.text().contains("As the plan has it."));
    assert!(!brake.text().contains("better after pumping"), "no fluid in it");
    let other = shop.as_person("Hazel").get(&format!("/jobs/{JOB}/fault/brake?kind=fluid-disc-brake")).await;
    assert!(
        other.text().contains("better after pumping") && other.text().contains("The plan has another kind")
    );
}

#[tokio::test]
async fn a_front_derailleur_is_answered_by_its_symptoms() {
    let shop = Shop::demo();
    assert!(answer(&shop, "/front").await.contains("nothing that it shows is known yet"));
    let tail = answer(&shop, "/front?rubs-at-the-tail=yes&slow-up=no").await;
    assert!(tail.contains("angle of the cage") && tail.contains("likely"), "{tail}");
    assert!(tail.contains("Because ") && tail.contains("what the maker of a part prints wins"));
    assert!(!tail.contains("not ridden"));
    let touches = answer(&shop, "/front?touches-tyre-or-crank=yes").await;
    assert!(touches.contains("This bike is not ridden before it is mended."));
    let others = "slow-up=no&rubs-inner-plate=no&rubs-outer-plate=no&rubs-at-the-tail=no&drops-inward=no&over-the-outside=no&heavy-lever=no";
    let bent = answer(&shop, &format!("/front?rubs-once-a-turn=yes&{others}")).await;
    assert!(bent.contains("Stop adjusting") && bent.contains("see to this: ring or spider bent"), "{bent}");
    // Eight millimetres of travel over a gap of 7.3 are 0.8 too little; with ten they are enough.
    let short = answer(&shop, "/front?slow-up=yes&travel=8&gap=7.3").await;
    assert!(short.contains("0.8 mm too little") && short.contains("Stop adjusting"), "{short}");
    assert!(!answer(&shop, "/front?slow-up=yes&travel=10&gap=7.3").await.contains("too little"));
    let refused = shop.as_person("Hazel").get(&format!("/jobs/{JOB}/fault/front?travel=900&gap=7")).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text().contains("0 to 40 mm are wanted"));
}

#[tokio::test]
async fn a_brake_is_answered_and_the_answer_goes_into_the_record() {
    let shop = Shop::demo();
    let soft = "kind=fluid-disc-brake&end=rear&soft=yes&lever-to-the-bar=yes";
    let air = answer(&shop, &format!("/brake?{soft}")).await;
    assert!(air.contains("see to this: air in the fluid: bleed"), "{air}");
    assert!(
        air.contains("This bike is not ridden before it is mended.")
            && air.contains("fluids are never mixed")
    );
    let squeal = answer(&shop, "/brake?squeals=yes").await;
    assert!(squeal.contains("look whether: ") && squeal.contains("toe: "), "{squeal}");
    let mut hazel = shop.as_person("Hazel");
    let page = hazel.get(&format!("/jobs/{JOB}/fault/brake?{soft}")).await;
    let words = page.between("name=\"words\" value=\"", "\"").to_owned();
    assert!(words.starts_with("Fault of the rear disc brake by fluid: air"), "{words}");
    hazel.does(JOB, "noted", &[("words", &words), ("back", "/jobs/A-5/fault/brake")]).await;
    assert!(hazel.get(&format!("/jobs/{JOB}/record")).await.text().contains(&words));
    // What nobody looked at, and nonsense, is an empty page and no fault.
    assert!(answer(&shop, "/brake?kind=coaster&squeals=perhaps").await.contains("nothing that it shows"));
}

#[tokio::test]
async fn a_noise_is_told_by_its_taps_in_this_gear() {
    let shop = Shop::demo();
    let crank: String = (0..9).map(|turn| format!("{}.000+", turn)).collect();
    // 108 pitches round a ring of 50: a link ticks every 2.16 turns.
    let tick: String = (0..4).map(|tick| format!("{:.3}+", 0.3 + 2.16 * f64::from(tick))).collect();
    let taps = format!("crank={}&tick={}", crank.trim_end_matches('+'), tick.trim_end_matches('+'));
    let link = answer(&shop, &format!("/noise?comes=pedalling&chain=108&ring=50&cog=17&{taps}")).await;
    assert!(link.contains("every 2.16 ±") && link.contains("link of the chain"), "{link}");
    assert!(
        link.contains("stiff or half-joined link") && link.contains("What the maker of a part prints wins")
    );
    // Cassette and crank tick together in 34 x 34: another gear is asked for.
    let tied = answer(&shop, "/noise?ring=34&cog=34&turns=1&give=0.05").await;
    assert!(tied.contains("count again in ") && tied.contains("tick together in this gear"), "{tied}");
    assert!(answer(&shop, "/noise?crank=1+2&tick=1").await.contains("at least 3 are wanted"));
    assert!(answer(&shop, "/noise").await.contains("tap along"));
    let rolling = answer(&shop, "/noise?comes=rolling").await;
    assert!(rolling.contains("hub, spoke, brake or tyre"), "{rolling}");
    for nonsense in ["crank=1+x", "ring=900", "turns=-1", "chain=0"] {
        let page = shop.as_person("Hazel").get(&format!("/jobs/{JOB}/fault/noise?{nonsense}")).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{nonsense}");
    }
    let seconds = ["1"; 401].join("+");
    let many = shop.as_person("Hazel").get(&format!("/jobs/{JOB}/fault/noise?crank={seconds}")).await;
    assert_eq!(many.status, StatusCode::UNPROCESSABLE_ENTITY);
}
