//! Materials over their whole domain: bodies from 0.01 mm to 1 m in any mixture, every grade at every temperature, any
//! load.

use std::f64::consts::{FRAC_PI_2, PI};

use nalgebra::{Isometry3, Vector3};
use proptest::prelude::*;
use yokewright::magnet::material::{
    Condition, Grade, GradeSpec, Load, MagnetFamily, Provenance, RatedBound, RatedValue, Source,
    WorkingPoint, demagnetizing,
};
use yokewright::magnet::{Block, FieldSource};
use yokewright::units::MU_0;

/// Share of a factor that two ways to it may differ by: ten times the worst found against high precision (blocks and
/// cylinders).
const ROUNDING: f64 = 1e-14;
/// The same for a ring, as a share of one: what it promises.
const RING_ROUNDING: f64 = 1e-12;
/// A few roundings, as a share of the largest term.
const FEW_ULPS: f64 = 16.0 * f64::EPSILON;

const BOUNDS: [RatedBound; 3] = [RatedBound::Lowest, RatedBound::Nominal, RatedBound::Highest];

fn lengths() -> impl Strategy<Value = f64> {
    (-5.0..=0.0_f64).prop_map(|exponent| 10_f64.powf(exponent).clamp(1e-5, 1.0))
}

fn sizes() -> impl Strategy<Value = Vector3<f64>> {
    prop::array::uniform3(lengths()).prop_map(Vector3::from)
}

fn directions() -> impl Strategy<Value = Vector3<f64>> {
    prop::array::uniform3(-1.0..=1.0_f64)
        .prop_map(Vector3::from)
        .prop_filter("a direction", |v| v.norm() > 1e-3)
}

fn grades() -> impl Strategy<Value = &'static Grade> {
    prop::sample::select(Grade::all().iter().collect::<Vec<_>>())
}

fn straight_grades() -> impl Strategy<Value = &'static Grade> {
    let straight = |grade: &&Grade| grade.family() != MagnetFamily::AlNiCo;
    prop::sample::select(Grade::all().iter().filter(straight).collect::<Vec<_>>())
}

fn bounds() -> impl Strategy<Value = RatedBound> {
    prop::sample::select(BOUNDS.to_vec())
}

/// A temperature at a share of the grade's range.
fn celsius(grade: &Grade, share: f64) -> f64 {
    let (min, max) = (grade.min_celsius(), grade.max_celsius());
    (min + share * (max - min)).clamp(min, max)
}

/// Numbers of any kind and size, and those that are none.
fn anything() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        prop::sample::select(vec![
            f64::NAN,
            f64::INFINITY,
            f64::NEG_INFINITY,
            1e300,
            f64::MIN_POSITIVE,
            0.0,
            -0.0,
        ]),
        -2.0..2.0_f64,
    ]
}

fn assert_factors(factors: &Vector3<f64>, rounding: f64) -> Result<(), TestCaseError> {
    prop_assert!(factors.iter().all(|n| *n > 0.0 && *n < 1.0), "{factors}");
    prop_assert!((factors.sum() - 1.0).abs() <= rounding, "{factors}");
    Ok(())
}

