//! A thick soft-steel plate, by the method of images.

use nalgebra::{
    Isometry3, Matrix3, Point3, Quaternion, Translation3, Unit, UnitQuaternion, Vector3,
};

use crate::error::{Error, Result, within};
use crate::magnet::source::check_body;
use crate::magnet::{
    FieldColumns, FieldSource, Fields, Gradients, Magnet, MagnetGroup, TOUCHING, check_point,
    check_pose,
};
use crate::numeric::direction::unit;
use crate::numeric::quadrature::{Integrals, POINTS, adaptive_lines};
use crate::observer;
use crate::stored::stored_by_its_constructor;

/// A flat, thick plate of soft steel: all of the space behind a plane.
///
/// Its permeability is taken as infinite, so that the flux density meets its face at a right angle. In front of the
/// face the field is that of the magnets and their mirror images: shape and pose mirrored, charges with reversed
/// sign, so that the part of the polarization along the normal is kept and the part along the face reversed.
///
/// # When the images overstate
/// - *A thin plate.* The flux that enters under a pole has to flow sideways through the plate. Where it would need
///   more than about 2 T, the steel saturates, and field and pull fall short. [`SteelPlate::thickness_for`] estimates
///   the thickness it takes.
/// - *A small plate.* It should reach beyond the magnets on every side by more than their size.
/// - *A gap that is not in the drawing.* Paint, zinc and dirt count: put the plane where the steel begins, not where
///   the paint does. A strong magnet loses a good part of its pull over the first tenths of a millimetre.
/// - *Hard or alloyed steel.* With relative permeability mu the images are weaker by (mu - 1) / (mu + 1): 1 % at mu =
///   200, which mild steel exceeds well, but most stainless steels do not.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Matrix3, Point3, Vector3};
/// use yokewright::magnet::{Block, FieldSource, MagnetGroup, SteelPlate};
/// use yokewright::units::MM;
///
/// // A magnet 1 mm in front of a plate, its poles towards and away from it: the field at the far pole grows.
/// let size = Vector3::new(10.0, 10.0, 4.0) * MM;
/// let pose = Isometry3::translation(0.0, 0.0, 3.0 * MM);
/// let magnets = MagnetGroup::from(Block::new(size, Vector3::new(0.0, 0.0, 1.2), pose)?);
/// let plate = SteelPlate::new(Point3::origin(), Vector3::z())?;
///
/// let sensor = Point3::new(0.0, 0.0, 7.0 * MM);
/// let alone = magnets.field_at(&sensor)?.z;
/// let over_steel = plate.over(&magnets)?.field_at(&sensor)?.z;
/// assert!(over_steel > 1.2 * alone);
/// # Ok::<(), yokewright::Error>(())
/// ```
///
/// # References
/// E. P. Furlani, *Permanent Magnet and Electromechanical Devices*, Academic Press 2001, ch. 3 (images in magnetic
/// materials); P. Hammond, Electric and magnetic images, Proc. IEE 107C (1960) 306.
#[derive(Debug, Clone, PartialEq)]
pub struct SteelPlate {
    point: Point3<f64>,
    normal: Unit<Vector3<f64>>,
}

impl SteelPlate {
    /// A plate whose face goes through `point`; `normal` (of any length) points away from the steel, to where the
    /// magnets are.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the point is not finite or more than 1e6 m out or the normal
    /// is not finite, [`Error::NoDirection`] if its length is zero.
    pub fn new(point: Point3<f64>, normal: Vector3<f64>) -> Result<Self> {
        check_point(&point)?;
        Ok(Self {
            point,
            normal: Unit::new_unchecked(unit("normal of the steel plate", &normal)?),
        })
    }

    /// A point of the face.
    #[must_use]
    pub fn point(&self) -> Point3<f64> {
        self.point
    }

    /// The unit vector away from the steel.
    #[must_use]
    pub fn normal(&self) -> Unit<Vector3<f64>> {
        self.normal
    }

    /// How far a point lies in front of the face, m; negative inside the steel.
    ///
    /// # Errors
    /// If the point is not finite or more than 1e6 m out.
    pub fn distance(&self, point: &Point3<f64>) -> Result<f64> {
        check_point(point)?;
        Ok(self.height(&point.coords))
    }

