//! A magnet on the end of a shaft, or a ring on it, and a sensor over or beside it.

use nalgebra::{Point3, Vector2, Vector3};
use serde::{Deserialize, Serialize};

use crate::axis::arrangement::measure::{FIRST, Measure, MeasureValue, Measured, Slot};
use crate::axis::arrangement::mounting::Mounting;
use crate::axis::arrangement::parts::{ArrangedParts, Standing, check_magnet, placed};
use crate::axis::arrangement::traits::arranged;
#[cfg(doc)]
use crate::error::Error;
use crate::error::{Result, choices};
use crate::magnet::Magnet;
use crate::stored::stored_as_spec;

/// Where the sensor stands to a magnet that sits on a shaft.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub enum ShaftSide {
    /// Over the end of the shaft, on its axis.
    #[default]
    End,
    /// Beside the rim of the magnet, off the axis, where the shaft goes on.
    Beside,
}

choices!(ShaftSide, "side of the sensor on a shaft", {
    End => "end",
    Beside => "beside",
});

/// Measures of a [`ShaftEndLayout`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShaftEndLayoutSpec {
    /// The magnet in its own frame, with its orientation; polarized across the shaft, as a rule.
    pub magnet: Magnet,
    /// Nearest face of the magnet to the face of the sensor's package when centered, m.
    pub gap: f64,
    /// Where the sensor stands.
    pub side: ShaftSide,
    /// How far the center of the magnet stands off the axis of the shaft, along x and y, m.
    pub eccentricity: Vector2<f64>,
    /// How they are mounted. The offset of the sensor is the eccentricity of its die.
    pub mounting: Mounting,
}

impl ShaftEndLayoutSpec {
    /// With the sensor over the end of the shaft, everything on its axis.
    pub fn new(magnet: impl Into<Magnet>, gap: f64) -> Self {
        Self {
            magnet: magnet.into(),
            gap,
            side: ShaftSide::End,
            eccentricity: Vector2::zeros(),
            mounting: Mounting::default(),
        }
    }
}

impl Measured for ShaftEndLayoutSpec {
    fn slots(&mut self) -> Vec<Slot<'_>> {
        let [x, y] = self.eccentricity.data.0[0].each_mut();
        let mut slots = vec![
            Slot::Number(Measure::Gap, &mut self.gap),
            Slot::Number(Measure::EccentricityX, x),
            Slot::Number(Measure::EccentricityY, y),
        ];
        slots.extend(self.mounting.slots());
        slots.push(Slot::Magnet(&FIRST, &mut self.magnet));
        slots
    }
}

/// A magnet on the end of the pivot's shaft under a sensor, or a ring on the shaft with the sensor beside its rim.
///
/// In the frame of all arrangements (see [`Arrangement`](crate::axis::Arrangement)) the shaft's axis is +z. The sensor
/// stands over the magnet on the axis, its face looking down, or beside it on the x axis, its face looking at the
/// shaft; its x axis lies along y. There is no arm. A disc, ring or block polarized across the shaft turns its field
/// under the sensor: an angle sensor reads two components in its plane, a linear sensor with its direction in that
/// plane reads one.
///
/// # Example
/// ```
/// use nalgebra::{Isometry3, Vector3};
/// use yokewright::axis::{Arrangement, Moving, ShaftEndLayout, ShaftEndLayoutSpec};
/// use yokewright::hall::{Converter, LinearHall, LinearHallSpec, Rounding};
/// use yokewright::magnet::Cylinder;
/// use yokewright::units::{DEG, MM, MT, MV_PER_MT};
///
/// // A disc of 6 x 2.5 mm, polarized across, 2 mm under a linear sensor that reads along y.
/// let disc = Cylinder::new(6.0 * MM, 2.5 * MM, Vector3::new(1.2, 0.0, 0.0), Isometry3::identity())?;
/// let layout = ShaftEndLayout::new(ShaftEndLayoutSpec::new(disc, 2.0 * MM))?;
/// let sensor = LinearHall::new(LinearHallSpec {
///     direction: Vector3::x(), // of the package: y of the shaft
///     ..LinearHallSpec::new(5.0, 20.0 * MV_PER_MT)
/// })?;
/// let converter = Converter::new(12, 5.0, Rounding::Nearest, 0.0)?;
/// let axis = layout.axis([-45.0 * DEG, 45.0 * DEG], sensor, converter, Moving::Magnets)?;
/// // The field turns with the magnet: the reading is a sine, without any field at the center.
/// let ratio = axis.flux_at(45.0 * DEG)? / axis.flux_at(30.0 * DEG)?;
/// assert!((ratio - 2f64.sqrt()).abs() < 1e-12 && axis.flux_at(0.0)?.abs() < 1e-12 * MT);
/// # Ok::<(), yokewright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct ShaftEndLayout {
    spec: ShaftEndLayoutSpec,
    parts: ArrangedParts,
}

arranged!(ShaftEndLayout, ShaftEndLayoutSpec);

impl ShaftEndLayout {
    /// Checks the measures.
    ///
    /// # Errors
    /// As [`SwungLayout::new`](crate::axis::SwungLayout::new): [`Error::NotFinite`], [`Error::OutOfRange`] (for an
    /// eccentricity beyond 0.2 m, too), [`Error::ThroughPlate`], [`Error::Collision`].
    pub fn new(spec: ShaftEndLayoutSpec) -> Result<Self> {
        spec.check()?;
        check_magnet(&spec.magnet)?;
        let center = Point3::new(spec.eccentricity.x, spec.eccentricity.y, 0.0);
        let facing = match spec.side {
            ShaftSide::End => Vector3::z(),
            ShaftSide::Beside => Vector3::x(),
        };
        let standing = Standing {
            magnets: vec![placed(&spec.magnet, center.coords, 0.0)?],
            center,
            faced: Point3::origin(),
            facing,
            across: Vector3::y(),
            gap: spec.gap,
        };
        Ok(Self {
            parts: ArrangedParts::new(standing, &spec.mounting)?,
            spec,
        })
    }
}
