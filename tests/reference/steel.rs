//! The steel plate against Maxwell's stress on its face and against the flux that enters it.

use nalgebra::{Isometry3, Point3, Vector3, vector};
use yokewright::magnet::{Cylinder, Magnet, MagnetGroup, Ring, SteelPlate};
use yokewright::units::{MM, MU_0};

/// Panels of Gauss-Legendre nodes (5 to a panel; Abramowitz and Stegun 1964, table 25.4) for an integral from 0 to `end`.
fn integral(end: f64, panels: usize, f: impl Fn(f64) -> f64) -> f64 {
    const RULE: [(f64, f64); 5] = [
        (-0.906_179_845_938_664, 0.236_926_885_056_189),
        (-0.538_469_310_105_683, 0.478_628_670_499_366),
        (0.0, 0.568_888_888_888_889),
        (0.538_469_310_105_683, 0.478_628_670_499_366),
        (0.906_179_845_938_664, 0.236_926_885_056_189),
    ];
    let half = 0.5 * end / panels as f64;
    let panel = |i: usize| {
        let center = half * (2 * i + 1) as f64;
        let terms = RULE.map(|(x, w)| w * f(center + half * x));
        half * terms.iter().sum::<f64>()
    };
    (0..panels).map(panel).sum()
}

fn plate() -> SteelPlate {
    SteelPlate::new(Point3::origin(), Vector3::z()).unwrap()
}

fn axial() -> Vec<MagnetGroup> {
    let disc = |z: f64| {
        Cylinder::new(
            10.0 * MM,
            4.0 * MM,
            vector![0.0, 0.0, 1.2],
            Isometry3::translation(0.0, 0.0, z),
        )
        .unwrap()
    };
    let ring = Ring::new(
        20.0 * MM,
        12.0 * MM,
        3.0 * MM,
        vector![0.0, 0.0, -1.0],
        Isometry3::translation(0.0, 0.0, 5.0 * MM),
    );
    vec![
        disc(3.0 * MM).into(),
        disc(10.0 * MM).into(),
        ring.clone().unwrap().into(),
        MagnetGroup::new([Magnet::from(disc(6.0 * MM)), ring.unwrap().into()]).unwrap(),
    ]
}

/// Second route to the pull: the field on the face of the plate is along the normal, and B^2 / (2 mu0), integrated
/// over the whole face, is the force.
#[test]
fn the_stress_on_the_face_is_the_pull() {
    for magnets in axial() {
        let over = plate().over(&magnets).unwrap();
        // rho = s t / (1 - t) reaches to infinity.
        let s = 10.0 * MM;
        let force = integral(1.0, 200, |t| {
            let rho = s * t / (1.0 - t);
            let b = over.field_at(&Point3::new(rho, 0.0, 0.0)).unwrap();
            let stress = b.z * b.z / (2.0 * MU_0);
            stress * std::f64::consts::TAU * rho * s / (1.0 - t).powi(2)
        });
        let pull = plate().pull(&magnets, Point3::origin()).unwrap();
        // The rule of degree 9 in panels of 1/200 leaves less than 1e-10; the printed nodes have 15 digits.
        assert!(
            (pull.force.z + force).abs() < 1e-9 * force,
            "{} N and {force} N",
            pull.force.z
        );
        assert!(pull.force.xy().norm() < 1e-9 * force && pull.torque.norm() < 1e-9 * force * s);
    }
}

/// By symmetry the flux that enters within a circle around the axis leaves through its rim.
#[test]
fn the_plate_carries_the_flux_that_enters_it() {
    for magnets in axial() {
        let over = plate().over(&magnets).unwrap();
        let carried = |rho: f64| {
            let flux = integral(rho, 100, |r| {
                let b = over.field_at(&Point3::new(r, 0.0, 0.0)).unwrap();
                std::f64::consts::TAU * r * b.z
            });
            (flux / (std::f64::consts::TAU * rho)).abs()
        };
        let worst = (1..400)
            .map(|i| carried(0.1 * MM * f64::from(i)))
            .fold(0.0, f64::max);
        let thickness = plate().thickness_for(&magnets, 2.0).unwrap();
        // Both search on a grid for a flat maximum.
        let expected = worst / 2.0;
        assert!(
            (thickness - expected).abs() < 2e-3 * expected,
            "{thickness} m and {expected} m"
        );
    }
}