    /// The same plate moved by `motion`.
    ///
    /// # Errors
    /// As [`SteelPlate::new`], for the new place; if the motion is not a finite rigid one within 1e6 m.
    pub fn moved(&self, motion: &Isometry3<f64>) -> Result<Self> {
        check_pose(motion)?;
        Self::new(motion * self.point, motion * self.normal.into_inner())
    }

    /// The gap between the plate and the nearest magnet, m.
    ///
    /// # Errors
    /// As [`SteelPlate::images`].
    pub fn gap(&self, magnets: &MagnetGroup) -> Result<f64> {
        let gaps = magnets.magnets().iter().enumerate();
        let gaps = gaps.map(|(index, magnet)| self.gap_of(index, magnet));
        gaps.reduce(|a, b| Ok(a?.min(b?)))
            .unwrap_or(Ok(f64::INFINITY))
    }

    /// The mirror images of the magnets.
    ///
    /// # Errors
    /// [`Error::ThroughPlate`] if a magnet reaches behind the face (touching it is allowed); else as the shape's
    /// constructor, for an image more than 1e6 m out.
    pub fn images(&self, magnets: &MagnetGroup) -> Result<MagnetGroup> {
        let images = magnets.magnets().iter().enumerate();
        let images: Result<Vec<Magnet>> = images
            .map(|(index, magnet)| {
                self.gap_of(index, magnet)?;
                self.image(magnet)
            })
            .collect();
        Ok(magnets.with_members(images?))
    }

    /// The magnets and their images, for what lies in front of the face. [`SteelPlate::over`] also refuses points
    /// behind it.
    ///
    /// # Errors
    /// As [`SteelPlate::images`]; [`Error::Count`] if magnets and images are too many for one group.
    pub fn with_images(&self, magnets: &MagnetGroup) -> Result<MagnetGroup> {
        let images = self.images(magnets)?;
        // Superposed: a magnet that touches the face may by rounding reach into its image, and neither is an image a
        // solid.
        MagnetGroup::superposed([magnets.clone(), images])
    }

    /// The field of the magnets over this plate.
    ///
    /// # Errors
    /// As [`SteelPlate::with_images`].
    pub fn over(&self, magnets: &MagnetGroup) -> Result<MagnetsOverPlate> {
        Ok(MagnetsOverPlate {
            plate: self.clone(),
            magnets: magnets.clone(),
            group: self.with_images(magnets)?,
        })
    }

    /// The thickness (m) at which the flux of the magnets just brings the plate to `saturation` (T; about 2 for mild
    /// steel) at its worst place. An estimate: a thinner plate saturates there, and the images overstate.
    ///
    /// The flux that enters the face spreads through the plate as through an unsaturated sheet. The sheet then
    /// carries, per metre of width, twice the tangential flux that the magnets alone would send through the half
    /// space behind the face: K = 2 x integral of B_t along the normal. That is exact for the sheet (for each charge
    /// both sides are q / (2 pi) x rho / (R (R + h))); K / `saturation` is the thickness.
    ///
    /// # Limits
    /// Leakage out of the back of the plate and its outline are left out; the plate is taken as evenly filled over
    /// its thickness, which holds where it is thin against the magnets. The worst place is searched on a grid around
    /// each magnet and refined; it is found to about 1 %. Time grows with the square of the number of magnets.
    ///
    /// # Errors
    /// As [`SteelPlate::images`]; [`Error::NotFinite`] or [`Error::OutOfRange`] if the saturation is not 0.1 to 3 T;
    /// [`Error::NotConverged`] if the flux cannot be found to a thousandth of its greatest.
    pub fn thickness_for(&self, magnets: &MagnetGroup, saturation: f64) -> Result<f64> {
        within("saturation", saturation, 0.1, 3.0, "T")?;
        self.gap(magnets)?;
        let mut worst = 0.0_f64;
        for magnet in magnets.magnets() {
            worst = worst.max(self.most_carried_near(magnet, magnets)?);
        }
        Ok(worst / saturation)
    }

