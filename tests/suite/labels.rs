//! Labels for bags: the code as it is drawn is read by a decoder that is not
//! the encoder; nothing of anyone's is written over.

use matchmark::presentation::labels::code::code;
use matchmark::presentation::labels::{LabelContent, svg};
use matchmark::presentation::page::labels::page;
use matchmark::vocabulary::paper::{Paper, read_area, read_length};

use super::support::Shop;

/// Pixels a module of the code gets.
const SCALE: usize = 3;

/// The drawn codes of a drawing, each as what a decoder reads, with the size
/// of a module in millimetres.
fn read_back(drawing: &str) -> Vec<(String, f32)> {
    drawing
        .split("scale(")
        .skip(1)
        .map(|rest| {
            let module: f32 = rest
                .split(')')
                .next()
                .expect("a scale")
                .parse()
                .expect("a number");
            let path = rest.split("d=\"").nth(1).expect("a path");
            (decoded(path.split('"').next().expect("its end")), module)
        })
        .collect()
}

/// What a path of dark modules says: each run is `Mx yhRUNv1h-RUNz`.
fn decoded(path: &str) -> String {
    let runs: Vec<(usize, usize, usize)> = path
        .split('M')
        .filter(|run| !run.is_empty())
        .map(|run| {
            let (at, rest) = run.split_once('h').expect("a run");
            let (x, y) = at.split_once(' ').expect("a place");
            let length = rest.split('v').next().expect("a length");
            let number = |text: &str| text.parse::<usize>().expect("a number");
            (number(x), number(y), number(length))
        })
        .collect();
    // As wide as it is high, with the quiet zone again on the far side.
    let quiet = runs.iter().map(|(_, y, _)| *y).min().expect("rows");
    let side = runs.iter().map(|(_, y, _)| *y).max().expect("rows") + 1 + quiet;
    assert!(quiet >= 4, "a quiet zone of {quiet}");
    let mut dark = vec![false; side * side];
    for (x, y, length) in runs {
        dark[y * side + x..][..length].fill(true);
    }
    let mut image =
        rqrr::PreparedImage::prepare_from_greyscale(side * SCALE, side * SCALE, |x, y| {
            if dark[(y / SCALE) * side + x / SCALE] {
                0
            } else {
                255
            }
        });
    let grids = image.detect_grids();
    assert_eq!(grids.len(), 1, "one code is seen");
    let mut bytes = Vec::new();
    grids[0].decode_to(&mut bytes).expect("it can be read");
    String::from_utf8(bytes).expect("text")
}

fn content(label: &str, parts: &[&str], pieces: usize) -> LabelContent {
    let text = |text: &&str| (*text).to_owned();
    LabelContent {
        label: label.to_owned(),
        vehicle: Some("Brindle Wren".to_owned()),
        date: Some("2026-03-14".to_owned()),
        parts: parts.iter().map(text).collect(),
        pieces: (1..=pieces)
            .map(|n| format!("{n} Sechskantschraube M8 x {n} für Kühler"))
            .collect(),
        page: None,
    }
}

/// Where the journal's pages have an address, a phone opens the bag's page.
#[test]
fn a_code_leads_to_the_bags_page() {
    let page = "https://example.org/van/bags/bag-31.html";
    let content = LabelContent {
        page: Some(page.to_owned()),
        ..content("31", &["Wheel, left front"], 30)
    };
    let drawn = svg(std::slice::from_ref(&content), &Paper::default());
    assert_eq!(read_back(&drawn[0])[0].0, page);
    // Where a code has no room for so long an address, it says what it can.
    let content = LabelContent {
        page: Some(format!("https://example.org/{}/", "x".repeat(900))),
        ..content
    };
    let drawn = svg(std::slice::from_ref(&content), &Paper::default());
    assert!(read_back(&drawn[0])[0].0.starts_with("Bag 31\n"));
}

#[test]
fn labels_of_a_journal_whose_book_has_an_address() {
    let shop = Shop::new();
    shop.write("journal.toml", "book = \"https://example.org/van\"\n");
    shop.write(
        "entries/2026/2026-03-14-a.md",
        "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# A\n\n## Hub\n\n- status: removed\n- hardware: 2 nut 7/16-20, bag Tin A\n",
    );
    shop.run(["book"]).ends(0);
    let drawn = shop.run(["bags", "--as", "labels-svg"]).ends(0);
    let address = &read_back(&drawn.out)[0].0;
    let page = address
        .strip_prefix("https://example.org/van/")
        .expect("the address");
    assert!(shop.root.join("book").join(page).is_file(), "{address}");
}

#[test]
fn a_code_says_what_the_label_says() {
    let content = content("31", &["Wheel, left front", "Kotflügel, rechts"], 3);
    let drawn = svg(std::slice::from_ref(&content), &Paper::default());
    let read = read_back(&drawn[0]);
    assert_eq!(
        read[0].0,
        "Bag 31\nBrindle Wren\n2026-03-14\nWheel, left front\nKotflügel, rechts\n\
         1 Sechskantschraube M8 x 1 für Kühler\n2 Sechskantschraube M8 x 2 für Kühler\n\
         3 Sechskantschraube M8 x 3 für Kühler"
    );
}

