//! Money and hours: what is shown reads back as the same, and what is shared
//! among places adds up to the whole.

use matchmark::entry::{Entry, read_file};
use matchmark::ledger::Ledger;
use matchmark::vocabulary::cost_reading::read_cost;
use matchmark::vocabulary::hours::Minutes;
use matchmark::vocabulary::hours_reading::{ReadHours, read_hours};
use matchmark::vocabulary::money::{Currency, Money};
use proptest::prelude::*;
use proptest::sample::select;

use super::context;

/// Hours above six digits are taken for a slip, so they do not read back.
const MOST_MINUTES: u32 = 999_999 * 60 + 59;

fn currency() -> impl Strategy<Value = Currency> {
    select(vec!["EUR", "GBP", "USD", "JPY", "ISK", "KWD", "BHD", "CLF"])
        .prop_map(|code| Currency::from_code(code).expect(code))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    // The smallest number there is has no positive twin, so its digits alone
    // are too large.
    #[test]
    fn money_reads_back(minor in (i64::MIN + 1)..=i64::MAX, currency in currency(), usual in currency()) {
        let money = Money { minor, currency };
        let behind = read_cost(&money.to_string(), usual);
        prop_assert_eq!(behind.map(|read| read.cost.money), Ok(money));
        let before = format!("{} {} a hinge", currency.code(), money.amount());
        let before = read_cost(&before, usual).map(|read| (read.cost.money, read.cost.text));
        prop_assert_eq!(before, Ok((money, "a hinge".to_owned())));
    }

    #[test]
    fn hours_read_back(minutes in 0..=MOST_MINUTES) {
        let minutes = Minutes(minutes);
        prop_assert_eq!(read_hours(&minutes.to_string()), ReadHours::Exactly(minutes));
    }

    #[test]
    fn money_never_panics(text in "[-+€£$ A-Z0-9.,'½]{0,24}", usual in currency()) {
        let _ = read_cost(&text, usual);
    }

    #[test]
    fn hours_never_panic(text in "[-+0-9.:½ hmin]{0,16}") {
        let _ = read_hours(&text);
    }

    #[test]
    fn shares_of_places_add_up(
        places in places(),
        minor in -1_000_000_i64..1_000_000,
        inside in 1_000_001_i64..2_000_000,
        minutes in 0_u32..2_000,
        pieces in 1_u32..500,
        each in any::<bool>(),
    ) {
        let currency = Currency::EUR;
        let cost = Money { minor, currency }.amount();
        let inside_amount = Money { minor: inside, currency }.amount();
        let hours = Minutes(minutes);
        let each_word = if each { " each" } else { "" };
        let text = format!(
            "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# An evening\n\n## Hinge\n\n\
             - at: {}\n- cost: {cost} paint\n- hours: {hours}\n- hardware: {pieces} nut{each_word}\n\
             - replaced by: used\n  - cost: {inside_amount}\n",
            places.join("; ")
        );
        let sums = Sums::of(&text);
        prop_assert_eq!(sums.places, places.len());
        prop_assert_eq!(sums.minor, minor + inside);
        prop_assert_eq!(sums.minutes, minutes);
        let times = if each { u32::try_from(places.len()).unwrap_or(1) } else { 1 };
        prop_assert_eq!(sums.pieces, pieces * times);
    }

    #[test]
    fn shares_of_a_short_form_add_up(
        parts in 1_usize..12,
        minor in -1_000_000_i64..1_000_000,
        minutes in 0_u32..2_000,
        places in places(),
    ) {
        let cost = Money { minor, currency: Currency::EUR }.amount();
        let names: Vec<String> = (0..parts).map(|part| format!("thing number {part}x")).collect();
        let text = format!(
            "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# An evening\n\n\
             - removed: {}\n- cost: {cost} postage\n- hours: {}\n- at: {}\n",
            names.join("; "), Minutes(minutes), places.join("; ")
        );
        let sums = Sums::of(&text);
        prop_assert_eq!(sums.places, parts * places.len());
        prop_assert_eq!(sums.minor, minor);
        prop_assert_eq!(sums.minutes, minutes);
    }
}

/// One to five positions, none twice.
fn places() -> impl Strategy<Value = Vec<&'static str>> {
    let all = [
        "left front",
        "right front",
        "left rear",
        "right rear",
        "upper",
        "spare",
    ];
    (1_usize..=5).prop_flat_map(move |count| prop::sample::subsequence(all.to_vec(), count))
}

#[derive(Debug, Default)]
struct Sums {
    places: usize,
    minor: i64,
    minutes: u32,
    pieces: u32,
}

impl Sums {
    fn of(text: &str) -> Sums {
        let (entry, _): (Entry, _) = read_file("entries/2026/2026-03-14-x.md", text, &context());
        let ledger = Ledger::fold(&[entry]);
        let mut sums = Sums::default();
        for state in ledger.places.values() {
            sums.places += 1;
            sums.minor += state
                .costs
                .iter()
                .map(|spent| spent.cost.money.minor)
                .sum::<i64>();
            sums.minutes += state.hours.iter().map(|hours| hours.value.0).sum::<u32>();
            sums.pieces += state
                .hardware
                .iter()
                .map(|pieces| pieces.hardware.count())
                .sum::<u32>();
        }
        sums
    }
}

/// A place named twice in one line is one place, and has the whole of it.
#[test]
fn a_place_named_twice_is_one_place() {
    let text = "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# An evening\n\n## Hinge\n\n- at: left; right; left\n- hardware: 6 screw\n- status: removed\n";
    let (entry, _) = read_file("entries/2026/2026-03-14-x.md", text, &context());
    let ledger = Ledger::fold(&[entry]);
    assert_eq!(Sums::of(text).pieces, 6);
    for state in ledger.places.values() {
        assert_eq!(state.timeline.len(), 1, "{}", state.label());
        assert!(state.problems.is_empty(), "{:?}", state.problems);
        assert_eq!(state.hardware[0].hardware.count(), 3);
    }
}
