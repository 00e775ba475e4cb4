//! Small files that could keep a reader busy for hours: each is read well
//! within the time a person waits, here with much to spare for slow machines.

use std::cell::Cell;
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

use matchmark::entry::{read, write};
use matchmark::ledger::Ledger;

use super::context;
use super::growth::spent;

/// How much of the worst is tried.
const LARGE: usize = 1_000_000;

/// How much of everything else is tried: enough that what takes four times as
/// long for twice as much does not end in time.
const SIZE: usize = 40_000;

const LIMIT: Duration = Duration::from_secs(15);

const ABOVE: &str = "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# An evening\n\n";

/// `begin`, then `again` over and over, then `end`.
fn filled(begin: &str, again: &str, end: &str) -> String {
    filled_to(SIZE, begin, again, end)
}

fn filled_to(size: usize, begin: &str, again: &str, end: &str) -> String {
    let times = (size - begin.len() - end.len()) / again.len();
    format!("{begin}{}{end}", again.repeat(times))
}

/// Below the title.
fn below(again: &str) -> String {
    filled(ABOVE, again, "\n")
}

/// In the front matter.
fn front(begin: &str, again: &str, end: &str) -> String {
    filled(
        &format!("---\n{begin}"),
        again,
        &format!("{end}\n---\n\n# An evening\n"),
    )
}

/// Reads a text; whether writing gives it again, and how much is said of problems.
fn read_and_written(text: &str) -> (bool, usize) {
    let (entry, problems) = read(text, &context());
    let lengths = problems
        .iter()
        .map(|problem| problem.message.len() + problem.hint.as_deref().map_or(0, str::len));
    (write(&entry) == text, lengths.sum())
}

/// Reads a text in a thread of its own, so that one that hangs is named. Returns for how
/// long the thread had a processor.
fn in_time(name: &str, text: String) -> Duration {
    let (send, receive) = mpsc::channel();
    thread::Builder::new()
        .stack_size(8 << 20)
        .spawn(move || {
            let done = Cell::default();
            // Dropping counts too.
            let nanoseconds = spent(&|| done.set(read_and_written(&text)));
            let answer = (done.get(), text.len(), nanoseconds);
            send.send(answer).expect("someone waits");
        })
        .expect("a thread");
    let ((same, said), len, nanoseconds) = receive
        .recv_timeout(LIMIT)
        .unwrap_or_else(|error| panic!("{name}: {error}"));
    assert!(same, "{name}: writing gives another text");
    assert!(
        said <= 4 * len.max(SIZE) + 150_000,
        "{name}: problems of {said} bytes"
    );
    Duration::from_nanos(nanoseconds)
}

/// Reads a text of half the size in a third of the time: that finds what is quadratic about
/// as well. Only the time of the processor counts, since other work can take turns with it.
fn half_in_time(name: &str, begin: &str, again: &str) {
    let took = in_time(name, filled_to(SIZE / 2, begin, again, ""));
    assert!(took <= LIMIT / 3, "{name}: {took:?}");
}

/// Lists in lists, each item two blanks further in.
fn stairs() -> String {
    let mut text = format!("{ABOVE}## Horn\n");
    for depth in 0..500 {
        text.push_str(&" ".repeat(2 * depth));
        text.push_str("- a: b\n");
    }
    text
}

#[test]
fn megabytes_are_read_in_time() {
    let large = |begin: &str, again: &str| filled_to(LARGE, begin, again, "\n");
    let record = format!("{ABOVE}## Horn\n\n- bag: 4\n");
    for (name, text) in [
        ("one line", large(ABOVE, "word ")),
        ("quotes in quotes", large(ABOVE, "> ")),
        ("lists in lists", large(&record, "- ")),
        (
            "the short form",
            large(&format!("{ABOVE}- removed: "), "a;"),
        ),
        (
            "values of a fact",
            large(&format!("{record}- after: "), "a; "),
        ),
        (
            "headings",
            format!("{ABOVE}{}", "## Horn\n\nProse.\n\n".repeat(20_000)),
        ),
        (
            "records",
            format!("{ABOVE}{}", "## Horn\n- bag: 4\n\n".repeat(20_000)),
        ),
        (
            "facts",
            format!("{record}{}", "- found: rust\n".repeat(20_000)),
        ),
        (
            "brackets",
            large(&format!("{record}- hardware: 4 nut "), "("),
        ),
        ("links", large(ABOVE, "[")),
        ("pictures", large(ABOVE, "![")),
        ("stars", large(ABOVE, "*a ")),
        ("backticks", large(ABOVE, "`` ` ")),
        ("angles", large(ABOVE, "<")),
        ("tables", large(ABOVE, "| a | b |\n|---|---|\n")),
        (
            "commas in a heading",
            large(&format!("{ABOVE}## Horn"), ","),
        ),
        ("flow lists", filled_to(LARGE, "---\na: ", "[", "\n---\n")),
        ("keys", filled_to(LARGE, "---\n", "a: b\n", "---\n")),
        ("aliases", filled_to(LARGE, "---\n", "&a *a\n", "---\n")),
    ] {
        in_time(name, text);
    }
}

