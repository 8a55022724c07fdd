//! Stops: where a lever meets them, and what they and the pivot then bear.

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::error::{Error, Hint, Result, finite, within};
use crate::linkage::lever::{Lever, LeverGuide};
use crate::linkage::pivot::placed;
use crate::linkage::wrapped;
use crate::numeric::direction::unit;
use crate::stored::stored_by_its_constructor;
use crate::units::{MM, UM};

/// The largest radius of a bumper, m.
const MAX_BUMPER: f64 = 0.5;
/// The smallest arm at which a stop acts on a lever, m, or share of a slide's direction: below it the face is touched
/// in passing.
const LEAST_ARM: f64 = 1.0 * UM;
/// The least gap at neutral, m, and the least position at which a stop can be met, rad or m: closer it is met at
/// neutral already.
const LEAST_GAP: f64 = 1.0 * UM;
/// Farther apart than two points within reach can be, m.
const LONGEST: f64 = 40.0;
/// The least and the greatest force, N, or moment, N m, that are plausible.
const FORCE_RANGE: [f64; 2] = [1e-9, 1e5];
/// Sizes of pads and pins, m, and areas, m^2.
const SIZE_RANGE: [f64; 2] = [0.1 * MM, 1.0];
const AREA_RANGE: [f64; 2] = [1e-8, 1.0];

/// A fixed pad that ends the travel of a lever, on which a bumper sits. Its flat face is taken to be large enough that
/// the bumper cannot pass beside it.
///
/// # Caution
/// What stops a pedal carries the force of a foot: a press in an emergency passes a kilonewton, and arms near the pivot
/// multiply it. Let the stop bear it, never the sensor, the joint of a rod or a spring wound solid. For simulators
/// only.
///
/// # Example
/// ```
/// use nalgebra::{Point3, Vector3};
/// use yokewright::linkage::{Lever, Pivot};
/// use yokewright::units::{DEG, MM};
///
/// // A pedal of 200 mm with a stop at 50 mm from the pivot, met at 15 degrees.
/// let pivot = Pivot::new(Point3::origin(), Vector3::y())?;
/// let pedal = Lever::pivoted(pivot, Point3::new(0.0, 0.0, 200.0 * MM), [-25.0 * DEG, 25.0 * DEG])?;
/// let stop = pedal.stop_at(50.0 * MM, 15.0 * DEG, 0.0)?;
/// let push = pedal.push(15.0 * DEG, 1000.0)?;
/// let load = pedal.stop_load(&stop, push)?;
/// assert!((load.contact_force - 4000.0).abs() < 1e-6); // four times the foot
/// assert!((load.guide_force.norm() - 3000.0).abs() < 1e-6);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop {
    bumper: Point3<f64>,
    bumper_radius: f64,
    face: Point3<f64>,
    normal: Vector3<f64>,
}

stored_by_its_constructor!(Stop {
    bumper: Point3<f64>,
    bumper_radius: f64,
    face: Point3<f64>,
    normal: Vector3<f64>
} => Self::new(bumper, bumper_radius, face, normal));

/// A lever held against a stop. Friction is left out.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct StopLoad {
    /// Position of the lever at the stop: rad on a pivot, m on a slide.
    pub position: f64,
    /// Force between bumper and pad, N.
    pub contact_force: f64,
    /// Where the pad is touched, m.
    pub contact_point: Point3<f64>,
    /// Force of pivot or slide on the lever, N.
    pub guide_force: Vector3<f64>,
    /// Moment of pivot or slide on the lever, N m, about the pivot's point or, on a slide, the neutral grip. On a pivot
    /// it is square to the axis.
    pub guide_moment: Vector3<f64>,
}

/// The travel that stops leave a lever.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct StoppedTravel {
    /// Least and greatest position: rad on a pivot, m on a slide.
    pub travel: [f64; 2],
    /// Which stop ends it on either side, counted from 0; none if the lever's own travel ends first.
    pub stops: [Option<usize>; 2],
}

impl Stop {
    /// A stop whose flat face goes through a point (m) square to `normal` (any length; away from the pad, toward the
    /// lever), met by a ball or roller of the given radius (m; zero for a point) that the lever carries with its center
    /// at `bumper` (m) at neutral.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for a coordinate beyond 10 m or a radius not within 0 to 0.5 m,
    /// [`Error::NoDirection`] for a zero normal.
    pub fn new(
        bumper: Point3<f64>,
        bumper_radius: f64,
        face: Point3<f64>,
        normal: Vector3<f64>,
    ) -> Result<Self> {
        Ok(Self {
            bumper: placed("bumper", bumper)?,
            bumper_radius: within("radius of the bumper", bumper_radius, 0.0, MAX_BUMPER, "m")?,
            face: placed("face of the stop", face)?,
            normal: unit("normal of the stop", &normal)?,
        })
    }

