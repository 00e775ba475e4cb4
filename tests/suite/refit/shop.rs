//! The verb as a person asks it, on journals made up on the spot.

use serde_json::Value;

use super::{day, json};
use crate::support::{Ran, Shop};

/// "Part, at" of each item of a list.
fn names(value: &Value) -> Vec<String> {
    value
        .as_array()
        .expect("a list")
        .iter()
        .map(|item| match item["at"].as_str() {
            Some(at) => format!("{}, {at}", item["part"].as_str().expect("a part")),
            None => item["part"].as_str().expect("a part").to_owned(),
        })
        .collect()
}

/// A corner: wheel, drum, hub and backplate are off.
fn corner() -> Shop {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "system: brakes\nstatus: removed\n",
        "## Wheel, left front\n\n- hardware: 5 wheel nut 7/16-20, bag 1\n- torque: 75-90 lbf·ft, shop manual 3-12\n\n\
         ## Brake drum, left front\n\n- after: wheel\n- needs: have it turned, by 2026-03-09\n- stored: rack 2\n\n\
         ## Hub, left front\n\n- after: brake drum\n- hands: 2\n\n\
         ## Backplate, left front\n\n- after: hub\n- hardware: 4 bolt 3/8-24 x 1, bag 2; 1 cotter pin, new\n- undone: brake hose, to backplate\n",
    );
    shop
}

#[test]
fn an_empty_journal_has_nothing_to_put_back() {
    let shop = Shop::new();
    shop.run(["refit"]).ends(1).shows("nothing is off");
    let value = json(&shop, &[]);
    assert_eq!(names(&value["steps"]), Vec::<String>::new());
    shop.run(["refit", "--to", "horn"])
        .ends(1)
        .shows("no part is called `horn`");
    shop.run(["refit", "--step", "1"])
        .ends(1)
        .shows("nothing is off");
}

#[test]
fn a_corner_goes_back_from_the_inside() {
    let shop = corner();
    let value = json(&shop, &[]);
    assert_eq!(
        names(&value["steps"]),
        [
            "Backplate, left front",
            "Hub, left front",
            "Brake drum, left front",
            "Wheel, left front"
        ]
    );
    assert_eq!(names(&value["tonight"]), ["Backplate, left front"]);
    assert_eq!(names(&value["then"]), ["Hub, left front"]);
    let drum = &value["steps"][2];
    assert_eq!(drum["ready"], false);
    assert_eq!(drum["known"], true);
    assert_eq!(names(&drum["after"]), ["Hub, left front"]);
    assert_eq!(names(&drum["before"]), ["Wheel, left front"]);
    assert_eq!(drum["after"][0]["entry"], "entries/2026/2026-03-01-work.md");
    assert_eq!(drum["after"][0]["line"], 23);
    assert_eq!(
        value["steps"][0]["new"],
        serde_json::json!(["1 cotter pin"])
    );
    assert_eq!(value["steps"][0]["bags"], serde_json::json!(["2"]));
    assert_eq!(
        value["steps"][0]["connect"][0]["connect"],
        "brake hose to backplate"
    );
    assert_eq!(
        value["steps"][3]["torque"][0]["converted"][0],
        "102-122 N·m"
    );
    // The backplate is bolted on and nobody wrote how tight: no figure is made up.
    assert_eq!(value["steps"][0]["torque"], serde_json::json!([]));
    assert_eq!(value["steps"][0]["torque_missing"], true);
    assert_eq!(value["steps"][3]["torque_missing"], false);
    shop.run(["refit", "--step", "1"])
        .ends(0)
        .shows("torque: the manual's figure is missing");
    assert_eq!(value["blocking"][0]["part"], "Brake drum");
    assert_eq!(value["blocking"][0]["waiting"], 1);
    // Two people for the hub: nobody alone is told to lift it.
    shop.run(["refit", "--tonight"])
        .ends(0)
        .shows("2 Hub, left front");
    let alone = shop.run(["refit", "--tonight", "--alone"]).ends(0);
    assert!(!alone.out.contains("Hub, left front   "), "{alone:?}");
    shop.run(["refit"])
        .ends(0)
        .shows("1 waits for brake drum, left front: have it turned, by 2026-03-09,");
}

