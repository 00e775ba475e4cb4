//! `tally` against sums made without the program: of the demo's lines, of
//! journals made up at random, and of what is known to the cent.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use jiff::civil::date;
use matchmark::journal::{Contents, gather};
use matchmark::ledger::Ledger;
use matchmark::reports::spending::spending;
use matchmark::reports::tally::{TallyGrouping, TallyRow, tally};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::Value;

use crate::support::{Shop, toured};

/// Amounts by currency, in minor units, and minutes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Whole {
    minutes: u64,
    money: BTreeMap<String, i128>,
}

impl Whole {
    fn pay(&mut self, currency: &str, minor: i64) {
        *self.money.entry(currency.to_owned()).or_default() += i128::from(minor);
    }

    /// The sum of rows, each currency for itself.
    fn of_rows(rows: &[TallyRow]) -> Whole {
        let mut whole = Whole::default();
        for row in rows {
            whole.minutes += row.sum.minutes;
            for money in &row.sum.money {
                whole.pay(money.currency.code(), money.minor);
            }
        }
        whole
    }

    /// What the JSON of a sum says.
    fn of_json(sum: &Value) -> Whole {
        let mut whole = Whole {
            minutes: sum["minutes"].as_u64().expect("minutes"),
            money: BTreeMap::new(),
        };
        for money in sum["money"].as_array().expect("money") {
            let amount = money["amount"].as_str().expect("an amount");
            let minor = amount.replace('.', "").parse().expect("digits");
            whole.pay(money["currency"].as_str().expect("a currency"), minor);
        }
        whole
    }
}

fn contents(texts: &[String]) -> Contents {
    let vehicle = |slug: &str, budget: &str| {
        let text = format!("---\nname: {slug} of ours\nbudget: {budget}\n---\n");
        (format!("vehicles/{slug}.md"), text.into_bytes())
    };
    let mut files = vec![vehicle("wren", "1000"), vehicle("pavetta", "USD 50")];
    files.extend(texts.iter().enumerate().map(|(at, text)| {
        let path = format!("entries/2026/2026-03-01-{at}-x.md");
        (path, text.clone().into_bytes())
    }));
    gather(files)
}

/// `minor` as it is written in a currency, by its decimals in ISO 4217.
fn written(minor: i64, currency: &str) -> String {
    let decimals = match currency {
        "JPY" => 0,
        "KWD" => 3,
        _ => 2,
    };
    let digits = format!("{:0>1$}", minor.unsigned_abs(), decimals + 1);
    let (whole, part) = digits.split_at(digits.len() - decimals);
    let sign = if minor < 0 { "-" } else { "" };
    let point = if decimals > 0 { "." } else { "" };
    format!("{currency} {sign}{whole}{point}{part}")
}

/// A text with what it must come to.
type Told = (String, Whole);

fn amount() -> impl Strategy<Value = (i64, &'static str)> {
    let currency = select(vec!["EUR", "EUR", "GBP", "USD", "JPY", "KWD"]);
    (-500_000_i64..5_000_000, currency)
}

/// A section about a part: one to three places, hours, costs, a new unit whose
/// price may stand there twice.
fn section() -> impl Strategy<Value = Told> {
    let name = select(vec![
        "Drum",
        "Horn",
        "Tank",
        "brakes",
        "wren of ours",
        "Häube",
    ]);
    let at = select(vec![
        "",
        "left",
        "left; right",
        "left front; right front; rear",
    ]);
    let own = select(vec![
        "",
        "- system: fuel\n",
        "- vehicle: pavetta\n",
        "- date: 2026-04-02\n",
    ]);
    let unit = prop::option::of((
        select(vec!["used", "reproduction", "made", "a better one"]),
        prop::option::of(select(vec!["an old hand", "An  old hand", "pavetta, horn"])),
        prop::option::of((1_000_000_i64..9_000_000, select(vec!["EUR", "GBP"]))),
        any::<bool>(),
    ));
    let parts = (name, at, own, vec(amount(), 0..3), 0_u32..200, unit);
    parts.prop_map(|(name, at, own, costs, minutes, unit)| {
        let mut whole = Whole::default();
        let mut text = format!("## {name}\n\n- found: as it is\n{own}");
        if !at.is_empty() {
            text += &format!("- at: {at}\n");
        }
        if minutes > 0 {
            whole.minutes += u64::from(minutes);
            text += &format!("- hours: {}:{:02}\n", minutes / 60, minutes % 60);
        }
        for (minor, currency) in costs {
            whole.pay(currency, minor);
            text += &format!("- cost: {} something\n", written(minor, currency));
        }
        if let Some((kind, from, cost, twice)) = unit {
            text += &format!("- replaced by: {kind}\n  - old: scrapped\n");
            if let Some(from) = from {
                text += &format!("  - from: {from}\n");
            }
            if let Some((minor, currency)) = cost {
                // Said inside and beside: paid once.
                whole.pay(currency, minor);
                text += &format!("  - cost: {}\n", written(minor, currency));
                if twice {
                    text += &format!("- cost: {}\n", written(minor, currency));
                }
            }
        }
        (text + "\nA word.\n\n", whole)
    })
}

