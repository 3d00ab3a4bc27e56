//! The shop's own torques and rules: read whole or refused with every mistake, judged beside the built-in rules.

#![expect(clippy::unwrap_used, reason = "a file that does not read stops the test")]

use catalog::Catalogue;
use fit::{OwnFinding, Plan, Verdict, plan, plan_with};
use intake::{OwnBook, Problems, Source, read_own_book, read_refit};

fn book(text: &str) -> Result<OwnBook, Problems> {
    read_own_book(&[Source { name: "own.toml", text }])
}

const SIGNED: &str = "by = 'head of the workshop'\non = '2026-11-20'\n";

fn rule(rest: &str) -> String {
    format!("[[rule]]\nid = 'our-rule'\nsays = 'no cog above 32 on our bonded frames'\n{SIGNED}{rest}\n")
}

const TORQUE: &str =
    "[[torque]]\nfastener = 'pedals'\nvalue = ['38 N·m', '40 N·m']\nwhy = 'two came loose'\n";

const BIKE: &str = "name = 'x'\n[bike.frame]\nmaterial = 'steel'\nhanger_bend = '3 ± 0.5 mm'\n\
    drive = 'mid-drive'\nlisted_cog = '32 printed'\n\
    [bike.rear_wheel]\nspoke_gap = '2.5 ± 0.1 mm'\n\
    [bike.cassette]\ncogs = [12, 14, 16, 18, 21, 24, 28]\noverhang = '0 mm printed'\n\
    [choice.cassette]\nname = 'wide'\ncogs = [11, 13, 15, 18, 21, 24, 34]\noverhang = '0 mm printed'\n";

fn judged(bike: &str, rules: &str) -> Plan {
    let catalogue = Catalogue::default();
    let refit = read_refit(Source { name: "bike.toml", text: bike }, &catalogue).unwrap();
    plan_with(&refit, &catalogue, &book(rules).unwrap().rules)
}

fn only(bike: &str, rules: &str) -> OwnFinding {
    let plan = judged(bike, rules);
    assert_eq!(plan.own.len(), 1, "{:?}", plan.own);
    plan.own[0].clone()
}

const LARGE_COG: &str = "verdict = 'fails'\ntouches = ['cassette']\nall = [{ of = 'frame.material', is = 'steel' }, \
    { of = 'cassette.cogs', largest = true, above = 32 }]";

#[test]
fn a_rule_that_holds_gives_its_verdict_and_the_plan_is_never_better() {
    let plan = judged(BIKE, &rule(LARGE_COG));
    assert_eq!((plan.own[0].verdict, plan.own[0].holds), (Verdict::Fails, Some(true)));
    assert!(plan.verdict >= Verdict::Fails);
    assert_eq!(
        fit::words::own_rule::own_source(&plan.own[0].rule),
        "the shop's own rule, head of the workshop, 2026-11-20"
    );
    let marginal = only(BIKE, &rule(&LARGE_COG.replace("fails", "marginal")));
    assert_eq!(marginal.verdict, Verdict::Marginal);
    let caution = only(BIKE, &rule(&LARGE_COG.replace("fails", "caution")));
    assert_eq!(caution.verdict, Verdict::Works);
    assert!(fit::words::own_rule::own_head(&caution).starts_with("caution: no cog above 32"));
}

#[test]
fn a_rule_that_does_not_hold_works_and_says_why() {
    let own = only(BIKE, &rule(&LARGE_COG.replace("above = 32", "above = 34")));
    assert_eq!((own.verdict, own.holds), (Verdict::Works, Some(false)));
    let lines = fit::words::own_rule::own_lines(&own).join("\n");
    assert!(lines.contains("the largest of cogs") && lines.contains("it does not here"), "{lines}");
}

#[test]
fn a_missing_measurement_in_a_condition_is_asked_for() {
    let bike = BIKE.replace("material = 'steel'\n", "");
    let own = only(&bike, &rule(LARGE_COG));
    assert_eq!((own.verdict, own.holds), (Verdict::Measure, None));
    assert_eq!(own.missing[0].dimension, catalog::Dimension::FrameMaterial);
    let plan = judged(&bike, &rule(LARGE_COG));
    let wanted = plan.to_measure.iter().find(|w| w.dimension == catalog::Dimension::FrameMaterial).unwrap();
    assert!(wanted.waits.iter().any(|rule| rule == "our-rule"));
    assert!(plan.verdict >= Verdict::Measure);
}