#[test]
fn a_part_that_is_on_too_early_has_to_come_off_again() {
    let shop = corner();
    day(&shop, 2, "", "## Hub, left front\n\n- status: fitted\n");
    let value = json(&shop, &[]);
    assert_eq!(names(&value["tonight"]), Vec::<String>::new());
    let waits = value["steps"][0]["waits"][0].as_str().expect("words");
    assert!(waits.contains("take hub, left front off again"), "{waits}");
    shop.run(["refit", "--step", "1"])
        .ends(0)
        .shows("before hub, left front, which is on, entries/2026/2026-03-01-work.md:28");
}

#[test]
fn a_loop_is_named_whole_and_the_rest_still_comes() {
    let shop = corner();
    day(
        &shop,
        2,
        "",
        "## Backplate, left front\n\n- refit after: wheel\n\n## Horn\n\n- status: removed\n- system: electrics\n",
    );
    let value = json(&shop, &[]);
    let found = value["loops"].as_array().expect("loops");
    assert_eq!(found.len(), 1);
    assert_eq!(
        names(&found[0]),
        [
            "Backplate, left front",
            "Hub, left front",
            "Brake drum, left front",
            "Wheel, left front"
        ]
    );
    let places: Vec<String> = found[0]
        .as_array()
        .expect("links")
        .iter()
        .map(|link| {
            format!(
                "{}:{}",
                link["entry"].as_str().expect("an entry"),
                link["line"]
            )
        })
        .collect();
    assert_eq!(
        places,
        [
            "entries/2026/2026-03-01-work.md:28",
            "entries/2026/2026-03-01-work.md:23",
            "entries/2026/2026-03-01-work.md:17",
            "entries/2026/2026-03-02-work.md:10",
        ]
    );
    assert_eq!(names(&value["steps"]), ["Horn"]);
    assert_eq!(names(&value["tonight"]), ["Horn"]);
    shop.run(["refit"])
        .ends(0)
        .shows("These records contradict each other")
        .shows("`refit after: wheel, left front` of backplate, left front, entries/2026/2026-03-02-work.md:10");
    // Mended, it is none.
    day(
        &shop,
        2,
        "",
        "## Horn\n\n- status: removed\n- system: electrics\n",
    );
    assert_eq!(json(&shop, &[])["loops"], serde_json::json!([]));
}

#[test]
fn a_later_removal_knows_better() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "",
        "## Tank\n\n- status: removed\n- after: pipe\n\n## Pipe\n\n- status: removed\n",
    );
    assert_eq!(names(&json(&shop, &[])["steps"]), ["Tank", "Pipe"]);
    day(&shop, 2, "", "- fitted: tank; pipe\n");
    day(
        &shop,
        3,
        "",
        "## Tank\n\n- status: removed\n- refit after: pipe\n\n## Pipe\n\n- status: removed\n",
    );
    let value = json(&shop, &[]);
    assert_eq!(names(&value["steps"]), ["Pipe", "Tank"]);
    assert_eq!(value["loops"], serde_json::json!([]));
    // And a removal that says nothing leaves that standing.
    day(&shop, 4, "", "- fitted: tank; pipe\n");
    day(&shop, 5, "", "- removed: pipe; tank\n");
    assert_eq!(names(&json(&shop, &[])["steps"]), ["Pipe", "Tank"]);
    // As it stood before it was known better.
    assert_eq!(
        names(&json(&shop, &["--on", "2026-03-01"])["steps"]),
        ["Tank", "Pipe"]
    );
}

#[test]
fn pieces_follow_their_assembly() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "system: fuel\n",
        "## Air horn\n\n- of: carburettor\n- status: removed\n\n\
         ## Carburettor\n\n- status: removed\n- stored: rack 1\n\n\
         ## Float\n\n- of: carburettor\n- status: removed\n\n\
         ## Jet\n\n- of: carburettor\n- found: clear\n",
    );
    let value = json(&shop, &[]);
    let steps = names(&value["steps"]);
    let at = |name: &str| steps.iter().position(|step| step == name);
    assert_eq!(steps.len(), 4, "{steps:?}");
    assert!(
        at("Carburettor") < at("Air horn"),
        "came off before it: {steps:?}"
    );
    assert!(
        at("Float") < at("Carburettor"),
        "was taken out of it: {steps:?}"
    );
    assert!(at("Jet") < at("Carburettor"), "never left it: {steps:?}");
    assert_eq!(
        value["steps"][at("Jet").expect("a step")]["stored"],
        "rack 1"
    );
    assert_eq!(names(&value["tonight"]), Vec::<String>::new());
    assert_eq!(names(&value["bench"]).len(), 2);
    assert_eq!(names(&value["then"]), ["Carburettor", "Air horn"]);
}

