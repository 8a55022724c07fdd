//! The words that keys choose from.

#![expect(
    unreachable_pub,
    reason = "the lists of words are as public as those of public choices"
)]

use crate::axis::{
    ArrangementKind, Carrier, MagnetSide, Moving, PairCarrier, PlateHolder, ShaftSide, StageKind,
    UsbSpeed,
};
use crate::error::choices;
use crate::feel::{ControlKind, GuidanceMotion};
use crate::hall::{RotationSense, Rounding};
use crate::linkage::{Assembly, PedalMember};
use crate::rig::tolerance_shape::ToleranceShape;
use crate::spring::{
    CoilEnds, EndFixity, HookShape, Presetting, SpringAction, StockKind, WireSurface,
};

/// Shapes of magnets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::rig) enum MagnetShapeKind {
    Block,
    Cylinder,
    Ring,
    Sphere,
}

choices!(MagnetShapeKind, "shape of the magnet", {
    Block => "block",
    Cylinder => "cylinder",
    Ring => "ring",
    Sphere => "sphere",
});

/// Kinds of sensors.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::rig) enum SensorKind {
    Linear,
    Angle,
    Potentiometer,
}

choices!(SensorKind, "kind of sensor", {
    Linear => "linear",
    Angle => "angle",
    Potentiometer => "potentiometer",
});

/// Kinds of linkages.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::rig) enum LinkageKind {
    BallJointRod,
    FourBar,
    UniversalJoint,
    FixedRatio,
    Pedals,
    Row,
}

choices!(LinkageKind, "kind of linkage", {
    BallJointRod => "ball-joint rod",
    FourBar => "four-bar",
    UniversalJoint => "universal joint",
    FixedRatio => "fixed ratio",
    Pedals => "pedals",
    Row => "row",
});

/// Ways of calibration.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::rig) enum CalibrationKind {
    None,
    TwoPoint,
    Table,
}

choices!(CalibrationKind, "calibration", {
    None => "none",
    TwoPoint => "two-point",
    Table => "table",
});

/// Shapes of gates.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::rig) enum GateKind {
    Square,
    Round,
    Polygon,
}

choices!(GateKind, "gate", {
    Square => "square",
    Round => "round",
    Polygon => "polygon",
});

/// What separates the columns of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::rig) enum Delimiter {
    Comma,
    Semicolon,
    Tab,
}

choices!(Delimiter, "delimiter", {
    Comma => "comma",
    Semicolon => "semicolon",
    Tab => "tab",
});

/// Kinds of springs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::rig) enum SpringKind {
    Line,
    Pivot,
    Captured,
    Compression,
    Extension,
    Torsion,
    Stock,
}

choices!(SpringKind, "kind of spring", {
    Line => "line",
    Pivot => "pivot",
    Captured => "captured",
    Compression => "compression",
    Extension => "extension",
    Torsion => "torsion",
    Stock => "stock",
});

/// The bodies of a control on one pivot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::rig) enum FeelBody {
    Frame,
    Lever,
    Driven,
    OtherPedal,
}

choices!(FeelBody, "body", {
    Frame => "frame",
    Lever => "lever",
    Driven => "driven",
    OtherPedal => "other pedal",
});

/// Shapes of obstacles.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::rig) enum ObstacleKind {
    Block,
    Cylinder,
    Capsule,
}

choices!(ObstacleKind, "shape of the obstacle", {
    Block => "block",
    Cylinder => "cylinder",
    Capsule => "capsule",
});

/// How long a stage takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::rig) enum DelayKind {
    Fixed,
    Uniform,
    Wait,
    Triangular,
    Sample,
    Polling,
}

choices!(DelayKind, "delay", {
    Fixed => "fixed",
    Uniform => "uniform",
    Wait => "wait",
    Triangular => "triangular",
    Sample => "sample",
    Polling => "polling",
});

macro_rules! words {
    ($($(#[$about:meta])* $variant:ident => $type:ty,)+) => {
        /// Which words a key chooses from.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        #[non_exhaustive]
        pub enum Words {
            $($(#[$about])* $variant,)+
        }

        impl Words {
            /// The words.
            #[must_use]
            pub fn all(self) -> Vec<String> {
                match self {
                    $(Self::$variant => <$type>::ALL.iter().map(ToString::to_string).collect(),)+
                }
            }
        }
    };
}

words! {
    /// Shapes of magnets.
    Shape => MagnetShapeKind,
    /// Those of [`PlateHolder`].
    PlateHolder => PlateHolder,
    /// Kinds of sensors.
    Sensor => SensorKind,
    /// Those of [`RotationSense`].
    RotationSense => RotationSense,
    /// Those of [`Rounding`].
    Rounding => Rounding,
    /// Kinds of linkages.
    Linkage => LinkageKind,
    /// Those of [`Assembly`].
    Assembly => Assembly,
    /// Those of [`PedalMember`].
    PedalMember => PedalMember,
    /// Those of [`ArrangementKind`].
    Arrangement => ArrangementKind,
    /// Those of [`MagnetSide`].
    Side => MagnetSide,
    /// Those of [`ShaftSide`].
    ShaftSide => ShaftSide,
    /// Those of [`PairCarrier`].
    PairCarrier => PairCarrier,
    /// Those of [`Moving`].
    Moving => Moving,
    /// Those of [`Carrier`].
    Carrier => Carrier,
    /// Ways of calibration.
    Calibration => CalibrationKind,
    /// Shapes of gates.
    Gate => GateKind,
    /// What separates the columns of a list.
    Delimiter => Delimiter,
    /// Those of [`StockKind`].
    StockKind => StockKind,
    /// Kinds of springs.
    Spring => SpringKind,
    /// Those of [`SpringAction`].
    SpringAction => SpringAction,
    /// Those of [`CoilEnds`].
    CoilEnds => CoilEnds,
    /// Those of [`Presetting`].
    Presetting => Presetting,
    /// Those of [`EndFixity`].
    EndFixity => EndFixity,
    /// Those of [`HookShape`].
    HookShape => HookShape,
    /// Those of [`WireSurface`].
    WireSurface => WireSurface,
    /// Bodies of a control on one pivot.
    FeelBody => FeelBody,
    /// Those of [`ControlKind`].
    ControlKind => ControlKind,
    /// Those of [`GuidanceMotion`].
    GuidanceMotion => GuidanceMotion,
    /// Shapes of obstacles.
    Obstacle => ObstacleKind,
    /// Those of [`StageKind`].
    Stage => StageKind,
    /// How long a stage takes.
    Delay => DelayKind,
    /// Those of [`UsbSpeed`].
    UsbSpeed => UsbSpeed,
    /// Those of [`ToleranceShape`].
    ToleranceShape => ToleranceShape,
}