    /// Center of the bumper at neutral, m.
    #[must_use]
    pub fn bumper(&self) -> Point3<f64> {
        self.bumper
    }

    /// Radius of the bumper, m.
    #[must_use]
    pub fn bumper_radius(&self) -> f64 {
        self.bumper_radius
    }

    /// A point of the face, m.
    #[must_use]
    pub fn face(&self) -> Point3<f64> {
        self.face
    }

    /// Normal of the face, of length 1, away from the pad.
    #[must_use]
    pub fn normal(&self) -> Vector3<f64> {
        self.normal
    }
}

impl Lever {
    /// The gap between bumper and face (m) at a position (rad or m); negative where the lever would have to be in the
    /// pad.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the position lies outside the travel.
    pub fn gap(&self, stop: &Stop, position: f64) -> Result<f64> {
        self.on_travel(position)?;
        Ok(self.gap_at(stop, position))
    }

    /// The positions (rad or m) nearest to neutral at which the lever meets a stop, below and above; none on a side
    /// where it never does, or not within half a turn.
    ///
    /// On a pivot the bumper's height over the face is m + c cos a + s sin a, so that the angles follow in closed form.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] if the lever is not clear of the stop at neutral.
    pub fn meets(&self, stop: &Stop) -> Result<[Option<f64>; 2]> {
        let clearance = self.gap_at(stop, 0.0);
        within(
            "gap at the stop at neutral",
            clearance,
            LEAST_GAP,
            LONGEST,
            "m",
        )?;
        let positions = match self.guide() {
            LeverGuide::Slide(direction) => {
                // Moving by x changes the gap by x (normal . direction).
                let slope = stop.normal.dot(&direction);
                let position = -clearance / slope;
                vec![position]
            }
            LeverGuide::Pivot(pivot) => {
                let across = pivot.radius_vector(&stop.bumper);
                let cosine = stop.normal.dot(&across);
                let sine = stop.normal.dot(&pivot.direction().cross(&across));
                // The gap is clearance + cosine (cos a - 1) + sine sin a.
                let peak = sine.atan2(cosine);
                let share = (cosine - clearance) / cosine.hypot(sine);
                if share.is_nan() || share.abs() > 1.0 {
                    return Ok([None; 2]);
                }
                let away = share.acos();
                vec![wrapped(peak + away), wrapped(peak - away)]
            }
        };
        let met = |side: f64| {
            let there = positions.iter().map(|position| position * side);
            let nearest = there
                .filter(|x| x.is_finite() && *x > 0.0)
                .min_by(f64::total_cmp);
            nearest.map(|x| x * side)
        };
        Ok([met(-1.0), met(1.0)])
    }

    /// The travel that a number of stops leave.
    ///
    /// # Errors
    /// As [`Lever::meets`].
    pub fn stopped_by(&self, stops: &[Stop]) -> Result<StoppedTravel> {
        let mut left = StoppedTravel {
            travel: self.travel(),
            stops: [None; 2],
        };
        for (number, stop) in stops.iter().enumerate() {
            for (side, met) in self.meets(stop)?.into_iter().enumerate() {
                if let Some(position) =
                    met.filter(|position| position.abs() < left.travel[side].abs())
                {
                    left.travel[side] = position;
                    left.stops[side] = Some(number);
                }
            }
        }
        Ok(left)
    }

    /// A stop that the lever meets at a position (rad or m), its face square to the bumper's way there: at `radius` (m)
    /// from the pivot on the line to the grip, or on a slide at that distance behind the grip.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the position lies outside the travel or is zero, the radius is
    /// not within 0.1 mm to 1 m or the bumper's not within 0 to 0.5 m.
    pub fn stop_at(&self, radius: f64, position: f64, bumper_radius: f64) -> Result<Stop> {
        self.on_travel(position)?;
        let [min, max] = SIZE_RANGE;
        within("radius of the stop", radius, min, max, "m")?;
        let away = position.abs();
        within(
            "distance of the stop from neutral",
            away,
            LEAST_GAP,
            LONGEST,
            self.unit(),
        )?;
        let bumper = match self.guide() {
            LeverGuide::Pivot(pivot) => {
                let arm = pivot.radius_vector(&self.grip());
                self.grip() + arm * (radius / arm.norm() - 1.0)
            }
            LeverGuide::Slide(direction) => self.grip() - direction * radius,
        };
        let there = self.moved(&bumper, position);
        let normal = -position.signum() * self.way(&there).normalize();
        Stop::new(
            bumper,
            bumper_radius,
            there - normal * bumper_radius,
            normal,
        )
    }

