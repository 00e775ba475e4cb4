//! What whoever knows the trade holds against a plan: sides, small parts, joints, bare
//! steel, orders that cannot be.

use serde_json::Value;

use super::{day, json};
use crate::support::Shop;

/// "Part, at" of each item of a list.
#[track_caller]
fn labels(list: &Value) -> Vec<String> {
    let list = list.as_array().expect("a list").iter();
    list.map(|item| match item["at"].as_str() {
        Some(at) => format!("{}, {at}", item["part"].as_str().expect("a part")),
        None => item["part"].as_str().expect("a part").to_owned(),
    })
    .collect()
}

/// The step of a part.
#[track_caller]
fn step<'v>(plan: &'v Value, wanted: &str) -> &'v Value {
    let names = labels(&plan["steps"]);
    let at = names.iter().position(|name| name == wanted);
    &plan["steps"][at.unwrap_or_else(|| panic!("{wanted} is none of {names:?}"))]
}

/// What a step waits for, in one text.
fn waits(plan: &Value, wanted: &str) -> String {
    step(plan, wanted)["waits"].to_string()
}

#[test]
fn what_is_on_the_left_waits_for_the_left() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "system: body\nstatus: removed\n",
        "## Control arm\n\n- at: upper left; upper right; lower left; lower right\n- stored: loft\n\n\
         ## Control arm\n\n- at: upper left; upper right\n- after: control arm, lower\n\n\
         ## Knuckle\n\n- at: left; right\n- after: control arm, lower\n- stored: loft\n",
    );
    let plan = json(&shop, &[]);
    for side in ["left", "right"] {
        let lower = format!("Control arm, lower {side}");
        let arm = step(&plan, &format!("Control arm, upper {side}"));
        assert_eq!(labels(&arm["before"]), [lower.as_str()]);
        let knuckle = step(&plan, &format!("Knuckle, {side}"));
        assert_eq!(labels(&knuckle["before"]), [lower]);
    }
}

#[test]
fn small_parts_come_in_the_reverse_of_how_they_came_off_and_once() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "system: body\nstatus: removed\n",
        "## Door handle\n\n- after: trim strip; escutcheon; split pin\n\n\
         ## Door card\n\n- after: door handle; trim strip\n\n\
         ## Lamp\n\n- at: left; right\n- after: rim\n- refit after: gasket ring; rubber ring\n\n\
         ## Bracket\n\n- after: split pin\n",
    );
    let plan = json(&shop, &[]);
    let small = |part: &str, when: &str| step(&plan, part)["small_parts"][when].clone();
    // The strip was in the way of both: it goes on when both are on, which the handle
    // is last.
    assert_eq!(
        small("Door handle", "then"),
        serde_json::json!(["split pin", "escutcheon", "trim strip"])
    );
    assert_eq!(small("Door card", "then"), serde_json::json!([]));
    // A pin is each part's own, and so is what is on each side.
    assert_eq!(small("Bracket", "then"), serde_json::json!(["split pin"]));
    for lamp in ["Lamp, left", "Lamp, right"] {
        assert_eq!(small(lamp, "then"), serde_json::json!(["rim"]), "{lamp}");
        assert_eq!(
            small(lamp, "first"),
            serde_json::json!(["gasket ring", "rubber ring"]),
            "{lamp}"
        );
    }
}

/// A knuckle that was separated from a joint, which stays on its arm.
fn knuckle(joint: &str) -> Shop {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "system: body\n",
        &format!(
            "## Knuckle, left\n\n- status: removed\n- after: ball joint\n\n\
             ## Arm, left\n\n- status: removed\n- after: knuckle\n\n\
             ## Ball joint, left\n\n- of: arm\n{joint}"
        ),
    );
    shop
}

