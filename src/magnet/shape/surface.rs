//! What pull and steel ask of every shape: where it is charged, how far it reaches, how it is placed anew.
//!
//! A uniformly polarized body acts like charges on its surface, of density J . n (Furlani 2001, ch. 3).

use std::f64::consts::{PI, TAU};

use nalgebra::Vector3;

use crate::magnet::{Block, Magnet};

/// A range of two surface coordinates.
pub(in crate::magnet) type Cell = [[f64; 2]; 2];

/// A piece of charged surface, in the frame of the magnet. The second coordinate runs along a straight line where there
/// is one.
#[derive(Debug, Clone, Copy)]
pub(in crate::magnet) enum Patch {
    /// A face of a block: both coordinates from -1 to 1.
    Rectangle {
        center: Vector3<f64>,
        edges: [Vector3<f64>; 2],
        normal: Vector3<f64>,
    },
    /// An end face of a cylinder or ring: angle, radius.
    Annulus { radii: [f64; 2], z: f64 },
    /// A round wall: angle, height. `outward` is -1 for the wall of a bore.
    Mantle {
        radius: f64,
        half_length: f64,
        outward: f64,
    },
    /// The surface of a sphere: angle, angle from the pole.
    Ball { radius: f64 },
}

/// A point of a patch.
#[derive(Debug, Clone, Copy)]
pub(in crate::magnet) struct Spot {
    pub(in crate::magnet) at: Vector3<f64>,
    pub(in crate::magnet) normal: Vector3<f64>,
    /// Area for a unit step of both coordinates.
    pub(in crate::magnet) area: f64,
}

impl Patch {
    pub(in crate::magnet) fn whole(&self) -> Cell {
        match *self {
            Self::Rectangle { .. } => [[-1.0, 1.0]; 2],
            Self::Annulus { radii, .. } => [[0.0, TAU], radii],
            Self::Mantle { half_length, .. } => [[0.0, TAU], [-half_length, half_length]],
            Self::Ball { .. } => [[0.0, TAU], [0.0, PI]],
        }
    }

    pub(in crate::magnet) fn spot(&self, u: f64, v: f64) -> Spot {
        match *self {
            Self::Rectangle {
                center,
                edges,
                normal,
            } => Spot {
                at: center + u * edges[0] + v * edges[1],
                normal,
                area: edges[0].norm() * edges[1].norm(),
            },
            Self::Annulus { z, .. } => Spot {
                at: Vector3::new(v * u.cos(), v * u.sin(), z),
                normal: Vector3::new(0.0, 0.0, 1f64.copysign(z)),
                area: v,
            },
            Self::Mantle {
                radius, outward, ..
            } => {
                let radial = Vector3::new(u.cos(), u.sin(), 0.0);
                Spot {
                    at: radius * radial + Vector3::new(0.0, 0.0, v),
                    normal: outward * radial,
                    area: radius,
                }
            }
            Self::Ball { radius } => {
                let normal = direction(u, v);
                Spot {
                    at: radius * normal,
                    normal,
                    area: radius * radius * v.sin(),
                }
            }
        }
    }

    /// How long a cell is along its two coordinates, m.
    pub(in crate::magnet) fn lengths(&self, cell: &Cell) -> [f64; 2] {
        let [u, v] = [cell[0][1] - cell[0][0], cell[1][1] - cell[1][0]];
        match *self {
            Self::Rectangle { edges, .. } => [u * edges[0].norm(), v * edges[1].norm()],
            Self::Annulus { .. } => [u * 0.5 * (cell[1][0] + cell[1][1]), v],
            Self::Mantle { radius, .. } => [u * radius, v],
            Self::Ball { radius } => {
                let middle = 0.5 * (cell[1][0] + cell[1][1]);
                [u * radius * middle.sin(), v * radius]
            }
        }
    }
}

