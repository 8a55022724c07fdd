//! Two magnets side by side, opposite poles towards the sensor, for pivots that turn further than one magnet reads
//! straight.

use std::f64::consts::FRAC_PI_2;

use nalgebra::{Point3, Vector3};
use serde::{Deserialize, Serialize};

use crate::axis::arrangement::measure::{FIRST, Measure, MeasureValue, Measured, SECOND, Slot};
use crate::axis::arrangement::mounting::Mounting;
use crate::axis::arrangement::parts::{ArrangedParts, Standing, check_magnet, placed};
use crate::axis::arrangement::side::MagnetSide;
use crate::axis::arrangement::traits::arranged;
#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, choices, within_computed};
use crate::magnet::Magnet;
use crate::numeric::root;
use crate::stored::stored_as_spec;

/// What two magnets side by side sit on.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub enum PairCarrier {
    /// A flat one, along the tangent: what builders print. Both stand upright.
    #[default]
    Flat,
    /// A round one, about the pivot: both centers at the length of the arm, each magnet turned to its own radius.
    Round,
}

choices!(PairCarrier, "carrier of the pair", {
    Flat => "flat",
    Round => "round",
});

/// Measures of a [`PairLayout`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PairLayoutSpec {
    /// The magnets in their own frames, with their orientation: first the one at negative y, which comes before the
    /// sensor at positive angles.
    pub magnets: [Magnet; 2],
    /// Pivot to the middle between their centers on a flat carrier, to the center of each on a round one, m.
    pub arm: f64,
    /// Nearest face of the magnets to the face of the sensor's package when centered, m.
    pub gap: f64,
    /// Between their facing sides, m; 0 where they touch.
    pub spacing: f64,
    /// What they sit on.
    pub carrier: PairCarrier,
    /// Where the sensor stands.
    pub side: MagnetSide,
    /// How they are mounted.
    pub mounting: Mounting,
}

impl PairLayoutSpec {
    /// Two equal magnets on a flat carrier, the second polarized the other way, with the sensor beyond their outer
    /// faces.
    ///
    /// # Errors
    /// As the shape's own constructor, which made the magnet.
    pub fn new(magnet: impl Into<Magnet>, arm: f64, gap: f64, spacing: f64) -> Result<Self> {
        let first = magnet.into();
        let second = first.reversed()?;
        Ok(Self {
            magnets: [first, second],
            arm,
            gap,
            spacing,
            carrier: PairCarrier::Flat,
            side: MagnetSide::Outer,
            mounting: Mounting::default(),
        })
    }
}

impl Measured for PairLayoutSpec {
    fn slots(&mut self) -> Vec<Slot<'_>> {
        let mut slots = vec![
            Slot::Number(Measure::Arm, &mut self.arm),
            Slot::Number(Measure::Gap, &mut self.gap),
            Slot::Number(Measure::Spacing, &mut self.spacing),
        ];
        slots.extend(self.mounting.slots());
        let [first, second] = self.magnets.each_mut();
        slots.push(Slot::Magnet(&FIRST, first));
        slots.push(Slot::Magnet(&SECOND, second));
        slots
    }
}

