//! One block swung past one sensor: where everything stands in each build, and what the sensor reads.

use nalgebra::{Matrix3, UnitQuaternion, Vector3};

use crate::axis::tolerance::lanes::curves::{LANES, Lane};
use crate::axis::tolerance::lanes::rod;
use crate::linkage::Turn;
use crate::magnet::block_field;
use crate::numeric::simd::lanes::{mul_add, select};

/// What of a swung layout, its sensor and the rod that drives it may differ from build to build: a number for each, in
/// this order.
pub(super) const NUMBERS: usize = ROD + rod::NUMBERS;
pub(super) const ARM: usize = 0;
pub(super) const GAP: usize = 1;
pub(super) const OFFSET: usize = 2;
pub(super) const MAGNET_TILT: usize = 5;
pub(super) const SENSOR_TILT: usize = 8;
pub(super) const POLARIZATION: usize = 11;
pub(super) const SIDES: usize = 12;
pub(super) const SENSITIVITY: usize = 15;
pub(super) const QUIESCENT: usize = 16;
pub(super) const RAIL_LOW: usize = 17;
pub(super) const RAIL_HEADROOM: usize = 18;
pub(super) const DEPTH: usize = 19;
pub(super) const ROD: usize = 20;

/// What all builds share.
#[derive(Debug, Clone)]
pub(super) struct Swung {
    /// The block in its place but for tilt, and its axes in the order of the kernel.
    pub(super) magnet: Matrix3<f64>,
    pub(super) order: [usize; 3],
    pub(super) components: u8,
    /// Direction of the polarization in the block's own frame.
    pub(super) polarized: Vector3<f64>,
    /// From the magnet to the sensor, and the package without tilt.
    pub(super) facing: Vector3<f64>,
    pub(super) package: Matrix3<f64>,
    /// Sensitive direction in the package.
    pub(super) sensitive: Vector3<f64>,
}

/// Where everything stands when centered, build by build.
#[derive(Debug, Clone)]
pub(super) struct Places {
    active: [Lane; 3],
    face: [Lane; 3],
    sensitive: [Lane; 3],
    center: Lane,
    axes: [[Lane; 3]; 3],
    half: [Lane; 3],
    polarization: [Lane; 3],
}

fn rotation(tilt: &[f64]) -> Option<Matrix3<f64>> {
    let tilt = Vector3::new(tilt[0], tilt[1], tilt[2]);
    (tilt != Vector3::zeros()).then(|| {
        *UnitQuaternion::from_scaled_axis(tilt)
            .to_rotation_matrix()
            .matrix()
    })
}

impl Places {
    pub(super) fn none() -> Self {
        let none = [[0.0; LANES]; 3];
        Self {
            active: none,
            face: none,
            sensitive: none,
            center: [0.0; LANES],
            axes: [none; 3],
            half: none,
            polarization: none,
        }
    }

    /// Puts one build together, as [`ArrangedParts`](crate::axis::ArrangedParts) does it.
    pub(super) fn set(&mut self, lane: usize, swung: &Swung, numbers: &[f64; NUMBERS]) {
        let magnet = match rotation(&numbers[MAGNET_TILT..MAGNET_TILT + 3]) {
            Some(tilt) => tilt * swung.magnet,
            None => swung.magnet,
        };
        let package = match rotation(&numbers[SENSOR_TILT..SENSOR_TILT + 3]) {
            Some(tilt) => tilt * swung.package,
            None => swung.package,
        };
        let facing = &swung.facing;
        let center = Vector3::new(numbers[ARM], 0.0, 0.0);
        let toward = magnet.tr_mul(facing);
        let mut front = center.dot(facing);
        for side in 0..3 {
            front += 0.5 * numbers[SIDES + side] * toward[side].abs();
        }
        let offset = Vector3::new(numbers[OFFSET], numbers[OFFSET + 1], numbers[OFFSET + 2]);
        let face = center - center.dot(facing) * facing + (front + numbers[GAP]) * facing + offset;
        let active = face - package.column(2) * numbers[DEPTH];
        let sensitive = package * swung.sensitive;
        self.center[lane] = numbers[ARM];
        for k in 0..3 {
            self.face[k][lane] = face[k];
            self.active[k][lane] = active[k];
            self.sensitive[k][lane] = sensitive[k];
            let own = swung.order[k];
            for x in 0..3 {
                self.axes[k][x][lane] = magnet[(x, own)];
            }
            self.half[k][lane] = 0.5 * numbers[SIDES + own];
            self.polarization[k][lane] = numbers[POLARIZATION] * swung.polarized[own];
        }
    }

