use std::cell::{Cell, RefCell};

use super::narrow;

/// Where a function is looked at on the way to its least, and how often.
fn least(function: impl Fn(f64) -> f64) -> (f64, usize) {
    let (best, looks) = (RefCell::new((f64::NAN, f64::INFINITY)), Cell::new(0));
    narrow([-1.0, 2.0], |x| {
        looks.set(looks.get() + 1);
        let value = function(x);
        if value < best.borrow().1 {
            *best.borrow_mut() = (x, value);
        }
        Ok(value)
    })
    .unwrap();
    let place = best.borrow().0;
    (place, looks.get())
}

/// Three times the part of the bracket that is left, of a bracket of 3.
const LEFT: f64 = 1e-6;

#[test]
fn a_smooth_least_is_found_by_a_dozen_looks() {
    let (place, looks) = least(|x| (x - 0.3).powi(2) + 0.1 * (x - 0.3).powi(4));
    // A smooth function changes by less than its rounding within the root of that.
    assert!((place - 0.3).abs() < LEFT && looks < 15, "{place} {looks}");
    let (place, looks) = least(|x| -(x - 0.7).cos());
    assert!((place - 0.7).abs() < LEFT && looks < 15, "{place} {looks}");
}

#[test]
fn a_kink_and_a_place_beside_an_end_are_found_too() {
    for at in [-0.999, -0.4, 0.1234, 1.3, 1.999] {
        let (place, looks) = least(|x| {
            if x < at {
                2.0 * (at - x) + (at - x).powi(2)
            } else {
                0.3 * (x - at)
            }
        });
        assert!(
            (place - at).abs() < LEFT && looks <= 35,
            "{at}: {place} {looks}"
        );
    }
    // Falling all the way, and the same everywhere: it ends, at the lower end or anywhere.
    let (place, looks) = least(|x| x);
    assert!((place + 1.0).abs() < LEFT && looks <= 35, "{place} {looks}");
    assert!(least(|_| 0.0).1 <= 35);
    assert!(least(|_| f64::NAN).1 <= 35);
}