/// An entry: hours of its own or less than its sections say, costs in front, a
/// short form, with a vehicle or none.
fn entry() -> impl Strategy<Value = Told> {
    let vehicle = select(vec![
        "vehicle: wren\n",
        "vehicle: wren\n",
        "vehicle: pavetta\n",
        "",
    ]);
    let front = select(vec![
        "",
        "system: brakes\n",
        "part: Lamp\nat: left; right\n",
    ]);
    let short = prop::option::of((amount(), 0_u32..100));
    let parts = (
        (1_i8..29, vehicle, front),
        prop::option::of(0_u32..600),
        vec(amount(), 0..3),
        short,
        vec(section(), 0..4),
    );
    parts.prop_map(|((day, vehicle, front), hours, costs, short, sections)| {
        told(day, vehicle, front, hours, &costs, short, sections)
    })
}

#[allow(clippy::too_many_arguments, reason = "one for each line of a text")]
fn told(
    day: i8,
    vehicle: &str,
    front: &str,
    hours: Option<u32>,
    costs: &[(i64, &'static str)],
    short: Option<((i64, &'static str), u32)>,
    sections: Vec<Told>,
) -> Told {
    let mut whole = Whole::default();
    let mut text = format!("---\ndate: 2026-03-{day:02}\n{vehicle}{front}");
    if let Some(minutes) = hours {
        text += &format!("hours: {}:{:02}\n", minutes / 60, minutes % 60);
    }
    if !costs.is_empty() {
        text += "cost:\n";
    }
    for (minor, currency) in costs {
        whole.pay(currency, *minor);
        text += &format!("  - {} whatever\n", written(*minor, currency));
    }
    text += "---\n\n# An evening\n\n";
    // Under the title of a single part stand its own facts, not a short form.
    if let Some(((minor, currency), minutes)) = short.filter(|_| !front.starts_with("part")) {
        whole.pay(currency, minor);
        whole.minutes += u64::from(minutes);
        text += &format!(
            "- removed: Bolt, left; Nut; Ring\n- cost: {}\n- hours: {}:{:02}\n\n",
            written(minor, currency),
            minutes / 60,
            minutes % 60
        );
    }
    for (section, sum) in sections {
        text += &section;
        whole.minutes += sum.minutes;
        for (currency, minor) in sum.money {
            *whole.money.entry(currency).or_default() += minor;
        }
    }
    // Sections have shares of the entry's hours; the larger of both was worked.
    whole.minutes = whole.minutes.max(hours.map_or(0, u64::from));
    (text, whole)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(250))]

    #[test]
    fn by_any_key_the_rows_are_the_whole(told in vec(entry(), 0..7)) {
        let texts: Vec<String> = told.iter().map(|(text, _)| text.clone()).collect();
        let contents = contents(&texts);
        let ledger = Ledger::fold(&contents.entries);
        let context = contents.context();
        let postings = spending(&contents.entries, &ledger, None, &context);
        let mut whole = Whole::default();
        for (_, sum) in told {
            whole.minutes += sum.minutes;
            for (currency, minor) in sum.money {
                *whole.money.entry(currency).or_default() += minor;
            }
        }
        for by in TallyGrouping::ALL {
            let tally = tally(&postings, by, &context);
            prop_assert_eq!(&Whole::of_rows(&tally.rows), &whole, "{}", by.word());
            let total = TallyRow { key: None, vehicle: None, sum: tally.total };
            prop_assert_eq!(&Whole::of_rows(&[total]), &whole);
        }
    }

    #[test]
    fn a_day_parts_the_whole_in_two(told in vec(entry(), 0..7), day in 1_i8..29) {
        let texts: Vec<String> = told.into_iter().map(|(text, _)| text).collect();
        let contents = contents(&texts);
        let context = contents.context();
        let all = spending(&contents.entries, &Ledger::fold(&contents.entries), None, &context);
        let last = date(2026, 3, day);
        let then = Ledger::fold_until(&contents.entries, Some(last));
        let then = spending(&contents.entries, &then, Some(last), &context);
        let until: Vec<_> = all.into_iter().filter(|own| own.date.is_some_and(|day| day <= last)).collect();
        prop_assert_eq!(
            tally(&then, TallyGrouping::Month, &context).rows,
            tally(&until, TallyGrouping::Month, &context).rows
        );
    }
}

/// The demo's hours and costs as they stand in its lines, read without the
/// program: hours of front matters (sections have shares of these), and every
/// amount behind `cost`.
fn demo_by_hand() -> Whole {
    let mut whole = Whole::default();
    let entries = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-journal/entries");
    for year in fs::read_dir(entries).expect("years") {
        for file in fs::read_dir(year.expect("a year").path()).expect("entries") {
            let text = fs::read_to_string(file.expect("an entry").path()).expect("a text");
            let mut nested = false;
            for line in text.lines() {
                if let Some(hours) = line.strip_prefix("hours: ") {
                    let (hours, minutes) = hours.split_once(':').unwrap_or((hours, "0"));
                    whole.minutes += hours.parse::<u64>().expect("hours") * 60;
                    whole.minutes += minutes.parse::<u64>().expect("minutes");
                }
                let amount = match line.trim_start_matches([' ', '-']).strip_prefix("cost:") {
                    Some(amount) => Some(amount.trim()),
                    None if nested => line.strip_prefix("  - "),
                    None => None,
                };
                nested = amount.is_some_and(|amount| amount.is_empty() || nested);
                if let Some(amount) = amount.filter(|amount| !amount.is_empty()) {
                    let (currency, amount) = match amount.strip_prefix("GBP ") {
                        Some(amount) => ("GBP", amount),
                        None => ("EUR", amount),
                    };
                    let number = amount.split(' ').next().expect("a number");
                    let (euros, cents) = number.split_once('.').expect("cents");
                    assert_eq!(cents.len(), 2, "{line}");
                    let minor = format!("{euros}{cents}");
                    whole.pay(currency, minor.parse().expect("digits"));
                }
            }
        }
    }
    whole
}

#[test]
fn the_demo_comes_to_what_its_lines_say() {
    let shop = toured();
    let journal = shop.root.clone();
    let answer = |arguments: &[&str]| -> Value {
        let output = shop
            .command_in(&journal, [&["tally", "--json"], arguments].concat())
            .output()
            .expect("the program runs");
        serde_json::from_slice(&output.stdout).expect("JSON")
    };
    let by_hand = demo_by_hand();
    assert!(
        by_hand.minutes > 9_000 && by_hand.money.len() == 2,
        "{by_hand:?}"
    );
    for by in TallyGrouping::ALL {
        let tally = answer(&["--by", by.word()]);
        assert_eq!(tally["by"], by.word());
        assert_eq!(Whole::of_json(&tally["total"]), by_hand, "{}", by.word());
        let mut rows = Whole::default();
        for row in tally["rows"].as_array().expect("rows") {
            let own = Whole::of_json(row);
            rows.minutes += own.minutes;
            for (currency, minor) in own.money {
                *rows.money.entry(currency).or_default() += minor;
            }
        }
        assert_eq!(rows, by_hand, "{}", by.word());
    }
    // Units cost what `replaced` says they cost.
    let output = shop
        .command_in(&journal, ["replaced", "--json"])
        .output()
        .expect("the program runs");
    let replaced: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let mut units = Whole::default();
    for row in replaced["rows"].as_array().expect("rows") {
        if let Some(amount) = row["new"]["cost"]["amount"].as_str() {
            let currency = row["new"]["cost"]["currency"].as_str().expect("a currency");
            units.pay(currency, amount.replace('.', "").parse().expect("digits"));
        }
    }
    let mut kinds = Whole::default();
    for row in answer(&["--by", "kind"])["rows"].as_array().expect("rows") {
        if !row["key"].is_null() {
            for (currency, minor) in Whole::of_json(row).money {
                *kinds.money.entry(currency).or_default() += minor;
            }
        }
    }
    assert_eq!(kinds, units);
}

/// A journal in which every rule about money and time occurs once.
fn shop_with_rules() -> Shop {
    let shop = Shop::new();
    shop.write("vehicles/wren.md", "---\nname: Wren\nbudget: 100\n---\n");
    shop.write(
        "entries/2026/2026-03-01-one.md",
        "---\ndate: 2026-03-01\nvehicle: wren\nsystem: brakes\nhours: 3:00\ncost: 10.00 rags\n---\n\n# One\n\n\
         ## Drum\n\n- hours: 1:15\n- cost: JPY 1200 paint\n\n\
         ## Pump\n\n- system: fuel\n- replaced by: used\n  - from: Aunt Ida\n  - cost: 45.00\n- cost: 45.00\n- cost: -5.50 core\n",
    );
    shop.write(
        "entries/2026/2026-04-02-two.md",
        "---\ndate: 2026-04-02\nhours: 0:20\ncost: KWD 1.250 stamps\n---\n\n# No vehicle\n",
    );
    shop.write(
        "entries/2026/2026-04-03-three.md",
        "---\nvehicle: wren\nhours: 9\ncost: 99\n---\n\n# No day\n",
    );
    shop.write(
        "entries/2026/2026-04-04-four.md",
        "---\ndate: 2026-04-04\nvehicle: wren\npart: Pump\nhours: 0:30\n---\n\n# Pump\n\n- replaced by: used\n  - number: 77\n  - cost: 60.00\n",
    );
    shop
}

#[test]
fn every_rule_about_money_and_time() {
    let shop = shop_with_rules();
    let csv = |arguments: &[&str]| {
        let ran = shop.run([&["tally", "--as", "csv"], arguments].concat());
        ran.out.replace("\r\n", "\n")
    };
    // 60.00 is the pump's price said again: a unit is paid once.
    assert_eq!(
        csv(&["--by", "system"]),
        "system,of_vehicle,minutes,amount,currency\n\
         brakes,,180,10.00,EUR\nbrakes,,0,1200,JPY\nfuel,,30,54.50,EUR\n,,20,1.250,KWD\n"
    );
    assert_eq!(
        csv(&["--by", "part"]),
        "part,of_vehicle,minutes,amount,currency\n\
         Pump,wren,30,54.50,EUR\nDrum,wren,75,1200,JPY\n\
         ,,125,10.00,EUR\n,,0,1.250,KWD\n"
    );
    assert_eq!(
        csv(&["--by", "supplier", "--on", "2026-03-31"]),
        "supplier,of_vehicle,minutes,amount,currency\n\
         Aunt Ida,,0,45.00,EUR\n,,180,4.50,EUR\n,,0,1200,JPY\n"
    );
    assert_eq!(
        csv(&["--by", "month", "--since", "2026-04", "--vehicle", "wren"]),
        "month,of_vehicle,minutes,amount,currency\n2026-03,,0,,\n2026-04,,30,60.00,EUR\n"
            .replace("2026-03,,0,,\n", "")
    );
    let shown = shop.run(["tally", "--by", "vehicle"]).ends(0);
    let shown = shown
        .shows("without a vehicle")
        .shows("budget of wren 100.00 EUR: 64.50 EUR spent (64 %), 35.50 EUR left; and 1200 JPY besides")
        .shows("not counted: 9:00 h and 99.00 EUR in texts without a day")
        .shows("entries/2026/2026-04-03-three.md:3");
    assert!(
        shown.out.lines().all(|line| line.chars().count() <= 80),
        "{shown:?}"
    );
    // A budget says nothing about a part of the work.
    let part = shop.run(["tally", "--system", "brakes"]).ends(0);
    assert!(!part.out.contains("budget"), "{part:?}");
    shop.run(["tally", "--vehicle", "wren", "--part", "pump"])
        .ends(0)
        .shows("total 0:30 h 54.50 EUR");
}

#[test]
fn an_answer_of_nothing_is_no() {
    let shop = Shop::new();
    shop.run(["tally"]).ends(1).shows("no hours and no money");
    shop.run(["tally", "--as", "csv"]).ends(1).shows("system,");
    let empty = shop.run(["tally", "--json"]).ends(1);
    let empty: Value = serde_json::from_str(&empty.out).expect("JSON");
    assert_eq!(empty["total"]["minutes"], 0);
    shop.run(["tally", "--by", "moon"])
        .ends(2)
        .says("possible values");
    shop.run(["tally", "--as", "csv", "--json"])
        .ends(2)
        .says("cannot be used with");
    shop.run(["tally", "--vehicle", "nobody"])
        .ends(2)
        .says("no vehicle");
    shop.run(["tally", "--part", "nothing"])
        .ends(2)
        .says("no part");
    shop.run(["tally", "--since", "someday"])
        .ends(2)
        .says("no day");
}

#[test]
fn a_budget_can_be_overrun() {
    let shop = shop_with_rules();
    shop.write("vehicles/wren.md", "---\nbudget: 20.50\n---\n");
    shop.run(["tally"]).ends(0).shows("44.00 EUR over");
    shop.write("vehicles/wren.md", "---\nbudget: USD 20\n---\n");
    shop.run(["tally"])
        .ends(0)
        .shows("0.00 USD spent (0 %), 20.00 USD left; and 64.50 EUR, 1200 JPY besides");
}