/// Each fact that decided is taken away in turn: the verdict waits, whatever it was.
#[test]
fn a_fact_that_decided_is_never_taken_away_in_silence() {
    let any = LARGE_COG.replace("all =", "any =");
    for rules in [
        LARGE_COG.to_owned(),
        any.clone(),
        any.replace("'steel'", "'titanium'"),
        LARGE_COG.replace("32", "34"),
    ] {
        let whole = judged(BIKE, &rule(&rules));
        for fact in &whole.own[0].facts {
            let taken =
                whole.build.with_reading(fact.slot, fact.origin, fact.dimension, quantity::Reading::NotTaken);
            let own = fit::judge_own(&book(&rule(&rules)).unwrap().rules, &taken, &[]);
            assert_eq!(own[0].verdict, Verdict::Measure, "{rules}: {:?}", fact.dimension);
        }
    }
}

#[test]
fn a_limit_inside_the_tolerance_is_measured_again_and_a_finer_reading_decides() {
    let bend = |side: &str| {
        rule(&format!("verdict = 'marginal'\nall = [{{ of = 'frame.hanger_bend', at = 'before', {side} }}]"))
    };
    for (side, verdict) in [
        ("above = '3.2 mm'", Verdict::Measure),
        ("below = '3.2 mm'", Verdict::Measure),
        ("at_most = '3.2 mm'", Verdict::Measure),
        ("at_least = '3.2 mm'", Verdict::Measure),
        ("above = '2 mm'", Verdict::Marginal),
        ("at_least = '2.5 mm'", Verdict::Marginal),
        ("at_most = '3.5 mm'", Verdict::Marginal),
        ("below = '2 mm'", Verdict::Works),
        ("above = '4 mm'", Verdict::Works),
    ] {
        assert_eq!(only(BIKE, &bend(side)).verdict, verdict, "{side}");
    }
}

#[test]
fn measure_first_takes_no_print_for_an_answer() {
    let first = rule(
        "verdict = 'measure'\nmeasure = 'cassette.overhang'\nall = [{ of = 'frame.material', is = 'steel' }]",
    );
    let own = only(BIKE, &first);
    assert_eq!(own.verdict, Verdict::Measure);
    assert_eq!(own.missing[0].dimension, catalog::Dimension::Overhang);
    let measured = BIKE.replace("'0 mm printed'", "'0 mm measured'");
    assert_eq!(only(&measured, &first).verdict, Verdict::Works);
    let unknown = BIKE.replace("overhang = '0 mm printed'\n", "");
    assert_eq!(only(&unknown, &first).verdict, Verdict::Measure);
}

#[test]
fn a_rule_speaks_only_where_the_refit_touches_its_parts() {
    let rules = rule(&LARGE_COG.replace("['cassette']", "['crankset']"));
    assert!(judged(BIKE, &rules).own.is_empty());
}

/// The one way to be milder: marginal counts as works for a named part, openly.
#[test]
fn an_override_clears_a_marginal_verdict_for_the_named_part_only() {
    let catalogue = Catalogue::default();
    let refit = read_refit(Source { name: "bike.toml", text: BIKE }, &catalogue).unwrap();
    let built_in = plan(&refit, &catalogue);
    let marginal = built_in.findings.iter().find(|f| f.verdict == Verdict::Marginal).unwrap().rule.id;
    let text = |id: &str, part: &str| {
        rule(&format!(
            "overrides = '{id}'\npart = '{part}'\nwhy = 'five ridden for two years'\nall = [{{ of = 'frame.material', is = 'steel' }}]"
        ))
    };
    let plan = judged(BIKE, &text(marginal, "wide"));
    assert_eq!(plan.own[0].overrides().unwrap().id, marginal);
    // What is built in stays where it is, and only its weight is gone.
    let stays = plan.findings.iter().find(|f| f.rule.id == marginal).unwrap();
    assert_eq!(stays.verdict, Verdict::Marginal);
    assert!(plan.verdict <= built_in.verdict);
    assert!(judged(BIKE, &text(marginal, "narrow")).own.is_empty());
    // Nothing else is made milder: not a failure, not a refusal, not what waits for a measurement.
    for finding in built_in.findings.iter().filter(|f| f.verdict != Verdict::Marginal) {
        let plan = judged(BIKE, &text(finding.rule.id, "wide"));
        assert!(plan.own.is_empty() && plan.verdict == built_in.verdict, "{}", finding.rule.id);
    }
}

