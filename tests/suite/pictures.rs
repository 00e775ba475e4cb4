//! What pages tell of the journal's pictures, and what they leave out.

use std::fs::{self, File};

use crate::support::{Shop, TINY_PNG, json, shot};

/// An entry with one part that came off, and these pictures of it.
fn shop(pictures: &[(&str, &[u8])]) -> Shop {
    let shop = Shop::new();
    let mut facts = String::new();
    for (path, bytes) in pictures {
        facts.push_str(&format!("- photo: {path}\n"));
        if !bytes.is_empty() {
            shop.write(path, bytes);
        }
    }
    shop.write(
        "entries/2026/2026-03-14-tank.md",
        format!("---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# Tank\n\n## Tank\n\n- status: removed\n{facts}\nThe tank came down on the jack and slid off the cushion, and I caught it with my knees.\n"),
    );
    shop
}

#[test]
fn pictures_that_cannot_be_published_are_named() {
    let cut = &TINY_PNG[..TINY_PNG.len() - 1];
    let shop = shop(&[
        ("photos/good.jpg", TINY_PNG),
        ("photos/moving.jpg", b"GIF89a and more"),
        ("photos/cut.png", cut),
        ("photos/text.png", b"<svg onload=alert(1)>"),
        ("photos/gone.png", b""),
        ("photos/long.jpg", b"\xff\xd8\xff"),
        ("../outside.png", TINY_PNG),
    ]);
    File::options()
        .write(true)
        .open(shop.root.join("photos/long.jpg"))
        .and_then(|file| file.set_len(200_000_000))
        .expect("a long file");
    let told = [
        "photos/moving.jpg: it is a GIF; save it as JPEG, PNG or WebP",
        "photos/cut.png: the PNG is damaged or incomplete; copy it again",
        "photos/text.png: it is no picture of a kind that is known",
        "photos/gone.png: no such file can be read",
        "photos/long.jpg: it has 200.0 MB; save a smaller copy",
        "../outside.png: the path leads out of the journal",
    ];
    for arguments in [
        &["recap", "--vehicle", "wren", "--as", "article"][..],
        &["refit", "--as", "page"],
    ] {
        let mut reply = shop.run(arguments).ends(0);
        assert_eq!(reply.out.matches("<img ").count(), 1, "{reply:?}");
        // By its content, whatever it is called.
        reply = reply.shows("src=\"data:image/png;base64,iVBORw0KGgo");
        for line in told {
            reply = reply.says(line);
        }
        assert!(!reply.err.contains("good.jpg"), "{reply:?}");
    }
    shop.run([
        "recap",
        "--vehicle",
        "wren",
        "--as",
        "article",
        "--into",
        "tank.html",
    ])
    .ends(0)
    .shows("picture left out: photos/moving.jpg");
}

/// What `check` says about pictures, as JSON.
fn problems(shop: &Shop) -> Vec<String> {
    let answer = json(shop, &["check"]);
    let all = answer["problems"].as_array().expect("problems");
    all.iter()
        .map(|one| one["message"].as_str().expect("a message").to_owned())
        .filter(|message| message.contains("picture"))
        .collect()
}

#[test]
fn pictures_that_are_lost_are_named_until_somebody_accepts_it() {
    let names = ["photos/a.png", "photos/2026-03-14/b b.png", "photos/c.png"];
    let pictures: Vec<Vec<u8>> = (0..3).map(|at| [TINY_PNG, &[at]].concat()).collect();
    let named: Vec<(&str, &[u8])> = names
        .iter()
        .zip(&pictures)
        .map(|(name, picture)| (*name, &picture[..]))
        .collect();
    let shop = shop(&named);
    shop.write("photos/.hidden", "no picture");
    shop.keep();
    shop.assert_clean();
    let list = shop.read("pictures-sha256.txt");
    assert_eq!(list.lines().count(), 3, "{list}");
    let sums = || shop.shell("sha256sum -c --strict --quiet pictures-sha256.txt");
    sums().ends(0);
    assert_eq!(problems(&shop), [""; 0]);
    // One bit, one deleted, one renamed.
    let mut changed = pictures[0].clone();
    changed[40] ^= 1;
    shop.write(names[0], &changed);
    fs::remove_file(shop.root.join(names[1])).expect("a picture");
    fs::rename(shop.root.join(names[2]), shop.root.join("photos/d.png")).expect("a picture");
    let lost = [
        "the picture `photos/2026-03-14/b b.png` is gone",
        "the picture `photos/a.png` is not what it was when it was kept",
        "the picture `photos/c.png` is called `photos/d.png` now",
        "1 of 2 pictures is in no record: d.png",
    ];
    assert_eq!(problems(&shop), lost);
    // Keeping adds the new name and forgets nothing.
    shop.run(["keep"]).ends(0);
    assert!(shop.read("pictures-sha256.txt").starts_with(&list[..10]));
    assert_eq!(shop.read("pictures-sha256.txt").lines().count(), 4);
    shop.assert_clean();
    let gone = "the picture `photos/c.png` is gone";
    assert_eq!(problems(&shop), [lost[0], lost[1], gone, lost[3]]);
    shop.run([
        "check",
        "--accept",
        "photos/a.png",
        "--accept",
        "photos/c.png",
    ])
    .ends(0)
    .shows("photos/a.png: as it is now photos/c.png: gone, as it is meant `matchmark keep`");
    assert_eq!(problems(&shop), [lost[0], lost[3]]);
    let again = json(&shop, &["check", "--accept", "photos/2026-03-14/b b.png"]);
    assert_eq!(again["accepted"][0]["sha256"], serde_json::Value::Null);
    assert_eq!(problems(&shop), [lost[3]]);
    sums().ends(0);
    shop.run(["check", "--accept", "photos/a.png"])
        .ends(2)
        .says("`photos/a.png` is as it was kept");
    shop.run(["check", "--accept", "photos/z.png"])
        .ends(2)
        .says("has no picture `photos/z.png`");
}

