//! Texts nobody would write: bytes at random, and pieces of the format put
//! together at random.

use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;

use super::broken_promises;

/// Pieces of entries, right ones and wrong ones.
const PIECES: [&str; 99] = [
    "---",
    "--- ",
    "----",
    "...",
    "date: 2026-03-14",
    "date: 2026-02-30",
    "vehicle: wren",
    "vehicle: Pavetta 125",
    "vehicle: [wren, pavetta]",
    "system: fuel",
    "status: removed",
    "hours: 3:15",
    "hours: ½",
    "time: 18:30",
    "part: horn",
    "part: brake drum, left front",
    "at: left; right",
    "helpers: Breda; Ansel",
    "title: \"An evening\"",
    "title: 'it''s'",
    "footage: A017; A018 00:00-09:30",
    "lesson: drain: first",
    "cost: 84.50 hinge",
    "cost:",
    "photo: photos/a.jpg",
    "stored: rack 2 #lower",
    "lesson: |",
    "  more of it",
    "bag: 31",
    "{a: b, c: [d, e",
    "[[[[",
    "&a *a",
    "? key",
    "!tag x",
    "%YAML 1.2",
    "<<: *a",
    "# ",
    "## ",
    "### Horn",
    "## Fuel tank",
    "## Fuel tank, left front; right",
    "##Horn",
    "## Bag 12",
    "## Bag",
    "## Brakes",
    "# Title",
    "Title\n===",
    "Horn\n---",
    "####### no",
    "- after: filler neck",
    "- after: horn",
    "- hardware: 4 strap bolt 3/8-24 x 2-1/2 grade 5, bag 31; 2 felt pad, new",
    "- hardware: 0 nuts",
    "- hardware: 99999999999 nuts (one; two)",
    "- found: rust",
    "- needs: buy seals, by 2026-05-01",
    "- needs: paint, by friday",
    "- done: all",
    "- replaced by: used",
    "  - kind: used",
    "  - cost: JPY 12.5",
    "  - from: pavetta, starter motor",
    "  - old: sold",
    "\t- number: 7",
    "- removed: horn; horn bracket (bent; both)",
    "- undone: earth wire, to inner wing",
    "- bare: bulkhead, upper",
    "- holds: horn; tank",
    "- at: left front; right front",
    "- at:",
    "- sent to: plater, back by 2026-05-01",
    "- torque: 75-90 lbf·ft, shop manual 3-12",
    "- tool: pliers, return within 90 days",
    "- hands: 2",
    "- question: why?",
    "- answer: because",
    "- surface: primed",
    "- holds up: fuel",
    "- also: hooter",
    "- cost: -1.234,5 x",
    "- Stauts: fited",
    "- : x",
    "-",
    "* ",
    "– bag: 4",
    "• stored: shelf",
    "• ",
    "  • ",
    "—\t",
    "[foo]",
    "１：２",
    "1. one",
    "> quote",
    "```",
    "    code",
    "<!--",
    "-->",
    "<div>",
    "[a]: b",
];

/// Characters that readers stumble over.
const ODD: [&str; 32] = [
    "\u{0}",
    "\u{feff}",
    "\u{fffd}",
    "\u{1b}[31m",
    "\u{8}",
    "\u{b}",
    "\u{c}",
    "\u{85}",
    "\u{a0}",
    "\u{2028}",
    "\u{2029}",
    "\u{200b}",
    "\u{200d}",
    "\u{202e}",
    "\u{301}",
    "\u{1f}",
    "İ",
    "ß",
    "ﬁ",
    "ǅ",
    "½",
    "⅜",
    "×",
    "⁄",
    "–",
    "“",
    "’",
    "：",
    "；",
    "𝟙",
    "👩‍🔧",
    "\t",
];

const ENDS: [&str; 8] = ["\n", "\n", "\n", "\n\n", "\r\n", "\r", " ", ""];

/// A text made of such pieces, sometimes with a sound beginning.
fn text() -> impl Strategy<Value = String> {
    let line = (
        select(&PIECES[..]),
        prop::option::weighted(0.2, (any::<prop::sample::Index>(), select(&ODD[..]))),
        select(&ENDS[..]),
    )
        .prop_map(|(piece, odd, end)| {
            let mut line = piece.to_owned();
            if let Some((at, odd)) = odd {
                let places: Vec<usize> = (0..=line.len())
                    .filter(|at| line.is_char_boundary(*at))
                    .collect();
                line.insert_str(*at.get(&places), odd);
            }
            line + end
        });
    let begin = select(vec![
        "",
        "---\n",
        "\u{feff}---\r\n",
        "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# An evening\n\n",
    ]);
    (begin, vec(line, 0..24)).prop_map(|(begin, lines)| format!("{begin}{}", lines.concat()))
}

fn sound(bytes: &[u8]) -> Result<(), TestCaseError> {
    let broken = broken_promises(bytes);
    prop_assert!(broken.is_empty(), "{broken:#?}");
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1250))]

    #[test]
    fn any_bytes_are_an_entry(bytes in vec(any::<u8>(), 0..300)) {
        sound(&bytes)?;
    }

    #[test]
    fn any_text_is_an_entry(text in "(?s).{0,200}") {
        sound(text.as_bytes())?;
    }

    #[test]
    fn any_pieces_of_the_format_are_an_entry(text in text()) {
        sound(text.as_bytes())?;
    }

    #[test]
    fn any_entry_may_lose_or_gain_bytes(
        text in text(),
        at in any::<prop::sample::Index>(),
        byte in any::<u8>(),
        gains in any::<bool>(),
    ) {
        let mut bytes = text.into_bytes();
        let at = at.index(bytes.len() + 1);
        if gains {
            bytes.insert(at, byte);
        } else {
            bytes.truncate(at);
        }
        sound(&bytes)?;
    }
}

/// Found by the fuzzer (`fuzz/`): an empty item behind a bullet of three bytes,
/// which Markdown is shown as one.
#[test]
fn bullets_of_several_bytes_are_cut_nowhere() {
    let found = b"---\ndate: 2026evening\xb2\n\n[foo]: rumbaz\xa9\"\n\xe2\x80\xa2 \n[foo\x95]\n";
    assert_eq!(broken_promises(found), [""; 0]);
    for text in [
        "•\t",
        "• ",
        "•  a",
        "    • \n```\n",
        "> • \n",
        "## a\n• \n• \n\n    code\n",
        "[a]: b\n• \n[a]\n",
    ] {
        assert_eq!(broken_promises(text.as_bytes()), [""; 0], "{text:?}");
    }
}
