//! Several things done at once on a few threads of the standard library's.
//!
//! Waits for all of them and passes a panic of any on. Keeps no threads for later.

use std::panic::resume_unwind;
use std::thread::{self, ScopedJoinHandle};

/// Does one thing `beside` another, which is done `here`; returns both results.
pub fn both<A: Send, B>(beside: impl FnOnce() -> A + Send, here: impl FnOnce() -> B) -> (A, B) {
    thread::scope(|scope| {
        let beside = scope.spawn(beside);
        let here = here();
        (joined(beside), here)
    })
}

/// Does the same with each of the `items`, on at most `threads` threads of which the
/// caller's is one; returns the results in the order of the items.
pub fn each<'i, T: Sync, R: Send>(
    threads: usize,
    items: &'i [T],
    work: impl Fn(&'i T) -> R + Sync,
) -> Vec<R> {
    let shares = items.chunks(items.len().div_ceil(threads.max(1)).max(1));
    let work = |share: &'i [T]| share.iter().map(&work).collect::<Vec<R>>();
    thread::scope(|scope| {
        let work = &work;
        let mut shares = shares;
        let first = shares.next().unwrap_or_default();
        let others: Vec<_> = shares
            .map(|share| scope.spawn(move || work(share)))
            .collect();
        let mut done = work(first);
        done.extend(others.into_iter().flat_map(joined));
        done
    })
}

/// The result of a thread, or its panic.
fn joined<T>(thread: ScopedJoinHandle<'_, T>) -> T {
    thread.join().unwrap_or_else(|panic| resume_unwind(panic))
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;
    use std::panic::catch_unwind;

    use super::*;

    #[test]
    fn both_give_their_own_result() {
        assert_eq!(both(|| 1, || "two"), (1, "two"));
    }

    #[test]
    fn results_stand_in_the_order_of_the_items_on_few_threads() {
        let items: Vec<usize> = (0..1_000).collect();
        for threads in 0..5 {
            let done = each(threads, &items, |item| (item * 10, thread::current().id()));
            let tens: Vec<usize> = items.iter().map(|item| item * 10).collect();
            assert!(done.iter().map(|(ten, _)| ten).eq(&tens), "{threads}");
            let used: HashSet<_> = done.iter().map(|(_, thread)| *thread).collect();
            assert_eq!(used.len(), threads.max(1));
        }
        assert_eq!(each(4, &[], |item: &i32| *item), Vec::<i32>::new());
    }

    #[test]
    fn a_panic_is_passed_on() {
        let said = |panic: Box<dyn std::any::Any + Send>| panic.downcast_ref::<&str>().copied();
        let two = catch_unwind(|| both(|| panic!("beside"), || ()));
        assert_eq!(two.map_err(said), Err(Some("beside")));
        let all = catch_unwind(|| each(2, &[1, 2], |n| assert!(*n == 1, "second")));
        assert_eq!(all.map_err(said), Err(Some("second")));
    }
}
