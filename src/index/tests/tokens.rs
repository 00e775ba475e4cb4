//! Sizes and part numbers, whole and in pieces: questions with what they must
//! and must not find.

use super::TestJournal;

/// Text, question, whether it is to be found (by all words, as typed).
const QUESTIONS: &[(&str, &str, bool)] = &[
    ("7/16-20 nut", "7/16-20", true),
    ("7/16-20 nut", "7/16", true),
    ("7/16-20 nut", "20", true),
    ("7/16-20 nut", "7/16 20", true),
    ("7/16-20 nut", "7/16-28", false),
    ("7/16-20 nut", "16", false),
    ("7/16–20 nut", "7/16-20", true),
    ("7⁄16-20 nut", "7/16-20", true),
    ("7/16\"-20 nut", "7/16-20", true),
    ("3/8-24 x 2-1/2 bolt", "3/8-24x2-1/2", true),
    ("3/8-24x2-1/2 bolt", "3/8-24 x 2-1/2", true),
    ("3/8-24 × 2½ bolt", "3/8-24 x 2-1/2", true),
    ("3/8-24 x 2-1/2 bolt", "2½", true),
    ("3/8-24 x 2 1/2 bolt", "2-1/2", true),
    ("½ inch drive", "1/2", true),
    ("1½ inch", "1 1/2", true),
    ("M10×1.25 stud", "M10x1.25", true),
    ("M10x1.25 stud", "m10", true),
    ("M10x1.25 stud", "1.25", true),
    ("M10x1.25 stud", "M10x1.5", false),
    ("M10x1.5 stud", "M10×1,5", true),
    ("M8-1.25 stud", "M8x1.25", true),
    ("M10 x 1.25 stud", "M10x1.25", true),
    ("casting BC57-2140-C", "BC57-2140-C", true),
    ("casting BC57-2140-C", "bc572140c", true),
    ("casting BC57-2140-C", "2140", true),
    ("casting BC57-2140-C", "bc57-2140", true),
    ("casting BC57-2140-C", "BC57 2140 C", true),
    ("casting BC57 2140 C", "BC57-2140-C", true),
    ("casting BC572140C", "BC57-2140-C", true),
    ("casting BC57-2140-C", "BC57-2140-D", false),
    ("casting BC57-2140-C", "2140-BC57", false),
    ("stamped 22/G/190", "22/G/190", true),
    ("stamped 113-867-243", "113867243", true),
    ("manual 9-14", "9-14", true),
    ("manual 9-14", "914", false),
    ("on 2026-03-14", "2026-03-14", true),
    ("O-ring, new", "o-ring", true),
    ("O-ring, new", "oring", true),
    ("O-ring, new", "o ring", true),
    ("an oring", "o-rings", true),
    ("U-bolts", "ubolt", true),
    (".030 oversize", "0.030", true),
    (".030 oversize", "030", true),
    ("0.030 oversize", ".030", true),
    ("10mm spanner", "10 mm", true),
    ("10 mm spanner", "10mm", true),
    ("12V horn", "12 v", true),
    ("75-90 lbf·ft", "75 lbf", true),
    ("ratio 4.11:1", "4.11", true),
    ("ratio 4.11:1", "4.11:1", true),
    ("12,500 miles", "12500", true),
    ("12500 miles", "12,500", true),
    ("SAE 20W-50 oil", "20w50", true),
    ("SAE 20W50 oil", "20W-50", true),
    ("the driver's door", "driver door", true),
    ("the driver’s door", "driver's", true),
    ("don't force it", "dont", true),
    ("an S.U. carburettor", "su", true),
    ("photos/2026-03-14/tank-inside.jpg", "inside", true),
    ("photos/2026-03-14/tank-inside.jpg", "tank-inside.jpg", true),
    ("clip A017 00:09:30", "A017", true),
    ("clip A017 00:09:30", "00:09:30", true),
    ("IMG_2031 shows it", "img_2031", true),
    ("IMG_2031 shows it", "2031", true),
    ("Kühlerschlauch", "kuhlerschlauch", true),
    ("3/8in drive", "3/8", true),
    ("grade 8 nut", "8", true),
    ("18 nuts", "8", false),
];

#[test]
fn sizes_and_numbers_are_found_whole_and_in_pieces() {
    assert!(QUESTIONS.len() >= 43);
    for (text, question, is_found) in QUESTIONS {
        let mut shop = TestJournal::of(&[("a.md", text), ("b.md", "nothing of the kind")]);
        let index = shop.indexed();
        let answer = shop.ask(&index, question);
        let all = answer.corrected.is_empty();
        assert_eq!(
            answer.total > 0 && all,
            *is_found,
            "{question} in {text}: {answer:?}"
        );
    }
}

#[test]
fn what_is_found_is_marked() {
    for (text, question, is_found) in QUESTIONS {
        let mut shop = TestJournal::of(&[("a.md", text)]);
        let index = shop.indexed();
        if *is_found {
            let answer = shop.ask(&index, question);
            assert!(!answer.hits[0].marks.is_empty(), "{question} in {text}");
        }
    }
}
