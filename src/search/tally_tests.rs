use super::Tally;
use crate::Error;
use crate::search::{Requirement, SearchResult, Shortfall, Shortfalls};

const WIDTH: Requirement = Requirement::new("too wide", "width", "m");
const SAFETY: Requirement = Requirement::new("breaks", "safety", "(no unit)");

fn judged(width: f64, safety: f64) -> Shortfalls {
    let mut shortfalls = Shortfalls::default();
    shortfalls.at_most(WIDTH, width, 2.0);
    shortfalls.at_least(SAFETY, safety, Some(1.2));
    shortfalls.at_least(SAFETY, safety, None);
    shortfalls
}

fn search(candidates: &[(f64, f64)]) -> Tally<(f64, f64)> {
    let mut tally = Tally::default();
    for &(width, safety) in candidates {
        let shortfalls = judged(width, safety);
        if shortfalls.is_empty() {
            tally.accept();
        } else {
            tally.reject(shortfalls, || Some((width, safety)));
        }
    }
    tally
}

/// 3 of 2 m is half too much, 0.9 of 1.2 a quarter too little; 2.2 m and 1.1 miss by a tenth and a twelfth.
const FAILING: [(f64, f64); 4] = [(3.0, 2.0), (1.0, 0.9), (2.2, 1.1), (2.4, 2.0)];

#[test]
fn the_nearest_is_the_one_whose_worst_miss_is_least() {
    let result = search(&FAILING).result("boards", vec![]);
    let nearest = result.nearest.as_ref().unwrap();
    assert_eq!(nearest.candidate, Some((2.2, 1.1)));
    let [worst, other] = nearest.shortfalls[..] else {
        panic!("{nearest:?}")
    };
    // The worst first.
    assert_eq!(
        (worst.requirement, worst.value, worst.limit),
        (WIDTH, 2.2, 2.0)
    );
    assert_eq!(
        (other.requirement, other.value, other.limit),
        (SAFETY, 1.1, 1.2)
    );
    assert!((worst.share - 0.1).abs() < 1e-12 && (other.share - 1.0 / 12.0).abs() < 1e-12);
    // One that fails in two things counts in both, each of which knows its own nearest.
    let counts: Vec<_> = result
        .rejected
        .iter()
        .map(|one| (one.nearest.requirement, one.count, one.nearest.value))
        .collect();
    assert_eq!(counts, [(WIDTH, 3, 2.2), (SAFETY, 2, 1.1)]);
    assert_eq!((result.tried, result.fitting), (4, 0));
}

#[test]
fn what_is_found_comes_best_first_and_equals_stay_in_order() {
    let mut tally = Tally::default();
    for _ in 0..4 {
        tally.accept();
    }
    let found = vec![(2.0, 'a'), (1.0, 'b'), (2.0, 'c'), (-3.0, 'd')];
    let result = tally.result("letters", found);
    assert_eq!(result.found, ['d', 'b', 'a', 'c']);
    assert_eq!(result.best(), Ok(&'d'));
    assert_eq!(result.nearest, None);
    assert_eq!((&result).into_iter().count(), 4);
    assert_eq!(result.map(String::from).found.concat(), "dbac");
}

/// Parts that were counted for themselves come to the same as one count, however they are cut.
#[test]
fn parts_add_up() {
    let mut all = FAILING.to_vec();
    all.extend([(1.0, 3.0), (2.2, 1.1), (2.0, 1.2)]);
    let whole = search(&all).result("boards", vec![]);
    assert_eq!((whole.tried, whole.fitting), (7, 2));
    for cut in 0..=all.len() {
        let mut tally = search(&all[..cut]);
        tally.add(search(&all[cut..]));
        assert_eq!(tally.result("boards", vec![]), whole, "{cut}");
    }
}