/// The inside of a magnet, in its own frame, by three coordinates.
#[derive(Debug, Clone, Copy)]
pub(in crate::magnet) enum Bulk {
    /// Along the sides.
    Box { half: Vector3<f64> },
    /// Angle, radius, height.
    Round { radii: [f64; 2], half_length: f64 },
    /// Angle, angle from the pole, radius.
    Ball { radius: f64 },
}

/// The direction at an angle around z and an angle from it.
fn direction(around: f64, from_pole: f64) -> Vector3<f64> {
    let across = from_pole.sin();
    Vector3::new(
        across * around.cos(),
        across * around.sin(),
        from_pole.cos(),
    )
}

impl Bulk {
    pub(in crate::magnet) fn whole(&self) -> [[f64; 2]; 3] {
        match *self {
            Self::Box { half } => [0, 1, 2].map(|axis| [-half[axis], half[axis]]),
            Self::Round { radii, half_length } => [[0.0, TAU], radii, [-half_length, half_length]],
            Self::Ball { radius } => [[0.0, TAU], [0.0, PI], [0.0, radius]],
        }
    }

    /// A point, and the volume for a unit step of all three coordinates.
    pub(in crate::magnet) fn spot(&self, p: f64, q: f64, s: f64) -> (Vector3<f64>, f64) {
        match self {
            Self::Box { .. } => (Vector3::new(p, q, s), 1.0),
            Self::Round { .. } => (Vector3::new(q * p.cos(), q * p.sin(), s), q),
            Self::Ball { .. } => (s * direction(p, q), s * s * q.sin()),
        }
    }
}

fn rectangles(block: &Block) -> Vec<Patch> {
    let half = block.size() * 0.5;
    let mut patches = Vec::new();
    for axis in (0..3).filter(|axis| block.polarization()[*axis] != 0.0) {
        let along = |k: usize, length: f64| {
            let mut v = Vector3::zeros();
            v[k] = length;
            v
        };
        let [b, c] = [(axis + 1) % 3, (axis + 2) % 3];
        patches.extend([-1.0, 1.0].map(|side| Patch::Rectangle {
            center: along(axis, side * half[axis]),
            edges: [along(b, half[b]), along(c, half[c])],
            normal: along(axis, side),
        }));
    }
    patches
}

fn rounds(radii: [f64; 2], half_length: f64, polarization: &Vector3<f64>) -> Vec<Patch> {
    let mut patches = Vec::new();
    if polarization.z != 0.0 {
        patches.extend([-half_length, half_length].map(|z| Patch::Annulus { radii, z }));
    }
    if polarization.x != 0.0 || polarization.y != 0.0 {
        let walls = [(radii[1], 1.0), (radii[0], -1.0)];
        let walls = walls.into_iter().filter(|(radius, _)| *radius > 0.0);
        patches.extend(walls.map(|(radius, outward)| Patch::Mantle {
            radius,
            half_length,
            outward,
        }));
    }
    patches
}

impl Magnet {
    /// The pieces of its surface that carry charge, in its own frame.
    pub(in crate::magnet) fn patches(&self) -> Vec<Patch> {
        match self {
            Self::Block(block) => rectangles(block),
            Self::Cylinder(c) => {
                let radii = [0.0, 0.5 * c.diameter()];
                rounds(radii, 0.5 * c.length(), &c.polarization())
            }
            Self::Ring(r) => {
                let radii = [0.5 * r.inner_diameter(), 0.5 * r.outer_diameter()];
                rounds(radii, 0.5 * r.length(), &r.polarization())
            }
            Self::Sphere(s) => vec![Patch::Ball {
                radius: 0.5 * s.diameter(),
            }],
        }
    }

    pub(in crate::magnet) fn bulk(&self) -> Bulk {
        match self {
            Self::Block(block) => Bulk::Box {
                half: block.size() * 0.5,
            },
            Self::Cylinder(c) => Bulk::Round {
                radii: [0.0, 0.5 * c.diameter()],
                half_length: 0.5 * c.length(),
            },
            Self::Ring(r) => Bulk::Round {
                radii: [0.5 * r.inner_diameter(), 0.5 * r.outer_diameter()],
                half_length: 0.5 * r.length(),
            },
            Self::Sphere(s) => Bulk::Ball {
                radius: 0.5 * s.diameter(),
            },
        }
    }

