//! The wheel on paper, measured: distances in the drawing times its scale are those of the bike.

use crate::bench::{documents, measured};
use document::PlanDocument;
use sheet::drawings;

/// Millimetres of the bike for one of paper, in the wheel and in the cassette body beside it.
const SCALE: f64 = 2.5;
const LARGER: f64 = 2.0;

type Line = [f64; 4];

/// The straight lines of a thickness: from and to.
fn lines(svg: &str, width: &str) -> Vec<Line> {
    let tree = roxmltree::Document::parse(svg).unwrap();
    let of_width = |node: &roxmltree::Node<'_, '_>| {
        node.has_tag_name("line") && node.attribute("stroke-width") == Some(width)
    };
    let ends = |node: roxmltree::Node<'_, '_>| {
        ["x1", "y1", "x2", "y2"].map(|key| node.attribute(key).unwrap().parse::<f64>().unwrap())
    };
    tree.descendants().filter(of_width).map(ends).collect()
}

fn rear_wheel(plan: &PlanDocument) -> String {
    drawings::wheel(plan).svg().unwrap()
}

/// The file says: flanges 36 mm and 18 mm from the middle, circles of holes 45 mm, spoke ends on 602 mm, 32 spokes crossed
/// three times, 130 mm over the locknuts. A spoke has the length of the plan: three distances at right angles, of which the
/// picture shows two, by Pythagoras, less half of a hole of 2.4 to 2.6 mm in which its bend hangs.
#[test]
fn flanges_and_spokes_are_where_the_bike_has_them() {
    let (plan, _) = measured();
    let svg = rear_wheel(&plan);
    let laced = plan.geometry.wheel.value.as_ref().unwrap().before.as_ref().unwrap();
    let axle = lines(&svg, "1.4")[0];
    assert!(((axle[2] - axle[0]) * SCALE - 130.0).abs() < 0.1, "{axle:?}");
    let middle = (axle[0] + axle[2]) / 2.0;
    let flanges = lines(&svg, "1.6");
    let spokes = lines(&svg, "0.45");
    assert_eq!((flanges.len(), spokes.len()), (2, 2), "{svg}");
    let sides = [(-36.0, &laced.left), (18.0, &laced.right)];
    for ((flange, spoke), (from_middle, side)) in flanges.iter().zip(&spokes).zip(sides) {
        assert!(((flange[0] - middle) * SCALE - from_middle).abs() < 0.05, "{flange:?}");
        assert!(((flange[1] - flange[3]) * SCALE - 22.5).abs() < 0.05, "{flange:?}");
        assert!((spoke[0] - flange[0]).abs() < 1e-9 && (spoke[2] - middle).abs() < 0.01, "{spoke:?}");
        assert!(((axle[1] - spoke[3]) * SCALE - 301.0).abs() < 0.05, "{spoke:?}");
        // 16 spokes a side, three crossings: the hole lies three sixteenths of a turn from the end.
        let beside = 22.5 * (std::f64::consts::TAU * 3.0 / 16.0).sin();
        let (across, up) = ((spoke[2] - spoke[0]) * SCALE, (spoke[1] - spoke[3]) * SCALE);
        let length = (across * across + up * up + beside * beside).sqrt() - 1.25;
        assert!((length - side.length.value_mm).abs() < 0.1, "{length} {}", side.length.value_mm);
        assert!(svg.contains(&format!("{:.1} mm", side.length.value_mm)), "{svg}");
    }
}

/// Every cog stands where the plan has it beside the middle plane, and reaches to the circle of its pins: pitch over twice the
/// sine of half its angle (ISO 606).
#[test]
fn cogs_stand_beside_the_middle_plane_as_in_the_plan() {
    let (plan, _) = measured();
    let svg = rear_wheel(&plan);
    let axle = lines(&svg, "1.4")[0];
    let middle = (axle[0] + axle[2]) / 2.0;
    // The smallest is the outermost.
    let cogs = lines(&svg, "0.5");
    let at = plan.gears.after.cogs_at_mm.as_ref().unwrap();
    assert_eq!(cogs.len(), at.len());
    let teeth = [11.0, 12.0, 13.0, 14.0, 16.0, 18.0, 20.0, 22.0, 25.0, 28.0, 32.0];
    for ((cog, at), teeth) in cogs.iter().zip(at).zip(teeth) {
        assert!(((cog[0] - middle) * SCALE - at).abs() < 0.05, "{cog:?} {at}");
        let radius = 12.7 / (2.0 * (std::f64::consts::PI / teeth).sin());
        assert!(((axle[1] - cog[3]) * SCALE - radius).abs() < 0.05, "{teeth}: {cog:?}");
    }
}

