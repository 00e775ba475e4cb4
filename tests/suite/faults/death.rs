//! Killed without warning at any moment: nothing is lost, and the next command
//! works.

use std::fs;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use crate::support::{Shop, assert_no_panic, entry, environment, tell};

/// Most of the time a thread waits for a lock to prove itself dead.
const THREADS: usize = 20;

/// How often to kill: as many as `MATCHMARK_TEST_KILLS` says, but not fewer
/// than the usual number.
fn kills(usual: usize) -> usize {
    environment("MATCHMARK_TEST_KILLS")
        .and_then(|count| count.to_str()?.parse().ok())
        .unwrap_or(0)
        .max(usual)
}

/// Numbers without a pattern (xorshift), different in each run.
struct Chance(u64);

impl Chance {
    #[allow(
        clippy::disallowed_methods,
        reason = "every run should kill at other moments"
    )]
    fn new(thread: usize) -> Chance {
        let now = std::time::SystemTime::now();
        let seed = now.duration_since(std::time::UNIX_EPOCH).expect("a time");
        Chance((seed.subsec_nanos() as u64 ^ ((thread as u64) << 40)) | 1)
    }

    fn below(&mut self, limit: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % limit
    }
}

/// When a process is killed.
enum Moment<'a> {
    After(Duration),
    /// As soon as this file is there, however long that takes.
    Sign(&'a Path),
}

/// Kills a process. Whether it was still alive.
#[allow(clippy::disallowed_methods, reason = "the moment is the test")]
fn kill(mut child: Child, moment: Moment) -> bool {
    let begun = Instant::now();
    while matches!(child.try_wait(), Ok(None)) {
        match moment {
            Moment::After(time) if begun.elapsed() >= time => break,
            Moment::After(_) => thread::sleep(Duration::from_micros(300)),
            Moment::Sign(sign) if sign.exists() => break,
            Moment::Sign(_) => thread::yield_now(),
        }
    }
    let alive = matches!(child.try_wait(), Ok(None));
    child.kill().expect("it can be killed");
    child.wait().expect("it ends");
    alive
}

#[cfg(unix)]
#[test]
fn a_keep_told_to_end_or_hung_up_on_stands_in_nobodys_way() {
    use std::os::unix::process::ExitStatusExt;

    let shop = Shop::new();
    shop.keep();
    let (mut ended, mut left, mut left_when_told) = (0, 0, 0);
    for round in 0..9 {
        let path = format!("entries/2026/2026-03-01-{round}.md");
        shop.write(&path, entry(&format!("bracket {round}"), "cracked"));
        let child = shop.command(["keep"]).stdout(Stdio::null()).spawn();
        let mut child = child.expect("the program runs");
        let lock = shop.root.join(".git/index.lock");
        while !lock.exists() && matches!(child.try_wait(), Ok(None)) {
            std::hint::spin_loop();
        }
        let signal = ["-TERM", "-HUP", "-KILL"][round % 3];
        let child_number = child.id().to_string();
        let told = Command::new("kill").args([signal, &child_number]).status();
        told.expect("`kill` runs");
        let status = child.wait().expect("it ends");
        ended += usize::from(status.signal().is_some());
        left += usize::from(lock.exists());
        left_when_told += usize::from(signal == "-TERM" && lock.exists());
        shop.run(["keep"]).ends(0);
        shop.assert_clean();
    }
    assert!(ended > 0, "every keep was done before it was told");
    assert!(left > 0, "no lock was ever left behind");
    // Between making the lock and knowing of it the library cannot remove it.
    assert!(left_when_told <= 2, "{left_when_told} of 3 left a lock");
    tell(&format!(
        "9 keeps told to end, {ended} of them did, {left} left a lock"
    ));
}

fn spread(kills: usize, one: impl Fn(usize, usize) + Sync) {
    let one = &one;
    thread::scope(|scope| {
        for thread in 0..THREADS {
            let rounds = kills.div_ceil(THREADS);
            scope.spawn(move || one(thread, rounds));
        }
    });
}