#[test]
fn a_joint_that_is_only_separated_does_not_come_off() {
    let plan = json(&knuckle("- found: slack in it\n"), &[]);
    assert_eq!(plan["loops"], serde_json::json!([]));
    let connect = step(&plan, "Knuckle, left")["connect"].to_string();
    assert!(connect.contains("ball joint (knuckle, left)"), "{connect}");
    assert_eq!(
        step(&plan, "Knuckle, left")["before"],
        serde_json::json!([])
    );
    // Work on it holds up both parts that it joins.
    let plan = json(&knuckle("- needs: buy a ball joint\n"), &[]);
    for part in ["Knuckle, left", "Arm, left"] {
        assert!(waits(&plan, part).contains("ball joint"), "{plan}");
    }
    let blocking = plan["blocking"].as_array().expect("a list");
    let joint = blocking.iter().find(|one| one["part"] == "Ball joint");
    assert!(
        joint.expect("a blocker")["waiting"].as_u64() >= Some(2),
        "{plan}"
    );
    assert!(
        !joint.expect("a blocker")["open"]
            .to_string()
            .contains("surface")
    );
    // One that a record took off is a part like any other.
    let plan = json(&knuckle("- status: removed\n"), &[]);
    let before = labels(&step(&plan, "Knuckle, left")["before"]);
    assert_eq!(before, ["Ball joint, left"]);
}

#[test]
fn a_joint_on_the_vehicle_is_not_in_the_way() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "system: body\n",
        "## Ball joint, left\n\n- found: slack\n- needs: buy a ball joint\n\n\
         ## Knuckle, left\n\n- status: removed\n- after: ball joint; top nut\n",
    );
    let plan = json(&shop, &[]);
    let waits = waits(&plan, "Knuckle, left");
    assert!(
        waits.contains("ball joint, left: buy a ball joint"),
        "{waits}"
    );
    assert!(!waits.contains("off again"), "{waits}");
    assert_eq!(plan["blocking"][0]["part"], "Ball joint");
    assert_eq!(plan["blocking"][0]["waiting"], 1);
    day(&shop, 2, "", "## Ball joint, left\n\n- done: all\n");
    assert_eq!(labels(&json(&shop, &[])["tonight"]), ["Knuckle, left"]);
}

#[test]
fn an_order_that_the_other_record_contradicts_is_refused_and_said() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "",
        "## Drum\n\n- status: removed\n- after: wheel\n",
    );
    day(&shop, 2, "", "- removed: wheel\n");
    let plan = json(&shop, &[]);
    assert_eq!(step(&plan, "Drum")["before"], serde_json::json!([]));
    shop.run(["check"])
        .ends(1)
        .shows("Drum cannot have come off after wheel, which came off only on 2026-03-02");
    shop.run(["refit", "--step", "2"])
        .ends(0)
        .shows("order not taken: after");
    // On the same day, in whatever order it was written, it can be so.
    day(&shop, 2, "", "Nothing.\n");
    day(
        &shop,
        1,
        "",
        "## Drum\n\n- status: removed\n- after: wheel\n\n- removed: wheel\n\n## Wheel\n\n- status: removed\n",
    );
    assert_eq!(
        labels(&step(&json(&shop, &[]), "Drum")["before"]),
        ["Wheel"]
    );
    // What was said to be on, and never said to be off since, was on.
    day(&shop, 1, "", "- fitted: wheel\n");
    day(
        &shop,
        2,
        "",
        "## Drum\n\n- status: removed\n- after: wheel\n",
    );
    shop.run(["check"])
        .ends(1)
        .shows("after wheel, which had been on since 2026-03-01");
}

/// A seat and a horn that are off, and a floor of which this is said.
fn floor(words: &str) -> Shop {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "",
        &format!(
            "## Seat\n\n- status: removed\n- system: body\n\n\
             ## Lining\n\n- status: removed\n- system: fuel\n\n\
             ## Floor\n\n- system: body\n- surface: bare\n{words}"
        ),
    );
    shop
}