#[test]
fn names_that_no_list_can_hold_are_refused() {
    let shop = shop(&[
        ("photos/50%.png", TINY_PNG),
        ("photos/two\nlines.png", TINY_PNG),
        ("photos/return\r.png", TINY_PNG),
        ("photos/good.png", TINY_PNG),
    ]);
    shop.keep();
    assert_eq!(shop.read("pictures-sha256.txt").lines().count(), 1);
    let found = json(&shop, &["check"]).to_string();
    for name in ["50%.png", "two\\\\nlines.png", "return\\\\r.png"] {
        assert!(found.contains(name), "{name}: {found}");
    }
    assert_eq!(
        found.matches("a list of sums cannot hold the name").count(),
        3
    );
}

#[test]
fn a_damaged_list_loses_nothing() {
    let shop = shop(&[("photos/a.png", TINY_PNG)]);
    shop.write("pictures-sha256.txt", "my own words, without an end");
    shop.keep();
    let list = shop.read("pictures-sha256.txt");
    assert!(list.starts_with("my own words, without an end\n"), "{list}");
    assert!(list.ends_with("  photos/a.png\n"), "{list}");
    assert_eq!(problems(&shop), ["this is no picture with its sum"]);
    shop.write("pictures-sha256.txt", b"\xff\xfe");
    shop.write("photos/b.png", TINY_PNG);
    shop.run(["keep"]).says("pictures were not listed");
}

#[test]
fn images_in_prose_are_pictures_everywhere() {
    let shop = Shop::new();
    shop.write("photos/strap.png", TINY_PNG);
    shop.write("photos/tank.png", TINY_PNG);
    shop.write(
        "entries/2026/2026-03-14-tank.md",
        "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# Tank\n\n![the shop that evening](../../photos/shop.png)\n\n## Tank\n\n\
         - status: removed\n- photo: photos/tank.png\n\nIt came down. ![the rear strap](../../photos/strap.png)\n\n![whole](../../photos/tank.png)\n",
    );
    let part = json(&shop, &["part", "tank"]);
    let seen = |path: &str, caption: &str| serde_json::json!({ "path": path, "caption": caption });
    let pictures = part["pictures"].as_array().expect("pictures");
    assert_eq!(pictures.len(), 2, "{part}");
    assert_eq!(pictures[0]["path"], "photos/tank.png");
    assert_eq!(pictures[0]["caption"], "whole");
    assert_eq!(pictures[1]["path"], "photos/strap.png");
    assert_eq!(pictures[1]["line"], 15);
    shop.run(["part", "tank"])
        .ends(0)
        .shows("photos/strap.png (the rear strap)");
    let found = json(&shop, &["find", "strap"]);
    let expected = [
        seen("photos/tank.png", "whole"),
        seen("photos/strap.png", "the rear strap"),
    ];
    assert_eq!(found["hits"][0]["pictures"], serde_json::json!(expected));
    shop.run(["find", "strap"])
        .ends(0)
        .shows("picture photos/strap.png: the rear strap");
    // Of the session; there is no such file.
    let missing = json(&shop, &["check"]).to_string();
    assert!(
        missing.contains("there is no photo `photos/shop.png`"),
        "{missing}"
    );
    assert!(!missing.contains("in no record"), "{missing}");
    let page = shop.run(["refit", "--as", "page"]).ends(0);
    assert_eq!(page.out.matches("<img ").count(), 2, "{page:?}");
    let page = shop
        .run(["recap", "--vehicle", "wren", "--as", "article"])
        .ends(0)
        .shows("<figcaption>the rear strap</figcaption>");
    assert_eq!(page.out.matches("<img ").count(), 2, "{page:?}");
}