#[test]
fn markdown_of_any_depth_is_read_in_time() {
    in_time("quotes in quotes", below("> "));
    in_time(
        "quotes in quotes, a line each",
        below(&format!("{}a\n", "> ".repeat(1_000))),
    );
    in_time("lists in lists", below("- "));
    in_time(
        "lists in lists under a heading",
        filled(&format!("{ABOVE}## Horn\n"), "- ", "a\n"),
    );
    in_time("numbered lists in lists", below("1. "));
    in_time("lists further and further in", stairs());
    in_time("lists in quotes in lists", below("> - "));
    let lists = "- ".repeat(10_000);
    in_time(
        "lists in lists, then empty lines",
        filled(&format!("{ABOVE}{lists}a"), "\n", "a\n"),
    );
    in_time(
        "lists in lists, then lines",
        filled(&format!("{ABOVE}{lists}a\n"), "a\n", ""),
    );
    let quotes = "> ".repeat(10_000);
    in_time(
        "quotes in quotes, then lines",
        filled(&format!("{ABOVE}{quotes}a\n"), "a\n", ""),
    );
}

#[test]
fn marks_without_end_are_read_in_time() {
    for mark in [
        "(",
        "[",
        "![",
        "<",
        "*",
        "_",
        "`",
        "~",
        "&",
        "\\",
        "|",
        "#",
        "=",
        "-",
        "+",
        "\"",
        "*a",
        "_a ",
        "*a_ ",
        "`a``",
        "[a](",
        "[a][",
        "[a]: ",
        "<a ",
        "<!",
        "<?",
        "<![CDATA[",
        "<!--",
        "a@b.",
        "&amp;",
        "&#1",
        "![[]()",
        "\u{0}",
        "\u{feff}",
        "\u{301}",
        "½",
        "İ",
        "\t",
        " ",
        "\r",
        "\n",
        "| a ",
        "**a *",
        "](",
        "](<",
        "]()",
    ] {
        in_time(&format!("{mark:?} in one line"), below(mark));
    }
    for mark in [
        "[a]: b\n",
        "[a]\n\n",
        "|a|\n|-|\n",
        "```\n",
        "~~~\n\n",
        "<div>\n",
        "<!--\n\n",
        "a\n===\n",
        "> a\n\n",
        "    a\n\n",
        "##a\n\n    b\n\n",
        "* * *\n",
        "`\n",
        "*a\n",
        "[\n",
    ] {
        in_time(&format!("{mark:?} in lines"), below(mark));
    }
    let ticks: String = (1..700)
        .map(|count| format!("{} ", "`".repeat(count)))
        .collect();
    in_time(
        "longer and longer runs of backticks",
        format!("{ABOVE}{ticks}"),
    );
}

#[test]
fn one_line_of_facts_is_read_in_time() {
    for key in [
        "removed",
        "bare",
        "undone",
        "holds",
        "after",
        "at",
        "hardware",
        "bag",
        "needs",
        "done",
        "cost",
        "lesson",
        "replaced by",
        "footage",
        "tool",
        "torque",
        "status",
        "surface",
        "number",
        "photo",
        "hours",
        "system",
        "date",
        "vehicle",
        "helpers",
        "sent to",
        "also",
        "Removd",
        "weight",
        "title",
    ] {
        for (again, kind) in [
            ("a;", "values"),
            ("(", "brackets"),
            ("a, ", "commas"),
            ("4 nut, bag 1; ", "pieces"),
            ("lower ", "words"),
            ("a: ", "colons"),
            ("½", "fractions"),
        ] {
            let name = format!("`{key}` of many {kind}");
            in_time(
                &format!("{name}, short form"),
                filled(&format!("{ABOVE}- removed: horn\n- {key}: "), again, "\n"),
            );
            in_time(
                &format!("{name}, record"),
                filled(
                    &format!("{ABOVE}## Horn\n\n- bag: 1\n- {key}: "),
                    again,
                    "\n",
                ),
            );
        }
        in_time(
            &format!("`{key}` of many values, front matter"),
            front(&format!("date: 2026-03-14\n{key}: "), "a; ", "a"),
        );
        in_time(
            &format!("`{key}` of many values, front matter of a part"),
            front(&format!("part: horn\n{key}: "), "a; ", "a"),
        );
    }
}

