//! What records say of the order and of pieces, in the cases that are easily
//! read wrong: two sessions of a day, pieces of pieces, removals that say less
//! than the one before.

use serde_json::Value;

use crate::support::{Shop, json};

/// An entry of a day in March; `slug` sorts it among those of the day.
fn entry(shop: &Shop, day: u32, slug: &str, front: &str, body: &str) {
    shop.write(
        &format!("entries/2026/2026-03-{day:02}-{slug}.md"),
        format!("---\ndate: 2026-03-{day:02}\nvehicle: wren\n{front}---\n\n# Work\n\n{body}"),
    );
}

/// The parts of the steps, in their order.
#[track_caller]
fn steps(shop: &Shop) -> Vec<String> {
    parts(&json(shop, &["refit"])["steps"])
}

fn parts(list: &Value) -> Vec<String> {
    let list = list.as_array().expect("a list");
    let part = |item: &Value| item["part"].as_str().expect("a part").to_owned();
    list.iter().map(part).collect()
}

#[test]
fn of_two_sessions_of_a_day_the_later_came_last_whatever_the_files_are_called() {
    let shop = Shop::new();
    let electrics = "system: electrics\nstatus: removed\n";
    entry(
        &shop,
        1,
        "a",
        &format!("time: 20:00\n{electrics}"),
        "## Horn\n\n- stored: loft\n",
    );
    entry(
        &shop,
        1,
        "b",
        &format!("time: 08:00\n{electrics}"),
        "## Lamp\n\n- stored: loft\n",
    );
    // What came off last goes on first.
    assert_eq!(steps(&shop), ["Horn", "Lamp"]);
    entry(
        &shop,
        1,
        "a",
        &format!("time: 07:00\n{electrics}"),
        "## Horn\n\n- stored: loft\n",
    );
    assert_eq!(steps(&shop), ["Lamp", "Horn"]);
}

#[test]
fn a_piece_taken_out_in_the_evening_goes_in_before_what_came_off_in_the_morning() {
    let shop = Shop::new();
    let float = "## Float\n\n- of: carburettor\n- status: removed\n";
    let whole = "## Carburettor\n\n- status: removed\n";
    entry(&shop, 1, "a", "time: 20:00\n", float);
    entry(&shop, 1, "b", "time: 08:00\n", whole);
    assert_eq!(steps(&shop), ["Float", "Carburettor"]);
    // The other way round it came off the carburettor while that was on.
    entry(&shop, 1, "a", "time: 07:00\n", float);
    assert_eq!(steps(&shop), ["Carburettor", "Float"]);
}

#[test]
fn what_is_only_undone_still_carries_its_pieces() {
    let shop = Shop::new();
    entry(&shop, 1, "a", "", "## Carburettor\n\n- status: undone\n");
    entry(
        &shop,
        2,
        "a",
        "",
        "## Air horn\n\n- of: carburettor\n- status: removed\n",
    );
    entry(&shop, 3, "a", "", "## Carburettor\n\n- status: removed\n");
    assert_eq!(steps(&shop), ["Carburettor", "Air horn"]);
}

#[test]
fn a_removal_that_says_only_how_it_came_off_leaves_the_earlier_order() {
    let shop = Shop::new();
    let pipe = "## Pipe\n\n- status: removed\n";
    entry(
        &shop,
        1,
        "a",
        "",
        &format!("## Tank\n\n- status: removed\n- after: pipe\n\n{pipe}"),
    );
    entry(&shop, 2, "a", "", "- fitted: tank; pipe\n");
    entry(
        &shop,
        3,
        "a",
        "",
        &format!("## Tank\n\n- status: removed\n- off after: strap\n\n{pipe}"),
    );
    assert_eq!(steps(&shop), ["Tank", "Pipe"]);
    assert_eq!(json(&shop, &["refit"])["steps"][0]["known"], true);
    // One that says another order counts instead.
    entry(&shop, 4, "a", "", "- fitted: tank; pipe\n");
    entry(
        &shop,
        5,
        "a",
        "",
        &format!("## Tank\n\n- status: removed\n- refit after: pipe\n\n{pipe}"),
    );
    assert_eq!(steps(&shop), ["Pipe", "Tank"]);
}

