//! What a magnet is made of: grades, demagnetizing factors, the working point, mass.
//!
//! The path from a grade to a field: [`Grade::named`] gives remanence, coercivity and their temperature coefficients;
//! [`demagnetizing`] says how strongly the shape opposes itself; [`WorkingPoint`] puts both together and gives the
//! effective polarization to build a magnet with, and the margin to the knee behind which flux is lost for good.
//!
//! Temperatures are in degrees Celsius, as every table prints them, and their names say so; differences are in kelvin.
//!
//! # Example
//! ```
//! use nalgebra::{Isometry3, Point3, Vector3};
//! use yokewright::magnet::{Block, FieldSource};
//! use yokewright::magnet::material::{RatedBound, Grade, Load, WorkingPoint, demagnetizing};
//! use yokewright::units::MM;
//!
//! // A 10 x 10 x 5 mm block of N42, through its thickness, in a cockpit that the sun heats to 60 degC.
//! let size = Vector3::new(10.0, 10.0, 5.0) * MM;
//! let load = Load { celsius: 60.0, ..Load::alone(demagnetizing::block(&size)?.z) };
//! let point = WorkingPoint::new(&Grade::named("N42")?, RatedBound::Nominal, load)?;
//! assert!((point.polarization() - 1.208).abs() < 0.001);   // T, against a remanence of 1.3 T at 20 degC
//! assert!(point.margin() > 0.0);                           // the knee is not reached
//! let magnet = Block::new(size, Vector3::z() * point.polarization(), Isometry3::identity())?;
//! # magnet.field_at(&Point3::new(0.0, 0.0, 5.0 * MM))?;
//! # Ok::<(), yokewright::Error>(())
//! ```

pub mod demagnetizing;
mod figure;
mod grade;
mod table;
mod working_point;

pub use crate::source::{Provenance, Source};
pub use figure::{RatedBound, RatedValue};
pub use grade::{Grade, GradeSpec, MagnetFamily};
pub use working_point::{Condition, Knee, Load, WorkingPoint};

use crate::units::MU_0;

/// The temperature that all tables refer to, degC.
pub const REFERENCE_CELSIUS: f64 = 20.0;
