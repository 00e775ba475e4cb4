//! What pages tell of the journal's pictures, and what they leave out.

use std::fs::File;

use crate::support::{Shop, TINY_PNG};

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