/// Width of the rectangles of a fill, millimetres of the drawing; arrow heads have three corners.
fn widths(svg: &str, fill: &str) -> Vec<f64> {
    let tree = roxmltree::Document::parse(svg).unwrap();
    let of_fill = tree
        .descendants()
        .filter(|node| node.has_tag_name("polygon") && node.attribute("fill") == Some(fill));
    of_fill
        .map(|node| -> Vec<f64> {
            let xs: Vec<f64> = node
                .attribute("points")
                .unwrap()
                .split(' ')
                .map(|pair| pair.split_once(',').unwrap().0.parse().unwrap())
                .collect();
            xs
        })
        .filter(|xs| xs.len() == 4)
        .map(|xs| xs.iter().copied().fold(f64::MIN, f64::max) - xs.iter().copied().fold(f64::MAX, f64::min))
        .collect()
}

/// The body of the file is 36.9 mm long; what the cassette takes of it and what is left add up to it.
#[test]
fn the_body_and_the_cassette_on_it_are_to_scale() {
    let (plan, _) = measured();
    let svg = rear_wheel(&plan);
    let stack = plan.geometry.wheel.value.as_ref().unwrap().stack.as_ref().unwrap();
    assert!((widths(&svg, "#f0f2f4")[0] / LARGER - 36.9).abs() < 0.01);
    assert!((widths(&svg, "#d5d9de")[0] / LARGER - stack.takes.value_mm).abs() < 0.01);
    assert!((widths(&svg, "#0b4f8a")[0] / LARGER - stack.room.value_mm).abs() < 0.01, "{svg}");
}

/// A spacer is as wide as it is, and black.
#[test]
fn a_spacer_behind_the_cassette_is_to_scale() {
    let text = "name = \"spacer\"\n[bike.rear_wheel]\nspline = \"9-shallow\"\nbody_length = \"36.8 mm\"\n\
        [choice]\ncassette = \"cassette-9-12-25\"\n";
    let (plan, _) = documents("spacer.toml", text);
    let stack = plan.geometry.wheel.value.as_ref().and_then(|wheel| wheel.stack.as_ref()).unwrap();
    let spacer = stack.spacer_mm.unwrap();
    assert!(spacer > 0.5, "{spacer}");
    assert!((widths(&rear_wheel(&plan), "#1b1f23")[0] / LARGER - spacer).abs() < 0.01);
}

/// Nobody measured the flanges: the drawing names what is missing, the spokes are not drawn, and the job asks for none of it.
#[test]
fn unmeasured_flanges_are_named_and_not_drawn() {
    let text = include_str!("measured.toml");
    let bare: Vec<&str> = text.lines().filter(|line| !line.starts_with("flange_left")).collect();
    let (plan, _) = documents("bare-hub.toml", &bare.join("\n"));
    let wheel = plan.geometry.wheel.value.as_ref().unwrap();
    assert_eq!(wheel.open, ["middle plane to the left flange"]);
    let svg = rear_wheel(&plan);
    assert!(svg.contains("not measured") && svg.contains("middle plane to the left flange"), "{svg}");
    assert!(lines(&svg, "0.45").is_empty() && lines(&svg, "1.6").is_empty(), "{svg}");
    assert!(
        !plan.to_measure.iter().any(|row| row.what.contains("flange")),
        "a wheel that stays is not measured"
    );
}

/// Counts of which no wheel can be made leave the rest of the section as it is.
#[test]
fn counts_that_make_no_wheel_are_to_be_taken_again() {
    let text = include_str!("measured.toml").replace("spokes = 32", "spokes = 31");
    let (plan, _) = documents("odd-spokes.toml", &text);
    let wheel = plan.geometry.wheel.value.as_ref().unwrap();
    assert_eq!(wheel.open, ["spokes of the wheel", "crossings of a spoke"]);
    assert!(wheel.stack.is_some() && rear_wheel(&plan).contains("spokes of the wheel"));
}
