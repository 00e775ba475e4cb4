//! Episodes: where they lie, and how they leave when a person has edited them.

use super::{demo, json, text};

#[test]
fn an_episode_in_a_folder_of_its_own_counts() {
    let shop = demo();
    let one = "entries/2025/2025-03-14-the-tank-comes-down.md, Fuel tank";
    shop.write(
        "episodes/2025/spring/04-tank.md",
        format!("---\nnumber: 4\ntold:\n  - {one}\n---\n\n## The tank\n\nIt came down and went up again, and that took all of the summer and a good part of the one after it, as these things do when one is alone and it rains.\n"),
    );
    let draft = json(&shop, &["recap", "--system", "fuel"]);
    let told = draft["told"].as_array().expect("names");
    assert!(
        !told.is_empty() && told.iter().all(|name| text(name) != one),
        "{draft}"
    );
    shop.run(["recap"]).ends(0).shows("number: 5");
    shop.run(["recap", "--episode", "4", "--as", "marks"])
        .ends(0)
        .shows("0:00 The tank");
    // What is wrong with it is found.
    shop.write(
        "episodes/2025/05-b.md",
        "---\nnumber: 4\ntold:\n  - entries/none.md\n---\n",
    );
    shop.run(["check"])
        .shows("episodes/2025/05-b.md is episode 4 as well")
        .shows("it tells `entries/none.md`, which no entry has");
}
