//! Several things done at once: one by the caller's own thread, each other by
//! a thread of its own.
//!
//! Waits for all of them and passes a panic of any on. Keeps no threads for later.

use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};
use std::thread::{self, Scope, ScopedJoinHandle};

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

/// Has so many `hands` do the same `work`, which they share out among themselves, while
/// something is done `here`; what each came to, in no order.
pub fn shared<A, R: Send>(
    hands: usize,
    work: impl Fn() -> R + Sync,
    here: impl FnOnce() -> A,
) -> (Vec<R>, A) {
    let done = Mutex::new(Vec::new());
    let missing = AtomicUsize::new(hands);
    let one = || {
        let came_to = catch_unwind(AssertUnwindSafe(&work));
        let mut done = done.lock().unwrap_or_else(PoisonError::into_inner);
        done.push(came_to);
    };
    let here = thread::scope(|scope| {
        call(scope, &missing, &one);
        here()
    });
    let done = done.into_inner().unwrap_or_else(PoisonError::into_inner);
    let done = done.into_iter().map(whole).collect();
    (done, here)
}

/// Calls the hands that are missing. Each that has come calls too: a new thread may be
/// put on the processor of the one that made it, and run before that one goes on. The
/// rest would wait until it does, with other processors idle.
fn call<'s>(scope: &'s Scope<'s, '_>, missing: &'s AtomicUsize, work: &'s (impl Fn() + Sync)) {
    let one_less = |missing: usize| missing.checked_sub(1);
    while missing
        .fetch_update(Ordering::Relaxed, Ordering::Relaxed, one_less)
        .is_ok()
    {
        scope.spawn(move || {
            call(scope, missing, work);
            work();
        });
    }
}

/// What a thread came to, or its panic.
fn ended<T>(thread: ScopedJoinHandle<'_, T>) -> T {
    whole(thread.join())
}

fn whole<T>(came_to: thread::Result<T>) -> T {
    came_to.unwrap_or_else(|panic| resume_unwind(panic))
}

#[cfg(test)]
mod tests {
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
    fn hands_share_the_work() {
        let next = AtomicUsize::new(1);
        let take = || next.fetch_add(1, Ordering::Relaxed);
        let (mut done, here) = shared(3, take, || "here");
        done.sort_unstable();
        assert_eq!((done, here), (vec![1, 2, 3], "here"));
        assert_eq!(shared(0, take, take), (vec![], 4));
    }

    #[test]
    fn a_panic_beside_is_passed_on() {
        let said = |panic: Box<dyn std::any::Any + Send>| panic.downcast_ref::<&str>().copied();
        let two = catch_unwind(|| both(|| panic!("beside"), || ()));
        assert_eq!(two.map_err(said), Err(Some("beside")));
        let all = catch_unwind(|| each(&[1, 2], |n| assert!(*n == 1, "second")));
        assert_eq!(all.map_err(said), Err(Some("second")));
        let shared = catch_unwind(|| shared(2, || panic!("shared"), || ()));
        assert_eq!(shared.map_err(said), Err(Some("shared")));
    }
}
