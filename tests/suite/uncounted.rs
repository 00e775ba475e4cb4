//! Entries that no answer counts: each answer they are missing from says so.

use super::support::Shop;

const LINE: &str =
    "left out here, for want of a day or a vehicle: entries/2026/2026-01-02-tank.md (";

#[test]
fn every_answer_says_what_it_leaves_out() {
    let shop = Shop::new();
    let of = |vehicle: &str| {
        format!(
            "---\ndate: 2026-01-02\nvehicle: {vehicle}\nhours: 2\n---\n\n# The tank\n\n\
             ## Fuel tank\n\n- status: removed\n- hardware: 4 bolt, bag 3\n- needs: paint\n"
        )
    };
    let path = "entries/2026/2026-01-02-tank.md";
    shop.removed("entries/2026/2026-01-01-horn.md", "Horn", "It came off.");
    let verbs = [
        "needs",
        "bags",
        "refit",
        "replaced",
        "tally",
        "part",
        "part horn",
    ];
    shop.write(path, of("wen"));
    for verb in verbs {
        shop.run(verb.split(' ')).says(LINE);
    }
    // It still counts for a search, and for those who ask how texts changed.
    for verb in ["find tank", "check"] {
        let ran = shop.run(verb.split(' ')).shows("2026-01-02-tank.md");
        assert!(!ran.err.contains("left out"), "{verb}: {}", ran.err);
    }
    shop.write(path, of("wren"));
    for verb in verbs {
        let ran = shop.run(verb.split(' '));
        assert!(!ran.err.contains("left out"), "{verb}: {}", ran.err);
    }
}
