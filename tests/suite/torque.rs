//! `torque` from outside: figures, refusals, conversions, with a journal and
//! without.

use serde_json::Value;

use crate::support::{Ran, Shop};

fn json(ran: &Ran) -> Value {
    serde_json::from_str(&ran.out).unwrap_or_else(|error| panic!("{error}: {ran:#?}"))
}

#[test]
fn a_general_figure_says_what_it_is_and_what_it_is_not_for() {
    let shop = Shop::new();
    // Bolt torque guide (opened): 1/2-13 grade 5, 75 % of proof, K 0.20:
    // 9,050 lbf, 75 lbf·ft.
    let ran = shop.run(["torque", "1/2-13", "--grade", "5"]).ends(0);
    let ran = ran
        .shows("about 75 lbf·ft (102 N·m)")
        .shows("not your manual's");
    let ran = ran.shows("the service manual decides");
    let ran = ran.shows("Never for brakes, steering, suspension, wheels, restraints");
    ran.shows("A lubricated thread needs less torque")
        .shows("SAE J429")
        .shows("Shigley");
    let answer = json(
        &shop
            .run(["torque", "1/2-13", "--grade", "5", "--json"])
            .ends(0),
    );
    let figure = &answer["figures"][0];
    assert_eq!(answer["general"], true);
    assert_eq!(figure["torque"]["lbf_ft"], 75.4);
    assert_eq!(figure["clamp"]["lbf"], 9046.0);
    assert_eq!(figure["proof_stress"]["value"], 85_000);
}

#[test]
fn breaks_friction_and_share_count() {
    let shop = Shop::new();
    let stress = |thread: &str, grade: &str| {
        let ran = shop
            .run(["torque", thread, "--grade", grade, "--json"])
            .ends(0);
        json(&ran)["figures"][0]["proof_stress"]["value"].clone()
    };
    // SAE J429 and ISO 898-1: see handbook/strength.rs.
    assert_eq!(stress("3/4-10", "2"), 55_000);
    assert_eq!(stress("7/8-9", "2"), 33_000);
    assert_eq!(stress("1-8", "5"), 85_000);
    assert_eq!(stress("1-1/8-7", "5"), 74_000);
    assert_eq!(stress("M16", "8.8"), 580);
    assert_eq!(stress("M18", "8.8"), 600);
    let torque = |more: &[&str]| {
        let ran = shop.run([&["torque", "M10", "--class", "8.8", "--json"], more].concat());
        json(&ran.ends(0))["figures"][0]["torque"]["n_m"]
            .as_f64()
            .expect("a figure")
    };
    let usual = torque(&[]);
    let greased = torque(&["--friction", "lubricated"]);
    assert!((greased / usual - 0.9).abs() < 0.01, "{greased} {usual}");
    let gentle = torque(&["--share", "50%"]);
    assert!(
        (gentle / usual - 2.0 / 3.0).abs() < 0.01,
        "{gentle} {usual}"
    );
}

#[test]
fn it_refuses_for_what_a_life_hangs_on() {
    let shop = Shop::new();
    for about in [
        "brakes",
        "steering",
        "rear suspension",
        "wheels",
        "engine",
        "wheel nut",
        "seat belt",
        "king pin",
        "con rod",
    ] {
        let arguments = ["torque", "7/16-20", "--grade", "5", "--for", about];
        let ran = shop.run(arguments).ends(1).shows("no general figure");
        let ran = ran
            .shows("only the service manual's figure counts")
            .shows("shop manual 3-12");
        assert!(!ran.out.contains("55"), "{ran:#?}");
        let answer = json(&shop.run([&arguments[..], &["--json"]].concat()).ends(1));
        assert_eq!(answer["figures"], Value::Array(Vec::new()), "{about}");
        assert!(answer["refused"]["field"].is_string());
    }
    // Named with the thread itself.
    shop.run(["torque", "wheel nut 7/16-20 grade 5"])
        .ends(1)
        .shows("no general figure");
    // Away from any journal, too.
    let away = shop.around().to_owned();
    let ran = |about: &str| {
        let arguments = ["torque", "7/16-20", "--grade", "5", "--for", about];
        shop.command_in(&away, arguments)
            .output()
            .map(Ran::from)
            .expect("it runs")
    };
    ran("drag link").ends(1).shows("belongs to steering");
    ran("battery tray")
        .ends(1)
        .shows("without a journal nobody can tell");
}

