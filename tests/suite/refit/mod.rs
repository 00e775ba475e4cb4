//! Putting it back: the order against what a mechanic insists on, against a
//! graph library, and against its own rules on made-up journals.

mod graphs;
mod growth;
mod journals;
mod page;
mod pairs;
mod records;
mod shop;
mod steps;
mod trade;
mod vehicles;

use serde_json::Value;

use crate::support::{Shop, assert_no_panic};

/// An entry of a day in March.
fn day(shop: &Shop, day: u32, front: &str, body: &str) {
    shop.write(
        &format!("entries/2026/2026-03-{day:02}-work.md"),
        format!("---\ndate: 2026-03-{day:02}\nvehicle: wren\n{front}---\n\n# Work\n\n{body}"),
    );
}

/// What `refit` answers.
#[track_caller]
fn json(shop: &Shop, arguments: &[&str]) -> Value {
    let ran = shop.run([&["refit", "--json"], arguments].concat());
    assert_no_panic(&ran);
    serde_json::from_str(&ran.out).unwrap_or_else(|error| panic!("{error}: {ran:?}"))
}
