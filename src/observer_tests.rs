use std::sync::atomic::{AtomicUsize, Ordering};

use super::*;

#[test]
fn unobserved_work_goes_on() {
    assert_eq!(check(), Ok(()));
}

#[test]
fn a_stopped_observer_refuses_the_work_and_its_result() {
    let observer = Observer::new();
    assert_eq!(observer.run(check), Ok(Ok(())));
    let seen = observer.run(|| {
        observer.stop();
        check()
    });
    assert_eq!(seen, Err(Error::Stopped));
    let mut begun = false;
    assert_eq!(observer.run(|| begun = true), Err(Error::Stopped));
    assert!(!begun);
    // It observes nothing outside its run.
    assert_eq!(check(), Ok(()));
}

#[test]
fn the_outer_observer_stops_the_inner_work() {
    let (outer, inner) = (Observer::new(), Observer::new());
    let result = outer.run(|| {
        inner.run(|| {
            outer.stop();
            check()
        })
    });
    assert_eq!(result, Err(Error::Stopped));
    assert!(!inner.is_stopped());
}

#[test]
fn a_poll_is_called_now_and_then_and_can_stop() {
    let calls = Arc::new(AtomicUsize::new(0));
    let counter = Arc::clone(&calls);
    let observer = Observer::with_poll(move |_| {
        if counter.fetch_add(1, Ordering::Relaxed) == 1 {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    });
    let mut checks = 0_u64;
    let result = observer.run(|| {
        while check().is_ok() {
            checks += 1;
        }
    });
    assert_eq!(result, Err(Error::Stopped));
    assert_eq!(calls.load(Ordering::Relaxed), 2);
    // Far more looks than polls, or the poll would be paid for at every piece.
    assert!(checks > 100, "{checks}");
}

#[test]
fn a_poll_may_do_observed_work_of_its_own() {
    let observer = Observer::with_poll(|_| {
        let own = Observer::new().run(check);
        assert_eq!(own, Ok(Ok(())));
        ControlFlow::Break(())
    });
    assert_eq!(
        observer.run(|| while check().is_ok() {}),
        Err(Error::Stopped)
    );
}

#[test]
fn a_panic_ends_the_observation() {
    let observer = Observer::new();
    let fails = || observer.run(|| panic!("on purpose"));
    let result = std::panic::catch_unwind(std::panic::AssertUnwindSafe(fails));
    assert!(result.is_err());
    observer.stop();
    assert_eq!(check(), Ok(()));
}