#[test]
fn everything_is_everything_and_a_slip_is_asked_about() {
    for (words, held) in [
        ("everything", ["Seat", "Lining"].as_slice()),
        ("Everything else", &["Seat", "Lining"]),
        ("everthing", &["Seat", "Lining"]),
        ("body", &["Seat"]),
        ("bodi", &["Seat"]),
        ("seats", &["Seat"]),
        ("saet", &["Seat"]),
        ("lining; seat", &["Seat", "Lining"]),
    ] {
        let shop = floor(&format!("- holds up: {words}\n"));
        let plan = json(&shop, &[]);
        for part in ["Seat", "Lining"] {
            let is_held = waits(&plan, part).contains("finish floor");
            assert_eq!(is_held, held.contains(&part), "{words}: {part}");
        }
        let slip = ["everthing", "bodi", "saet"].contains(&words);
        shop.run(["check"]).ends(i32::from(slip));
    }
    // What fits nothing is a problem, and until it is settled nothing is sure.
    let shop = floor("- holds up: spaceship fin\n");
    shop.run(["check"])
        .ends(1)
        .shows("no record names `spaceship fin`, and no system is called so");
    let plan = json(&shop, &[]);
    assert_eq!(labels(&plan["tonight"]), ["Lining"]);
    assert_eq!(labels(&plan["perhaps"]), ["Seat"]);
}

#[test]
fn nothing_is_offered_for_steel_that_is_bare() {
    let shop = floor("");
    let plan = json(&shop, &[]);
    assert_eq!(labels(&plan["tonight"]), ["Lining"]);
    assert_eq!(labels(&plan["perhaps"]), ["Seat"]);
    assert_eq!(plan["perhaps"][0]["same"], "surface");
    assert_eq!(plan["perhaps"][0]["after"]["part"], "Floor");
    shop.run(["check"])
        .ends(0)
        .shows("Floor is bare, and does not say what waits for it");
    shop.run(["refit", "--tonight"])
        .ends(0)
        .shows("floor is bare, and does not say what waits for it");
    day(&shop, 2, "", "- painted: floor\n");
    assert_eq!(labels(&json(&shop, &[])["tonight"]).len(), 2);
    // Where nobody knows what lies there, nothing is sure.
    day(&shop, 2, "", "- bare: some corner\n- painted: floor\n");
    assert_eq!(labels(&json(&shop, &[])["tonight"]), Vec::<String>::new());
}

#[test]
fn parts_of_one_side_are_not_in_each_others_way() {
    let shop = Shop::new();
    let apart = "- status: apart\n";
    day(
        &shop,
        1,
        "",
        &format!(
            "## Spring, left\n\n{apart}- system: brakes\n\n## Mirror, left\n\n- status: removed\n- system: body\n\n\
             ## Brake drum, left rear\n\n{apart}- system: brakes\n\n## Lamp, left rear\n\n- status: removed\n- system: fuel\n"
        ),
    );
    let plan = json(&shop, &[]);
    assert_eq!(
        labels(&plan["tonight"]),
        ["Lamp, left rear", "Mirror, left"]
    );
    // Wherever it was filed, what is at one wheel is.
    day(
        &shop,
        2,
        "",
        "## Half shaft, left rear\n\n- status: removed\n- system: fuel\n",
    );
    let plan = json(&shop, &[]);
    let perhaps = labels(&plan["perhaps"]);
    assert!(
        perhaps.contains(&"Half shaft, left rear".to_owned()),
        "{perhaps:?}"
    );
}

#[test]
fn a_step_stands_under_its_own_system() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "status: removed\n",
        "## Drum\n\n- system: brakes\n- after: cover\n\n## Hose\n\n- system: fuel\n- after: drum\n\n\
         ## Cover\n\n- system: brakes\n- stored: loft\n",
    );
    let words = shop.run(["refit"]).ends(0);
    let headings: Vec<&str> = words
        .out
        .lines()
        .filter(|line| line.starts_with(['b', 'f']))
        .collect();
    assert_eq!(headings, ["fuel, needed for brakes", "brakes"], "{words:?}");
}

