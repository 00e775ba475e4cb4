//! What a person marked as private leaves in no form.

use super::json;
use crate::support::{Shop, TINY_PNG};

/// Every form of a draft, and what lists what there is.
const FORMS: [&str; 11] = [
    "draft",
    "json",
    "article",
    "chapters",
    "chapter-list",
    "description",
    "shots",
    "shots-csv",
    "otio",
    "edl",
    "outline",
];

/// A journal with something private in each way in which it can be: each of these
/// words stands in one of them.
const SECRETS: [&str; 12] = [
    "Zinnober",
    "Karmesin",
    "Ultramarin",
    "Indigo",
    "Ocker",
    "Purpur",
    "Turmalin",
    "98765",
    "Sepia",
    "Siena",
    "Magenta",
    "Mangan",
];

fn journal() -> Shop {
    let shop = Shop::new();
    shop.write(
        "entries/2026/2026-03-01-a.md",
        "---\ndate: 2026-03-01\nvehicle: wren\nhours: 2\n---\n\n# The horn\n\nThe horn came off in the rain and he laughed at me all the way home.\n\n~ Zinnober is ill and was in the hospital, and nobody\nshould read it, not even Karmesin.\n![Sepia](photos/Sepia.png)\n\n~ ![Siena](../../photos/Siena.png)\n\nWe drank tea and said nothing about the rain or the road home.[^open]\n\n~ And that too.[^shut]\n\n- ~ Turmalin said so, word for word, in the yard.\n\n## Horn\n\n- status: removed\n- tell: no\n- found: full of Ultramarin wasps\n- lesson: never trust Ultramarin with a horn\n- caution: Ultramarin vapour\n- cost: 98765 horn\n- footage: Purpur 0:10-0:20\n- photo: photos/Purpur.png\n\nUltramarin came by and we had words about the horn of his brother.\n\n## Coil\n\n- status: removed\n- footage: A01 0:10-0:20\n\nThe coil was good and came off with one bolt, which I had feared for weeks.\n\n~ Its box is where ![Magenta](photos/Magenta.png) shows it.\n\n[^open]: ~ Mangan tea, of all things.\n\n[^shut]: Mangan said so, and ![Mangan](photos/Mangan.png) shows it.\n",
    );
    for name in ["Purpur", "Sepia", "Siena", "Magenta", "Mangan"] {
        shop.write(&format!("photos/{name}.png"), TINY_PNG);
    }
    shop.write(
        "entries/2026/2026-03-08-Ocker.md",
        "---\ndate: 2026-03-08\nvehicle: wren\ntell: no\nhelpers: Indigo\n---\n\n# Indigo and the money\n\nIndigo lent me the money for all of it and wants it back by June.\n\n## Tank\n\n- status: removed\n- needs: pay Indigo\n- replaced by: Ocker tank\n",
    );
    shop.write(
        "entries/2026/2026-03-15-c.md",
        "---\ndate: 2026-03-15\nvehicle: wren\n---\n\n# The end\n\nI swept the floor and oiled the vice and went in for tea, and he came too.\n",
    );
    shop
}

fn assert_silent(text: &str, what: &str) {
    for secret in SECRETS {
        assert!(!text.contains(secret), "{what} says {secret}: {text}");
    }
}

#[test]
fn what_is_private_leaves_in_no_form() {
    let shop = journal();
    for form in FORMS {
        let out = shop.run(["recap", "--as", form]).ends(0);
        assert!(
            out.out.contains("coil")
                || out.out.contains("Coil")
                || form == "chapters"
                || form == "chapter-list",
            "{out:#?}"
        );
        assert_silent(&out.out, form);
        assert_silent(&out.err, form);
        assert!(!out.out.contains("data:image"), "{form} shows a picture");
    }
    for question in [
        &["recap", "--why"][..],
        &["recap", "--untold", "--most", "99"],
        &["recap", "--untold", "--json"],
        &["recap", "--as", "outline", "--json"],
        &["recap", "--minutes", "60"],
    ] {
        assert_silent(&shop.run(question.iter().copied()).ends(0).out, "a list");
    }
    // A sum in which it is hidden is no figure that anyone may hear.
    let draft = shop.run(["recap"]).ends(0);
    assert!(!draft.out.contains("in the shop"), "{draft:#?}");
}

#[test]
fn an_episode_that_holds_what_was_marked_later_does_not_leave() {
    let shop = Shop::new();
    let open = "---\ndate: 2026-03-01\nvehicle: wren\n---\n\n# The horn\n\nThe horn came off in the rain.\n\nHe told me about his brother and what became of him.\n";
    shop.write("entries/2026/2026-03-01-a.md", open);
    shop.run(["recap", "--write"]).ends(0);
    shop.run(["recap", "--episode", "1", "--as", "article"])
        .ends(0)
        .shows("his brother");
    shop.write(
        "entries/2026/2026-03-01-a.md",
        open.replace("He told me", "~ He told me"),
    );
    shop.run(["check"])
        .shows("this is private in the journal: he told me about his");
    for form in ["article", "description", "chapter-list"] {
        shop.run(["recap", "--episode", "1", "--as", form])
            .ends(2)
            .says("holds what was marked as private");
    }
}

#[test]
fn an_episode_with_a_picture_that_was_marked_later_does_not_leave() {
    let shop = Shop::new();
    shop.write("photos/window.png", TINY_PNG);
    let open = "---\ndate: 2026-03-01\nvehicle: wren\n---\n\n# The horn\n\nThe horn came off in the rain.\n\nThere. ![x](../../photos/window.png)\n";
    shop.write("entries/2026/2026-03-01-a.md", open);
    shop.run(["recap", "--write"]).ends(0);
    let episode = shop.read("episodes/01-the-horn.md");
    shop.write(
        "episodes/01-the-horn.md",
        format!("{episode}\n![At dusk](../photos/window.png)\n"),
    );
    let article = ["recap", "--episode", "1", "--as", "article"];
    shop.run(article).ends(0).shows("data:image/png");
    shop.write(
        "entries/2026/2026-03-01-a.md",
        open.replace("There.", "~ There."),
    );
    shop.run(["check"])
        .shows("this is private in the journal: the picture photos/window.png");
    shop.run(article)
        .ends(2)
        .says("holds what was marked as private");
}

#[test]
fn who_must_be_asked_is_named_and_not_proposed() {
    let shop = Shop::new();
    let entry = |mark: &str| {
        format!(
            "---\ndate: 2026-03-01\nvehicle: wren\n---\n\n# The horn\n\nThe horn came off in the rain.\n\n## Coil\n\n- ask: Ida\n- status: removed\n\n{mark}She told me where the coil had been for forty years.\n"
        )
    };
    shop.write("entries/2026/2026-03-01-a.md", entry(""));
    let draft = shop.run(["recap"]).ends(0);
    assert!(!draft.out.contains("forty years"), "{draft:#?}");
    shop.run(["recap", "--as", "outline"]).ends(0).shows("?Ida");
    shop.write("entries/2026/2026-03-01-a.md", entry("! "));
    let draft = shop.run(["recap"]).ends(0);
    let draft = draft
        .shows("forty years")
        .shows("- Ida, must be asked: entries/");
    assert!(!draft.out.contains("! She"), "{draft:#?}");
    assert_eq!(json(&shop, &["recap"])["people"][0]["ask"], true);
}