#[test]
fn a_cameras_folder_is_adopted_once() {
    let shop = Shop::new();
    let camera = shop.around().join("camera");
    fs::create_dir(&camera).expect("a folder");
    let put = |name: &str, bytes: &[u8]| fs::write(camera.join(name), bytes).expect("a file");
    put("one.jpg", &shot("2026:03:14 21:19:26", b"one"));
    put("same.jpg", &shot("2026:03:14 21:19:26", b"one"));
    put("late;100%.jpg", &shot("2026:03:14 23:30:00", b"late"));
    put("notes.txt", b"no picture");
    shop.removed("entries/2026/2026-03-14-tank.md", "Tank", "It came down.");
    let adopt = |more: &[&str]| {
        let folder = camera.to_str().expect("a path");
        shop.run([&["adopt", folder], more].concat()).ends(0)
    };
    let shown = adopt(&[]);
    for words in [
        "one.jpg to photos/2026-03-14/one.jpg: 21:19",
        "photos/2026-03-14/late-100-.jpg: 23:30; perhaps of 2026-03-15, as its zone is unknown",
        "left out: notes.txt: neither a picture nor a clip that is known",
        "left out: same.jpg: the same as another in the folder",
        "nothing was written yet; add --yes to go on",
    ] {
        assert!(
            shown
                .out
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
                .contains(words),
            "{shown:?}"
        );
    }
    assert!(!shop.root.join("photos/2026-03-14").exists());
    // What was copied before the entry could be changed is named, and not copied again.
    shop.write(
        "photos/2026-03-14/one.jpg",
        shot("2026:03:14 21:19:26", b"one"),
    );
    adopt(&["--yes"]).shows("one.jpg is photos/2026-03-14/one.jpg already, in no record");
    let entries: Vec<String> = shop
        .shell("grep -l one.jpg entries/2026/*.md")
        .out
        .lines()
        .map(str::to_owned)
        .collect();
    assert_eq!(entries.len(), 1, "{entries:?}");
    let text = shop.read(&entries[0]);
    assert_eq!(
        text.matches("photo: photos/2026-03-14/").count(),
        2,
        "{text}"
    );
    adopt(&["--yes"]).shows("2 files are in the journal already nothing new to adopt");
    assert_eq!(shop.read(&entries[0]), text);
    // Another camera's picture of the same name, of a part.
    fs::remove_file(camera.join("late;100%.jpg")).expect("a picture");
    put("one.jpg", &shot("2026:03:13 23:20:00", b"other"));
    adopt(&["--yes", "--clock=+1:00", "--of-part", "Fuel tank"])
        .shows("one.jpg to photos/2026-03-14/one-2.jpg: 00:20; perhaps of 2026-03-13");
    assert!(
        shop.read(&entries[0])
            .contains("## Fuel tank\n\n- photo: photos/2026-03-14/one-2.jpg\n")
    );
    // A second picture with the bytes of one that an entry names is no new one.
    let named = shop.root.join("photos/2026-03-14/one.jpg");
    fs::copy(named, shop.root.join("photos/2026-03-14/zone.jpg")).expect("a copy");
    put("again.jpg", &shot("2026:03:14 21:19:26", b"one"));
    adopt(&["--yes"]).shows("nothing new to adopt");
    let folder = camera.to_str().expect("a path");
    shop.run(["adopt", folder, "--clock", "later"])
        .ends(2)
        .says("`later` is no time to add to a clock");
}

/// A clip, by its structure, of 83 seconds.
fn clip() -> Vec<u8> {
    let boxed = |kind: &[u8; 4], inside: &[u8]| {
        let length = u32::try_from(inside.len() + 8).expect("short");
        [&length.to_be_bytes(), &kind[..], inside].concat()
    };
    // 2026-03-14 21:19:26, counted from 1904.
    let numbers = [0, 1_773_523_166 + 2_082_844_800, 0, 600, 83 * 600];
    let header: Vec<u8> = numbers.into_iter().flat_map(u32::to_be_bytes).collect();
    let movie = boxed(b"moov", &boxed(b"mvhd", &header));
    [boxed(b"ftyp", b"qt  \0\0\0\0qt  "), movie].concat()
}

#[test]
fn a_clip_that_is_named_can_be_copied_later() {
    let shop = Shop::new();
    let camera = shop.around().join("camera");
    fs::create_dir(&camera).expect("a folder");
    fs::write(camera.join("A014.mov"), clip()).expect("a clip");
    let adopt = |more: &[&str]| shop.run([&["adopt", "../camera", "--yes"], more].concat());
    adopt(&[]).ends(0).shows("clip A014, 1:23 long, not copied");
    let named = shop.shell("cat entries/*/*.md").out;
    assert!(named.contains("footage: A014 00:00-01:23"), "{named}");
    adopt(&[]).ends(0).shows("nothing new to adopt");
    adopt(&["--copy-clips"])
        .ends(0)
        .shows("clip A014, 1:23 long, named already, copied to photos/2026-03-14/A014.mov");
    assert_eq!(shop.shell("cat entries/*/*.md").out, named);
    let copied = fs::read(shop.root.join("photos/2026-03-14/A014.mov"));
    assert_eq!(copied.expect("the clip"), clip());
    adopt(&["--copy-clips"])
        .ends(0)
        .shows("1 file is in the journal already nothing new to adopt");
}
