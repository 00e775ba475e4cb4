//! A part whose system nobody said has the usual one of its name, marked in every
//! answer that shows it; what somebody says always wins.

use super::support::Shop;

fn entry(front: &str, body: &str) -> String {
    format!("---\n{front}\nvehicle: wren\n---\n\n# An evening\n\n{body}")
}

const WIPER: &str = "## Wiper motor\n\n- status: removed\n- hardware: 2 bolt M6, bag 3\n- needs: new brushes\n- cost: 4.50 grease\n\n## Brake drum, left front\n\n- status: removed\n- replaced by: used\n";

#[test]
fn every_answer_marks_a_system_that_nobody_said() {
    let shop = Shop::new();
    shop.write(
        "entries/2026/2026-01-02-a.md",
        entry("date: 2026-01-02", WIPER),
    );
    let marked = "electrics, assumed";
    shop.run(["part"]).shows(marked).shows("brakes, assumed");
    shop.run(["part", "wiper motor"]).shows(marked);
    shop.run(["needs"]).shows(marked);
    shop.run(["tally", "--by", "system"]).shows(marked);
    shop.run(["replaced"]).shows("brakes, assumed");
    shop.run(["refit"]).shows("system assumed: Wiper motor");
    shop.run(["refit", "--step", "1"]).shows(", assumed");
    shop.run(["bags", "--system", "electrics"])
        .shows("Wiper motor");
    for verb in [&["part"][..], &["needs"], &["replaced"], &["refit"]] {
        let ran = shop.run(verb.iter().chain(&["--json"]));
        ran.shows("\"system_assumed\": true");
    }
}

#[test]
fn stated_beats_inherited_beats_assumed() {
    let horn = "## Wiper motor\n\n- needs: new brushes\n";
    let stated = "## Wiper motor\n\n- system: fuel\n- found: dusty\n";
    // What each entry says, in the order of days, and the system that counts then.
    let days = [
        (entry("date: 2026-01-02", horn), "electrics, assumed"),
        (entry("date: 2026-01-03\nsystem: body", horn), "body"),
        // An assumed one takes nothing back, nor does a second inherited one.
        (entry("date: 2026-01-04", horn), "body"),
        (entry("date: 2026-01-05\nsystem: brakes", horn), "body"),
        (entry("date: 2026-01-06", stated), "fuel"),
        (entry("date: 2026-01-07\nsystem: body", horn), "fuel"),
    ];
    let shop = Shop::new();
    for (number, (text, system)) in days.iter().enumerate() {
        shop.write(
            &format!("entries/2026/2026-01-0{}-x.md", number + 2),
            text.clone(),
        );
        // From what the index keeps, and folded from the texts.
        shop.run(["part", "wiper motor"])
            .shows(&format!("(wren, {system})"));
        let folded = ["part", "wiper motor", "--on", "2026-02-01"];
        shop.run(folded).shows(&format!("(wren, {system})"));
    }
}

#[test]
fn no_system_is_assumed_for_a_system_as_a_whole_nor_by_half_a_name() {
    let shop = Shop::new();
    let body = "## Brakes\n\n- needs: bleed\n\n## Wiper widget\n\n- needs: paint\n";
    shop.write(
        "entries/2026/2026-01-02-a.md",
        entry("date: 2026-01-02", body),
    );
    let ran = shop.run(["needs"]);
    assert!(!ran.out.contains("assumed"), "{}", ran.out);
}
