//! Several at work in one journal at the same time.

use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::Duration;

use crate::support::{Ran, Shop, assert_no_panic};

fn start(command: &mut Command) -> Child {
    command
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts")
}

fn end(child: Child) -> Ran {
    child.wait_with_output().expect("it ends").into()
}

#[test]
fn two_keeps_and_a_commit_by_hand_all_land() {
    let shop = Shop::new();
    shop.keep();
    for round in 0..6 {
        shop.removed(&format!("entries/{round}-a.md"), "Horn", "one");
        shop.write(&format!("by-hand-{round}.txt"), "by hand\n");
        let first = start(&mut shop.command(["keep"]));
        shop.removed(&format!("entries/{round}-b.md"), "Lamp", "two");
        let second = start(&mut shop.command(["keep"]));
        let path = format!("by-hand-{round}.txt");
        // git does not wait for locks: it is the person who tries again.
        let by_hand = (0..500).any(|_| {
            thread::sleep(Duration::from_millis(5));
            shop.try_git(["add", &path]).code == Some(0)
                && shop.try_git(["commit", "-qm", "By hand", "--", &path]).code == Some(0)
        });
        assert!(by_hand, "git never got its turn");
        for keep in [first, second] {
            assert_no_panic(&end(keep).ends(0));
        }
        // What was written after both had looked is for the next keep.
        shop.keep();
        shop.assert_clean();
    }
    let files = shop.git(["ls-tree", "-r", "--name-only", "HEAD"]);
    let ours = files
        .lines()
        .filter(|path| path.starts_with("entries/") || path.starts_with("by-hand"));
    assert_eq!(ours.count(), 3 * 6);
    let by_hand = shop.git(["log", "--format=%s", "--grep=By hand"]);
    assert_eq!(by_hand.lines().count(), 6);
}

#[test]
fn what_several_write_at_once_is_all_there() {
    let shop = Shop::new();
    for round in 0..2 {
        let day = format!("2026-03-{:02}", 10 + round);
        let children: Vec<Child> = (0..8)
            .map(|hand| {
                let part = format!("bracket r{round}h{hand}");
                let arguments = ["write", "--date", &day, "--part", &part, "--found", "bent"];
                start(&mut shop.command(arguments))
            })
            .collect();
        for child in children {
            assert_no_panic(&end(child).ends(0));
        }
        for hand in 0..8 {
            let part = shop.run(["part", &format!("bracket r{round}h{hand}")]);
            part.ends(0).shows("bent");
        }
    }
    // One entry a day: each found what the one before had begun.
    let entries = shop.shell("ls entries/2026").out;
    assert_eq!(entries.lines().count(), 2, "{entries}");
    shop.keep();
    shop.assert_clean();
}

#[test]
fn many_questions_while_the_index_is_made_all_get_the_same_answer() {
    let shop = Shop::new();
    for file in 0..80 {
        shop.removed(&format!("entries/{file}.md"), &format!("Hook h{file}"), "x");
    }
    let children: Vec<Child> = (0..8)
        .map(|_| start(&mut shop.command(["find", "hook", "--json", "--most", "999"])))
        .collect();
    let answers: Vec<Ran> = children
        .into_iter()
        .map(|child| end(child).ends(0))
        .collect();
    for answer in &answers {
        assert_no_panic(answer);
        assert_eq!(answer.out, answers[0].out);
    }
    assert_eq!(answers[0].out.matches("\"part\": \"Hook").count(), 80);
}
