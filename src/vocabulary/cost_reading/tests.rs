//! Costs as people write them, and those that are asked about.

use super::*;

fn read(text: &str) -> String {
    match read_cost(text, Currency::EUR) {
        Ok(read) => {
            let asked = read.doubts.iter().any(|doubt| {
                !matches!(doubt, CostDoubt::CommaAsDecimal | CostDoubt::InBrackets(_))
            });
            let mark = if asked { " ?" } else { "" };
            format!("{}{mark} | {}", read.cost.money, read.cost.text)
        }
        Err(error) => format!("error: {error}"),
    }
}

#[test]
fn amounts_behind_a_semicolon_are_costs_of_their_own() {
    for (text, pieces, may_be) in [
        ("2400 bus; 185 tow", 2, true),
        ("42 inspection; 118 plates; 760 tires, four", 3, true),
        ("12.50 washers; 3.50 post", 2, true),
        // A whole number of few may count pieces: that is asked.
        ("12 washers; 4 left", 1, true),
        ("84.50 hinge; reproduction", 1, false),
        ("84.50 hinge", 1, false),
    ] {
        assert_eq!(costs_in(text, Currency::EUR).len(), pieces, "{text}");
        assert_eq!(may_be_another(text).is_some(), may_be, "{text}");
    }
}

#[test]
fn costs_as_people_write_them() {
    for (text, expected) in [
        (
            "84.50 hinge, reproduction",
            "84.50 EUR | hinge, reproduction",
        ),
        ("GBP 12 postage", "12.00 GBP | postage"),
        ("£12.5", "12.50 GBP | "),
        ("12 GBP postage", "12.00 GBP | postage"),
        ("1,234 respray", "1234.00 EUR | respray"),
        ("1.234,50 chrome", "1234.50 EUR | chrome"),
        ("1 234,50 respray", "1234.50 EUR | respray"),
        ("12,50 bulbs", "12.50 EUR | bulbs"),
        ("−20 core", "-20.00 EUR | core"),
        ("-£20 core", "-20.00 GBP | core"),
        ("£-20 core", "-20.00 GBP | core"),
        ("JPY 1200", "1200 JPY | "),
        ("KWD 1.5", "1.500 KWD | "),
        (".50", "0.50 EUR | "),
        ("20, shop supplies", "20.00 EUR | shop supplies"),
        ("45,- gasket set", "45.00 EUR | gasket set"),
        ("EUR 84.-", "84.00 EUR | "),
        ("40€ hoses", "40.00 EUR | hoses"),
        ("84,50 €", "84.50 EUR | "),
        ("fifty euros, jack", "50.00 EUR | jack"),
        ("2k for the respray", "2000.00 EUR | respray"),
        ("3 x 4.50 plugs", "13.50 EUR | plugs"),
        ("2 pcs à 6.50 seals", "13.00 EUR | seals"),
        ("6 stk @ 2.50 clips", "15.00 EUR | clips"),
        ("£4 each, 3 hoses", "12.00 GBP | hoses"),
        ("2 @ £14.50 wheel cylinders", "29.00 GBP | wheel cylinders"),
        ("4 valve caps at 4.50 each", "18.00 EUR | 4 valve caps at"),
        ("12.50 + 4.90 postage, pin", "17.40 EUR | postage, pin"),
        ("£32 + £6.50 post", "38.50 GBP | post"),
        ("100 + 19% VAT, machining", "119.00 EUR | VAT, machining"),
        ("50 less 10% tyre paint", "45.00 EUR | tyre paint"),
        (
            "119 incl. 19% VAT, drums",
            "119.00 EUR | incl. 19% VAT, drums",
        ),
        ("free - from the neighbour", "0.00 EUR | from the neighbour"),
        ("refund 15.00 wrong seal", "-15.00 EUR | refund wrong seal"),
        (
            "got £20 back on the core",
            "-20.00 GBP | got back on the core",
        ),
        ("bushings, 40.25 CAD", "40.25 CAD | bushings"),
        ("seals 18.20", "18.20 EUR | seals"),
        (
            "12 two nuts 1/2-13, 14 washers",
            "12.00 EUR | two nuts 1/2-13, 14 washers",
        ),
        ("JPY 5000 lamp (EUR 31)", "5000 JPY | lamp (EUR 31)"),
        ("4 seals @ 3.50", "14.00 EUR | 4 seals @"),
        ("12.50 each x 4", "50.00 EUR | "),
        ("minus 20 core", "-20.00 EUR | minus core"),
        ("€ 1.200,- motor", "1200.00 EUR | motor"),
        ("1 200 € motor", "1200.00 EUR | motor"),
        ("Fr. 80.-- carb", "80.00 CHF ? | carb"),
        ("CAD$40 pads", "40.00 CAD | pads"),
        ("3/8 drill 4.50", "4.50 EUR | 3/8 drill"),
        ("80 cents, bulb", "0.80 EUR | bulb"),
        ("16 euro 20, made up", "16.20 EUR | made up"),
        ("eleven euro fifty", "11.50 EUR | "),
        ("15€50", "15.50 EUR | "),
        ("bearings 2x 9,00", "18.00 EUR | bearings"),
    ] {
        assert_eq!(read(text), expected, "{text}");
    }
}

