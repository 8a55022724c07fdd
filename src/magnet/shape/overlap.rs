//! Whether two magnets overlap, and by how much.

use nalgebra::{Isometry3, Matrix3, Point3, Translation3, Vector3};

use crate::error::{Error, Result};
use crate::magnet::{FieldSource, Magnet, TOUCHING};
use crate::observer;

/// How deep two magnets may reach into each other and still count as touching, m.
fn tolerance(first: &Magnet, second: &Magnet) -> f64 {
    TOUCHING * first.radius().min(second.radius())
}

/// How two magnets stand to each other, the second seen from the first, so that no digit is lost to where they stand.
pub(in crate::magnet) struct Placement {
    /// In its own frame.
    pub(in crate::magnet) first: Magnet,
    /// In its own frame, too.
    pub(in crate::magnet) second: Magnet,
    /// Where the second stands in the frame of the first.
    pub(in crate::magnet) relative: Isometry3<f64>,
    /// How deep they reach into each other, m; zero where they keep clear.
    pub(in crate::magnet) depth: f64,
    /// What of it may be the rounding of their places, m.
    pub(in crate::magnet) rounding: f64,
}

impl Placement {
    pub(in crate::magnet) fn new(first: &Magnet, second: &Magnet) -> Result<Self> {
        let (a, b) = (first.pose(), second.pose());
        // The difference of the centers before any product, which would round it.
        let offset = b.translation.vector - a.translation.vector;
        let relative = Isometry3::from_parts(
            Translation3::from(a.rotation.inverse_transform_vector(&offset)),
            a.rotation.inverse() * b.rotation,
        );
        let own = |magnet: &Magnet| magnet.placed(Isometry3::identity());
        let (first, second) = (own(first)?, own(second)?);
        let reach = first.radius() + second.radius();
        let depth = match offset.norm() > reach {
            true => 0.0,
            false => depth(&first, &second, &relative),
        };
        let rounding = 4.0
            * f64::EPSILON
            * (reach + a.translation.vector.norm() + b.translation.vector.norm());
        Ok(Self {
            first,
            second,
            relative,
            depth,
            rounding,
        })
    }

    /// Whether they reach into each other by more than touching and rounding explain.
    pub(in crate::magnet) fn overlap(&self) -> bool {
        self.depth > tolerance(&self.first, &self.second) + self.rounding
    }
}

/// How far apart two magnets stand at least, m; of two that reach into each other how deep, negative.
pub(crate) fn separation(first: &Magnet, second: &Magnet) -> Result<f64> {
    let placed = Placement::new(first, second)?;
    if placed.depth > 0.0 {
        return Ok(-placed.depth);
    }
    Ok(apart(&placed.first, &placed.second, &placed.relative).max(0.0))
}

/// Refuses magnets that reach into each other, other than pairs that are `excused`.
///
/// Only those are compared whose balls meet; sorted along the longest extent, a magnet looks at no more than those
/// beside it.
pub(in crate::magnet) fn check(
    magnets: &[Magnet],
    excused: impl Fn(usize, usize) -> bool,
) -> Result<()> {
    let balls: Vec<(Vector3<f64>, f64)> = magnets
        .iter()
        .map(|magnet| (magnet.pose().translation.vector, magnet.radius()))
        .collect();
    let Some((first, _)) = balls.first() else {
        return Ok(());
    };
    let ends = balls.iter().fold((*first, *first), |(low, high), (at, _)| {
        (low.inf(at), high.sup(at))
    });
    let axis = (ends.1 - ends.0).imax();
    let low = |i: usize| balls[i].0[axis] - balls[i].1;
    let high = |i: usize| balls[i].0[axis] + balls[i].1;
    let mut order: Vec<usize> = (0..magnets.len()).collect();
    order.sort_by(|a, b| low(*a).total_cmp(&low(*b)));
    for (place, &i) in order.iter().enumerate() {
        observer::check()?;
        for &k in order[place + 1..]
            .iter()
            .take_while(|k| low(**k) <= high(i))
        {
            let ((here, reach), (there, other)) = (balls[i], balls[k]);
            if excused(i, k) || (there - here).norm() > reach + other {
                continue;
            }
            let (first, second) = (i.min(k), i.max(k));
            let standing = Placement::new(&magnets[first], &magnets[second])?;
            if standing.overlap() {
                return Err(Error::GroupOverlap {
                    first,
                    second,
                    depth: standing.depth,
                });
            }
        }
    }
    Ok(())
}

/// How deep two magnets reach into each other, m: about the distance by which they would have to be moved apart. Zero
/// where they keep clear of each other.
///
/// `first` stands in its own frame; `second`, given in its own frame, stands at `relative` in that of the first.
fn depth(first: &Magnet, second: &Magnet, relative: &Isometry3<f64>) -> f64 {
    let tolerance = tolerance(first, second);
    match apart(first, second, relative) {
        gap if gap >= 0.0 => 0.0,
        // The directions tried by `apart` are all that matter for two blocks.
        gap if matches!((first, second), (Magnet::Block(_), Magnet::Block(_))) => -gap,
        gap if -gap <= tolerance => -gap,
        _ => common_depth(first, second, relative, tolerance).max(0.0),
    }
}