#[test]
fn the_engine_under_a_system_of_its_name_is_a_part() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "system: engine\nstatus: removed\n",
        "## Engine\n\n- after: silencer\n- undone: lead, to regulator\n- hands: 2\n- hardware: 2 bolt M10, bag 6\n\n\
         ## Silencer\n\n- stored: loft\n",
    );
    let plan = json(&shop, &[]);
    assert_eq!(labels(&plan["steps"]), ["Engine", "Silencer"]);
    assert_eq!(step(&plan, "Engine")["hands"], 2);
    // With nothing but connections it is the system, as ever.
    day(
        &shop,
        1,
        "",
        "## Engine\n\n- undone: lead, to regulator\n- bag: 12\n",
    );
    assert_eq!(labels(&json(&shop, &[])["steps"]), ["lead"]);
}

#[test]
fn fitting_over_what_goes_in_first_is_said_when_it_is_typed() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "status: removed\n",
        "## Drum\n\n- after: wheel\n\n## Wheel\n\n- stored: loft\n",
    );
    shop.run(["keep"]).ends(0);
    let said = "Wheel is on, and Drum has to go in first (entries/2026/2026-03-01-work.md:11)";
    shop.run([
        "write",
        "--part",
        "wheel",
        "--status",
        "fitted",
        "--date",
        "2026-03-02",
    ])
    .ends(0)
    .shows(said);
    shop.run(["keep"]).ends(0).shows(said);
    shop.run(["check"]).ends(1).shows(said);
    // Once the drum is on as well, nothing is to be said.
    day(&shop, 3, "", "- fitted: drum\n");
    let kept = shop.run(["keep"]).ends(0);
    assert!(!kept.out.contains("has to go in first"), "{kept:?}");
    // And nothing where the drum came off again behind the wheel's back.
    day(&shop, 4, "", "- removed: drum\n");
    let kept = shop.run(["keep"]).ends(0);
    assert!(!kept.out.contains("has to go in first"), "{kept:?}");
}

#[test]
fn a_piece_that_was_not_in_the_way_is_put_after_nothing() {
    let bearing = "## Bearing\n\n- of: box\n- status: removed\n- after: engine\n\n";
    let engine = "## Engine block\n\n- status: removed\n\n## Engine\n\n- status: removed\n\n";
    let shop = Shop::new();
    day(&shop, 1, "system: body\n", &format!("{bearing}{engine}"));
    // What came off it before it came off itself goes on after it.
    day(&shop, 2, "system: body\n", "## Box\n\n- status: removed\n");
    let plan = json(&shop, &[]);
    assert!(labels(&step(&plan, "Box")["before"]).contains(&"Bearing".to_owned()));
    // Where the record of the box says what was in its way, the bearing was not.
    day(
        &shop,
        2,
        "system: body\n",
        "## Box\n\n- status: removed\n- after: engine\n",
    );
    let plan = json(&shop, &[]);
    assert_eq!(labels(&step(&plan, "Box")["before"]), ["Engine"]);
    assert_eq!(labels(&plan["bench"]), ["Bearing"]);
}

#[test]
fn a_piece_waits_for_an_assembly_that_is_not_there() {
    let shop = Shop::new();
    let pin = "## Pin\n\n- of: piston\n- found: like new\n\n";
    let piston = "## Piston\n\n- status: removed\n- system: body\n";
    day(
        &shop,
        1,
        "",
        &format!("{pin}{piston}- needs: buy a piston, twenty over\n"),
    );
    let plan = json(&shop, &[]);
    assert_eq!(labels(&plan["bench"]), Vec::<String>::new());
    assert!(
        waits(&plan, "Pin").contains("no piston to go into yet"),
        "{plan}"
    );
    day(
        &shop,
        1,
        "",
        &format!("{pin}{piston}- needs: buy two circlips\n"),
    );
    assert_eq!(labels(&json(&shop, &[])["bench"]), ["Pin"]);
}

