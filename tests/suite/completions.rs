//! What a shell is offered when a person presses Tab.

use super::support::{Ran, Shop, assert_no_panic};

/// What is offered for the last of these words, a line each.
fn offered(shop: &Shop, shell: &str, words: &[&str]) -> Vec<String> {
    let mut command = shop.command(["--", "matchmark"]);
    command
        .args(words)
        .env("MATCHMARK_COMPLETE", shell)
        .env("_CLAP_COMPLETE_INDEX", words.len().to_string())
        .env("_CLAP_IFS", "\n");
    if shell == "bash" {
        command.env("_CLAP_COMPLETE_COMP_TYPE", "9");
        command.env("_CLAP_COMPLETE_SPACE", "true");
    }
    let ran: Ran = command.output().expect("the program runs").into();
    assert_no_panic(&ran);
    assert_eq!(ran.err, "", "{ran:?}");
    ran.out
        .lines()
        .map(|line| {
            // Behind a value some shells are told what it is.
            let sign = if shell == "zsh" { ':' } else { '\t' };
            line.split(sign).next().unwrap_or_default().to_owned()
        })
        .collect()
}

fn has(offers: &[String], word: &str) -> bool {
    offers.iter().any(|offer| offer == word)
}

#[test]
fn the_tab_key_offers_what_the_journal_holds() {
    let shop = Shop::new();
    shop.write(
        "entries/2026/2026-03-14-a.md",
        "---\ndate: 2026-03-14\nvehicle: wren\n---\n\n# Off\n\n## Brake drum, left front\n\n- status: removed\n\n## Horn\n\n- status: removed\n",
    );
    // Before there is an index nothing is offered, and none is made.
    assert_eq!(
        offered(&shop, "fish", &["part", "br"]),
        Vec::<String>::new()
    );
    assert!(!shop.root.join(".matchmark/index").exists());
    shop.run(["find", "horn"]).ends(0);
    for shell in ["bash", "fish", "zsh", "elvish"] {
        assert!(
            has(&offered(&shop, shell, &["part", "--vehicle", ""]), "wren"),
            "{shell}"
        );
        assert!(
            has(
                &offered(&shop, shell, &["find", "x", "--system", "br"]),
                "brakes"
            ),
            "{shell}"
        );
        assert!(
            has(
                &offered(&shop, shell, &["write", "--status", "re"]),
                "removed"
            ),
            "{shell}"
        );
        assert!(
            has(&offered(&shop, shell, &["refit", "--to", "ho"]), "Horn"),
            "{shell}"
        );
        assert!(
            has(&offered(&shop, shell, &["needs", "--as", ""]), "calendar"),
            "{shell}"
        );
        let statuses = offered(&shop, shell, &["part", "--status", ""]);
        assert!(
            !has(&statuses, "wren") && statuses.len() > 5,
            "{statuses:?}"
        );
    }
    // A name of several words is put into the line in one piece.
    assert_eq!(
        offered(&shop, "bash", &["tally", "--part", "brake\\ dr"]),
        ["Brake\\ drum,\\ left\\ front"]
    );
    assert_eq!(
        offered(&shop, "fish", &["tally", "--part", "brake dr"]),
        ["Brake drum, left front"]
    );
}

#[test]
fn the_journal_named_on_the_line_is_asked() {
    let shop = Shop::new();
    shop.run(["begin", "../other", "--vehicle", "Pavetta 125"])
        .ends(0);
    let offers = offered(&shop, "bash", &["-j", "../other", "part", "--vehicle", ""]);
    assert_eq!(offers, ["pavetta-125"]);
    // Outside of any journal there is nothing to offer, and no complaint.
    let offers = offered(&shop, "bash", &["-j", "/", "part", "--vehicle", ""]);
    assert!(!has(&offers, "wren"), "{offers:?}");
}

#[test]
fn the_script_of_each_shell_asks_this_program() {
    let shop = Shop::new();
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        shop.run(["completions", shell])
            .ends(0)
            .shows("MATCHMARK_COMPLETE");
    }
    let checked = shop.shell("\"$MATCHMARK\" completions bash > script && bash -n script");
    assert_eq!((checked.code, checked.err.as_str()), (Some(0), ""));
}
