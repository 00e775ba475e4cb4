//! Any bytes as an entry: decoded, read, written back, folded, looked at for
//! contradictions. None of it may panic, and writing gives what was read.

#![no_main]

use libfuzzer_sys::fuzz_target;
use matchmark::entry::{Context, Vehicle, decode, read_file, write};
use matchmark::ledger::{Ledger, fold_place};
use matchmark::reports::check::check;
use matchmark::vocabulary::money::Currency;
use matchmark::vocabulary::position::Driven;

fuzz_target!(|bytes: &[u8]| {
    let vehicle = |slug: &str, driven: Driven| Vehicle {
        slug: slug.to_owned(),
        name: format!("{slug} of 1957"),
        driven,
    };
    let context = Context {
        systems: ["brakes", "fuel", "body"].map(str::to_owned).to_vec(),
        vehicles: vec![
            vehicle("wren", Driven::Right),
            vehicle("pavetta", Driven::Unsaid),
        ],
        currency: Currency::EUR,
    };
    let decoded = decode(bytes.to_vec());
    let (entry, problems) = read_file("entries/2026-03-14.md", &decoded.text, &context);
    assert_eq!(write(&entry), decoded.text);
    if decoded.faithful {
        assert_eq!(decoded.text.as_bytes(), bytes);
    }
    for problem in problems.iter().chain(&decoded.problems) {
        assert!(problem.spot.line >= 1 && problem.spot.column >= 1);
    }
    let entries = [entry];
    let ledger = Ledger::fold(&entries);
    for (key, state) in &ledger.places {
        let alone = fold_place(key, &entries, &ledger.aliases);
        assert_eq!(alone.as_ref(), Some(state));
    }
    let today = jiff::civil::date(2026, 11, 24);
    let all = check(&entries, &ledger, &problems, &context.systems, today, &|_| false);
    assert!(all.iter().all(|problem| problem.spot.file == entries[0].path));
});
