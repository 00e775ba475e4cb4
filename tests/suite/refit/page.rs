//! The checklist to print: all that is asked about stands on it, or the reply
//! says what does not.

use crate::support::{Shop, TINY_PNG};

/// Two vehicles: a part that was scrapped, two that contradict each other, two
/// that go back, one of them with photos.
fn shop() -> Shop {
    let shop = Shop::new();
    shop.write("vehicles/pavetta.md", "---\nname: Pavetta 125\n---\n");
    shop.write(
        "entries/2026/2026-03-01-scooter.md",
        "---\ndate: 2026-03-01\nvehicle: pavetta\n---\n\n# Scooter\n\n- removed: seat\n",
    );
    shop.write(
        "entries/2026/2026-03-02-off.md",
        "---\ndate: 2026-03-02\nvehicle: wren\nsystem: body\nstatus: removed\n---\n\n# Off\n\n\
         ## Horn\n\n- stored: loft\n- photo: photos/horn.png\n- photo: photos/lost.png\n\n\
         ## Lamp\n\n- after: rim\n\n## Rim\n\n- stored: loft\n\n\
         ## Grille\n\n- status: scrapped\n\n\
         ## Catch\n\n- after: latch\n\n## Latch\n\n- after: catch\n",
    );
    shop.write("photos/horn.png", TINY_PNG);
    shop
}

#[test]
fn a_page_holds_what_cannot_be_put_back_and_on_what_each_order_rests() {
    let shop = shop();
    let reply = shop
        .run(["refit", "--as", "page", "--into", "plan.html"])
        .ends(0);
    let reply = reply.shows("3 steps, written to");
    reply.shows("not on this page: Pavetta 125, 1 step: matchmark refit --vehicle pavetta");
    let page = shop.read("plan.html");
    let (steps, rest) = page.split_once("Cannot be put back").expect("a section");
    assert_eq!(steps.matches("order known: before").count(), 1, "{steps}");
    assert_eq!(steps.matches("order known: after").count(), 1, "{steps}");
    assert_eq!(steps.matches("order assumed").count(), 1, "{steps}");
    assert!(
        rest.contains("Grille") && rest.contains("get one: it was scrapped"),
        "{rest}"
    );
    assert!(rest.contains("contradict each other"), "{rest}");
    assert!(
        rest.contains("catch before latch") && rest.contains("latch before catch"),
        "{rest}"
    );
}

#[test]
fn a_page_shows_the_photos_that_are_there_and_names_the_others() {
    let shop = shop();
    shop.run(["refit", "--as", "page", "--into", "plan.html"])
        .ends(0);
    let page = shop.read("plan.html");
    assert_eq!(page.matches("<img ").count(), 1, "{page}");
    assert!(
        page.contains("src=\"data:image/png;base64,iVBORw0KGgoAAAAN"),
        "{page}"
    );
    assert!(page.contains("photo: photos/lost.png"), "{page}");
    // One vehicle was asked for: nothing is missing.
    let reply = shop
        .run([
            "refit",
            "--vehicle",
            "pavetta",
            "--as",
            "page",
            "--into",
            "other.html",
        ])
        .ends(0);
    assert!(!reply.out.contains("not on this page"), "{reply:?}");
    assert!(!shop.read("other.html").contains("Cannot be put back"));
}
