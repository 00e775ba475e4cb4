//! A damaged, foreign or missing index: the answers are right all the same,
//! and nothing falls over.

use std::fs;
use std::path::{Path, PathBuf};

use crate::support::{Ran, Shop, assert_no_panic};

/// What is asked after each damage.
const QUESTIONS: [&[&str]; 4] = [
    &["find", "bracket", "--most", "100", "--json"],
    &["find", "\"cracked at the weld\" brakcet", "--json"],
    &["part", "bracket p3", "--json"],
    &["part", "--json"],
];

/// A journal whose index has several pieces.
fn indexed() -> Shop {
    let shop = Shop::new();
    for round in 0..3 {
        for file in 0..8 {
            let prose = ["as new", "cracked at the weld"][file % 2];
            let path = format!("entries/{round}-{file}.md");
            shop.removed(&path, &format!("Bracket p{file}"), prose);
        }
        shop.run(["find", "bracket"]).ends(0);
    }
    shop
}

fn answers(shop: &Shop) -> Vec<(Option<i32>, String)> {
    QUESTIONS
        .iter()
        .map(|question| {
            let ran = shop.run(*question);
            assert_no_panic(&ran);
            assert_eq!(ran.err, "", "an index is nobody's business");
            (ran.code, ran.out)
        })
        .collect()
}

fn files_below(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for item in fs::read_dir(folder).expect("a folder") {
        let path = item.expect("an item").path();
        if path.is_dir() {
            files.extend(files_below(&path));
        } else {
            files.push(path);
        }
    }
    files.sort();
    files
}

/// Every file of the index, with what it holds.
fn stored(shop: &Shop) -> Vec<(PathBuf, Vec<u8>)> {
    files_below(&shop.root.join(".matchmark/index"))
        .into_iter()
        .map(|path| {
            let bytes = fs::read(&path).expect("a file");
            (path, bytes)
        })
        .collect()
}

fn put_back(shop: &Shop, stored: &[(PathBuf, Vec<u8>)]) {
    let folder = shop.root.join(".matchmark/index");
    fs::remove_dir_all(&folder).expect("it can be removed");
    for (path, bytes) in stored {
        fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        fs::write(path, bytes).expect("a file");
    }
}

#[test]
fn every_file_of_the_index_may_be_damaged() {
    let shop = indexed();
    let right = answers(&shop);
    let whole = stored(&shop);
    assert!(whole.len() > 5, "{whole:?}");
    let mut damages = 0;
    for (path, bytes) in &whole {
        let mut damaged = vec![Vec::new(), bytes[..bytes.len() / 2].to_vec()];
        let mut flipped = bytes.clone();
        // Elsewhere in each file: single bits are the matter of a test beside the index.
        let at = flipped.len() * (damages % 7) / 7;
        if let Some(byte) = flipped.get_mut(at) {
            *byte ^= 1 << (damages % 8);
            damaged.push(flipped);
        }
        for bytes in damaged {
            put_back(&shop, &whole);
            fs::write(path, bytes).expect("a file");
            assert_eq!(answers(&shop), right, "after damage to {}", path.display());
            damages += 1;
        }
        put_back(&shop, &whole);
        fs::remove_file(path).expect("it can be removed");
        assert_eq!(answers(&shop), right, "without {}", path.display());
    }
    assert!(damages > 20, "only {damages}");
}

#[test]
fn a_damaged_index_takes_in_a_new_entry() {
    let shop = indexed();
    let whole = stored(&shop);
    for (round, (path, bytes)) in whole.iter().enumerate() {
        let mut flipped = bytes.clone();
        if let Some(byte) = flipped.get_mut(bytes.len() / 2) {
            *byte ^= 0x10;
        }
        put_back(&shop, &whole);
        fs::write(path, flipped).expect("a file");
        shop.removed("entries/new.md", &format!("Ferrule f{round}"), "as new");
        let fresh = shop.texts_alone();
        for question in QUESTIONS {
            shop.assert_answers_as(&fresh, question);
        }
        shop.assert_answers_as(&fresh, &["find", "ferrule", "--json"])
            .ends(0)
            .shows(&format!("\"part\": \"Ferrule f{round}\""));
    }
}

#[test]
fn an_index_from_the_future_is_left_or_replaced() {
    let shop = indexed();
    let right = answers(&shop);
    let index = shop.root.join(".matchmark/index");
    let ours = fs::read_dir(&index)
        .expect("a folder")
        .flatten()
        .map(|item| item.path())
        .find(|path| path.is_dir())
        .expect("the folder of this format");
    fs::rename(&ours, index.join("v999")).expect("it can be renamed");
    assert_eq!(answers(&shop), right);

    // The number says this format, and what is inside is another one.
    let list = ours.join("meta.json");
    let text = fs::read_to_string(&list).expect("the list");
    for (from, to) in [
        ("matchmark ", "matchmark 999"),
        ("\"name\":", "\"named\":"),
        ("\"opstamp\":", "\"opstamp\":9"),
    ] {
        let future = text.replace(from, to);
        assert_ne!(future, text, "nothing was changed");
        fs::write(&list, future).expect("the list");
        assert_eq!(answers(&shop), right, "after {from} became {to}");
    }
}

#[test]
fn a_file_may_stand_where_the_folder_should_be() {
    for place in [".matchmark/index", ".matchmark"] {
        let shop = indexed();
        let right = answers(&shop);
        let folder = shop.root.join(place);
        fs::remove_dir_all(&folder).expect("it can be removed");
        fs::write(&folder, "in the way").expect("a file");
        assert_eq!(answers(&shop), right, "{place}");
        assert_eq!(fs::read(&folder).expect("a file"), b"in the way");
        // Even then texts go where they belong.
        let written: Ran = shop.run(["write", "--part", "Ferrule", "--found", "new"]);
        assert_no_panic(&written.ends(0));
        shop.run(["find", "ferrule"]).ends(0);
    }
}

#[test]
fn a_folder_may_stand_where_a_file_should_be() {
    let shop = indexed();
    let right = answers(&shop);
    let whole = stored(&shop);
    for (path, _) in &whole {
        put_back(&shop, &whole);
        fs::remove_file(path).expect("it can be removed");
        fs::create_dir(path).expect("a folder");
        fs::write(path.join("in-the-way"), "x").expect("a file");
        assert_eq!(answers(&shop), right, "{}", path.display());
    }
}