#[test]
fn an_order_in_the_front_matter_above_the_name_is_one_of_its_record() {
    let shop = Shop::new();
    entry(
        &shop,
        1,
        "a",
        "",
        "## Tank\n\n- status: removed\n- after: strap\n\n- removed: pipe; strap\n",
    );
    entry(&shop, 2, "a", "", "- fitted: tank; pipe; strap\n");
    entry(
        &shop,
        3,
        "a",
        "after: pipe\npart: tank\nstatus: removed\n",
        "It is down.\n",
    );
    entry(&shop, 3, "b", "", "- removed: pipe\n");
    assert_eq!(steps(&shop), ["Tank", "pipe"]);
}

#[test]
fn an_area_holds_up_the_pieces_of_a_system_too() {
    let shop = Shop::new();
    entry(
        &shop,
        1,
        "a",
        "",
        "## Floor\n\n- surface: bare\n- holds up: trim\n\n\
         ## Seat\n\n- status: removed\n- system: trim\n\n\
         ## Seat rail\n\n- of: seat\n- status: removed\n\n\
         ## Rail catch\n\n- of: seat rail\n- status: removed\n\n\
         ## Horn\n\n- status: removed\n- system: electrics\n",
    );
    let plan = json(&shop, &["refit"]);
    let waiting: Vec<&Value> = plan["steps"]
        .as_array()
        .expect("steps")
        .iter()
        .filter(|step| step["waits"].to_string().contains("finish floor"))
        .collect();
    let mut held = parts(&serde_json::json!(waiting));
    held.sort();
    assert_eq!(held, ["Rail catch", "Seat", "Seat rail"]);
    for part in &held {
        let of_it = waiting.iter().find(|step| step["part"] == part.as_str());
        assert_eq!(of_it.expect("a step")["system"], "trim", "{part}");
    }
}

/// What `part`, `refit` and `bags` say of one place.
#[track_caller]
fn assert_follows(shop: &Shop, part: &str, status: &str, shelf: &str) {
    for more in [&[][..], &["--on", "2026-03-30"]] {
        let told = json(shop, &[&["part", part], more].concat());
        assert_eq!(told["status"], status, "{part} {more:?}: {told}");
        assert_eq!(told["stored"], shelf, "{part} {more:?}: {told}");
    }
    let plan = json(shop, &["refit"]);
    let steps = plan["steps"].as_array().expect("steps");
    let step = steps.iter().find(|step| {
        let at = step["at"].as_str().map(|at| format!(", {at}"));
        let label = format!(
            "{}{}",
            step["part"].as_str().unwrap_or_default(),
            at.unwrap_or_default()
        );
        label.eq_ignore_ascii_case(part)
    });
    let step = step.unwrap_or_else(|| panic!("{part} is no step of {plan}"));
    assert_eq!(step["stored"], shelf, "{part}");
}

#[test]
fn a_piece_stands_where_its_assembly_does_for_whoever_asks() {
    let shop = Shop::new();
    entry(
        &shop,
        1,
        "a",
        "",
        "## Carburettor\n\n- also: carb\n- status: removed\n- stored: rack 1\n\n\
         ## Jet\n\n- of: carb\n- found: clear\n\n\
         ## Jet screen\n\n- of: jet\n- found: torn\n\n\
         ## Lamp, left front\n\n- status: removed\n- stored: loft\n\n\
         ## Lens, left\n\n- of: lamp\n- found: cracked\n",
    );
    // By another name of the assembly, as a piece of a piece, in a wider corner.
    assert_follows(&shop, "jet", "removed", "rack 1");
    assert_follows(&shop, "jet screen", "removed", "rack 1");
    assert_follows(&shop, "lens, left", "removed", "loft");
}
