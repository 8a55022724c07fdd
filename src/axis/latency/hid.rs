//! What an axis or a device is called in the report descriptor by which it shows itself to a PC.

use crate::error::{Result, choices, counted};

/// Bits of one field of a report.
const BITS: [usize; 2] = [1, 32];

/// What a device or one of its axes stands for, by the tables of the human interface device class.
///
/// # Example
/// ```
/// use yokewright::axis::HidUsage;
/// assert_eq!((HidUsage::Rudder.page(), HidUsage::Rudder.id()), (0x02, 0xba));
/// ```
///
/// # References
/// USB Implementers Forum, *HID Usage Tables*, version 1.21: page 0x01 generic desktop, page 0x02 simulation controls.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum HidUsage {
    /// A joystick.
    Joystick,
    /// A gamepad.
    Gamepad,
    /// A controller of several axes.
    MultiAxisController,
    /// Linear along X.
    X,
    /// Linear along Y.
    Y,
    /// Linear along Z.
    Z,
    /// Turning about X.
    Rx,
    /// Turning about Y.
    Ry,
    /// Turning about Z.
    Rz,
    /// Slider.
    Slider,
    /// Dial.
    Dial,
    /// Wheel.
    Wheel,
    /// Hat switch.
    HatSwitch,
    /// Flight simulation device.
    FlightSimulationDevice,
    /// Flight control stick.
    FlightControlStick,
    /// Flight stick.
    FlightStick,
    /// Cyclic control.
    CyclicControl,
    /// Flight yoke.
    FlightYoke,
    /// Aileron.
    Aileron,
    /// Aileron trim.
    AileronTrim,
    /// Anti torque control.
    AntiTorqueControl,
    /// Collective control.
    CollectiveControl,
    /// Dive brake.
    DiveBrake,
    /// Elevator.
    Elevator,
    /// Elevator trim.
    ElevatorTrim,
    /// Rudder.
    Rudder,
    /// Throttle.
    Throttle,
    /// Landing gear.
    LandingGear,
    /// Toe brake.
    ToeBrake,
    /// Trigger.
    Trigger,
    /// Wing flaps.
    WingFlaps,
    /// Accelerator.
    Accelerator,
    /// Brake.
    Brake,
    /// Clutch.
    Clutch,
    /// Shifter.
    Shifter,
    /// Steering.
    Steering,
}

choices!(HidUsage, "usage of a device or an axis", {
    Joystick => "joystick",
    Gamepad => "gamepad",
    MultiAxisController => "multi axis controller",
    X => "x",
    Y => "y",
    Z => "z",
    Rx => "rx",
    Ry => "ry",
    Rz => "rz",
    Slider => "slider",
    Dial => "dial",
    Wheel => "wheel",
    HatSwitch => "hat switch",
    FlightSimulationDevice => "flight simulation device",
    FlightControlStick => "flight control stick",
    FlightStick => "flight stick",
    CyclicControl => "cyclic control",
    FlightYoke => "flight yoke",
    Aileron => "aileron",
    AileronTrim => "aileron trim",
    AntiTorqueControl => "anti torque control",
    CollectiveControl => "collective control",
    DiveBrake => "dive brake",
    Elevator => "elevator",
    ElevatorTrim => "elevator trim",
    Rudder => "rudder",
    Throttle => "throttle",
    LandingGear => "landing gear",
    ToeBrake => "toe brake",
    Trigger => "trigger",
    WingFlaps => "wing flaps",
    Accelerator => "accelerator",
    Brake => "brake",
    Clutch => "clutch",
    Shifter => "shifter",
    Steering => "steering",
});

impl HidUsage {
    /// Page of the usage: 1 for generic desktop, 2 for simulation controls.
    #[must_use]
    pub fn page(self) -> u16 {
        self.code()[0]
    }

    /// Number of the usage on its page.
    #[must_use]
    pub fn id(self) -> u16 {
        self.code()[1]
    }

    fn code(self) -> [u16; 2] {
        match self {
            Self::Joystick => [1, 0x04],
            Self::Gamepad => [1, 0x05],
            Self::MultiAxisController => [1, 0x08],
            Self::X => [1, 0x30],
            Self::Y => [1, 0x31],
            Self::Z => [1, 0x32],
            Self::Rx => [1, 0x33],
            Self::Ry => [1, 0x34],
            Self::Rz => [1, 0x35],
            Self::Slider => [1, 0x36],
            Self::Dial => [1, 0x37],
            Self::Wheel => [1, 0x38],
            Self::HatSwitch => [1, 0x39],
            Self::FlightSimulationDevice => [2, 0x01],
            Self::FlightControlStick => [2, 0x20],
            Self::FlightStick => [2, 0x21],
            Self::CyclicControl => [2, 0x22],
            Self::FlightYoke => [2, 0x24],
            Self::Aileron => [2, 0xb0],
            Self::AileronTrim => [2, 0xb1],
            Self::AntiTorqueControl => [2, 0xb2],
            Self::CollectiveControl => [2, 0xb5],
            Self::DiveBrake => [2, 0xb6],
            Self::Elevator => [2, 0xb8],
            Self::ElevatorTrim => [2, 0xb9],
            Self::Rudder => [2, 0xba],
            Self::Throttle => [2, 0xbb],
            Self::LandingGear => [2, 0xbe],
            Self::ToeBrake => [2, 0xbf],
            Self::Trigger => [2, 0xc0],
            Self::WingFlaps => [2, 0xc3],
            Self::Accelerator => [2, 0xc4],
            Self::Brake => [2, 0xc5],
            Self::Clutch => [2, 0xc6],
            Self::Shifter => [2, 0xc7],
            Self::Steering => [2, 0xc8],
        }
    }
}

/// Logical minimum and maximum of a field of so many bits (1 to 32), `signed` in two's complement or from zero up.
///
/// # Errors
/// [`Error::Count`](crate::Error::Count).
///
/// # References
/// *Device Class Definition for Human Interface Devices*, version 1.11.
pub fn hid_logical_range(bits: usize, signed: bool) -> Result<[i64; 2]> {
    let bits = counted("bits of a field of a report", bits, BITS)?;
    Ok(if signed {
        let half = 1_i64 << (bits - 1);
        [-half, half - 1]
    } else {
        [0, (1_i64 << bits) - 1]
    })
}