/// Long enough to be dear, and too short to be left alone as no line that anyone writes.
#[test]
fn a_status_of_many_pieces_is_read_in_time() {
    let begin = format!("{ABOVE}## Horn\n\n- bag: 1\n- removed: ");
    in_time("many pieces", filled_to(5_000, &begin, "a;", "\n"));
}

#[test]
fn many_lines_are_read_in_time() {
    for line in [
        "## a\n",
        "##a\n",
        "## Horn\n- bag: 4\n",
        "## Horn\n- also: hooter\n\n",
        "- removed: a\n",
        "- bag: 4\n",
        "- weight: 4\n",
        "-\n",
        "- a\n",
        "## Bag 4\n- holds: a\n",
        "## Brakes\n- removed: a\n",
        "# a\n- removed: a\n",
        "### a\n- removed: a\n",
        "- needs: a\n- done: a\n",
        "- replaced by: used\n  - kind: used\n",
        "  - a: b\n",
        "- removed: a\n  - a; b\n",
        "\u{1b}\n",
        "a\r",
        "• bag: 4\n",
        "- at: left\n",
        "<<<<<<< a\n",
        "- status: removed\n",
        "- date: 2026-03-14\n",
        "## a, left\n- at: right\n",
    ] {
        half_in_time(&format!("many of {line:?}"), ABOVE, line);
        half_in_time(
            &format!("many of {line:?} under a heading"),
            &format!("{ABOVE}## Horn\n- bag: 4\n"),
            line,
        );
        half_in_time(
            &format!("many of {line:?} after a status"),
            "---\nstatus: removed\npart: horn\n---\n",
            line,
        );
    }
    in_time(
        "a heading of many commas",
        filled(&format!("{ABOVE}## a"), ",", "\n- bag: 4\n"),
    );
    in_time(
        "a heading of many positions",
        filled(&format!("{ABOVE}## a"), ", left", "\n- bag: 4\n"),
    );
    in_time(
        "a heading of many words",
        filled(&format!("{ABOVE}## "), "left front ", "\n- bag: 4\n"),
    );
    in_time(
        "a title of many words",
        filled("# ", "left front ", "\n- removed: a\n"),
    );
    in_time(
        "a bag of many words",
        filled(&format!("{ABOVE}## Bag "), "left front ", "\n- holds: a\n"),
    );
}

/// What stands once and counts for many must not be copied without end.
#[test]
fn facts_shared_by_many_are_read_in_time() {
    let half = SIZE / 2;
    let parts = format!("- removed: {}\n", "a; ".repeat(600)).repeat(half / 1_800);
    let facts = "- bag: 4\n".repeat(half / 9);
    in_time(
        "many parts share many facts",
        format!("{ABOVE}{parts}{facts}"),
    );
    let clips = "a; ".repeat(3_000);
    let sections = "## Horn\n- found: a\n\n".repeat(half / 20);
    in_time(
        "many records take over many clips",
        format!("---\nfootage: {clips}\n---\n\n{sections}"),
    );
    let clips = "footage: a; b; c; d\n".repeat(half / 20);
    in_time(
        "many records take over many lines of clips",
        format!("---\n{clips}---\n\n{sections}"),
    );
    let places = format!("- at: {}\n", "left; right; ".repeat(1_500)).repeat(10);
    in_time(
        "many places share many facts",
        format!("{ABOVE}## Horn\n\n{places}{facts}"),
    );
}