    /// What stop and guide bear when a force (N) on the grip holds the lever against the stop; the one met in the
    /// direction of the force counts.
    ///
    /// Moments about the axis balance: the contact force is the force's moment over the arm of the face's normal. What
    /// is left goes into the guide.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] for a force beyond 100 kN, one that does not press toward the
    /// stop, a stop that is not met within the travel, or one whose face is touched in passing only; as
    /// [`Lever::meets`].
    pub fn stop_load(&self, stop: &Stop, force: Vector3<f64>) -> Result<StopLoad> {
        let [min, max] = FORCE_RANGE;
        for component in &force {
            within("force on the grip", *component, -max, max, "N")?;
        }
        let [low, high] = self.travel();
        let met = self.meets(stop)?;
        // Power of the force for one unit of motion: a moment, or on a slide a force.
        let drive = |position: f64| {
            let grip = self.moved(&self.grip(), position);
            force.dot(&self.way(&grip))
        };
        let toward = |(at, side): (Option<f64>, f64)| {
            let position = at.filter(|x| (low..=high).contains(x))?;
            Some((position, side * drive(position)))
        };
        let within_travel = met.into_iter().zip([-1.0, 1.0]).filter_map(toward);
        let pressed_most = within_travel.max_by(|(_, one), (_, other)| one.total_cmp(other));
        let Some((position, press)) = pressed_most else {
            let gap = self.gap_at(stop, low).min(self.gap_at(stop, high));
            return Err(Error::OutOfRange {
                quantity: "gap at the stop at the end of the travel",
                value: gap,
                min: -LONGEST,
                max: 0.0,
                unit: "m",
                hint: Hint::None,
            });
        };
        match self.guide() {
            LeverGuide::Pivot(_) => within(
                "moment of the force toward the stop",
                press,
                min,
                max,
                "N m",
            ),
            LeverGuide::Slide(_) => within("force toward the stop", press, min, max, "N"),
        }?;
        let bumper = self.moved(&stop.bumper, position);
        let arm = stop.normal.dot(&self.way(&bumper));
        within("arm of the stop", arm.abs(), LEAST_ARM, LONGEST, "m")?;
        let contact_force = -drive(position) / arm;
        let push = stop.normal * contact_force;
        let about = self.reference();
        let grip = self.moved(&self.grip(), position);
        Ok(StopLoad {
            position,
            contact_force,
            contact_point: bumper - stop.normal * stop.bumper_radius,
            guide_force: -(force + push),
            guide_moment: -((grip - about).cross(&force) + (bumper - about).cross(&push)),
        })
    }

    /// Radial forces (N) on two bearings of the pivot, at distances (m) from its point along its direction, that give
    /// the reaction of a stop load.
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the bearings are not 0.1 mm to 1 m apart, the second ahead of
    /// the first; [`Error::NotAChoice`] for a slide, which has no pivot.
    pub fn bearing_loads(&self, load: &StopLoad, bearings: [f64; 2]) -> Result<[Vector3<f64>; 2]> {
        let LeverGuide::Pivot(pivot) = self.guide() else {
            return Err(Error::NotAChoice {
                quantity: "lever with bearings",
                given: "slide".to_owned(),
                choices: "pivot".to_owned(),
            });
        };
        for component in load.guide_force.iter().chain(&load.guide_moment) {
            finite("reaction of the guide", *component, "N or N m")?;
        }
        let [first, second] = bearings;
        let [min, max] = SIZE_RANGE;
        within("first bearing", first, -max, max, "m")?;
        let apart = within("distance of the bearings", second - first, min, max, "m")?;
        let axis = pivot.direction();
        let radial = load.guide_force - axis * axis.dot(&load.guide_force);
        // Their moments about the point are position x (axis x force); crossed with the axis they give position x force
        // back.
        let weighted = load.guide_moment.cross(&axis);
        let at_second = (weighted - radial * first) / apart;
        Ok([radial - at_second, at_second])
    }

    fn gap_at(&self, stop: &Stop, position: f64) -> f64 {
        let bumper = self.moved(&stop.bumper, position);
        stop.normal.dot(&(bumper - stop.face)) - stop.bumper_radius
    }
}

impl StopLoad {
    /// Mean pressure (Pa) on a pad of the given area (m^2).
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if the area is not within 0.01 mm^2 to 1 m^2.
    pub fn pad_pressure(&self, area: f64) -> Result<f64> {
        let [min, max] = AREA_RANGE;
        finite("contact force", self.contact_force, "N")?;
        Ok(self.contact_force / within("area of the pad", area, min, max, "m^2")?)
    }

    /// Bearing pressure (Pa) of the pivot's pin: its force over diameter times length (m).
    ///
    /// # Errors
    /// [`Error::NotFinite`] or [`Error::OutOfRange`] if a size is not within 0.1 mm to 1 m.
    pub fn pin_pressure(&self, diameter: f64, length: f64) -> Result<f64> {
        let [min, max] = SIZE_RANGE;
        within("diameter of the pin", diameter, min, max, "m")?;
        within("bearing length of the pin", length, min, max, "m")?;
        finite("force of the guide", self.guide_force.norm(), "N")?;
        Ok(self.guide_force.norm() / (diameter * length))
    }
}
