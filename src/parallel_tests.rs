use std::ops::ControlFlow;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

use super::*;
use crate::{Error, Observer};

#[test]
fn every_piece_is_done_once() {
    for count in [0, 1, 2, 3, 1000] {
        let mut seen = vec![0; count];
        for_each(seen.iter_mut(), |seen| *seen += 1);
        assert!(seen.iter().all(|seen| *seen == 1));
    }
}

#[test]
fn results_keep_the_order() {
    let items: Vec<usize> = (0..1000).collect();
    assert_eq!(
        map(&items, |item| item * 2),
        Ok(items.iter().map(|item| item * 2).collect())
    );
}

#[test]
fn loops_within_loops_stay_on_their_thread() {
    let items: Vec<usize> = (0..16).collect();
    let sums = map(&items, |item| {
        let own = thread::current().id();
        let inner = map(&items, |other| {
            assert_eq!(thread::current().id(), own);
            item * other
        });
        inner.map(|inner| inner.iter().sum::<usize>())
    });
    let wanted: Vec<_> = items.iter().map(|item| Ok(item * 120)).collect();
    assert_eq!(sums, Ok(wanted));
    // The mark is taken back: this thread shares out again.
    assert!(!WITHIN.get());
}

#[test]
fn alone_all_is_done_on_the_thread_that_asks() {
    let items: Vec<usize> = (0..1000).collect();
    let own = thread::current().id();
    let doubled = || {
        map(&items, |item| {
            assert_eq!(thread::current().id(), own);
            item * 2
        })
    };
    let wanted = Ok(items.iter().map(|item| item * 2).collect());
    on_one_thread(|| {
        assert_eq!(doubled(), wanted);
        // One within another takes nothing back.
        on_one_thread(|| assert!(WITHIN.get()));
        assert_eq!(doubled(), wanted);
        let observer = Observer::new();
        observer.stop();
        assert_eq!(observer.run(|| map(&items, |_| ())), Err(Error::Stopped));
    });
    assert!(!WITHIN.get());
}

#[test]
fn a_stop_reaches_every_thread() {
    let observer = Observer::new();
    let done = AtomicUsize::new(0);
    let result = observer.run(|| {
        for_each(0..100_000_usize, |_| {
            if done.fetch_add(1, Ordering::Relaxed) == 10 {
                observer.stop();
            }
            thread::sleep(Duration::from_micros(10));
        });
    });
    assert_eq!(result, Err(Error::Stopped));
    // Each thread ends the piece it is at, and may take one that it was about to take.
    assert!(done.load(Ordering::Relaxed) < 11 + 2 * threads());
}

#[test]
fn a_map_that_is_stopped_gives_no_results() {
    let observer = Observer::new();
    let mut inner = Ok(Vec::new());
    let result = observer.run(|| {
        observer.stop();
        inner = map(&[1, 2, 3], |item| *item);
    });
    assert_eq!((inner, result), (Err(Error::Stopped), Err(Error::Stopped)));
}

#[test]
fn the_caller_polls_while_others_work() {
    let polled = std::sync::Arc::new(AtomicUsize::new(0));
    let caller = thread::current().id();
    let counter = std::sync::Arc::clone(&polled);
    let observer = Observer::with_poll(move |_| {
        assert_eq!(thread::current().id(), caller);
        counter.fetch_add(1, Ordering::Relaxed);
        ControlFlow::Continue(())
    });
    // With one core the caller does every piece itself and polls between them.
    let pieces = threads().max(2);
    observer
        .run(|| for_each(0..pieces, |_| thread::sleep(3 * POLL_INTERVAL)))
        .unwrap();
    assert!(polled.load(Ordering::Relaxed) >= 1);
}

#[test]
fn progress_counts_the_pieces_of_the_outermost_loop() {
    let observer = Observer::new();
    let items: Vec<usize> = (0..8).collect();
    let inner = observer.run(|| map(&items, |_| map(&items, |item| *item)));
    assert!(inner.is_ok());
    assert_eq!(
        (observer.progress().done, observer.progress().total),
        (8, 8)
    );
}