#[test]
fn yaml_of_any_shape_is_read_in_time() {
    for (begin, again, end) in [
        ("", "[", ""),
        ("", "{", ""),
        ("a: ", "[", "]"),
        ("", "- ", "a"),
        ("", "? ", "a"),
        ("", "{a: ", "b"),
        ("", "a: b\n", ""),
        ("", "- a\n", ""),
        ("a: [", "b, ", "c]"),
        ("{", "a: b, ", "c: d}"),
        ("a: \"", "b", "\""),
        ("a: \"", "\\n", "\""),
        ("a: '", "''", "'"),
        ("a: |\n", "  b\n", ""),
        ("a: >\n", "  b\n\n", ""),
        ("a: ", "b ", ""),
        ("", "&a *a\n", ""),
        ("a: ", "&a ", ""),
        ("", "!a ", ""),
        ("", "# c\n", ""),
        ("", "a: b # c\n", ""),
        ("a: b #", "c #", ""),
        ("", "%a\n", ""),
        ("", "\t", ""),
        ("a:\n", " ", "b"),
        ("a: b", "\n", ""),
        ("a", "b", ": c"),
        ("", "a", ""),
        ("a: ", ": ", ""),
        ("", "<<<<<<< a\n", ""),
        ("", "footage: a\n", ""),
        ("", "lesson: drain: first\n", ""),
        ("a:\n", "  - b\n", ""),
        ("", "?\n", ""),
        ("", ":\n", ""),
        ("a: ", "\u{0}", ""),
        ("a: ", "\u{feff}", ""),
        ("a: ", "@", ""),
        ("a: ", "`", ""),
    ] {
        in_time(
            &format!("front matter of {begin:?} and many {again:?}"),
            front(begin, again, end),
        );
    }
    let mut bomb = "a0: &a0 [b, b, b, b, b, b, b, b, b, b]\n".to_owned();
    for level in 1..60 {
        let above = format!("*a{}, ", level - 1).repeat(10);
        bomb.push_str(&format!(
            "a{level}: &a{level} [{}]\n",
            above.trim_end_matches(", ")
        ));
    }
    in_time("aliases of aliases", format!("---\n{bomb}---\n"));
}

/// Sections of one entry, each with its number in place of `%`, folded and looked at for
/// contradictions.
#[test]
fn many_records_are_folded_in_time() {
    for section in [
        "## Horn\n- needs: paint % it\n- done: turned\n\n",
        "## Horn\n- question: why %\n- answer: because\n\n",
        "## Horn\n- status: fitted\n- needs: paint %\n\n",
        "## Horn\n- bag: %\n- hardware: 4 nut\n\n",
        "## Horn\n- undone: wire %, to horn %\n- replaced by: used\n\n",
        "## Horn %\n- after: bracket %x\n\n",
        "## Horn %\n\nProse.\n\n## Bracket %\n- bag: %\n\n",
        "## Horn\n- also: hooter %\n\n",
        "## Horn %\n- also: horn 1%\n\n",
        "## Bag %\n- holds: horn; horn %\n\n",
        "## %aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa\n- bag: 4\n\n",
    ] {
        let times = SIZE / section.len();
        let sections: String = (0..times)
            .map(|number| section.replace('%', &number.to_string()))
            .collect();
        folded_in_time(section, format!("{ABOVE}{sections}"));
    }
    // Found by the fuzzer: one letter over and over, in a name just short enough
    // to be compared.
    let names: String = (0..SIZE / 200)
        .map(|number| format!("## {0}{number}\n- after: {0}b{number}\n\n", "a".repeat(50)))
        .collect();
    folded_in_time("names of one letter", format!("{ABOVE}{names}"));
    let name = "a".repeat(SIZE);
    folded_in_time(
        "a name without end",
        format!("{ABOVE}## {name}\n- after: {name}b\n"),
    );
}

fn folded_in_time(name: &str, text: String) {
    let (send, receive) = mpsc::channel();
    thread::spawn(move || {
        let entries = [read(&text, &context()).0];
        let ledger = Ledger::fold(&entries);
        let problems = ledger.problems(&entries);
        let said: usize = problems
            .iter()
            .map(|problem| problem.message.len() + problem.hint.as_deref().map_or(0, str::len))
            .sum();
        send.send((said, text.len())).expect("someone waits");
    });
    let (said, len) = receive
        .recv_timeout(LIMIT)
        .unwrap_or_else(|error| panic!("{name}: {error}"));
    assert!(said <= 40 * len, "{name}: problems of {said} bytes");
}
