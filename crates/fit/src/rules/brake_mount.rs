//! Do the brakes go on the mounts of frame and fork?

use crate::ask::Ask;
use crate::build::When::After;
use crate::finding::{Act, Cure, Hazard, Verdict};
use crate::rule::{Checked, Coupling, Judgement, Rule, Warning};
use catalog::{BrakeMount, Dimension, Slot};

/// The rule.
pub static RULE: Rule = Rule {
    id: "brake-mount",
    title: "do the brakes go on the mounts of frame and fork?",
    coupling: Coupling::Stopping,
    hazard: Hazard::Rider,
    touches: &[Slot::Calipers],
    cured_by: &[Slot::Calipers],
    heals: None,
    silent_without: &[],
    sentence: "brakes and mounts must be of one kind, front and rear; a post-mount caliper goes on older tabs or a flat mount with a plate, a flat-mount caliper goes on nothing else",
    long: "A rim caliper on one bolt, arms on studs, a caliper on two posts 74 mm apart, on a flat seat, on two tabs \
           51 mm apart and a rim caliper on two bolts are six different brakes. Two plates of the trade cross over: \
           a post-mount caliper on tabs, and a post-mount caliper on a flat mount, one plate for each wheel and \
           rotor size. Nothing brings a flat-mount caliper to posts: it is lower than the plate would have to be.",
    source: "spacings of posts and tabs: a frame builder's page; plates: owner manuals; that nothing crosses the other way: common practice",
    caution: Some(Warning::Technician(
        "a brake that comes off its mount does not brake: screw lengths and torque of the caliper's leaflet, faces clean and square, and the leaflets of frame and fork win over any plate",
    )),
    check,
};

fn check(ask: &mut Ask<'_>) -> Checked {
    let caliper = ask.word::<BrakeMount>(After, Dimension::CaliperMount);
    let front = ask.word::<BrakeMount>(After, Dimension::MountFront);
    let rear = ask.word::<BrakeMount>(After, Dimension::MountRear);
    let (Some(caliper), Some(front), Some(rear)) = (caliper, front, rear) else { return Checked::CannotTell };
    let ends = [on(caliper, front), on(caliper, rear)];
    if ends.iter().all(|end| *end == On::Fits) {
        return Judgement::new(Verdict::Works).says("brakes and mounts are of one kind").done();
    }
    if ends.contains(&On::Never) {
        let mut judged = Judgement::new(Verdict::Fails);
        for (end, step) in ends.iter().zip([
            "the brake does not go on the mount of the fork",
            "the brake does not go on the rear mount",
        ]) {
            if *end == On::Never {
                judged = judged.says(step);
            }
        }
        if caliper == BrakeMount::DiscFlat {
            judged = judged.says("no plate brings a flat-mount caliper to another mount");
        }
        return judged.done();
    }
    let acts =
        ends.iter().filter_map(|end| if let On::Plate(id) = end { Some(Act::Small(id)) } else { None });
    let cure = Cure { acts: acts.collect(), ..Cure::by(Act::Work("fit the plate"), Verdict::Works) };
    Judgement::new(Verdict::Works)
        .says("a plate of the trade carries the post-mount caliper: one for each wheel and rotor size")
        .remedy(Verdict::Fails, cure)
        .done()
}

/// How a brake goes on a mount.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum On {
    Fits,
    Plate(&'static str),
    Never,
}

fn on(caliper: BrakeMount, mount: BrakeMount) -> On {
    match (caliper, mount) {
        (caliper, mount) if caliper == mount => On::Fits,
        (BrakeMount::DiscPost, BrakeMount::DiscTab51) => On::Plate("post-to-tab-plate"),
        (BrakeMount::DiscPost, BrakeMount::DiscFlat) => On::Plate("flat-plate"),
        _ => On::Never,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::{Bench, word};

    fn bench(caliper: &'static str, front: &'static str, rear: &'static str) -> Bench {
        Bench::of(&RULE)
            .chosen(Dimension::CaliperMount, word(caliper))
            .found(Dimension::MountFront, word(front))
            .found(Dimension::MountRear, word(rear))
    }

    #[test]
    fn one_kind_at_both_ends_works() {
        for mount in ["rim-bolt", "studs", "disc-post", "disc-flat", "disc-tab-51", "direct-rim"] {
            bench(mount, mount, mount).gives(Verdict::Works);
        }
    }

    #[test]
    fn no_plate_is_invented_for_a_flat_caliper_on_posts() {
        let finding = bench("disc-flat", "disc-post", "disc-post").gives(Verdict::Fails);
        assert!(finding.cures.is_empty() && finding.steps.len() == 3);
        bench("disc-flat", "disc-flat", "disc-post").gives(Verdict::Fails);
    }

    #[test]
    fn a_post_caliper_goes_on_tabs_and_on_a_flat_mount_with_a_plate() {
        let finding = bench("disc-post", "disc-post", "disc-tab-51").gives(Verdict::Remedy);
        assert_eq!(finding.cures[0].acts, [Act::Small("post-to-tab-plate")]);
        let finding = bench("disc-post", "disc-flat", "disc-flat").gives(Verdict::Remedy);
        assert_eq!(finding.cures[0].acts, [Act::Small("flat-plate"), Act::Small("flat-plate")]);
    }

    #[test]
    fn other_pairs_fail() {
        bench("rim-bolt", "direct-rim", "direct-rim").gives(Verdict::Fails);
        bench("disc-tab-51", "disc-post", "disc-post").gives(Verdict::Fails);
        bench("studs", "studs", "rim-bolt").gives(Verdict::Fails);
    }

    #[test]
    fn without_any_of_its_facts_nothing_can_be_told() {
        for dimension in [Dimension::CaliperMount, Dimension::MountFront, Dimension::MountRear] {
            let finding =
                bench("rim-bolt", "rim-bolt", "rim-bolt").without(dimension).gives(Verdict::Measure);
            assert_eq!(finding.missing[0].dimension, dimension);
        }
    }
}