#[test]
fn with_a_journal_it_knows_system_and_recorded_figure() {
    let shop = Shop::new();
    shop.write(
        "entries/2026/2026-03-14-on-and-off.md",
        "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# On and off\n\n\
         ## Plate, left\n\n- system: brakes\n- status: removed\n\
         - torque: 22,5 Nm, sheet 4\n\n\
         ## Tray\n\n- system: body\n- status: removed\n- torque: 12 ft lbs, book 9\n\n\
         ## Thing\n\n- status: removed\n",
    );
    let ran = |about: &str| shop.run(["torque", "3/8-16", "--grade", "5", "--for", about]);
    // The name alone would not show that it is of the brakes.
    ran("plate")
        .ends(1)
        .shows("22.5 N·m (16.6 lbf·ft), sheet 4")
        .shows("belongs to brakes");
    ran("tray")
        .ends(0)
        .shows("12 lbf·ft (16.3 N·m), book 9")
        .shows("goes before any general figure")
        .shows("about 31 lbf·ft");
    ran("thing").ends(1).shows("no record says to which system");
    ran("nonsense")
        .ends(1)
        .shows("no part or system is called `nonsense`");
    ran("body").ends(0).shows("about 31 lbf·ft");
    shop.run(["part", "tray"])
        .ends(0)
        .shows("torque: 12 lbf·ft (16.3 N·m), book 9");
}

#[test]
fn torques_in_other_units() {
    let shop = Shop::new();
    let away = shop.around().to_owned();
    let ran = |words: &[&str]| {
        let arguments = [&["torque"], words].concat();
        shop.command_in(&away, arguments)
            .output()
            .map(Ran::from)
            .expect("it runs")
    };
    ran(&["75-90", "ft-lb"])
        .ends(0)
        .shows("75-90 lbf·ft")
        .shows("= 101.7-122 N·m");
    ran(&["1", "kgf·m"])
        .ends(0)
        .shows("= 9.807 N·m")
        .shows("= 7.233 lbf·ft");
    ran(&["90-75 N·m"]).ends(2).says("runs backwards");
    ran(&["75"]).ends(2).says("names no unit");
    ran(&["tight"])
        .ends(2)
        .says("neither a thread nor a torque");
    ran(&["75 lb"]).ends(2).says("the units are lbf·ft");
}

#[test]
fn slips_in_the_question_are_named() {
    let shop = Shop::new();
    shop.run(["torque", "7/16-2O"])
        .ends(2)
        .says("did you mean 7/16-20?");
    shop.run(["torque", "3/8-61", "--grade", "5"])
        .ends(2)
        .says("3/8-16 UNC");
    shop.run(["torque", "7/16-20 UNC", "--grade", "5"])
        .ends(2)
        .says("is UNF");
    shop.run(["torque", "M8", "--grade", "5"])
        .ends(1)
        .shows("for inch threads");
    shop.run(["torque", "M42", "--class", "8.8"])
        .ends(1)
        .shows("M1.6 to M39 only");
    shop.run(["torque", "10-32", "--grade", "5"])
        .ends(1)
        .shows("1/4 in to 1-1/2 in only");
    shop.run(["torque", "7/16-20", "--grade", "bronze"])
        .ends(2)
        .says("is no grade");
    shop.run(["torque", "7/16-20", "--grade", "5", "--share", "150%"])
        .ends(2);
    shop.run(["torque"]).ends(2);
}

#[test]
fn a_wrong_vin_is_a_problem_and_a_short_one_is_none() {
    let shop = Shop::new();
    shop.write(
        "vehicles/wren.md",
        "---\nname: Wren\nvin: 1G4AH59H45G118314\n---\n",
    );
    shop.run(["check"])
        .ends(1)
        .shows("check digit")
        .shows("1G4AH59H45G118341");
    shop.write("vehicles/wren.md", "---\nname: Wren\nvin: BW57-0412\n---\n");
    shop.run(["check"]).ends(0);
    // One that was not built for North America need have no check digit: a note.
    for vin in ["WWWZZZ1JZ3W386752", "XF1BB0A0F1234567O"] {
        let text = format!("---\nname: Wren\nvin: {vin}\n---\n");
        shop.write("vehicles/wren.md", text);
        shop.run(["check"]).ends(0).shows(vin);
    }
}

#[test]
fn a_long_bolt_of_grade_2_says_as_what_it_counts() {
    let shop = Shop::new();
    shop.run(["torque", "1/2-13 x 7", "--grade", "2"])
        .ends(0)
        .shows("about 29 lbf·ft")
        .shows("it counts as grade 1 (SAE J429)");
    shop.run(["torque", "1/2-13 x 6", "--grade", "2"])
        .ends(0)
        .shows("about 49 lbf·ft");
    shop.run(["torque", "1/2-13 stud x 7", "--grade", "2"])
        .ends(0)
        .shows("about 49 lbf·ft");
}
