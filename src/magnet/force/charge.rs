//! Force, torque and energy by integrating the field of one magnet over the other.
//!
//! F = integral of sigma B dS / mu0 over the charged surface of the target, torque with the lever arm; sigma = J . n
//! (Furlani 2001, ch. 3). The surface is cut into cells until the field is smooth at the scale of a cell, or the cell
//! as small as the source is thin; each is integrated line by line, adaptively along the lines and across. At an edge
//! of the source that lies on the surface of the target (the two touch) B grows like the logarithm of the distance,
//! which halving intervals copes with.
//!
//! Two round magnets on one axis: around it every part of the field varies as a harmonic of order 0 or 1 in the
//! magnet's own directions, and so force and torque on its charge hold none above the fourth. A few lines, equally
//! spaced, then give the integral around the axis exactly.

use std::cell::Cell as Counter;
use std::f64::consts::TAU;

use nalgebra::{Point3, Vector3};

use crate::error::{Error, Result};
use crate::magnet::force::pair::{Action, MU0, Pair};
use crate::magnet::shape::surface::{Bulk, Cell, Patch};
use crate::magnet::{FieldSource, Magnet};
use crate::numeric::quadrature::{Integrals, POINTS, adaptive, adaptive_lines};
use crate::observer;

/// The error of the field, as a share of it, that the magnets promise (blocks do better).
const FIELD_ERROR: f64 = 1e-12;
/// Field values spent on one pair before giving up: a second or so.
const MOST_VALUES: u64 = 10_000_000;
/// The finest cells: a patch is cut into no more than this.
const MOST_CELLS: usize = 4096;
/// Share of the allowed error that the integrals along the lines may use up.
const INNER: f64 = 0.1;

/// Lines around a common axis: exact for harmonics below this order.
const AROUND: usize = 8;

/// The tolerance of a first round.
const COARSE: f64 = 1e-4;
/// So many intervals across are common where the magnets touch.
const INTERVALS: f64 = 128.0;

/// Force (0..3), torque (3..6), what both would be if nothing canceled (6, 7), and the errors that the integrals along
/// the lines leave in both (8, 9).
type Sums = [f64; 10];

/// One kind of quantity: the allowed error as a weight, see [`adaptive`].
fn weights(force: f64, torque: f64) -> Sums {
    let (f, t) = (1.0 / force, 1.0 / torque);
    [f, f, f, t, t, t, 0.0, 0.0, 0.0, 0.0]
}

fn length(sums: &Sums, first: usize) -> f64 {
    Vector3::new(sums[first], sums[first + 1], sums[first + 2]).norm()
}

/// The integrals with the errors of force and torque.
struct Integrated {
    sums: Sums,
    errors: [f64; 2],
}

impl Integrated {
    fn new(total: &Integrals<10>) -> Self {
        let below = [total.values[8], total.values[9]];
        Self {
            sums: total.values,
            errors: [
                length(&total.errors, 0) + below[0],
                length(&total.errors, 3) + below[1],
            ],
        }
    }

    /// The errors of force and torque that `tolerance` allows, see [`crate::magnet::pull_within`].
    fn allowed(&self, tolerance: f64) -> [f64; 2] {
        let floor = (1e-3 * tolerance).max(1e-12);
        [(0, 6), (3, 7)].map(|(first, strength)| {
            (tolerance * length(&self.sums, first)).max(floor * self.sums[strength])
        })
    }

    fn is_within(&self, allowed: [f64; 2]) -> bool {
        self.errors[0] <= allowed[0] && self.errors[1] <= allowed[1]
    }
}