    /// The greatest flux per metre of width that the plate carries near the foot of one of the magnets, Wb/m.
    fn most_carried_near(&self, magnet: &Magnet, magnets: &MagnetGroup) -> Result<f64> {
        /// Places of the grid to either side of the foot, and their step as a share of how far it reaches.
        const GRID: i32 = 8;
        const STEP: f64 = 0.125;
        /// The step at which the search ends.
        const FINEST: f64 = 1e-3;
        /// Peaks of the grid that are climbed: a magnet has up to eight alike by symmetry.
        const PEAKS: usize = 8;
        let [e1, e2] = tangents(&self.normal);
        let center = magnet.pose().translation.vector;
        let height = self.height(&center);
        let size = magnet.radius() + height;
        let foot = Point3::from(center - height * self.normal.into_inner());
        let at = |[x, y]: [f64; 2]| foot + (x * size) * e1 + (y * size) * e2;

        let places: Vec<[f64; 2]> = (-GRID..=GRID)
            .flat_map(|i| (-GRID..=GRID).map(move |k| [i, k].map(|n| STEP * f64::from(n))))
            .collect();
        let mut flux = Carried::new(self, magnets, size);
        let points: Vec<_> = places.iter().map(|place| at(*place)).collect();
        let carried = flux.at_places(&points)?;
        let width = (2 * GRID + 1) as usize;
        let [row, column] = [|n: usize, width: usize| n / width, |n, width| n % width];
        let is_peak = |n: &usize| {
            let beside = |k: usize| {
                row(k, width).abs_diff(row(*n, width)) <= 1
                    && column(k, width).abs_diff(column(*n, width)) <= 1
            };
            (0..carried.len()).all(|k| !beside(k) || carried[k] <= carried[*n])
        };
        let mut peaks: Vec<usize> = (0..carried.len()).filter(is_peak).collect();
        peaks.sort_by(|a, b| carried[*b].total_cmp(&carried[*a]));
        let mut worst = 0.0_f64;
        for peak in peaks.into_iter().take(PEAKS) {
            let (mut best, mut most) = (places[peak], carried[peak]);
            let mut step = 0.5 * STEP;
            while step > FINEST {
                let around: Vec<[f64; 2]> = (0..9)
                    .filter(|n| *n != 4)
                    .map(|n| {
                        [
                            best[0] + step * f64::from(n / 3 - 1),
                            best[1] + step * f64::from(n % 3 - 1),
                        ]
                    })
                    .collect();
                let points: Vec<_> = around.iter().map(|place| at(*place)).collect();
                let carried = flux.at_places(&points)?;
                let before = most;
                for (place, carried) in around.into_iter().zip(carried) {
                    if carried > most {
                        (best, most) = (place, carried);
                    }
                }
                // A gain that the integrals cannot tell from none is none, so that the climb comes to an end.
                if most <= before * (1.0 + FLUX_TOLERANCE) {
                    step *= 0.5;
                }
            }
            worst = worst.max(most);
        }
        Ok(worst)
    }

    /// Where, and along which direction, the magnets themselves have what their images have at `point` along
    /// `direction`.
    ///
    /// The potential of the images is that of the magnets at the mirrored point with its sign turned, so that their
    /// flux density is the mirrored one with its sign turned: B_image(p) = -R B(mirror of p), with R the reflection
    /// of directions.
    pub(crate) fn opposite(
        &self,
        point: &Point3<f64>,
        direction: &Vector3<f64>,
    ) -> (Point3<f64>, Vector3<f64>) {
        let normal = self.normal.into_inner();
        (
            point - 2.0 * self.height(&point.coords) * normal,
            2.0 * direction.dot(&normal) * normal - direction,
        )
    }

    fn height(&self, point: &Vector3<f64>) -> f64 {
        self.normal.dot(&(point - self.point.coords))
    }

    /// The gap of one magnet, or the error that says how far it reaches through.
    fn gap_of(&self, index: usize, magnet: &Magnet) -> Result<f64> {
        let pose = magnet.pose();
        let center = pose.translation.vector;
        let direction = pose.rotation.inverse_transform_vector(&self.normal);
        let gap = self.height(&center) - magnet.reach(&direction);
        let rounding = 8.0 * f64::EPSILON * (center.norm() + self.point.coords.norm());
        if gap < -(TOUCHING * magnet.radius() + rounding) {
            return Err(Error::ThroughPlate {
                magnet: index,
                reach: -gap,
            });
        }
        Ok(gap.max(0.0))
    }

