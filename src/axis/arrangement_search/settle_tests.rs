use super::*;

/// How exactly a place is followed here.
const WIDTH: f64 = 1e-6;

#[derive(Debug, Clone)]
struct One(Score);

impl Scored for One {
    fn score(&self) -> Score {
        self.0
    }
}

/// One limit that counts, beside others that are kept by far.
fn score(margin: f64, merit: f64) -> Score {
    let mut margins = [-1e9; LIMITS];
    margins[1] = margin;
    Score { margins, merit }
}

/// Where the settling ends, and after how many looks.
fn settled(
    first: &[f64],
    merit: impl Fn(f64) -> f64,
    margin: impl Fn(f64) -> f64,
) -> (f64, Score, usize) {
    let mut looks = 0;
    let mut at = |x: f64| {
        looks += 1;
        Ok(One(score(margin(x), merit(x))))
    };
    let found = settle(first, WIDTH, &mut at).expect("nothing refuses");
    let (place, one) = found.expect("there are places");
    (place, one.0, looks)
}

fn even(cells: usize) -> Vec<f64> {
    (0..=cells).map(|i| i as f64 / cells as f64).collect()
}

/// Looks that a settling may take: a dozen besides the first, and a few more where it halves.
const MOST_LOOKS: usize = 30;

#[test]
fn a_summit_is_found() {
    for top in [0.21, 1.0 / 3.0, 0.5, 0.77] {
        let round = |x: f64| 1.0 - (x - top).powi(2) + 0.3 * (x - top).powi(3);
        let (place, score, looks) = settled(&even(8), round, |_| -1.0);
        // Merit that is within SAME_MERIT leaves its square root of the place.
        assert!(
            1.0 - score.merit < 1e-8 && (place - top).abs() < 1e-3,
            "{top}: {place}"
        );
        assert!(looks <= 9 + MOST_LOOKS, "{looks}");
        // With a corner, as linearity has.
        let (place, ..) = settled(&even(8), |x| -(x - top).abs(), |_| -1.0);
        assert!((place - top).abs() < 2.0 * WIDTH, "{top}: {place}");
    }
}

#[test]
fn a_limit_that_is_just_kept_is_found() {
    for edge in [0.21, 1.0 / 3.0, 0.5, 0.9] {
        for curve in [0.5, 1.0, 3.0] {
            let margin = |x: f64| (curve * (x - edge)).exp_m1();
            let (place, score, _) = settled(&even(8), |x| x, margin);
            assert!(
                score.keeps() && edge - place < 2.0 * WIDTH,
                "{edge}: {place}"
            );
            let (place, score, _) = settled(&even(8), |x| -x, |x| -margin(x));
            assert!(
                score.keeps() && place - edge < 2.0 * WIDTH,
                "{edge}: {place}"
            );
        }
    }
}

/// On a crest one limit is just kept all along; what ends the line is another.
#[test]
fn a_crest_is_followed_to_its_top() {
    for (top, end, kept) in [(0.6, 0.9, 1e-8), (0.3, 0.45, 0.0), (0.62, 0.63, 1e-12)] {
        let mut at = |x: f64| {
            let mut margins = [-1.0; LIMITS];
            (margins[0], margins[1]) = (-kept, x - end);
            let merit = -f64::abs(x - top);
            Ok(One(Score { margins, merit }))
        };
        let found = settle(&even(2), WIDTH, &mut at).expect("nothing refuses");
        let (place, one) = found.expect("there are places");
        assert!(
            one.0.keeps() && (place - top).abs() < 2.0 * WIDTH,
            "{top}: {place}"
        );
    }
}

#[test]
fn where_nothing_keeps_the_limits_the_nearest_is_found() {
    let margin = |x: f64| 0.1 + (x - 0.37).powi(2);
    let (place, score, _) = settled(&even(8), |x| x, margin);
    assert!(score.margin() - 0.1 < 1e-8, "{place}");
    // At an end.
    assert_eq!(settled(&even(8), |x| x, |x| 1.0 + x).0, 0.0);
    assert_eq!(settled(&even(8), |x| x, |_| -1.0).0, 1.0);
    assert_eq!(settled(&[0.5], |x| x, |_| -1.0).0, 0.5);
}

/// A narrow stretch that keeps the limits beside a better one, which the first places miss by little, is not taken for
/// the best there is.
#[test]
fn what_promises_more_is_looked_at_too() {
    // Kept below 0.2 with little merit; and from 0.70 to 0.73 with much, which no first place meets.
    let margin = |x: f64| {
        if x < 0.45 {
            x - 0.2
        } else {
            (x - 0.715).abs() - 0.015
        }
    };
    let merit = |x: f64| if x < 0.45 { 0.2 } else { x };
    let (place, score, _) = settled(&even(8), merit, margin);
    assert!(
        score.keeps() && (place - 0.73).abs() < 2.0 * WIDTH,
        "{place}"
    );
}

#[test]
fn what_is_no_number_is_never_best() {
    let merit = |x: f64| if x > 0.6 { f64::NAN } else { x };
    let (place, score, _) = settled(&even(8), merit, |_| -1.0);
    assert!(place <= 0.6 && score.merit > 0.55, "{place}");
    let (_, score, _) = settled(&even(8), |_| f64::NEG_INFINITY, |_| -1.0);
    assert!(score.merit.is_infinite());
}

#[test]
fn what_misses_less_is_better_and_then_what_has_more_merit() {
    assert!(score(0.1, 0.0).better_than(&score(0.2, 1.0)));
    assert!(score(-0.1, 0.2).better_than(&score(-0.5, 0.1)));
    assert!(!score(0.1, 0.2).better_than(&score(0.1, 0.2)));
    assert!(score(0.0, 0.0).keeps() && !score(f64::MIN_POSITIVE, 0.0).keeps());
}
