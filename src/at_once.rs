//! Several things done at once: one by the caller's own thread, each other by
//! a thread of its own.
//!
//! Waits for all of them and passes a panic of any on. Keeps no threads for later.

use std::panic::resume_unwind;
use std::thread::{self, ScopedJoinHandle};

/// Does one thing `beside` another, which is done `here`; what both came to.
pub fn both<A: Send, B>(beside: impl FnOnce() -> A + Send, here: impl FnOnce() -> B) -> (A, B) {
    thread::scope(|scope| {
        let beside = scope.spawn(beside);
        let here = here();
        (ended(beside), here)
    })
}

/// Does the same with each of a few `items`; what it came to, in their order.
pub fn each<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let Some((first, others)) = items.split_first() else {
        return Vec::new();
    };
    thread::scope(|scope| {
        let work = &work;
        let others: Vec<_> = others
            .iter()
            .map(|item| scope.spawn(move || work(item)))
            .collect();
        let mut done = vec![work(first)];
        done.extend(others.into_iter().map(ended));
        done
    })
}

/// What a thread came to, or its panic.
fn ended<T>(thread: ScopedJoinHandle<'_, T>) -> T {
    thread.join().unwrap_or_else(|panic| resume_unwind(panic))
}

#[cfg(test)]
mod tests {
    use std::panic::catch_unwind;

    use super::*;

    #[test]
    fn both_come_to_their_own() {
        assert_eq!(both(|| 1, || "two"), (1, "two"));
    }

    #[test]
    fn each_in_its_place() {
        assert_eq!(each(&[3, 1, 2], |n| n * 10), [30, 10, 20]);
        assert_eq!(each(&[], |n: &i32| *n), Vec::<i32>::new());
    }

    #[test]
    fn a_panic_beside_is_passed_on() {
        let said = |panic: Box<dyn std::any::Any + Send>| panic.downcast_ref::<&str>().copied();
        let two = catch_unwind(|| both(|| panic!("beside"), || ()));
        assert_eq!(two.map_err(said), Err(Some("beside")));
        let all = catch_unwind(|| each(&[1, 2], |n| assert!(*n == 1, "second")));
        assert_eq!(all.map_err(said), Err(Some("second")));
    }
}