    fn image(&self, magnet: &Magnet) -> Result<Magnet> {
        let pose = magnet.pose();
        let center = pose.translation.vector;
        let mirrored = center - 2.0 * self.height(&center) * self.normal.into_inner();
        // Every shape is its own mirror image across its own x axis. A mirror is a half turn with all directions
        // reversed: mirroring in the face and across x is the half turn about the normal, then (in the magnet's
        // frame) the one about x.
        let normal = Unit::new_unchecked(Quaternion::from_imag(self.normal.into_inner()));
        let x = Unit::new_unchecked(Quaternion::from_imag(Vector3::x()));
        let rotation: UnitQuaternion<f64> = normal * pose.rotation * x;
        let j = magnet.polarization();
        magnet.remade(
            Vector3::new(j.x, -j.y, -j.z),
            Isometry3::from_parts(Translation3::from(mirrored), rotation),
        )
    }
}

/// Two unit vectors at right angles to a third and to each other.
fn tangents(normal: &Unit<Vector3<f64>>) -> [Vector3<f64>; 2] {
    let mut other = Vector3::zeros();
    other[normal.iamin()] = 1.0;
    let first = normal.cross(&other).normalize();
    [first, normal.cross(&first)]
}

/// Error of the flux that the plate carries, as a share of the greatest: far better than the model is.
const FLUX_TOLERANCE: f64 = 1e-3;

/// The flux per metre of width that a plate carries at places of its face.
struct Carried<'a> {
    plate: &'a SteelPlate,
    magnets: &'a MagnetGroup,
    /// The depth by which about half of the flux has passed, m.
    scale: f64,
    /// The greatest found so far, Wb/m. The error allowed is a share of it and not of the flux at each place: right
    /// under a magnet the flux is zero by symmetry, and a share of what rounding leaves there is beyond reach.
    greatest: f64,
}

impl<'a> Carried<'a> {
    fn new(plate: &'a SteelPlate, magnets: &'a MagnetGroup, scale: f64) -> Self {
        Self {
            plate,
            magnets,
            scale,
            greatest: 0.0,
        }
    }

    /// What the plate carries at each place, Wb/m.
    fn at_places(&mut self, places: &[Point3<f64>]) -> Result<Vec<f64>> {
        /// Field values to a place and magnet before giving up: a hundred times what the edge of a magnet on the face
        /// takes.
        const MOST_VALUES: usize = 100_000;
        let length = |sum: &Integrals<3>| Vector3::from(sum.values).norm();
        let rough = self.integrate(places, 0.0, POINTS);
        self.greatest = rough.iter().map(length).fold(self.greatest, f64::max);
        if self.greatest == 0.0 {
            return Ok(vec![0.0; places.len()]);
        }
        let allowed = FLUX_TOLERANCE * self.greatest;
        let sums = self.integrate(places, 1.0 / allowed, MOST_VALUES);
        observer::check()?;
        for sum in &sums {
            let reached = Vector3::from(sum.errors).norm();
            if reached.is_nan() || reached > allowed {
                return Err(Error::NotConverged {
                    quantity: "flux through the plate per metre of width",
                    reached,
                    wanted: allowed,
                    unit: "Wb/m",
                });
            }
        }
        let carried: Vec<f64> = sums.iter().map(length).collect();
        self.greatest = carried.iter().copied().fold(self.greatest, f64::max);
        Ok(carried)
    }

    fn integrate(
        &self,
        places: &[Point3<f64>],
        weight: f64,
        most_values: usize,
    ) -> Vec<Integrals<3>> {
        let (scale, normal) = (self.scale, self.plate.normal.into_inner());
        let mut spent = 0;
        // s = scale t / (1 - t) maps what is behind the face to 0..1.
        adaptive_lines(places.len(), 0.0, 1.0, &[weight; 3], |nodes, values| {
            let depth = |t: f64| scale * t / (1.0 - t);
            let points = nodes.iter();
            let points: Vec<_> = points
                .map(|(place, t)| places[*place] - depth(*t) * normal)
                .collect();
            let fields = self.magnets.fields_at(&points).values;
            values.extend(nodes.iter().zip(&fields).map(|((_, t), b)| {
                let along = b - b.dot(&normal) * normal;
                // No field on an edge and more than 1e6 m out: what a single node there weighs is nothing.
                let along = along.map(|part| if part.is_finite() { part } else { 0.0 });
                <[f64; 3]>::from(2.0 * scale / (1.0 - t).powi(2) * along)
            }));
            spent += nodes.len();
            spent < most_values * places.len() && observer::check().is_ok()
        })
    }
}