proptest! {
    #[test]
    fn factors_of_a_block(size in sizes(), scale in 0.1..1.0_f64) {
        let factors = demagnetizing::block(&size).unwrap();
        assert_factors(&factors, 3.0 * ROUNDING)?;
        // Turned, and made smaller.
        let turned = demagnetizing::block(&Vector3::new(size.y, size.z, size.x)).unwrap();
        for (a, b) in [(turned.x, factors.y), (turned.y, factors.z), (turned.z, factors.x)] {
            prop_assert!((a / b - 1.0).abs() <= ROUNDING);
        }
        if (size * scale).min() >= 1e-5 {
            let small = demagnetizing::block(&(size * scale)).unwrap();
            prop_assert!((small - factors).component_div(&factors).amax() <= ROUNDING);
        }
        // The longer side has the smaller factor.
        for (i, j) in [(0, 1), (1, 2), (2, 0)] {
            prop_assert!((size[i] - size[j]) * (factors[i] - factors[j]) <= 0.0
                || (factors[i] / factors[j] - 1.0).abs() <= ROUNDING);
        }
    }

    #[test]
    fn a_longer_body_opposes_itself_less(size in sizes(), stretch in 1.001..10.0_f64) {
        let longer = (size.z * stretch).min(1.0);
        prop_assume!(longer > 1.001 * size.z);
        let block = |z: f64| demagnetizing::block(&Vector3::new(size.x, size.y, z)).unwrap();
        prop_assert!(block(longer).z < block(size.z).z);
        prop_assert!(block(longer).x > block(size.z).x);
        let cylinder = |z: f64| demagnetizing::cylinder(size.x, z).unwrap();
        prop_assert!(cylinder(longer).z < cylinder(size.z).z);
        prop_assert!(cylinder(longer).x > cylinder(size.z).x);
        let ellipsoid = |z: f64| demagnetizing::ellipsoid(&Vector3::new(size.x, size.y, z)).unwrap();
        prop_assert!(ellipsoid(longer).z < ellipsoid(size.z).z);
    }

    #[test]
    fn factors_of_a_cylinder(diameter in lengths(), length in lengths()) {
        let factors = demagnetizing::cylinder(diameter, length).unwrap();
        assert_factors(&factors, ROUNDING)?;
        prop_assert_eq!(factors.x, factors.y);
        // A square bar of the same cross-section is close: the energy depends on the area first (1.5 % at most).
        let side = 0.5 * PI.sqrt() * diameter;
        if (1e-5..=1.0).contains(&side) {
            let square = demagnetizing::block(&Vector3::new(side, side, length)).unwrap();
            prop_assert!((square.z / factors.z - 1.0).abs() < 0.02, "{} {}", square.z, factors.z);
        }
    }

    /// Lorenz's closed form in double precision, where it does not cancel.
    #[test]
    fn cylinder_against_elliptic_integrals(ratio in 0.2..5.0_f64) {
        let length = 0.1;
        let factors = demagnetizing::cylinder(ratio * length, length).unwrap();
        let m = ratio * ratio / (1.0 + ratio * ratio);
        let (k, e) = complete_elliptic(m);
        let bracket = (1.0 - m) / m * (k - e) + e - m.sqrt();
        let nagaoka = 4.0 / (3.0 * PI * (1.0 - m).sqrt()) * bracket;
        prop_assert!((1.0 - nagaoka - factors.z).abs() < 1e-13);
    }

    #[test]
    fn factors_of_a_ring(outer in lengths(), share in 0.001..0.9999_f64, length in lengths()) {
        let inner = (share * outer).max(1e-6);
        prop_assume!(outer - inner > 4e-6);
        let factors = demagnetizing::ring(outer, inner, length).unwrap();
        assert_factors(&factors, RING_ROUNDING)?;
        // The bore takes away charge that opposed, so a ring opposes itself less than the solid disk.
        let solid = demagnetizing::cylinder(outer, length).unwrap();
        prop_assert!(factors.z <= solid.z + RING_ROUNDING);
        // Taking out the bore changes the energy by less than twice that of its own charge in the field -J / mu0.
        let bore = (inner / outer).powi(2);
        prop_assert!(solid.z - factors.z <= 2.0 * bore / (1.0 - bore) + RING_ROUNDING);
        // A wider bore, less.
        let wider = inner + 0.5 * (outer - inner);
        prop_assert!(demagnetizing::ring(outer, wider, length).unwrap().z <= factors.z + RING_ROUNDING);
    }

    /// The two methods, for thick and for thin walls, meet.
    #[test]
    fn the_methods_for_rings_meet(outer in lengths(), length in lengths()) {
        prop_assume!(outer > 2e-5);
        let ring = |share: f64| demagnetizing::ring(outer, share * outer, length).unwrap().z;
        let (thick, thin) = (ring(0.75 - 1e-12), ring(0.75 + 1e-12));
        prop_assert!((thick - thin).abs() <= RING_ROUNDING + 1e-11 * thick, "{thick} {thin}");
    }

    #[test]
    fn factors_of_an_ellipsoid(axes in sizes()) {
        assert_factors(&demagnetizing::ellipsoid(&axes).unwrap(), 3.0 * ROUNDING)?;
    }

    /// Osborn's closed forms for ellipsoids of revolution, away from the sphere, where they cancel.
    #[test]
    fn ellipsoids_of_revolution(m in 1.5..1000.0_f64) {
        let long = demagnetizing::ellipsoid(&Vector3::new(1e-3, 1e-3, 1e-3 * m)).unwrap();
        let e = (m * m - 1.0).sqrt();
        let prolate = (m / e * (m + e).ln() - 1.0) / (e * e);
        prop_assert!((long.z / prolate - 1.0).abs() < 1e-13);
        let flat = demagnetizing::ellipsoid(&Vector3::new(1e-3 * m, 1e-3 * m, 1e-3)).unwrap();
        let oblate = m * m / (e * e) * (1.0 - (e / m).asin() / e);
        prop_assert!((flat.z / oblate - 1.0).abs() < 1e-13);
    }

    #[test]
    fn factor_along_a_direction(size in sizes(), direction in directions(), scale in -200..200_i32) {
        let factors = demagnetizing::block(&size).unwrap();
        let along = demagnetizing::along(&factors, &direction).unwrap();
        prop_assert!(along >= factors.min() * (1.0 - FEW_ULPS) && along <= factors.max() * (1.0 + FEW_ULPS));
        let scaled = direction * 2_f64.powi(scale);
        prop_assert!((demagnetizing::along(&factors, &scaled).unwrap() - along).abs() <= FEW_ULPS);
        prop_assert_eq!(demagnetizing::along(&factors, &Vector3::y()).unwrap(), factors.y);
    }

    #[test]
    fn bodies_of_garbage(a in anything(), b in anything(), c in anything()) {
        let sizes = Vector3::new(a, b, c);
        for result in [
            demagnetizing::block(&sizes),
            demagnetizing::ellipsoid(&sizes),
            demagnetizing::cylinder(a, b),
            demagnetizing::ring(a, b, c),
        ].into_iter().flatten() {
            assert_factors(&result, RING_ROUNDING)?;
        }
        if let Ok(along) = demagnetizing::along(&demagnetizing::sphere(), &sizes) {
            prop_assert!((along - 1.0 / 3.0).abs() <= FEW_ULPS);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// The mean over the block of B / J is 1 - N, by the block's own field. Of an oblique polarization, each part by
    /// its own factor.
    #[test]
    fn mean_field_of_a_block(ratios in prop::array::uniform2(-1.0..=1.0_f64), j in directions()) {
        let size = Vector3::new(10_f64.powf(ratios[0]), 1.0, 10_f64.powf(ratios[1])) * 0.01;
        let factors = demagnetizing::block(&size).unwrap();
        let mean = mean_of_b(&size, &j);
        let expected = j - factors.component_mul(&j);
        // The quadrature of the field, which jumps along the edges, leaves 3e-9 at aspect ratios of 100.
        prop_assert!((mean - expected).norm() <= 1e-8 * j.norm(), "{mean} {expected}");
    }
}

/// Gauss-Legendre on one octant, mirrored; 1 - x = (1 - u)^4 crowds the points towards the faces.
fn mean_of_b(size: &Vector3<f64>, polarization: &Vector3<f64>) -> Vector3<f64> {
    let rule: Vec<(f64, f64)> = gauss_legendre(24)
        .into_iter()
        .map(|(u, weight)| {
            let rest: f64 = 1.0 - u;
            (1.0 - rest.powi(4), 4.0 * rest.powi(3) * weight)
        })
        .collect();
    let mut mean = Vector3::zeros();
    let (mut points, mut weights) = (Vec::new(), Vec::new());
    for &(x, wx) in &rule {
        for &(y, wy) in &rule {
            for &(z, wz) in &rule {
                points.push((Vector3::new(x, y, z).component_mul(size) * 0.5).into());
                weights.push(wx * wy * wz);
            }
        }
    }
    // Off-diagonal parts cancel between octants, so one octant with each part of J along its own axis will do.
    for axis in 0..3 {
        let mut along = Vector3::zeros();
        along[axis] = polarization[axis];
        let block = Block::new(*size, along, Isometry3::identity()).unwrap();
        let fields = block.fields_at(&points);
        let parts = fields.values.iter().zip(&weights);
        mean[axis] = parts.map(|(b, weight)| b[axis] * weight).sum();
    }
    mean
}

/// Nodes and weights on [0, 1]: roots of the Legendre polynomial by Newton's method from the usual cosine guess.
fn gauss_legendre(n: usize) -> Vec<(f64, f64)> {
    let node = |i: usize| {
        let mut x = (PI * (i as f64 + 0.75) / (n as f64 + 0.5)).cos();
        let mut slope = 1.0;
        for _ in 0..8 {
            let (mut before, mut p) = (1.0, x);
            for k in 2..=n {
                let k = k as f64;
                (before, p) = (p, ((2.0 * k - 1.0) * x * p - (k - 1.0) * before) / k);
            }
            slope = n as f64 * (x * p - before) / (x * x - 1.0);
            x -= p / slope;
        }
        (0.5 * (1.0 + x), 1.0 / ((1.0 - x * x) * slope * slope))
    };
    (0..n).map(node).collect()
}

/// K and E by the arithmetic-geometric mean (Abramowitz and Stegun, 17.6).
fn complete_elliptic(m: f64) -> (f64, f64) {
    let (mut a, mut b, mut sum, mut power) = (1.0, (1.0 - m).sqrt(), 0.5 * m, 1.0);
    for _ in 0..8 {
        let c: f64 = 0.5 * (a - b);
        (a, b) = (0.5 * (a + b), (a * b).sqrt());
        sum += power * c * c;
        power *= 2.0;
    }
    let k = FRAC_PI_2 / a;
    (k, k * (1.0 - sum))
}

/// Long and flat bodies have simple limits: a rod 4 / (3 pi) of its width by length, a plate one minus a little.
#[test]
fn limits_of_long_and_flat_bodies() {
    let rod = demagnetizing::cylinder(2e-5, 1.0).unwrap();
    let leading = 4.0 / (3.0 * PI) * 2e-5;
    // The next term is an eighth of the square of the ratio.
    assert!((rod.z - (leading - 2e-5_f64.powi(2) / 8.0)).abs() < 1e-15);
    let plate = demagnetizing::cylinder(1.0, 1e-5).unwrap();
    // Nagaoka's coefficient of a flat coil: 2 L / (pi D) [ln(4 D / L) - 1/2].
    let flat = 2e-5 / PI * (4e5_f64.ln() - 0.5);
    assert!((2.0 * plate.x / flat - 1.0).abs() < 1e-9);
    let wall = demagnetizing::block(&Vector3::new(1.0, 1e-5, 1.0)).unwrap();
    assert!(wall.y > 0.9998 && wall.x == wall.z);
    let square = demagnetizing::block(&Vector3::new(1e-5, 1e-5, 1.0)).unwrap();
    assert!((square.x - 0.5).abs() < 1e-5 && square.x == square.y);
    // A thin tall ring is a strip: (w / pi L) [ln(L / w) + 3/2], from the energy of two charged lines of width w.
    let (w, l): (f64, f64) = (1e-5, 1e-3);
    let strip = w / (PI * l) * ((l / w).ln() + 1.5);
    let ring = demagnetizing::ring(1.0, 1.0 - 2.0 * w, l).unwrap();
    assert!((ring.z / strip - 1.0).abs() < 1e-4, "{} {strip}", ring.z);
}

#[test]
fn every_grade_passes_the_constructor() {
    for grade in Grade::all() {
        assert_eq!(&Grade::new(grade.spec().clone()).unwrap(), grade);
        assert!(!grade.sources().is_empty());
    }
}

#[test]
fn every_name_finds_its_grade() {
    for grade in Grade::all() {
        let name = grade.name();
        let forms = [
            name.to_owned(),
            name.to_lowercase(),
            name.replace(' ', ""),
            format!(" {} ", name.replace(' ', "-")),
        ];
        for form in forms {
            assert_eq!(&Grade::named(&form).unwrap(), grade, "{form}");
        }
    }
}

proptest! {
    #[test]
    fn names_of_garbage(name in ".{0,40}") {
        if let Ok(grade) = Grade::named(&name) {
            prop_assert_eq!(grade.name().to_uppercase().replace([' ', '-'], ""), name.to_uppercase().replace([' ', '-',
                '_'], ""));
        }
    }

    #[test]
    fn grades_at_temperature(grade in grades(), share in 0.0..=1.0_f64) {
        let celsius = celsius(grade, share);
        let br = BOUNDS.map(|bound| grade.remanence_at(celsius, bound).unwrap());
        prop_assert!(br[0] <= br[1] && br[1] <= br[2]);
        let hcj = BOUNDS.map(|bound| grade.intrinsic_coercivity_at(celsius, bound).unwrap());
        prop_assert!(0.0 < hcj[0] && hcj[0] <= hcj[1] && hcj[1] <= hcj[2]);
        // Every magnet loses remanence when it gets warmer.
        prop_assert!((br[1] - grade.remanence().nominal()) * (celsius - 20.0) <= 0.0);
        if grade.family() == MagnetFamily::AlNiCo {
            prop_assert!(grade.knee_at(celsius).is_err());
        } else {
            let knee = grade.knee_at(celsius).unwrap();
            prop_assert!(0.0 < knee && knee <= 0.9 * hcj[0] * (1.0 + FEW_ULPS));
        }
    }

    #[test]
    fn temperatures_outside_are_refused(grade in grades(), beyond in 1e-9..1e3_f64) {
        for celsius in [grade.max_celsius() + beyond, grade.min_celsius() - beyond] {
            prop_assert!(grade.remanence_at(celsius, RatedBound::Nominal).is_err());
            prop_assert!(grade.intrinsic_coercivity_at(celsius, RatedBound::Lowest).is_err());
            prop_assert!(grade.knee_at(celsius).is_err());
            let load = Load { celsius, ..Load::alone(0.3) };
            prop_assert!(WorkingPoint::new(grade, RatedBound::Nominal, load).is_err());
        }
    }

    #[test]
    fn the_working_point_lies_on_both_lines(
        grade in straight_grades(),
        bound in bounds(),
        n in 1e-4..=1.0_f64,
        share in 0.0..=1.0_f64,
        // As strong as leaves any grade a polarization.
        external in -3e5..1e6_f64,
    ) {
        let load = Load { demagnetizing_factor: n, celsius: celsius(grade, share), external_field: external };
        let point = WorkingPoint::new(grade, bound, load).unwrap();
        let (b, h, j) = (point.flux_density(), point.field_strength(), point.polarization());
        let scale = j + MU_0 * external.abs();
        prop_assert!((b - MU_0 * h - j).abs() <= FEW_ULPS * scale);
        prop_assert!((MU_0 * (external - h) - n * j).abs() <= FEW_ULPS * scale);
        prop_assert!((b - point.recoil_line(h).unwrap()).abs() <= FEW_ULPS * scale);
        prop_assert!((b - point.load_line(h).unwrap()).abs() <= FEW_ULPS * scale / n);
        // As the effective polarization is usually written, with nothing outside.
        let alone = WorkingPoint::new(grade, bound, Load { external_field: 0.0, ..load }).unwrap();
        let br = grade.remanence_at(load.celsius, bound).unwrap();
        let written = br / (1.0 + (grade.recoil_permeability() - 1.0) * n);
        prop_assert!((alone.polarization() - written).abs() <= FEW_ULPS * br);
        let permeance = -alone.flux_density() / (MU_0 * alone.field_strength());
        prop_assert!((permeance - alone.permeance_coefficient()).abs() <= FEW_ULPS / n);
        // A coefficient works on the polarization as on the remanence.
        let loss = 1.0 - br / grade.remanence().at(bound);
        prop_assert!((alone.reversible_loss() - loss).abs() <= FEW_ULPS);
    }

    #[test]
    fn the_margin_is_what_an_opposing_field_uses_up(
        grade in straight_grades(),
        n in 1e-3..=1.0_f64,
        share in 0.0..=1.0_f64,
    ) {
        let load = Load { celsius: celsius(grade, share), ..Load::alone(n) };
        let point = WorkingPoint::new(grade, RatedBound::Nominal, load).unwrap();
        let against = Load { external_field: -point.opposing_field_left(), ..load };
        let limit = WorkingPoint::new(grade, RatedBound::Nominal, against).unwrap();
        let knee = point.knee();
        let scale = point.field_strength().abs() + knee.field_strength.abs();
        prop_assert!(limit.margin().abs() <= FEW_ULPS * scale);
        prop_assert_eq!(limit.knee(), knee);
        prop_assert!((point.recoil_line(knee.field_strength).unwrap() - knee.flux_density).abs() <= FEW_ULPS * 2.0);
        prop_assert_eq!(point.condition() == Condition::Irreversible, point.margin() < 0.0);
    }

    #[test]
    fn stronger_opposition_is_worse(grade in straight_grades(), n in 1e-3..=0.9_f64, more in 1e-3..0.1_f64) {
        let point = |n: f64, bound: RatedBound| WorkingPoint::new(grade, bound, Load::alone(n)).unwrap();
        let (little, much) = (point(n, RatedBound::Nominal), point(n + more, RatedBound::Nominal));
        prop_assert!(much.polarization() < little.polarization());
        prop_assert!(much.flux_density() < little.flux_density());
        prop_assert!(much.margin() < little.margin());
        prop_assert!(point(n, RatedBound::Highest).margin() <= little.margin());
    }

    #[test]
    fn the_reversible_range_ends_at_the_knee(grade in straight_grades(), n in 1e-3..=1.0_f64) {
        let at = |celsius: f64| WorkingPoint::new(grade, RatedBound::Nominal, Load { celsius,
            ..Load::alone(n) }).unwrap();
        let point = at(20.0);
        let Some(range) = point.reversible_celsius() else {
            prop_assert!(point.margin() < 0.0);
            return Ok(());
        };
        let ends = [grade.min_celsius(), grade.max_celsius()];
        // The root of a straight line is as sharp as its two ends.
        let slack = 1e-9 * point.knee().field_strength.abs();
        for (inner, end) in range.into_iter().zip(ends) {
            let margin = at(inner).margin();
            if inner == end {
                prop_assert!(margin >= 0.0);
            } else {
                prop_assert!(margin.abs() <= slack, "{margin}");
                prop_assert!(at(end).margin() < 0.0);
            }
        }
    }

    #[test]
    fn loads_of_garbage(grade in grades(), bound in bounds(), n in anything(), celsius in anything(),
        external in anything()) {
        let load = Load { demagnetizing_factor: n, celsius, external_field: external };
        if let Ok(point) = WorkingPoint::new(grade, bound, load) {
            for value in [
                point.polarization(),
                point.flux_density(),
                point.field_strength(),
                point.permeance_coefficient(),
                point.margin(),
                point.opposing_field_left(),
                point.reversible_loss(),
                point.knee().flux_density,
            ] {
                prop_assert!(value.is_finite());
            }
        }
        for result in [
            grade.remanence_at(celsius, bound),
            grade.intrinsic_coercivity_at(celsius, bound),
            grade.knee_at(celsius),
            grade.mass(n),
        ] {
            prop_assert!(result.is_err() || result.is_ok_and(|value| value.is_finite() && value > 0.0));
        }
    }

    /// Whatever the constructor takes works at both ends of its range.
    #[test]
    fn grades_of_garbage(
        figures in prop::array::uniform8(anything()),
        kind in 0..4_usize,
        kinder in prop::array::uniform8(0.0..1.0_f64),
    ) {
        // One figure in three is garbage, else hardly anything would pass.
        let pick = |i: usize, low: f64, high: f64| {
            if kinder[i] < 0.05 { figures[i] } else { low + kinder[i] * (high - low) }
        };
        let figure = |i: usize, low: f64, high: f64| {
            let value = pick(i, low, high);
            [
                RatedValue::Min(value),
                RatedValue::Typical(value),
                RatedValue::MinTypical(value, 1.1 * value),
                RatedValue::MinMax(value, 1.1 * value),
            ][kind]
        };
        let spec = GradeSpec {
            name: "club mix".to_owned(),
            family: MagnetFamily::Other,
            remanence: figure(0, 0.01, 1.5),
            normal_coercivity: None,
            intrinsic_coercivity: figure(1, 1e4, 3e6),
            energy_product: None,
            remanence_coefficient: pick(2, -0.004, 0.0),
            coercivity_coefficient: RatedValue::Typical(pick(3, -0.008, 0.004)),
            recoil_permeability: pick(4, 1.0, 1.3),
            squareness: pick(5, 0.3, 1.0),
            density: RatedValue::Typical(pick(6, 3e3, 9e3)),
            min_celsius: -20.0,
            max_celsius: pick(7, 20.0, 200.0),
            curie_celsius: None,
            sources: vec![Source {
                covers: "all".to_owned(),
                text: "the club's own measurement".to_owned(),
                provenance: Provenance::Seen,
            }],
        };
        if let Ok(grade) = Grade::new(spec) {
            for celsius in [grade.min_celsius(), grade.max_celsius()] {
                let load = Load { celsius, ..Load::alone(0.5) };
                let point = WorkingPoint::new(&grade, RatedBound::Lowest, load).unwrap();
                prop_assert!(point.polarization() > 0.0 && grade.knee_at(celsius).unwrap() > 0.0);
            }
        }
    }
}
