//! How long a plan takes as a journal grows. Nothing here is a test: it is run
//! by hand, in release, and what it prints stands in `docs/performance.md`.

use std::fmt::Write;
use std::time::{Duration, Instant};

use matchmark::entry::read_file;
use matchmark::ledger::Ledger;
use matchmark::reports::refit::{RefitReport, plan};

use crate::formats::context;
use crate::support::tell;

/// A journal of about `places` parts that are all off: in each entry a corner of
/// ten parts, each behind the one before, hanging on an earlier corner; one part
/// in three needs something, every tenth is a piece of its neighbour.
fn journal(places: usize) -> Ledger {
    let mut entries = Vec::new();
    let systems = ["brakes", "fuel", "body"];
    for corner in 0..places / 10 {
        let (year, month, day) = (1900 + corner / 336, corner / 28 % 12 + 1, corner % 28 + 1);
        let system = systems[corner % 3];
        let mut text = format!(
            "---\ndate: {year}-{month:02}-{day:02}\nvehicle: wren\nsystem: {system}\nstatus: removed\n---\n\n# A corner\n\n"
        );
        for part in 0..10 {
            let _ = write!(
                text,
                "## Part {corner} {part}\n\n- hardware: 4 bolt 3/8-24 x 1, bag {corner}\n"
            );
            if part > 0 {
                let _ = writeln!(text, "- after: part {corner} {}", part - 1);
            }
            if part == 9 && corner > 0 {
                let _ = writeln!(text, "- after: part {} 0", corner / 2);
                let _ = writeln!(text, "- of: part {corner} 8");
            }
            if part % 3 == 0 {
                let _ = writeln!(text, "- needs: clean and paint it");
            }
            let _ = write!(text, "- lesson: do part {corner} 0 first\n\n");
        }
        let path = format!("entries/{year}/{year}-{month:02}-{day:02}-corner.md");
        entries.push(read_file(&path, &text, &context()).0);
    }
    Ledger::fold(&entries)
}

/// The shortest of some runs.
#[allow(clippy::disallowed_methods, reason = "a measurement needs a clock")]
fn shortest(work: &dyn Fn()) -> Duration {
    let run = |_| {
        let start = Instant::now();
        work();
        start.elapsed()
    };
    (0..7).map(run).min().unwrap_or_default()
}

#[test]
#[ignore = "a measurement: cargo test --release --test suite growth -- --ignored --nocapture"]
fn growth() {
    let systems = context().systems;
    for places in [500, 5_000, 50_000] {
        let ledger = journal(places);
        let order = shortest(&|| {
            let plan = plan(&ledger, "wren", &systems);
            assert_eq!(plan.steps.len(), places);
        });
        let now = shortest(&|| {
            let plan = plan(&ledger, "wren", &systems);
            let blocking = plan.blocking();
            assert!(!plan.now(false).steps.is_empty() && !blocking.is_empty());
        });
        let all = shortest(&|| {
            let answer = RefitReport::new(&ledger, "wren", &systems, false);
            assert!(!answer.lessons.is_empty());
        });
        tell(&format!(
            "{places:>6} places: order {order:?}, with what can go on and what blocks {now:?}, with all that belongs to a step {all:?}"
        ));
    }
}