/// Force and torque about its center on the target, in the frame of the source.
pub(in crate::magnet) fn action(pair: &Pair, tolerance: f64) -> Result<Action> {
    let spent = Counter::new(0);
    let coaxial = are_coaxial(pair);
    let cells = cells(pair, coaxial);
    let integrate = |weights: &Sums| {
        let parts = cells.iter();
        let parts = parts.map(|(patch, cell)| match coaxial {
            true => around(pair, patch, cell, weights, &spent),
            false => surface(pair, patch, cell, weights, &spent),
        });
        Integrated::new(&parts.fold(Integrals::ZERO, Integrals::plus))
    };
    // Once without refinement, to know what error is allowed. A coarse round, which costs little, finds the force well
    // enough to allow for the right error in the next, and has something to show if that gives up. The last is for what
    // canceled unexpectedly.
    let mut found = integrate(&[0.0; 10]);
    for round in [tolerance.max(COARSE), tolerance, tolerance] {
        let allowed = found.allowed(round);
        if found.is_within(allowed) {
            continue;
        }
        let share = 0.5 / cells.len() as f64;
        let next = integrate(&weights(allowed[0] * share, allowed[1] * share));
        if spent.get() < MOST_VALUES || next.is_within(found.errors) {
            found = next;
        }
        observer::check()?;
        if spent.get() >= MOST_VALUES {
            break;
        }
    }
    let allowed = found.allowed(tolerance);
    for (k, (quantity, unit)) in [("force", "N"), ("torque", "N m")].into_iter().enumerate() {
        // Twice, because the force may have come out a little smaller than the round before had it.
        if found.errors[k] > 2.0 * allowed[k] {
            return Err(Error::NotConverged {
                quantity,
                reached: found.errors[k],
                wanted: allowed[k],
                unit,
            });
        }
    }
    let v = found.sums;
    Ok(Action {
        energy: f64::NAN,
        energy_error: f64::INFINITY,
        force: Vector3::new(v[0], v[1], v[2]),
        torque: Vector3::new(v[3], v[4], v[5]),
        force_error: found.errors[0] + FIELD_ERROR * v[6],
        torque_error: found.errors[1] + FIELD_ERROR * v[7],
    })
}

/// Whether both are round and stand on one axis, up to rounding.
fn are_coaxial(pair: &Pair) -> bool {
    let round = |magnet: &Magnet| matches!(magnet, Magnet::Cylinder(_) | Magnet::Ring(_));
    let axis = pair.relative.rotation * Vector3::z();
    round(&pair.source)
        && round(&pair.target)
        && pair.relative.translation.vector.xy().norm() <= pair.slack
        && axis.xy().norm() * pair.target.radius() <= pair.slack
}

/// The charged surface in cells, each no longer than the second measure of the source plus twice its distance from it.
/// Around a common axis nothing is cut.
fn cells(pair: &Pair, coaxial: bool) -> Vec<(Patch, Cell)> {
    let fine = pair.source.measures()[1];
    let mut cells = Vec::new();
    for patch in pair.target.patches() {
        let mut open = vec![patch.whole()];
        let mut kept = 0;
        while let Some(cell) = open.pop() {
            let [u, v] = cell.map(|[from, to]| 0.5 * (from + to));
            let at = pair.relative * Point3::from(patch.spot(u, v).at);
            let distance = pair.source.distance(&at).unwrap_or(f64::INFINITY);
            let mut lengths = patch.lengths(&cell);
            if coaxial {
                lengths[0] = 0.0;
            }
            let longer = usize::from(lengths[1] > lengths[0]);
            if lengths[longer] <= fine + 2.0 * distance.max(0.0) || kept + open.len() >= MOST_CELLS
            {
                cells.push((patch, cell));
                kept += 1;
            } else {
                let middle = if longer == 0 { u } else { v };
                let (mut low, mut high) = (cell, cell);
                low[longer][1] = middle;
                high[longer][0] = middle;
                open.extend([low, high]);
            }
        }
    }
    cells
}