#[test]
fn a_torque_is_read_with_name_and_date() {
    let own = book(&format!("{TORQUE}{SIGNED}")).unwrap().torques;
    assert_eq!((own[0].fastener.0, own[0].by.as_str()), ("pedals", "head of the workshop"));
    assert!((own[0].range.least.to_newton_metres() - 38.0).abs() < 1e-9);
    let single = book(&format!("{TORQUE}{SIGNED}").replace("['38 N·m', '40 N·m']", "'30 lbf ft'")).unwrap();
    // International pound and standard gravity: 30 × 1.355818 N·m.
    assert!((single.torques[0].range.most.to_newton_metres() - 40.674_54).abs() < 1e-4);
}

#[test]
fn what_is_wrong_with_an_own_torque_is_said() {
    let whole = format!("{TORQUE}{SIGNED}");
    for (from, to, what) in [
        ("by = 'head of the workshop'\n", "", "this own torque has no `by`"),
        ("on = '2026-11-20'\n", "", "this own torque has no `on`"),
        ("'pedals'", "'pedal'", "did you mean `pedals`?"),
        ("'38 N·m'", "'38'", "needs a unit"),
        ("'38 N·m'", "'380 N·m'", "outside 0.3 N·m to 120 N·m"),
        ("'38 N·m'", "'42 N·m'", "the first torque is above the second"),
        ("['38 N·m', '40 N·m']", "[]", "one or two are wanted"),
        ("['38 N·m', '40 N·m']", "38", "text in quotes is wanted"),
        ("2026-11-20", "2026-02-30", "no day of the calendar"),
        ("why =", "whyy =", "did you mean `why`?"),
        ("[[torque]]", "[[torqe]]", "did you mean `torque`?"),
    ] {
        let error = book(&whole.replace(from, to)).unwrap_err().to_string();
        assert!(error.contains(what), "{what:?} is not in\n{error}");
    }
    assert!(book(&format!("{whole}{whole}")).unwrap_err().to_string().contains("has an own torque already"));
}

#[test]
fn what_is_wrong_with_an_own_rule_is_said() {
    let whole = rule(LARGE_COG);
    for (from, to, what) in [
        ("'our-rule'", "'body-length'", "is the key of a built-in rule"),
        ("id = 'our-rule'\n", "", "this own rule has no `id`"),
        ("on = '2026-11-20'\n", "", "this own rule has no `on`"),
        ("'fails'", "'works'", "an own rule is stricter than the built-in ones"),
        ("'fails'", "'refused'", "is no verdict of an own rule"),
        ("'fails'", "'measure'", "this own rule has no `measure`"),
        ("'frame.material'", "'frame.materiel'", "did you mean `material`?"),
        ("'frame.material'", "'material'", "names no field of a part"),
        ("'frame.material'", "'fram.material'", "did you mean `frame`?"),
        ("is = 'steel'", "is = 'stel'", "did you mean `steel`?"),
        ("is = 'steel'", "above = 3", "is a word, not a number"),
        ("above = 32", "is = 'steel'", "is a number, not a word"),
        ("above = 32", "above = 'thirty'", "a whole number is wanted"),
        ("above = 32", "above = 320", "outside"),
        ("largest = true, ", "", "write `largest = true`"),
        ("largest = true", "largest = false", "`true` is wanted"),
        ("is = 'steel'", "is = 'steel', largest = true", "is no list"),
        ("above = 32", "above = 32, below = 40", "has 2 tests"),
        (", is = 'steel'", "", "has 0 tests"),
        ("of = 'frame.material'", "at = 'now', of = 'frame.material'", "is no state of a bike"),
        ("'cassette']", "'casette']", "did you mean `cassette`?"),
        ("all =", "al =", "did you mean `all`?"),
        ("verdict = 'fails'", "overrides = 'body-lenght'", "did you mean `body-length`?"),
        ("verdict = 'fails'", "overrides = 'body-length'", "this own rule has no `part`"),
        ("verdict = 'fails'", "overrides = 'body-length'", "this own rule has no `why`"),
        ("verdict = 'fails'", "verdict = 'fails'\noverrides = 'body-length'", "not both"),
        ("touches", "any = []\ntouches", "`all` or `any`, not both"),
    ] {
        let error = book(&whole.replace(from, to)).unwrap_err().to_string();
        assert!(error.contains(what), "{what:?} is not in\n{error}");
        assert!(error.contains("own.toml:"), "no place in\n{error}");
    }
    assert!(book(&format!("{whole}{whole}")).unwrap_err().to_string().contains("another own rule"));
}

#[test]
fn all_mistakes_of_a_book_come_at_once() {
    let text = rule("verdict = 'wrks'\nall = [{ of = 'frame.x', is = 'y' }, { of = 'z' }]")
        .replace("2026-11-20", "soon");
    assert_eq!(book(&text).unwrap_err().count(), 4, "{}", book(&text).unwrap_err());
}