    /// A point of the magnet moved `by` (m) away from its surface, in its own frame.
    pub(in crate::magnet) fn inward(&self, at: &Vector3<f64>, by: f64) -> Vector3<f64> {
        let toward = |value: f64, middle: f64| {
            if value > middle {
                value - by
            } else if value < middle {
                value + by
            } else {
                value
            }
        };
        let round = |middle: f64| {
            let rho = at.x.hypot(at.y);
            let share = if rho > 0.0 {
                toward(rho, middle) / rho
            } else {
                1.0
            };
            Vector3::new(at.x * share, at.y * share, toward(at.z, 0.0))
        };
        match self {
            Self::Block(_) => at.map(|part| toward(part, 0.0)),
            Self::Cylinder(_) => round(0.0),
            Self::Ring(r) => round(0.25 * (r.inner_diameter() + r.outer_diameter())),
            Self::Sphere(_) => {
                let radius = at.norm();
                at * if radius > by { 1.0 - by / radius } else { 0.0 }
            }
        }
    }

    /// How far it reaches from its center in a direction (a unit vector in its own frame), m.
    pub(crate) fn reach(&self, direction: &Vector3<f64>) -> f64 {
        let round = |diameter: f64, length: f64| {
            let across = direction.x.hypot(direction.y);
            0.5 * (diameter * across + length * direction.z.abs())
        };
        match self {
            Self::Block(block) => 0.5 * block.size().dot(&direction.abs()),
            Self::Cylinder(cylinder) => round(cylinder.diameter(), cylinder.length()),
            Self::Ring(ring) => round(ring.outer_diameter(), ring.length()),
            Self::Sphere(sphere) => 0.5 * sphere.diameter() * direction.norm(),
        }
    }

    /// Radius of the smallest sphere around its center that holds it, m.
    pub(crate) fn radius(&self) -> f64 {
        match self {
            Self::Block(block) => 0.5 * block.size().norm(),
            Self::Cylinder(cylinder) => 0.5 * cylinder.diameter().hypot(cylinder.length()),
            Self::Ring(ring) => 0.5 * ring.outer_diameter().hypot(ring.length()),
            Self::Sphere(sphere) => 0.5 * sphere.diameter(),
        }
    }

    /// Its measures in three directions (of a ring the wall, the length and the way around), ascending, m.
    pub(in crate::magnet) fn measures(&self) -> [f64; 3] {
        let mut measures = match self {
            Self::Block(block) => block.size().into(),
            Self::Cylinder(c) => [c.diameter(), c.diameter(), c.length()],
            Self::Ring(r) => {
                let wall = 0.5 * (r.outer_diameter() - r.inner_diameter());
                [wall, r.length(), PI * r.outer_diameter()]
            }
            Self::Sphere(s) => [s.diameter(); 3],
        };
        measures.sort_by(f64::total_cmp);
        measures
    }

    /// The step, in its own frame, from one of two equal magnets to the other when they are stacked pole to pole, m.
    pub(in crate::magnet) fn stack_step(&self) -> Vector3<f64> {
        let j = self.polarization();
        let round = |diameter: f64, length: f64| {
            let across = Vector3::new(j.x, j.y, 0.0);
            if j.z.abs() >= across.norm() {
                Vector3::new(0.0, 0.0, length)
            } else {
                across.normalize() * diameter
            }
        };
        match self {
            Self::Block(block) => {
                let mut step = Vector3::zeros();
                step[j.iamax()] = block.size()[j.iamax()];
                step
            }
            Self::Cylinder(c) => round(c.diameter(), c.length()),
            Self::Ring(r) => round(r.outer_diameter(), r.length()),
            Self::Sphere(s) => s.diameter() * j.try_normalize(0.0).unwrap_or_else(Vector3::z),
        }
    }
}