fn surface(
    pair: &Pair,
    patch: &Patch,
    cell: &Cell,
    weights: &Sums,
    spent: &Counter<u64>,
) -> Integrals<10> {
    let [us, vs] = *cell;
    let whole = us[1] - us[0];
    adaptive(us[0], us[1], weights, |us, values| {
        // Enough lines at a time for the field's batches, few enough to stay in the cache.
        for us in us.chunks(POINTS) {
            // Half of what is allowed is spread evenly, half goes to the intervals alike: the narrow ones, where lines
            // cost most, can do with rough values.
            let width = us[us.len() - 1] - us[0];
            let density = INNER * (1.0 / whole + 1.0 / (INTERVALS * width));
            let inner = weights.map(|weight| weight / density);
            let lines = lines(pair, patch, us, vs, &inner, spent);
            values.extend(lines.iter().map(|line| {
                let mut sums = line.values;
                sums[8] = length(&line.errors, 0);
                sums[9] = length(&line.errors, 3);
                sums
            }));
        }
        go_on(spent)
    })
}

/// A cell that goes all around the axis that both magnets share.
fn around(
    pair: &Pair,
    patch: &Patch,
    cell: &Cell,
    weights: &Sums,
    spent: &Counter<u64>,
) -> Integrals<10> {
    let us: [f64; AROUND] = std::array::from_fn(|i| TAU * i as f64 / AROUND as f64);
    let inner = weights.map(|weight| TAU * weight);
    let lines = lines(pair, patch, &us, cell[1], &inner, spent);
    let sum = lines.into_iter().fold(Integrals::ZERO, Integrals::plus);
    let share = |part: f64| part * TAU / AROUND as f64;
    Integrals {
        values: sum.values.map(share),
        errors: sum.errors.map(share),
    }
}

/// The integrals along lines of a patch, each at one first coordinate.
fn lines(
    pair: &Pair,
    patch: &Patch,
    us: &[f64],
    vs: [f64; 2],
    weights: &Sums,
    spent: &Counter<u64>,
) -> Vec<Integrals<10>> {
    adaptive_lines(us.len(), vs[0], vs[1], weights, |places, values| {
        let places = places.iter().map(|(line, v)| (us[*line], *v));
        charges(pair, patch, places, values);
        spent.set(spent.get() + values.len() as u64);
        go_on(spent)
    })
}

/// Whether more may be spent, and nobody has asked to stop.
fn go_on(spent: &Counter<u64>) -> bool {
    spent.get() < MOST_VALUES && observer::check().is_ok()
}

/// The pull on the charge at places of a patch, for a unit step of both coordinates.
fn charges(
    pair: &Pair,
    patch: &Patch,
    places: impl Iterator<Item = (f64, f64)>,
    values: &mut Vec<Sums>,
) {
    let j = pair.target.polarization();
    let spots: Vec<_> = places.map(|(u, v)| patch.spot(u, v)).collect();
    // A hair into the target: its surface may touch that of the source, and B is wanted outside.
    let points: Vec<_> = spots
        .iter()
        .map(|spot| pair.relative * Point3::from(pair.target.inward(&spot.at, pair.slack)))
        .collect();
    let fields = fields(&pair.source, &points);
    values.extend(spots.iter().zip(fields).map(|(spot, b)| {
        let arm = pair.relative.rotation * spot.at;
        let force = b * (j.dot(&spot.normal) * spot.area / MU0);
        let torque = arm.cross(&force);
        let strength = force.norm();
        let [fx, fy, fz] = force.into();
        let [tx, ty, tz] = torque.into();
        let [f, t] = [strength, strength * arm.norm()];
        [fx, fy, fz, tx, ty, tz, f, t, 0.0, 0.0]
    }));
}

fn fields(source: &Magnet, points: &[Point3<f64>]) -> Vec<Vector3<f64>> {
    let mut fields = vec![Vector3::zeros(); points.len()];
    source.add_fields(points, &mut fields);
    for (field, point) in fields.iter_mut().zip(points) {
        if !field.iter().all(|part| part.is_finite()) {
            // On an edge by rounding: the field a hair off it stands in, and no more hangs on it than on the rounding.
            let off = point.coords * (1.0 + 8.0 * f64::EPSILON);
            let mut beside = [Vector3::zeros()];
            source.add_fields(&[off.into()], &mut beside);
            *field = beside[0].map(|part| if part.is_finite() { part } else { 0.0 });
        }
    }
    fields
}

