//! Episodes: where they lie, and how they leave when a person has edited them.

use std::fs;

use super::{demo, json, text};
use crate::support::{Shop, TINY_PNG};

#[test]
fn an_episode_in_a_folder_of_its_own_counts() {
    let shop = demo();
    let one = "entries/2025/2025-03-14-the-tank-comes-down.md, Fuel tank";
    shop.write(
        "episodes/2025/spring/04-tank.md",
        format!("---\nnumber: 4\ntold:\n  - {one}\n---\n\n## The tank\n\nIt came down and went up again, and that took all of the summer and a good part of the one after it, as these things do when one is alone and it rains.\n"),
    );
    let draft = json(&shop, &["recap", "--vehicle", "wren", "--system", "fuel"]);
    let told = draft["told"].as_array().expect("names");
    assert!(
        !told.is_empty() && told.iter().all(|name| text(name) != one),
        "{draft}"
    );
    shop.run(["recap", "--vehicle", "wren"])
        .ends(0)
        .shows("number: 5");
    shop.run(["recap", "--episode", "4", "--as", "chapter-list"])
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

/// What people write into an episode once it is theirs.
const MINE: &str = "---\nnumber: 1\ntitle: Mine\nvehicle: wren\ntold:\n  - entries/2026/2026-03-14-tank.md\n---\n\n\
    # Mine\n\nBefore all chapters.\n\n\
    ## The tank\n\n### How it came down\n\n\
    I *really* asked [the forum](https://example.org/tank?a=1&b=2), and [this](javascript:alert(1)) they said.[^mine]\n\
    Drafted words.[^1]<!-- central 3 of 100 -->\n\n\
    | bolt | torque |\n|---|---|\n| strap | `20` [see](https://example.org/t) |\n\n\
    3. first\n4. second <script>alert(2)</script>\n\n\
    > quoted words\n\n![my tank](../photos/tank.png)\n\n\
    ## In numbers\n\nAll of it is in [my table](https://example.org/table).\n\n\
    [^1]: 2026-03-14, entries/2026/2026-03-14-tank.md:9\n\
    [^mine]: Thanks to *all of them*[^mine].\n\n    Twice.\n";

#[test]
fn what_a_person_wrote_is_kept() {
    let shop = Shop::new();
    shop.write("photos/tank.png", TINY_PNG);
    shop.write(
        "entries/2026/2026-03-14-tank.md",
        "---\ndate: 2026-03-14\nvehicle: wren\nphoto: photos/tank.png\n---\n\n# Tank\n\nThe tank came down.\n",
    );
    shop.write("episodes/01-mine.md", MINE);
    let page = shop
        .run(["recap", "--episode", "1", "--as", "article"])
        .ends(0)
        .out;
    for kept in [
        "<p>Before all chapters.</p>",
        "<h2>The tank</h2><h3>How it came down</h3>",
        "I <em>really</em> asked <a href=\"https://example.org/tank?a=1&amp;b=2\">the forum</a>, and this they said.<sup><a href=\"#n1\">1</a></sup>",
        "Drafted words.<sup><a href=\"#n2\">2</a></sup>",
        "<thead><tr><th>bolt</th><th>torque</th></tr></thead>",
        "<td><code>20</code> <a href=\"https://example.org/t\">see</a></td>",
        "<ol start=\"3\"><li>first</li>",
        "<blockquote><p>quoted words</p></blockquote>",
        "<img src=\"data:image/png;base64,",
        "<figcaption>my tank</figcaption>",
        "<li id=\"n1\"><p>Thanks to <em>all of them</em><sup><a href=\"#n1\">1</a></sup>.</p><p>Twice.</p></li>",
        "<li id=\"n2\">2026-03-14, entries/2026/2026-03-14-tank.md:9</li>",
    ] {
        assert!(page.contains(kept), "no {kept} in {page}");
    }
    // Shown once, though its record has it as well.
    assert_eq!(page.matches("<img").count(), 1, "{page}");
    assert!(
        !page.contains("central 3") && !page.contains("<script"),
        "{page}"
    );
    let out = shop
        .run(["recap", "--episode", "1", "--as", "description"])
        .ends(0)
        .out;
    assert!(
        out.contains("- All of it is in my table (https://example.org/table)."),
        "{out}"
    );
}

#[test]
fn the_cautions_of_an_edited_episode_reach_the_text_below_the_film() {
    let shop = demo();
    shop.run([
        "recap",
        "--vehicle",
        "wren",
        "--system",
        "fuel",
        "--minutes",
        "4",
        "--write",
    ])
    .ends(0);
    let drafted = "petrol vapour; doors open";
    for question in [
        &[
            "recap",
            "--vehicle",
            "wren",
            "--system",
            "fuel",
            "--minutes",
            "4",
            "--again",
            "--as",
            "description",
        ][..],
        &["recap", "--episode", "1", "--as", "description"],
    ] {
        let below = shop.run(question.iter().copied()).ends(0).out;
        assert!(below.contains(drafted), "{question:?}: {below}");
    }
}

#[test]
fn an_episode_without_a_sentence_is_not_written() {
    let shop = Shop::new();
    shop.write(
        "entries/2026/2026-03-14-horn.md",
        "---\ndate: 2026-03-14\nvehicle: wren\nhours: 2\n---\n\n## Horn\n\n- status: removed\n",
    );
    let ran = shop.run(["recap", "--vehicle", "wren", "--write"]).ends(2);
    assert!(ran.err.contains("no episode was written"), "{}", ran.err);
    assert!(!shop.root.join("episodes").exists());
}

#[test]
fn a_kept_draft_is_not_shown_again_when_an_episode_came_or_went() {
    let shop = demo();
    let ask = || shop.run(["recap", "--vehicle", "wren", "--minutes", "4"]);
    let first = ask().ends(0).out;
    assert_eq!(ask().ends(0).out, first);
    let written = shop
        .run(["recap", "--vehicle", "wren", "--minutes", "4", "--write"])
        .ends(0);
    assert_ne!(ask().out, first, "{written:?}");
    fs::remove_dir_all(shop.root.join("episodes")).expect("episodes");
    assert_eq!(ask().ends(0).out, first);
}