    /// Flux density along the sensitive direction with the sensor turned among the magnets, T.
    #[inline(always)]
    pub(super) fn read<const FMA: bool, const COMPONENTS: usize>(
        &self,
        turn: &Turn<LANES>,
        flux: &mut Lane,
    ) {
        for (l, flux) in flux.iter_mut().enumerate() {
            let turn = [turn[0][l], turn[1][l]];
            let mut point = turned::<FMA>(turn, at(&self.active, l));
            point[0] -= self.center[l];
            let p = self.own::<FMA>(point, l);
            let w = self.own::<FMA>(turned::<FMA>(turn, at(&self.sensitive, l)), l);
            let (half, j) = (at(&self.half, l), at(&self.polarization, l));
            let b = block_field::<FMA, COMPONENTS, true>(p, half, j);
            *flux = mul_add::<FMA>(b[0], w[0], mul_add::<FMA>(b[1], w[1], b[2] * w[2]));
        }
    }

    /// Distance of the center of the package's face from the block, m; zero within it.
    #[inline(always)]
    pub(super) fn distance<const FMA: bool>(&self, turn: &Turn<LANES>, distance: &mut Lane) {
        for (l, distance) in distance.iter_mut().enumerate() {
            let turn = [turn[0][l], turn[1][l]];
            let mut point = turned::<FMA>(turn, at(&self.face, l));
            point[0] -= self.center[l];
            let p = self.own::<FMA>(point, l);
            let x = beyond(p[0], self.half[0][l]);
            let y = beyond(p[1], self.half[1][l]);
            let z = beyond(p[2], self.half[2][l]);
            *distance = mul_add::<FMA>(x, x, mul_add::<FMA>(y, y, z * z)).sqrt();
        }
    }

    /// A vector in the frame of the block, its axes in the order of the kernel.
    #[inline(always)]
    fn own<const FMA: bool>(&self, v: [f64; 3], l: usize) -> [f64; 3] {
        [
            dot::<FMA>(at(&self.axes[0], l), v),
            dot::<FMA>(at(&self.axes[1], l), v),
            dot::<FMA>(at(&self.axes[2], l), v),
        ]
    }
}

// Functions and not closures, so that the loops over the lanes become vector code.

#[inline(always)]
fn at(v: &[Lane; 3], l: usize) -> [f64; 3] {
    [v[0][l], v[1][l], v[2][l]]
}

#[inline(always)]
fn dot<const FMA: bool>(a: [f64; 3], b: [f64; 3]) -> f64 {
    mul_add::<FMA>(a[0], b[0], mul_add::<FMA>(a[1], b[1], a[2] * b[2]))
}

/// About the pivot's axis.
#[inline(always)]
fn turned<const FMA: bool>([cos, sin]: [f64; 2], v: [f64; 3]) -> [f64; 3] {
    [
        mul_add::<FMA>(cos, v[0], -(sin * v[1])),
        mul_add::<FMA>(cos, v[1], sin * v[0]),
        v[2],
    ]
}

/// How far a coordinate lies beyond a side of the block.
#[inline(always)]
fn beyond(x: f64, half: f64) -> f64 {
    let beyond = x.abs() - half;
    select(beyond > 0.0, beyond, 0.0)
}