/// Two magnets side by side on an arm, opposite poles towards a sensor that faces the middle between them.
///
/// In the frame of all arrangements (see [`Arrangement`](crate::axis::Arrangement)) the magnets stand to either side of
/// the arm along the tangent, each kept half the spacing from the plane through arm and pivot axis. Polarized towards
/// the sensor and away from it, their fields at a centered sensor cancel across its face and add up along the
/// tangent; as the pivot turns, one of them comes before it and then the other, so that the reading runs from one sign
/// to the other over a way as long as the magnets stand apart. The package's x axis lies along the tangent, its z axis
/// out of its face towards the magnets.
///
/// On a round carrier the sides of the magnets are not parallel; the spacing is then twice the distance of the nearest
/// point of each from the plane between them.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Vector3};
/// use yokewright::axis::{Arrangement, Moving, PairLayout, PairLayoutSpec};
/// use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
/// use yokewright::magnet::Block;
/// use yokewright::units::{DEG, MM, MV_PER_MT};
///
/// // Two blocks of 3 x 6 x 6 mm, poles radial, 6 mm apart on an arm of 20 mm.
/// let size = Vector3::new(3.0, 6.0, 6.0) * MM;
/// let block = Block::new(size, Vector3::new(1.2, 0.0, 0.0), Isometry3::identity())?;
/// let layout = PairLayout::new(PairLayoutSpec::new(block, 20.0 * MM, 6.0 * MM, 6.0 * MM)?)?;
/// let sensor = LinearHall::new(LinearHallSpec::new(5.0, 10.0 * MV_PER_MT))?;
/// let converter = Converter::new(12, 5.0, Rounding::Nearest, 0.0)?;
/// let axis = layout.axis([-12.0 * DEG, 12.0 * DEG], sensor, converter, Moving::Magnets)?;
/// // Nothing at the center, and as much to one side as to the other.
/// let [low, center, high] = [-12.0, 0.0, 12.0].map(|angle| axis.flux_at(angle * DEG));
/// assert!(center?.abs() < 1e-15 && (low? + high?).abs() < 1e-15);
/// assert!(axis.figures(101)?.linearity_flux().unwrap().independent() < 0.01);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct PairLayout {
    spec: PairLayoutSpec,
    parts: ArrangedParts,
}

arranged!(PairLayout, PairLayoutSpec);

impl PairLayout {
    /// Checks the measures.
    ///
    /// # Errors
    /// As [`SwungLayout::new`](crate::axis::SwungLayout::new): [`Error::NotFinite`], [`Error::OutOfRange`] (for a
    /// spacing beyond 0.2 m, too, or an arm too short for magnets on a round carrier), [`Error::ThroughPlate`],
    /// [`Error::Collision`]; [`Error::GroupOverlap`] for magnets that reach into each other.
    pub fn new(spec: PairLayoutSpec) -> Result<Self> {
        spec.check()?;
        for magnet in &spec.magnets {
            check_magnet(magnet)?;
        }
        let [first, second] = &spec.magnets;
        let center = Point3::new(spec.arm, 0.0, 0.0);
        let standing = Standing {
            magnets: vec![spec.beside(first, -1.0)?, spec.beside(second, 1.0)?],
            center,
            faced: center,
            facing: spec.side.facing(),
            across: Vector3::y(),
            gap: spec.gap,
        };
        Ok(Self {
            parts: ArrangedParts::new(standing, &spec.mounting)?,
            spec,
        })
    }
}

impl PairLayoutSpec {
    /// A magnet at its side (-1 or 1) of the plane through arm and pivot axis.
    fn beside(&self, magnet: &Magnet, side: f64) -> Result<Magnet> {
        let half = 0.5 * self.spacing;
        // How far it reaches towards the plane when it is turned about the axial direction.
        let reach = |turn: f64| -> Result<f64> {
            let turned = placed(magnet, Vector3::zeros(), turn)?;
            let inward = -side * Vector3::y();
            let own = turned.pose().rotation.inverse_transform_vector(&inward);
            Ok(turned.reach(&own))
        };
        match self.carrier {
            PairCarrier::Flat => {
                let y = side * (half + reach(0.0)?);
                placed(magnet, Vector3::new(self.arm, y, 0.0), 0.0)
            }
            PairCarrier::Round => {
                let (least, most) = (half + reach(side * FRAC_PI_2)?, 1.0);
                within_computed("arm of a round carrier", self.arm, least, most, "m")?;
                let apart = |turn: f64| {
                    let reach = reach(side * turn).unwrap_or(f64::NAN);
                    self.arm * turn.sin() - reach - half
                };
                let turn = side * root::between(apart, 0.0, FRAC_PI_2);
                let at = self.arm * Vector3::new(turn.cos(), turn.sin(), 0.0);
                placed(magnet, at, turn)
            }
        }
    }
}