/// Energy of the target in the field of the source, J: minus the integral of J . B / mu0 over its volume.
pub(in crate::magnet) fn energy(pair: &Pair, tolerance: f64) -> Result<f64> {
    let spent = Counter::new(0);
    let integrate = |allowed: f64| volume(pair, allowed, &spent);
    let rough = integrate(f64::INFINITY);
    let floor = (1e-3 * tolerance).max(1e-12);
    let wanted = (tolerance * rough[0].abs()).max(floor * rough[2]);
    let [energy, error, _] = if rough[1] <= wanted {
        rough
    } else {
        integrate(0.5 * wanted)
    };
    observer::check()?;
    if error > 2.0 * wanted {
        return Err(Error::NotConverged {
            quantity: "energy",
            reached: error,
            wanted,
            unit: "J",
        });
    }
    Ok(energy)
}

/// Energy, its error estimate, and what it would be if nothing canceled.
fn volume(pair: &Pair, allowed: f64, spent: &Counter<u64>) -> [f64; 3] {
    let bulk = pair.target.bulk();
    let [ps, qs, ss] = bulk.whole();
    // The inner integrals get a share of the allowed error, spread evenly over the outer range.
    let outer = [1.0 / allowed, 0.0, 0.0];
    let middle = [outer[0] * (ps[1] - ps[0]) / INNER, 0.0, 0.0];
    let inner = [middle[0] * (qs[1] - qs[0]) / INNER, 0.0, 0.0];
    let go_on = || go_on(spent);
    let closed = |sums: Integrals<3>| {
        let [value, below, strength] = sums.values;
        [value, sums.errors[0] + below, strength]
    };
    let over_section = |ps: &[f64], values: &mut Vec<[f64; 3]>| {
        for p in ps {
            values.push(closed(adaptive(qs[0], qs[1], &middle, |qs, values| {
                let lines = adaptive_lines(qs.len(), ss[0], ss[1], &inner, |places, values| {
                    let places = places.iter().map(|(line, s)| [*p, qs[*line], *s]);
                    densities(pair, &bulk, places, values);
                    spent.set(spent.get() + values.len() as u64);
                    go_on()
                });
                values.extend(lines.into_iter().map(closed));
                go_on()
            })));
        }
        go_on()
    };
    if are_coaxial(pair) {
        // The first coordinate is the angle.
        let ps: [f64; AROUND] = std::array::from_fn(|i| TAU * i as f64 / AROUND as f64);
        let mut sections = Vec::new();
        over_section(&ps, &mut sections);
        let sum = |k: usize| sections.iter().map(|section| section[k]).sum::<f64>();
        return [0, 1, 2].map(|k| sum(k) * TAU / AROUND as f64);
    }
    closed(adaptive(ps[0], ps[1], &outer, over_section))
}

/// -J . B / mu0 at places in the target, for a unit step of all three coordinates.
fn densities(
    pair: &Pair,
    bulk: &Bulk,
    places: impl Iterator<Item = [f64; 3]>,
    values: &mut Vec<[f64; 3]>,
) {
    let j = pair.relative.rotation * pair.target.polarization();
    let spots: Vec<_> = places.map(|[p, q, s]| bulk.spot(p, q, s)).collect();
    let points: Vec<_> = spots
        .iter()
        .map(|(at, _)| pair.relative * Point3::from(pair.target.inward(at, pair.slack)))
        .collect();
    let fields = fields(&pair.source, &points);
    values.extend(spots.iter().zip(fields).map(|((_, volume), b)| {
        let scale = volume / MU0;
        [-j.dot(&b) * scale, 0.0, j.norm() * b.norm() * scale]
    }));
}