/// The widest gap between the convex hulls seen along the directions in which a gap can be expected; negative if there
/// is none.
///
/// For two blocks: the six face normals and the nine directions across an edge of each (separating axes).
fn apart(first: &Magnet, second: &Magnet, relative: &Isometry3<f64>) -> f64 {
    let center = relative.translation.vector;
    let axes: [Vector3<f64>; 3] = [Vector3::x(), Vector3::y(), Vector3::z()];
    let turned = axes.map(|axis| relative.rotation * axis);
    let crossed = axes.iter().flat_map(|a| turned.map(|b| a.cross(&b)));
    // For round shapes: towards the other center, and across the axis of either.
    let across = |axis: &Vector3<f64>| center - center.dot(axis) * axis;
    let towards = [center, across(&axes[2]), across(&turned[2])];
    let directions = axes.into_iter().chain(turned).chain(crossed).chain(towards);
    let gaps = directions.filter_map(|direction| {
        // Two axes that are parallel give no direction across both.
        let direction = direction.try_normalize(1e-9)?;
        let seen = relative.rotation.inverse_transform_vector(&direction);
        Some(direction.dot(&center).abs() - first.reach(&direction) - second.reach(&seen))
    });
    gaps.fold(f64::NEG_INFINITY, f64::max)
}

/// Twice the depth of the place that lies deepest inside both: the smallest value of the larger of the two distances.
fn common_depth(first: &Magnet, second: &Magnet, relative: &Isometry3<f64>, tolerance: f64) -> f64 {
    let depth = |p: &Vector3<f64>| {
        let p = Point3::from(*p);
        let distances = [
            first.distance(&p),
            second.distance(&relative.inverse_transform_point(&p)),
        ];
        // Both are finite: the points searched are near the magnets.
        distances.map(|d| d.unwrap_or(f64::INFINITY))
    };
    let mut deepest = f64::INFINITY;
    for (center, radius) in starts(first, second, relative) {
        deepest = deepest.min(smallest(&depth, center, radius, tolerance));
    }
    -2.0 * deepest
}

/// Balls to search: the smaller magnet as a whole, a ring sector by sector, because it is not convex.
fn starts(first: &Magnet, second: &Magnet, relative: &Isometry3<f64>) -> Vec<(Vector3<f64>, f64)> {
    const SECTORS: usize = 16;
    let mut balls = Vec::new();
    for (magnet, pose) in [(first, &Isometry3::identity()), (second, relative)] {
        if let Magnet::Ring(ring) = magnet {
            let rho = 0.25 * (ring.outer_diameter() + ring.inner_diameter());
            let [inner, outer] = [0.5 * ring.inner_diameter(), 0.5 * ring.outer_diameter()];
            let radius = (0.5 * (outer - inner))
                .hypot(0.5 * ring.length())
                .hypot(outer * std::f64::consts::PI / SECTORS as f64);
            for k in 0..SECTORS {
                let angle = std::f64::consts::TAU * k as f64 / SECTORS as f64;
                let at = Point3::new(rho * angle.cos(), rho * angle.sin(), 0.0);
                balls.push(((pose * at).coords, radius));
            }
        }
    }
    if !balls.is_empty() {
        return balls;
    }
    let (magnet, center) = if first.radius() < second.radius() {
        (first, Vector3::zeros())
    } else {
        (second, relative.translation.vector)
    };
    balls.push((center, magnet.radius()));
    balls
}

/// The smallest value of the larger of two distances within a ball, by shrinking an ellipsoid around it.
///
/// # References
/// N. Z. Shor, Cut-off method with space extension, Cybernetics 13 (1977) 94.
fn smallest(
    distances: &impl Fn(&Vector3<f64>) -> [f64; 2],
    center: Vector3<f64>,
    radius: f64,
    tolerance: f64,
) -> f64 {
    // Of the two, the larger, and how it changes.
    let value = |p: &Vector3<f64>| {
        let [a, b] = distances(p);
        a.max(b)
    };
    let step = 1e-7 * radius;
    let slope = |p: &Vector3<f64>| {
        let [a, b] = distances(p);
        let which = usize::from(b > a);
        Vector3::from_fn(|i, _| {
            let mut aside = Vector3::zeros();
            aside[i] = step;
            (distances(&(p + aside))[which] - distances(&(p - aside))[which]) / (2.0 * step)
        })
    };
    let mut at = center;
    let mut shape = Matrix3::identity() * (radius * radius);
    let mut least = f64::INFINITY;
    // Each step shrinks the volume by an eighth or so: 600 are good for ten decades of length.
    for _ in 0..800 {
        let here = value(&at);
        least = least.min(here);
        let slope = slope(&at);
        let width = slope.dot(&(shape * slope)).max(0.0).sqrt();
        let bound = here - width;
        // No overlap, or its depth to a percent.
        if bound > -0.5 * tolerance || (least < -tolerance && bound > 1.01 * least) || width == 0.0
        {
            break;
        }
        let g = shape * slope / width;
        at -= g / 4.0;
        shape = (shape - g * g.transpose() * 0.5) * (9.0 / 8.0);
    }
    least
}
