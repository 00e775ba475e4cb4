//! Tables as they come out of spreadsheets and bookkeeping: what each row
//! becomes, and that none is lost, changed or brought in twice.
//!
//! Each table of `tests/data/tables/` has a text beside it: the options, the
//! entries the table becomes, the rows that are left as they stand in it, and why.
//! With `ADOPT_ACCEPT=FOLDER`, what differs is written there, to be read and taken over.

use std::fs;
use std::path::{Path, PathBuf};

use crate::support::{Ran, Shop};

fn tables() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/tables");
    let mut tables: Vec<PathBuf> = fs::read_dir(folder)
        .expect("tables")
        .map(|file| file.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "csv"))
        .collect();
    tables.sort();
    tables
}

/// Adopts a file beside the journal.
fn adopt(shop: &Shop, file: &str, options: &str, yes: bool) -> Ran {
    let table = shop.around().join(file);
    let mut command = shop.command(["adopt"]);
    command.arg(table).args(options.split_whitespace());
    if yes {
        command.arg("--yes");
    }
    command.output().expect("the program runs").into()
}

/// All entries of a journal, each below its path.
fn entries(shop: &Shop) -> String {
    let mut all = String::new();
    for path in shop.git(["ls-files", "entries"]).lines() {
        let text = fs::read(shop.root.join(path)).expect("an entry");
        all.push_str(&format!("== {path}\n{}", String::from_utf8_lossy(&text)));
    }
    all
}

/// A file beside the journal; nothing where there is none.
fn beside(shop: &Shop, name: &str) -> Vec<u8> {
    fs::read(shop.around().join(name)).unwrap_or_default()
}

