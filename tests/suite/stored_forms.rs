//! What the index keeps is read back by position: a changed type under an old number
//! would read old bytes as something else. So the types and the number change
//! together.

use std::fs;
use std::path::{Path, PathBuf};

/// The number of the stored form, and a checksum of all types that can be stored.
/// When the second one differs: raise `FORM` in `command_line/fresh_index.rs`, and
/// write both here.
const KNOWN: (u32, u64) = (31, 0x6f33_79d9_4108_559c);

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for item in fs::read_dir(folder).expect("a folder of sources") {
        let path = item.expect("an item").path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|kind| kind == "rs") {
            found.push(path);
        }
    }
    found.sort();
}

/// The items of a source that serde reads, without comments and empty lines: what
/// derives it and what implements it.
fn stored(source: &str) -> String {
    let code = source.lines().map(str::trim_end);
    let code: Vec<&str> = code
        .filter(|line| !line.is_empty() && !line.trim_start().starts_with("//"))
        .collect();
    let begins = |line: &str| {
        (line.trim_start().starts_with("#[derive(") && line.contains("Deserialize"))
            || (line.starts_with("impl") && line.contains("erialize"))
    };
    let mut items = String::new();
    let mut at = 0;
    while at < code.len() {
        if !begins(code[at]) {
            at += 1;
            continue;
        }
        let margin = code[at].len() - code[at].trim_start().len();
        loop {
            let line = code[at];
            items.push_str(line.trim_start());
            items.push('\n');
            at += 1;
            let ends = line.len() > margin
                && !line[margin..].starts_with([' ', '#'])
                && line.ends_with(['}', ';']);
            if ends || at == code.len() {
                break;
            }
        }
    }
    items
}

/// FNV-1a, which stays the same with every compiler.
fn checksum(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |sum, byte| {
        (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

fn form() -> u32 {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/command_line/fresh_index.rs");
    let source = fs::read_to_string(path).expect("the source");
    let behind = source.split_once("const FORM: u32 = ").expect("FORM").1;
    let digits = behind.split_once(';').expect("its value").0;
    digits.parse().expect("a number")
}

#[test]
fn a_changed_stored_type_has_a_new_number() {
    let mut found = Vec::new();
    sources(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("src"),
        &mut found,
    );
    let items: String = found
        .iter()
        .map(|path| stored(&fs::read_to_string(path).expect("a source is text")))
        .collect();
    assert!(items.contains("pub struct PlaceState"), "{items}");
    let now = (form(), checksum(&items));
    assert_eq!(
        now, KNOWN,
        "a stored type has changed: see KNOWN\n{now:#x?}"
    );
}

#[test]
fn what_counts_for_a_stored_type() {
    let plain = "/// A.\n#[derive(Debug, Deserialize)]\npub struct A {\n    /// One.\n    one: u32,\n}\nfn f() {}\n";
    let other = plain.replace("One.", "Another word.");
    assert_eq!(stored(plain), stored(&other));
    assert!(
        stored(plain).ends_with("one: u32,\n}\n"),
        "{}",
        stored(plain)
    );
    assert_ne!(stored(plain), stored(&plain.replace("u32", "u64")));
    assert_eq!(stored("#[derive(Debug)]\nstruct B(u32);\n"), "");
    assert!(stored("#[derive(Deserialize)]\nstruct B(u32);\nfn g() {}\n").ends_with("B(u32);\n"));
}