/// Magnets over a steel plate: the field in front of its face.
///
/// Moved as a whole, magnets and plate together. What lies in the steel has no field: [`Error::BehindPlate`]. The
/// edge of a magnet that touches the plate lies on the face and has none either.
#[derive(Debug, Clone, PartialEq)]
pub struct MagnetsOverPlate {
    plate: SteelPlate,
    magnets: MagnetGroup,
    group: MagnetGroup,
}

impl MagnetsOverPlate {
    /// The plate.
    #[must_use]
    pub fn plate(&self) -> &SteelPlate {
        &self.plate
    }

    /// The magnets, without their images.
    #[must_use]
    pub fn magnets(&self) -> &MagnetGroup {
        &self.magnets
    }

    /// The magnets, then their images in the same order.
    #[must_use]
    pub fn group(&self) -> &MagnetGroup {
        &self.group
    }

    /// Refuses points inside the steel, where the images say nothing.
    fn check_in_front(&self, point: &Point3<f64>) -> Result<()> {
        let height = self.plate.distance(point)?;
        if self.is_behind(point, height) {
            return Err(Error::BehindPlate { depth: -height });
        }
        Ok(())
    }

    fn is_in_front(&self, point: &Point3<f64>) -> bool {
        !self.is_behind(point, self.plate.height(&point.coords))
    }

    /// Whether a point at this height is inside the steel, by more than its coordinates may be rounded.
    fn is_behind(&self, point: &Point3<f64>, height: f64) -> bool {
        height < -4.0 * f64::EPSILON * (point.coords.norm() + self.plate.point.coords.norm())
    }
}

impl FieldSource for MagnetsOverPlate {
    fn field_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        self.check_in_front(point)?;
        self.group.field_at(point)
    }

    fn gradient_at(&self, point: &Point3<f64>) -> Result<Matrix3<f64>> {
        self.check_in_front(point)?;
        self.group.gradient_at(point)
    }

    fn h_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        self.check_in_front(point)?;
        self.group.h_at(point)
    }

    fn polarization_at(&self, point: &Point3<f64>) -> Result<Vector3<f64>> {
        self.check_in_front(point)?;
        self.magnets.polarization_at(point)
    }

    /// Of a magnet or of the plate, whichever is nearer.
    fn distance(&self, point: &Point3<f64>) -> Result<f64> {
        Ok(self
            .magnets
            .distance(point)?
            .min(self.plate.distance(point)?))
    }

    fn moved(&self, motion: &Isometry3<f64>) -> Result<Self> {
        Ok(Self {
            plate: self.plate.moved(motion)?,
            magnets: self.magnets.moved(motion)?,
            group: self.group.moved(motion)?,
        })
    }

    fn fields_at(&self, points: &[Point3<f64>]) -> Fields {
        let fields = self.group.fields_at(points);
        fields.masked(points, |point| self.is_in_front(point))
    }

    fn fields_into(&self, points: &[Point3<f64>], mut columns: FieldColumns<'_>) -> Result<()> {
        self.group.fields_into(points, columns.again())?;
        columns.mask(points, |point| self.is_in_front(point));
        Ok(())
    }

    fn gradients_at(&self, points: &[Point3<f64>]) -> Gradients {
        let gradients = self.group.gradients_at(points);
        gradients.masked(points, |point| self.is_in_front(point))
    }

    fn hs_at(&self, points: &[Point3<f64>]) -> Fields {
        let strengths = self.group.hs_at(points);
        strengths.masked(points, |point| self.is_in_front(point))
    }

    fn polarizations_at(&self, points: &[Point3<f64>]) -> Fields {
        let polarizations = self.magnets.polarizations_at(points);
        polarizations.masked(points, |point| self.is_in_front(point))
    }

    fn bodies(&self) -> usize {
        self.magnets.bodies() + 1
    }

    fn body_distance(&self, body: usize, point: &Point3<f64>) -> Result<f64> {
        check_body(body, self.bodies())?;
        if body < self.magnets.bodies() {
            self.magnets.body_distance(body, point)
        } else {
            self.plate.distance(point)
        }
    }
}

stored_by_its_constructor!(SteelPlate {
    point: Point3<f64>,
    normal: Vector3<f64>
} => Self::new(point, normal));

stored_by_its_constructor!(MagnetsOverPlate {
    plate: SteelPlate,
    magnets: MagnetGroup
} => plate.over(&magnets));