#[test]
fn every_row_of_odd_tables_is_accounted_for() {
    let mut wrong = Vec::new();
    let tables = tables();
    assert!(tables.len() >= 20);
    for table in tables {
        let expected = fs::read_to_string(table.with_extension("txt")).expect("an expectation");
        let options = expected.lines().next().expect("options");
        let options = options.strip_prefix("options:").expect("options").trim();
        let shop = Shop::new();
        fs::copy(&table, shop.around().join("table.csv")).expect("a copy");
        adopt(&shop, "table.csv", options, true);
        let left = beside(&shop, "table-not-adopted.csv");
        let seen = format!(
            "options:{}{options}\n{}== left, as in the table\n{}== why\n{}",
            if options.is_empty() { "" } else { " " },
            entries(&shop),
            left.escape_ascii().to_string().replace("\\n", "\\n\n"),
            String::from_utf8_lossy(&beside(&shop, "table-not-adopted.txt")),
        );
        if seen != expected {
            wrong.push(format!("{}: now\n{seen}", table.display()));
            if let Some(folder) = crate::support::environment("ADOPT_ACCEPT") {
                let name = table.with_extension("txt");
                let name = name.file_name().expect("a name");
                fs::write(Path::new(&folder).join(name), &seen).expect("written");
            }
        }
        // What is left stands in the table, byte for byte.
        let source = fs::read(&table).expect("a table");
        let holds = |piece: &[u8]| source.windows(piece.len()).any(|window| window == piece);
        let mut pieces = left.split_inclusive(|byte| *byte == b'\n');
        assert!(pieces.all(holds), "{}", table.display());
        // Once more: nothing is added, nothing is left open.
        adopt(&shop, "table.csv", options, false).shows("0 rows to be added");
        let before = entries(&shop);
        adopt(&shop, "table.csv", options, true);
        assert_eq!(entries(&shop), before, "{}", table.display());
        assert_eq!(shop.git(["status", "--porcelain"]), "");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

#[test]
fn what_could_be_read_in_two_ways_is_asked() {
    for (table, options, asked, hint) in [
        (
            "date,text\n3/4/26,x\n",
            "",
            "`3/4/26` could be 2026-04-03 or 2026-03-04",
            "--date-order dmy for 2026-04-03",
        ),
        (
            "date,text\n14/3/2026,x\n3/14/2026,y\n",
            "",
            "two ways: `14/3/2026` and `3/14/2026`",
            "--date-order",
        ),
        (
            "date,text,cost\n2026-03-14,x,\"1,200\"\n",
            "",
            "`1,200` could be 1200 or 1.200",
            "--decimal comma",
        ),
        (
            "date,text,cost\n2026-03-14,x,\"1,20\"\n2026-03-14,y,1.20\n",
            "",
            "two ways: `1,20` and `1.20`",
            "--decimal point",
        ),
        (
            "text,cost\nx,1\n",
            "",
            "no column of the table looks like the date",
            "--day DAY",
        ),
        (
            "date,text,state\n2026-03-14,x,removed\n",
            "--status state",
            "no column has its name",
            "--part COLUMN",
        ),
        (
            "date,text\n2026-03-14,x\n",
            "--text words",
            "no column `words`",
            "date, text",
        ),
        ("PK\u{3}\u{4}...", "", "file of a spreadsheet", "CSV"),
        ("", "", "it is empty", "CSV"),
    ] {
        let shop = Shop::new();
        fs::write(shop.around().join("table.csv"), table).expect("a table");
        let ran = adopt(&shop, "table.csv", options, true).ends(2);
        ran.says(asked).says(hint);
        assert_eq!(shop.try_git(["ls-files"]).out, "");
    }
    // Said, it is read as said; what does not fit is left.
    let shop = Shop::new();
    let table = "date,text,cost\n3/4/26,x,\"1,200\"\n3/14/26,y,1\n";
    fs::write(shop.around().join("table.csv"), table).expect("a table");
    let said = "--date-order dmy --decimal comma";
    adopt(&shop, "table.csv", said, true)
        .ends(1)
        .shows("money: 1.20 EUR");
    assert_eq!(
        String::from_utf8_lossy(&beside(&shop, "table-not-adopted.csv")),
        "date,text,cost\n3/14/26,y,1\n"
    );
}

#[test]
fn rows_that_were_left_can_be_repaired_and_adopted() {
    let shop = Shop::new();
    let table = "Date;Notes;Cost\n14.3.2026;hose;12,50\n15.3.2026;belt;two\nno day;nuts;1\n";
    fs::write(shop.around().join("table.csv"), table).expect("a table");
    let ran = adopt(&shop, "table.csv", "", true)
        .ends(1)
        .shows("money: 12.50 EUR");
    // The same rows are left again: no second file of them.
    adopt(&shop, "table.csv", "", true)
        .ends(1)
        .shows("0 of 3 rows adopted");
    assert!(beside(&shop, "table-not-adopted-2.csv").is_empty());
    let left = String::from_utf8(beside(&shop, "table-not-adopted.csv")).expect("text");
    assert_eq!(left, "Date;Notes;Cost\n15.3.2026;belt;two\nno day;nuts;1\n");
    let repaired = left.replace("two", "2").replace("no day", "1.4.2026");
    fs::write(shop.around().join("table-not-adopted.csv"), repaired).expect("written");
    // The command that was named reads its columns as the whole table was read.
    let out = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let command = out
        .split("once repaired: matchmark ")
        .nth(1)
        .expect("a command");
    shop.run([command.split(' ').collect(), vec!["--yes"]].concat())
        .ends(0)
        .shows("2 of 2 rows adopted")
        .shows("money: 3.00 EUR");
    assert!(entries(&shop).contains("date: 2026-04-01"));
}

#[test]
fn rows_are_counted_by_what_they_say() {
    let shop = Shop::new();
    let head = "Date,Notes,Cost\n";
    let (hose, screws) = ("2026-03-14,hose,12\n", "2026-03-14,screws,4\n");
    let write = |rows: &[&str]| {
        fs::write(
            shop.around().join("table.csv"),
            format!("{head}{}", rows.concat()),
        )
        .expect("a table");
    };
    write(&[hose, screws]);
    adopt(&shop, "table.csv", "", true)
        .ends(0)
        .shows("2 of 2 rows adopted");
    write(&[screws, hose]);
    adopt(&shop, "table.csv", "", true)
        .ends(0)
        .shows("0 of 2 rows adopted");
    // A third time the same purchase is a purchase.
    write(&[screws, screws, hose]);
    adopt(&shop, "table.csv", "", false).shows("1 row to be added, 2 in the journal already");
    adopt(&shop, "table.csv", "", true)
        .ends(0)
        .shows("1 of 3 rows adopted");
    adopt(&shop, "table.csv", "", true)
        .ends(0)
        .shows("0 of 3 rows adopted");
    // What was corrected in the journal does not come back uncorrected.
    let path = "entries/2026/2026-03-14-wren.md";
    let text = fs::read_to_string(shop.root.join(path)).expect("an entry");
    let corrected = text
        .replace("12.00 row", "13.50 row")
        .replace("> hose", "> hose, braided");
    assert_ne!(corrected, text);
    fs::write(shop.root.join(path), corrected).expect("written");
    for _ in 0..2 {
        adopt(&shop, "table.csv", "", true)
            .ends(0)
            .shows("0 of 3 rows adopted");
        shop.run(["keep"]).ends(0);
    }
    shop.run(["tally"]).shows("21.50");
}

#[test]
fn a_vehicle_one_slip_from_another_is_asked_about() {
    let shop = Shop::new();
    let table = "Date,Vehicle,Notes\n2026-03-14,wrenn,x\n2026-03-14,Wren,y\n";
    fs::write(shop.around().join("table.csv"), table).expect("a table");
    adopt(&shop, "table.csv", "", false)
        .ends(0)
        .shows("`wrenn` would be a new vehicle; is it `wren`?");
}

#[test]
fn no_entry_is_written_over_where_an_earlier_one_of_the_day_is_gone() {
    let shop = Shop::new();
    for name in ["one", "two", "three"] {
        let table = format!("date,vehicle,text\n2026-04-12,wren,words of table {name}\n");
        fs::write(shop.around().join(format!("{name}.csv")), table).expect("a table");
    }
    adopt(&shop, "one.csv", "", true).ends(0);
    adopt(&shop, "two.csv", "", true).ends(0);
    fs::remove_file(shop.root.join("entries/2026/2026-04-12-wren.md")).expect("removed");
    shop.keep();
    adopt(&shop, "three.csv", "", true).ends(0);
    let all = entries(&shop);
    for name in ["two", "three"] {
        assert!(all.contains(&format!("words of table {name}")), "{all}");
    }
}