#[test]
#[allow(clippy::disallowed_methods, reason = "the moment is the test")]
fn a_keep_killed_at_any_moment_loses_nothing() {
    let kills = kills(48);
    let (alive, stale, kept) = (
        AtomicUsize::new(0),
        AtomicUsize::new(0),
        AtomicUsize::new(0),
    );
    spread(kills, |thread, rounds| {
        let shop = Shop::new();
        shop.keep();
        let mut chance = Chance::new(thread);
        let mut texts: Vec<(String, String)> = Vec::new();
        // How long a keep takes here and now, beside all the others.
        let mut usual = 200_000;
        for round in 0..rounds {
            let before = shop.git(["rev-parse", "HEAD"]);
            for part in 0..=chance.below(4) {
                let path = format!("entries/2026/2026-03-{:02}-{round}-{part}.md", 1 + part);
                let text = entry(&format!("bracket r{round}p{part}"), "cracked at the weld");
                shop.write(&path, &text);
                texts.push((path, text));
            }
            let again = chance.below(texts.len() as u64) as usize;
            texts[again].1 += &format!("Looked at again in round {round}.\n");
            shop.write(&texts[again].0.clone(), &texts[again].1);

            let child = shop
                .command(["keep"])
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .spawn()
                .expect("the program runs");
            // Some die in the short moments that chance would seldom meet.
            let (index, branch) = (".git/index.lock", ".git/refs/heads/main.lock");
            let signs = [shop.root.join(index), shop.root.join(branch)];
            let moment = match chance.below(6) {
                0 => Moment::Sign(&signs[0]),
                1 => Moment::Sign(&signs[1]),
                _ => Moment::After(Duration::from_micros(chance.below(usual))),
            };
            if kill(child, moment) {
                alive.fetch_add(1, Ordering::Relaxed);
            }

            shop.assert_sound();
            if shop.git(["rev-parse", "HEAD"]) != before {
                kept.fetch_add(1, Ordering::Relaxed);
            }
            if signs.iter().any(|lock| lock.exists()) {
                stale.fetch_add(1, Ordering::Relaxed);
            }
            let begun = Instant::now();
            let next = shop.run(["keep"]);
            usual = begun.elapsed().as_micros() as u64;
            assert_no_panic(&next);
            next.ends(0);
            shop.assert_clean();
            shop.git(["merge-base", "--is-ancestor", before.trim(), "HEAD"]);
            let listed = shop.git(["ls-tree", "-r", "--name-only", "HEAD", "entries"]);
            assert_eq!(listed.lines().count(), texts.len());
            // git has just said that folder and history are the same.
            for (path, text) in &texts {
                assert_eq!(shop.read(path), *text);
            }
            let question = format!("bracket r{round}p0");
            shop.assert_answers_as_fresh(&["find", &question, "--json"])
                .ends(0);
        }
    });
    let (alive, stale) = (alive.into_inner(), stale.into_inner());
    tell(&format!(
        "{kills} keeps killed, {alive} of them alive, {stale} left a lock, {} were through",
        kept.into_inner()
    ));
    assert!(alive * 3 > kills, "only {alive} were killed at work");
    assert!(stale > 0, "no lock was ever left behind");
}

#[test]
fn a_refresh_killed_at_any_moment_changes_no_answer() {
    const FILES: u64 = 60;
    let kills = kills(32);
    let alive = AtomicUsize::new(0);
    spread(kills, |thread, rounds| {
        let shop = Shop::new();
        let path = |file| format!("entries/2026/2026-03-14-{file}.md");
        for file in 0..FILES {
            shop.removed(&path(file), &format!("bracket p{file}"), "as new");
        }
        shop.run(["find", "bracket"]).ends(0);
        let mut chance = Chance::new(thread);
        for round in 0..rounds {
            // A few are added to the index, many make it begin anew.
            let many = 1 + chance.below([5, FILES][round % 2]);
            for _ in 0..many {
                let file = chance.below(FILES);
                let prose = format!("rusted in round{round}");
                shop.removed(&path(file), &format!("bracket p{file}"), &prose);
            }
            if chance.below(3) == 0 {
                let gone = shop.root.join(path(chance.below(FILES)));
                let _ = fs::remove_file(gone);
            }
            let child = shop
                .command(["find", "bracket"])
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .spawn()
                .expect("the program runs");
            if kill(
                child,
                Moment::After(Duration::from_micros(chance.below(80_000))),
            ) {
                alive.fetch_add(1, Ordering::Relaxed);
            }
            let fresh = shop.texts_alone();
            for question in [format!("\"rusted in round{round}\""), "bracket".to_owned()] {
                shop.assert_answers_as(&fresh, &["find", &question, "--most", "100", "--json"]);
            }
            shop.assert_answers_as(&fresh, &["part", "bracket p7", "--json"]);
            let checked = shop.run(["check"]);
            assert!(!checked.out.contains("index"), "{checked:#?}");
        }
    });
    let alive = alive.into_inner();
    tell(&format!("{kills} refreshes killed, {alive} of them alive"));
    assert!(alive * 4 > kills, "only {alive} were killed at work");
}