/// However much is in a bag, its code can be scanned at the size at which it is
/// printed, and says how much was left out.
#[test]
fn a_long_list_is_cut_so_that_a_phone_reads_it() {
    for (size, pieces) in [("70x37", 60), ("50x25", 12), ("100x60", 200), ("40x20", 5)] {
        let paper = Paper {
            label: read_area(size).expect("a size"),
            ..Paper::default()
        };
        let content = content("Kaffeedose, große", &["Kühlerhalter, oben"], pieces);
        let drawn = svg(std::slice::from_ref(&content), &paper);
        let (text, module) = read_back(&drawn[0]).remove(0);
        assert!(module >= 0.33, "{size}: modules of {module} mm");
        assert!(text.starts_with("Bag Kaffeedose, große\nBrindle Wren\n2026-03-14\n"));
        let kept = text.matches("Sechskant").count();
        let rest = pieces - kept;
        assert!(rest > 0 || pieces < 6, "{size}: {text}");
        if rest > 0 {
            let cut = format!("and {rest} more, see the journal");
            assert!(text.ends_with(&cut), "{size}: {text}");
        }
    }
}

#[test]
fn every_label_of_a_page_has_its_code() {
    let labels: Vec<LabelContent> = (1..=40)
        .map(|n| content(&n.to_string(), &["Hub, left front"], 2))
        .collect();
    let read: Vec<String> = svg(&labels, &Paper::default())
        .iter()
        .flat_map(|sheet| read_back(sheet))
        .map(|(text, _)| text)
        .collect();
    assert_eq!(read.len(), 40);
    for (n, text) in (1..).zip(&read) {
        assert!(text.starts_with(&format!("Bag {n}\n")), "{text}");
    }
    let tape = Paper {
        tape: read_length("24"),
        ..Paper::default()
    };
    let few = &labels[..3];
    assert_eq!(read_back(&svg(few, &tape)[0]).len(), 3);
    assert_eq!(read_back(&page("Labels", few, &tape)).len(), 3);
    let whole = page("Labels", &labels, &tape);
    assert_eq!(whole.matches("<svg ").count(), 40);
    assert!(code(&labels[0], 5.0).is_none(), "too small for any code");
}

/// Names from entries are text on a page, never marks.
#[test]
fn nothing_on_a_label_is_obeyed() {
    let hostile = LabelContent {
        label: "<script>alert(1)</script>&\"\u{1b}[2J".to_owned(),
        ..content("x", &["<img src=x onerror=y>"], 1)
    };
    for drawn in svg(std::slice::from_ref(&hostile), &Paper::default())
        .into_iter()
        .chain([page("<b>", &[hostile], &Paper::default())])
    {
        assert!(
            !drawn.contains("<script") && !drawn.contains("<img"),
            "{drawn}"
        );
        assert!(!drawn.contains('\u{1b}'));
    }
}

#[test]
fn labels_are_written_and_never_over_anything_else() {
    let shop = Shop::new();
    for n in 0..30 {
        let day = n % 28 + 1;
        shop.write(
            &format!("entries/2026/2026-02-{day:02}-{n}-x.md"),
            format!(
                "---\ndate: 2026-02-{day:02}\nvehicle: wren\nstatus: removed\n---\n\n# Off\n\n## Part {}\n\n- hardware: 4 hex nut 1/2-13, bag {n}\n",
                ["alpha", "beta", "gamma", "delta", "epsilon"][n % 5].repeat(n / 5 + 1)
            ),
        );
    }
    shop.run(["bags", "--as", "labels-svg", "--into", "l.svg"])
        .ends(0)
        .shows("30 labels of 70 by 37 mm, written to")
        .shows("l-2.svg");
    let first = shop.read("l.svg");
    assert_eq!(first.matches("<title>Bag ").count(), 24);
    assert_eq!(shop.read("l-2.svg").matches("<title>Bag ").count(), 6);
    // Its own are replaced, anything else is not, and then nothing is written.
    shop.run([
        "bags",
        "--as",
        "labels-svg",
        "--into",
        "l.svg",
        "--label-size",
        "50x30",
    ])
    .ends(0);
    assert_ne!(shop.read("l.svg"), first);
    shop.write("mine-2.svg", "<svg>mine</svg>");
    shop.run(["bags", "--as", "labels-svg", "--into", "mine.svg"])
        .ends(2)
        .says("mine-2.svg is there already, and this program did not make it");
    assert_eq!(shop.read("mine-2.svg"), "<svg>mine</svg>");
    assert!(!shop.root.join("mine.svg").exists());
    shop.run([
        "bags", "7", "8", "--as", "labels", "--into", "two.html", "--tape", "24",
    ])
    .ends(0)
    .shows("2 labels of 70 by 24 mm");
    for (arguments, says) in [
        (
            vec!["--as", "labels", "--into", "l.svg"],
            "has the ending of another form",
        ),
        (
            vec!["--as", "labels-svg", "--into", "no/l.svg"],
            "there is no folder",
        ),
        (
            vec![
                "--as",
                "labels-svg",
                "--into",
                "l.svg",
                "--label-size",
                "big",
            ],
            "is no size",
        ),
        (
            vec![
                "--as",
                "labels-svg",
                "--into",
                "l.svg",
                "--label-size",
                "5x5",
            ],
            "too small to be read",
        ),
        (
            vec![
                "--as",
                "labels-svg",
                "--into",
                "l.svg",
                "--label-size",
                "300x30",
            ],
            "fits on a sheet",
        ),
    ] {
        let all = [vec!["bags"], arguments].concat();
        shop.run(all).ends(2).says(says);
    }
    let settings = shop.read("journal.toml");
    let wide = settings.replace("size = \"70x37\"", "size = \"105x48\"");
    shop.write("journal.toml", wide);
    shop.run(["bags", "7", "--as", "labels", "--into", "l.html"])
        .ends(0)
        .shows("1 label of 105 by 48 mm");
}