/// Rounding decides nothing: a figure may miss its limit by a billionth, of itself or of what it was computed from.
#[test]
fn rounding_is_allowed() {
    assert!(judged(2.0 * (1.0 + 0.9e-9), 1.2 * (1.0 - 0.9e-9)).is_empty());
    assert_eq!(
        judged(2.0 * (1.0 + 1.1e-9), 1.2 * (1.0 - 1.1e-9))
            .iter()
            .count(),
        2
    );
    let mut of_zero = Shortfalls::default();
    of_zero.at_least_of(WIDTH, -0.9e-9, 0.0, 1.0);
    of_zero.at_most_of(SAFETY, 0.9e-9, 0.0, 1.0);
    assert!(of_zero.is_empty());
    of_zero.at_least_of(WIDTH, -1.1e-9, 0.0, 1.0);
    of_zero.at_most_of(SAFETY, 1.1e-9, 0.0, 1.0);
    // Where the limit is zero a miss counts as whole.
    assert!(of_zero.iter().count() == 2 && of_zero.iter().all(|one| one.share == 1.0));
}

#[test]
fn of_two_parts_the_worse_counts() {
    for order in [[3.0, 2.5], [2.5, 3.0]] {
        let mut shortfalls = Shortfalls::default();
        for width in order {
            shortfalls.at_most(WIDTH, width, 2.0);
        }
        assert_eq!(shortfalls.iter().count(), 1);
        assert_eq!(shortfalls.of(WIDTH).unwrap().value, 3.0);
        assert!(shortfalls.of(SAFETY).is_none());
    }
}

/// What is no number falls short, and comes after all that is; what is of no use comes after all that is of use, in its
/// own order.
#[test]
fn what_cannot_be_used_comes_last() {
    assert_eq!(judged(f64::NAN, f64::NAN).iter().count(), 2);
    let mut tally = search(&[(f64::NAN, 2.0), (f64::INFINITY, 2.0)]);
    assert!(tally.nearest.as_ref().unwrap().0.is_infinite());
    for angle in [0.2, 0.3, 0.1] {
        tally.reject(Shortfall::of_no_use(WIDTH, angle, 0.5).into(), || None);
        assert!(tally.nearest.as_ref().unwrap().0 < 2e9);
    }
    let nearest = &tally.nearest.as_ref().unwrap().1;
    assert!(nearest.candidate.is_none() && nearest.shortfalls[0].value == 0.3);
    tally.reject(judged(1e3, 0.0), || Some((1e3, 0.0)));
    assert_eq!(
        tally.result("boards", vec![]).nearest.unwrap().candidate,
        Some((1e3, 0.0))
    );
}

#[test]
fn many_that_fail_alike_are_counted_without_a_look() {
    let mut tally = Tally::<()>::default();
    tally.reject_for(WIDTH, judged(3.0, 0.6), || None);
    tally.reject_more(WIDTH, 7);
    let result = tally.result("boards", vec![]);
    assert_eq!(result.tried, 8);
    assert_eq!(result.rejected.len(), 1);
    assert_eq!(
        (result.rejected[0].count, result.rejected[0].nearest.value),
        (8, 3.0)
    );
    // What it fails in beside that is told with it.
    assert_eq!(result.nearest.unwrap().shortfalls.len(), 2);
}

#[test]
fn the_text_says_what_is_wrong_and_by_how_much() {
    let result = search(&FAILING).result("boards", vec![]);
    let error = result.best().unwrap_err();
    assert_eq!(
        error,
        Error::NothingFits {
            what: "boards",
            tried: 4,
            quantity: "width",
            value: 2.2,
            limit: 2.0,
            unit: "m"
        }
    );
    assert_eq!(
        result.to_string(),
        "none of the 4 boards tried fits\n\
         the nearest falls short in\n  \
         too wide: width 2.2 m where the limit is 2 m\n  \
         breaks: safety 1.1 (no unit) where the limit is 1.2 (no unit)\n\
         3 fail: too wide: width 2.2 m where the limit is 2 m\n\
         2 fail: breaks: safety 1.1 (no unit) where the limit is 1.2 (no unit)"
    );
    let nothing: SearchResult<()> = Tally::default().result("boards", vec![]);
    assert_eq!(
        nothing.best().unwrap_err().to_string(),
        "boards: 0 given, 1 needed"
    );
}