#[test]
fn the_way_to_a_part_is_asked_in_the_same_words_as_the_part() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "status: removed\n",
        "## Headlamp\n\n- at: left; right\n- after: rim\n- stored: loft\n",
    );
    for words in [
        &["headlamp", "left"][..],
        &["left headlamp"],
        &["headlamp,", "left"],
    ] {
        let part = [&["part", "--json"], words].concat();
        shop.run(part).ends(0).shows("\"at\": \"left\"");
        let way = [&["refit", "--to"], words].concat();
        shop.run(way).ends(0).shows("Headlamp, left");
        let steps = json(&shop, &[&["--to"], words].concat())["steps"].clone();
        assert_eq!(labels(&steps), ["Headlamp, left"], "{words:?}");
    }
}

#[test]
fn every_list_that_offers_a_part_says_that_its_figure_is_missing() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "system: brakes\nstatus: removed\n",
        "## Cable clamp\n\n- status: removed\n- torque: hand tight\n\n\
         ## Caliper, left\n\n- after: wheel\n- hardware: 2 bolt M10, bag 1\n\n\
         ## Wheel, left\n\n- hardware: 4 wheel nut M12, bag 1\n\n\
         ## Drum, rear\n\n- stored: loft\n- torque: 20 N\u{b7}m, then 40 N\u{b7}m, then 90\u{b0}, sheet 4\n\n\
         ## Pedal box\n\n- stored: loft\n\n## Lever\n\n- of: pedal box\n- torque: hand tight, then 1/4 turn\n",
    );
    let missing = "the manual's figure is missing";
    let ask = "without one, ask someone licensed";
    for more in [
        &[][..],
        &["--tonight"],
        &["--to", "wheel", "left"],
        &["--step", "2"],
    ] {
        let words = shop.run([&["refit"], more].concat()).ends(0);
        words.shows(missing).shows(ask);
    }
    let plan = json(&shop, &[]);
    let offered = ["tonight", "then", "perhaps", "bench"].into_iter();
    let offered: Vec<&Value> = offered
        .flat_map(|list| plan[list].as_array().expect("a list"))
        .collect();
    assert!(offered.len() >= 3, "{plan}");
    for one in &offered {
        // "Hand tight" alone is no figure.
        let lacking = ["Caliper", "Wheel", "Pedal box", "Cable clamp"];
        let lacks = lacking.iter().any(|part| one["part"] == *part);
        assert_eq!(one["torque_missing"], lacks, "{one}");
    }
    for part in ["caliper", "cable clamp"] {
        shop.run(["part", part]).ends(0).shows(missing).shows(ask);
    }
    shop.run(["part", "cable clamp"]).shows("hand tight");
    // What is tightened after the figure is kept and said.
    let further = &step(&plan, "Drum, rear")["torque"][0]["further"];
    assert_eq!(
        *further,
        serde_json::json!(["40 N\u{b7}m (30 lbf\u{b7}ft)", "90\u{b0}"])
    );
    shop.run(["part", "drum"]).ends(0).shows(
        "20 N\u{b7}m (14.8 lbf\u{b7}ft), then 40 N\u{b7}m (30 lbf\u{b7}ft), then 90\u{b0}, sheet 4",
    );
    shop.run(["part", "lever"])
        .ends(0)
        .shows("hand tight, then 1/4 turn");
    shop.run(["torque", "3/8-16", "--for", "lever"])
        .ends(1)
        .shows("hand tight, then 1/4 turn");
    shop.run(["torque", "20 N\u{b7}m + 90\u{b0}"])
        .ends(0)
        .shows("then 90\u{b0}");
}