#[test]
fn what_is_gone_or_left_off_is_no_step_and_keeps_the_order_through_it() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "status: removed\n",
        "## Cover\n\n- stored: loft\n\n## Bracket\n\n- after: cover\n\n## Pump\n\n- after: bracket\n\n\
         ## Silencer\n\n- after: pipe\n\n## Pipe\n\n- stored: loft\n\n## Clamp\n\n- after: silencer\n",
    );
    day(&shop, 2, "", "- left off: bracket\n- scrapped: silencer\n");
    let value = json(&shop, &[]);
    let steps = names(&value["steps"]);
    let at = |name: &str| steps.iter().position(|step| step == name).expect("a step");
    assert!(at("Pump") < at("Cover"), "{steps:?}");
    assert!(at("Clamp") < at("Pipe"), "{steps:?}");
    assert_eq!(names(&value["blocked"]), ["Silencer"]);
    assert_eq!(value["blocked"][0]["waiting"], 1);
    let pipe = &value["steps"][at("Pipe")]["waits"];
    assert_eq!(pipe, &serde_json::json!(["first silencer"]));
    // Bought, it has a step.
    day(&shop, 3, "", "## Silencer\n\n- replaced by: reproduction\n");
    let value = json(&shop, &[]);
    assert_eq!(value["blocked"], serde_json::json!([]));
    assert_eq!(names(&value["steps"]).len(), 5);
    shop.run(["refit", "--to", "silencer"])
        .ends(0)
        .shows("fit: unit 2, reproduction");
}

#[test]
fn an_area_holds_up_a_system_until_it_is_painted() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "",
        "## Floor\n\n- surface: bare\n- holds up: trim\n- needs: weld the hole\n\n\
         ## Seat\n\n- status: removed\n- system: trim\n\n## Horn\n\n- status: removed\n- system: electrics\n",
    );
    let held = json(&shop, &[]);
    assert_eq!(names(&held["tonight"]), ["Horn"]);
    assert_eq!(held["blocking"][0]["part"], "Floor");
    assert_eq!(
        held["blocking"][0]["open"],
        "weld the hole; its surface is bare"
    );
    day(&shop, 2, "", "## Floor\n\n- surface: painted\n");
    assert_eq!(
        names(&json(&shop, &[])["tonight"]),
        ["Horn"],
        "the hole is still there"
    );
    day(&shop, 3, "", "## Floor\n\n- done: welded the hole\n");
    assert_eq!(names(&json(&shop, &[])["tonight"]), ["Horn", "Seat"]);
}

#[test]
fn both_sides_and_one_name() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "status: removed\nsystem: body\n",
        "## Door\n\n- at: left; right\n- after: hinge\n\n## Hinge\n\n- at: left; right\n- stored: loft\n",
    );
    let value = json(&shop, &["--to", "hinge, left"]);
    assert_eq!(names(&value["steps"]), ["Door, left", "Hinge, left"]);
    let value = json(&shop, &["--to", "hinge"]);
    assert_eq!(names(&value["steps"]).len(), 4);
    shop.run(["refit", "--to", "dor"]).ends(0).shows("Door");
    shop.run(["refit", "--to", "nonsense"])
        .ends(1)
        .shows("no part is called `nonsense`");
    assert!(json(&shop, &["--to", "nonsense"])["candidates"].is_array());
    shop.run(["refit", "--step", "9"])
        .ends(2)
        .says("there is no step 9");
    shop.run(["refit", "--step", "0"])
        .ends(2)
        .says("there is no step 0");
    shop.run(["refit", "--system", "nonsense"]).ends(2);
    shop.run(["refit", "--on", "soon"])
        .ends(2)
        .says("`soon` after --on is no day");
    day(&shop, 2, "", "- fitted: door, left\n");
    shop.run(["refit", "--to", "door, left"])
        .ends(0)
        .shows("Door, left is fitted: nothing to do");
}

