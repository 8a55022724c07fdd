//! A root between two places of opposite sign.
//!
//! Root finders on crates.io come with a framework of problems and solvers; one bracket takes forty lines.

/// Steps after which a bracket of doubles cannot shrink any more, even by halving alone.
const STEPS: usize = 200;

/// A root of `f` between `a` and `b`, where `f` must have opposite signs (or be zero); to the last bit or two of the
/// place.
///
/// Inverse quadratic interpolation where it is safe, else bisection.
///
/// # References
/// T. R. Chandrupatla, Advances in Engineering Software 28 (1997) 145-149 (criterion from memory, confirmed by the
/// tests).
pub(crate) fn between(f: impl Fn(f64) -> f64, a: f64, b: f64) -> f64 {
    let (mut a, mut b) = (a, b);
    let (mut fa, mut fb) = (f(a), f(b));
    let (mut c, mut fc);
    let mut share = 0.5;
    for _ in 0..STEPS {
        if fa == 0.0 {
            return a;
        }
        if fb == 0.0 {
            return b;
        }
        let x = a + share * (b - a);
        let fx = f(x);
        if (fx > 0.0) == (fa > 0.0) {
            (c, fc) = (a, fa);
        } else {
            (c, fc, b, fb) = (b, fb, a, fa);
        }
        (a, fa) = (x, fx);
        let (best, best_f) = if fa.abs() < fb.abs() {
            (a, fa)
        } else {
            (b, fb)
        };
        let least = f64::EPSILON * best.abs() + f64::MIN_POSITIVE;
        let width = (b - a).abs();
        if best_f == 0.0 || width <= 2.0 * least {
            return best;
        }
        let xi = (a - b) / (c - b);
        let phi = (fa - fb) / (fc - fb);
        share = if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
            fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        } else {
            0.5
        };
        // A step of at least the last bit, so that the far end moves too.
        let margin = least / width;
        share = share.clamp(margin, 1.0 - margin);
    }
    0.5 * (a + b)
}

/// Where a property that holds at `a` and not at `b` ends, to the last bit: the first place at which it does not hold.
///
/// # Errors
/// What `holds` gives.
pub(crate) fn edge<E>(a: f64, b: f64, holds: impl Fn(f64) -> Result<bool, E>) -> Result<f64, E> {
    let (mut a, mut b) = (a, b);
    for _ in 0..STEPS {
        let middle = 0.5 * (a + b);
        if middle <= a.min(b) || middle >= a.max(b) {
            break;
        }
        if holds(middle)? {
            a = middle;
        } else {
            b = middle;
        }
    }
    Ok(b)
}

/// As [`edge`], with a place near which it may end: a few looks where that is right, and never many more than without.
///
/// # Errors
/// What `holds` gives.
pub(crate) fn edge_near<E>(
    a: f64,
    b: f64,
    guess: f64,
    holds: impl Fn(f64) -> Result<bool, E>,
) -> Result<f64, E> {
    /// What the step grows by: from the last bit to the whole way in two dozen steps.
    const GROWING: f64 = 4.0;
    let inside = |x: f64| a.min(b) < x && x < a.max(b);
    if !inside(guess) {
        return edge(a, b, holds);
    }
    let inward = holds(guess)?;
    let (mut near, far) = (guess, if inward { b } else { a });
    let mut step = (f64::EPSILON * (a.abs() + b.abs())).copysign(far - near);
    loop {
        let next = near + step;
        // A step that is lost in rounding leads nowhere.
        let last = !inside(next) || next == near;
        if last || holds(next)? != inward {
            let other = if last { far } else { next };
            let [a, b] = if inward { [near, other] } else { [other, near] };
            return edge(a, b, holds);
        }
        near = next;
        step *= GROWING;
    }
}

#[cfg(test)]
#[path = "root_tests.rs"]
mod tests;