#[test]
fn costs_that_are_asked_about() {
    for (text, amount) in [
        ("approx 40 paint", "40.00 EUR"),
        ("40ish for paint", "40.00 EUR"),
        ("about forty", "40.00 EUR"),
        ("20 quid horn", "20.00 GBP"),
        ("a tenner for bolts", "10.00 GBP"),
        ("fiver", "5.00 GBP"),
        ("fifty bucks", "50.00 USD"),
        ("$14 wipers", "14.00 USD"),
        ("1965 wing badge", "1965.00 EUR"),
        ("12 pads, 14€", "14.00 EUR"),
        ("4 bolts 12", "12.00 EUR"),
        ("4 seals, 14 total", "14.00 EUR"),
        ("12.50€/pc, lens", "12.50 EUR"),
        ("40 EUR (approx)", "40.00 EUR"),
        ("2 for 15", "15.00 EUR"),
        ("20 max", "20.00 EUR"),
        ("100 plus VAT machining", "100.00 EUR"),
        ("4.50 each", "4.50 EUR"),
        ("20 core returned", "20.00 EUR"),
        ("brake fluid 12", "12.00 EUR"),
        ("84.50 hinge, 12 postage", "84.50 EUR"),
        ("EUR 12.00 and EUR 14 for the post", "12.00 EUR"),
        ("15 usd + 22 post", "37.00 USD"),
        ("20 (or 22)", "20.00 EUR"),
        ("25 -5 core", "25.00 EUR"),
        ("40 deposit, 40 on collection", "40.00 EUR"),
        ("20 quoted", "20.00 EUR"),
        ("20 to be paid", "20.00 EUR"),
        ("20 est.", "20.00 EUR"),
        ("12.50 a pop", "12.50 EUR"),
        ("12.50 per side", "12.50 EUR"),
    ] {
        let read = read(text);
        assert!(read.starts_with(&format!("{amount} ?")), "{text}: {read}");
    }
    for text in [
        "lining set",
        "?",
        "XYZ 12",
        "84,500.5.1",
        "12,50,30",
        "30-40 wire",
        "£40-50",
        "30 to 40",
        "12.5O",
        "l2.50 set",
        "1e3 gaskets",
        "--5 core",
        "99999999999999999999",
        "1.005",
        "1.250 grinding",
        "JPY 12.5",
        "5 Euro 50 pins",
        "£3 10s",
        "12/6 spanner",
        "35 USD + 12 EUR customs",
        "50 kr bolts",
        "swap for beer",
        "twelve fifty",
        "free postage",
        "40 / 2 paint",
        "",
    ] {
        assert!(read(text).starts_with("error"), "{text}: {}", read(text));
    }
}

proptest::proptest! {
    #[test]
    fn any_line_can_be_read(text in "([0-9]{1,4}|[.,+@%€$£ ()'/-]|x|eur|plus|each|for|\\PC){0,12}") {
        let _ = read_cost(&text, Currency::EUR);
    }
}