#[test]
fn two_vehicles_have_a_plan_each() {
    let shop = corner();
    shop.write("vehicles/pavetta.md", "---\nname: Pavetta 125\n---\n");
    shop.write(
        "entries/2026/2026-03-20-scooter.md",
        "---\ndate: 2026-03-20\nvehicle: pavetta\n---\n\n# Scooter\n\n- removed: horn; Sitz für Zwei 🛵\n",
    );
    let value = json(&shop, &[]);
    assert_eq!(value["steps"].as_array().expect("steps").len(), 6);
    assert_eq!(value["steps"][0]["vehicle"], "pavetta");
    assert_eq!(value["steps"][2]["step"], 1);
    shop.run(["refit"])
        .ends(0)
        .shows("Pavetta 125, 2 steps")
        .shows("Sitz für Zwei 🛵")
        .shows("Wren, 4 steps: matchmark refit --vehicle wren");
    let value = json(&shop, &["--vehicle", "wren"]);
    assert_eq!(value["steps"].as_array().expect("steps").len(), 4);
}

#[test]
fn a_connection_is_made_when_both_ends_are_on() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "status: removed\n",
        "## Sender\n\n- undone: lead, to loom\n- system: fuel\n\n## Loom\n\n- system: electrics\n- stored: loft\n",
    );
    let value = json(&shop, &[]);
    let connects = |value: &Value, part: &str| -> usize {
        let steps = value["steps"].as_array().expect("steps");
        let step = steps
            .iter()
            .find(|step| step["part"] == part)
            .expect("a step");
        step["connect"].as_array().expect("a list").len()
    };
    // Fuel goes on before electrics: the loom comes last.
    assert_eq!(
        (connects(&value, "Sender"), connects(&value, "Loom")),
        (0, 1)
    );
    day(&shop, 2, "", "- fitted: sender\n");
    assert_eq!(
        connects(&json(&shop, &[]), "Loom"),
        1,
        "there was no loom to connect it to"
    );
    day(
        &shop,
        3,
        "",
        "- fitted: loom\n- undone: earth wire, to inner wing\n",
    );
    let value = json(&shop, &[]);
    assert_eq!(names(&value["steps"]), ["earth wire"]);
    assert_eq!(value["steps"][0]["connect"][0]["to"], "wing, inner");
}

#[test]
fn a_checklist_is_a_page_and_never_written_over_anything_else() {
    let shop = corner();
    shop.write("plan.html", "mine");
    shop.run(["refit", "--as", "page", "--into", "plan.html"])
        .ends(2)
        .says("nothing was written");
    assert_eq!(shop.read("plan.html"), "mine");
    shop.run(["refit", "--as", "page", "--into", "list.html"])
        .ends(0)
        .shows("4 steps, written to");
    let page = shop.read("list.html");
    assert_eq!(page.matches("<li>").count(), 4);
    assert!(page.contains("class=\"box\"") && page.contains("75-90 lbf·ft (102-122 N·m)"));
    day(
        &shop,
        2,
        "",
        "## <script>alert(1)</script>\n\n- status: removed\n- caution: <b onclick=x>hot</b>\n",
    );
    shop.run(["refit", "--as", "page", "--into", "list.html"])
        .ends(0);
    let page = shop.read("list.html");
    assert!(
        !page.contains("<script") && !page.contains("<b onclick"),
        "{page}"
    );
}

#[test]
fn odd_texts_do_no_harm() {
    let shop = Shop::new();
    day(
        &shop,
        1,
        "status: removed\n",
        "## Horn\n\n- status: removed\n- after: horn\n- of: horn\n- holds up: horn\n- undone: horn, to horn\n- refit after: \u{1b}[2Jx\n",
    );
    let ran: Ran = shop.run(["refit"]).ends(0);
    assert!(!ran.out.contains('\u{1b}'), "{ran:?}");
    let value = json(&shop, &[]);
    assert_eq!(names(&value["steps"]), ["Horn"]);
    let horn = &value["steps"][0];
    // It waits for nothing of itself; the odd name stands as it can be shown.
    assert_eq!(
        (&horn["waits"], &horn["known"]),
        (&serde_json::json!([]), &Value::Bool(true))
    );
    assert_eq!(
        horn["small_parts"]["first"].as_array().map(Vec::len),
        Some(1)
    );
    assert_eq!(horn["connect"][0]["connect"], "horn to horn");
    day(
        &shop,
        2,
        "",
        "## Horn\n\n- of: bracket\n\n## Bracket\n\n- of: horn\n",
    );
    // Each is somewhere, and only once.
    let value = json(&shop, &[]);
    let mut all = [names(&value["steps"]), names(&value["blocked"])].concat();
    for found in value["loops"].as_array().expect("loops") {
        all.extend(names(found));
    }
    all.sort();
    assert_eq!(all, ["Bracket", "Horn"], "{value}");
}
