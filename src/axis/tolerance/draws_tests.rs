use super::{Draws, Sampling, uniform};

const SOBOL: Sampling = Sampling::Sobol { replicates: 4 };

#[test]
fn any_place_can_be_entered() {
    for sampling in [Sampling::Random, SOBOL] {
        let draws = Draws::new(7, sampling, 3, 4096, 2).unwrap();
        for (matrix, tolerance) in [(0, 0), (0, 2), (1, 1)] {
            let mut whole = vec![0.0; 4096];
            draws.fill(matrix, tolerance, 0, &mut whole);
            for (first, count) in [(0, 1), (1, 6), (1023, 3), (777, 1000), (4095, 1)] {
                let mut part = vec![0.0; count];
                draws.fill(matrix, tolerance, first as u64, &mut part);
                assert_eq!(part, whole[first..first + count]);
            }
        }
    }
}

#[test]
fn streams_replicates_and_seeds_differ() {
    for sampling in [Sampling::Random, SOBOL] {
        let fill = |seed, matrix, tolerance, first| {
            let mut values = [0.0; 16];
            let draws = Draws::new(seed, sampling, 2, 4096, 2).unwrap();
            draws.fill(matrix, tolerance, first, &mut values);
            values
        };
        let all = [
            fill(1, 0, 0, 0),
            fill(1, 0, 1, 0),
            fill(1, 1, 0, 0),
            fill(1, 0, 0, 1024),
            fill(2, 0, 0, 0),
        ];
        for (i, one) in all.iter().enumerate() {
            for other in &all[..i] {
                assert!(one.iter().zip(other).all(|(a, b)| a != b));
            }
        }
    }
}

/// The numbers are those of ChaCha with eight rounds: a stored value, so that no new version changes a study.
#[test]
fn a_study_stays_the_same() {
    let draws = Draws::new(1, Sampling::Random, 2, 10, 1).unwrap();
    let mut values = [0.0; 2];
    draws.fill(0, 1, 5, &mut values);
    assert_eq!(values, STORED_RANDOM);
    let draws = Draws::new(1, SOBOL, 2, 16, 1).unwrap();
    draws.fill(0, 1, 5, &mut values);
    assert_eq!(values, STORED_SOBOL);
}

/// As this crate first drew them.
const STORED_RANDOM: [f64; 2] = [0.9712614848763096, 0.5372014495026912];
const STORED_SOBOL: [f64; 2] = [0.6778733868850395, 0.8754420705372468];

#[test]
fn no_number_is_zero_or_one() {
    let least = uniform(0);
    let most = uniform(u64::MAX);
    assert!(least > 0.0 && most < 1.0 && 1.0 - most == least);
}

#[test]
fn what_has_no_points_is_refused() {
    for (sampling, tolerances, builds) in [
        (Sampling::Sobol { replicates: 3 }, 2, 4096),
        (Sampling::Sobol { replicates: 257 }, 2, 4096),
        (SOBOL, 129, 4096),
        (SOBOL, 2, 4097),
        (SOBOL, 2, 3),
        (SOBOL, 2, 1 << 40),
    ] {
        let refused = Draws::new(1, sampling, tolerances, builds, 1);
        assert!(
            matches!(refused, Err(crate::Error::Count { .. })),
            "{sampling:?} {tolerances} {builds}"
        );
    }
    assert!(Draws::new(1, Sampling::Random, 1000, 1 << 40, 1).is_ok());
}
