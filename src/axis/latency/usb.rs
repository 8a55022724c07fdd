//! How often a bus asks a device for its report.

use crate::error::{Result, choices, counted};
use crate::units::MS;

/// A microframe, s: eight to a frame of 1 ms.
const MICROFRAME: f64 = 125e-6;

/// The speed of a USB device with an interrupt endpoint, as game controllers have.
///
/// # References
/// Universal Serial Bus Specification, revision 2.0, table 9-13: bInterval of an interrupt endpoint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum UsbSpeed {
    /// 1.5 Mbit/s; bInterval counts frames of 1 ms, 10 to 255.
    Low,
    /// 12 Mbit/s; bInterval counts frames of 1 ms, 1 to 255.
    Full,
    /// 480 Mbit/s; 2^(bInterval - 1) microframes of 125 us, bInterval 1 to 16.
    High,
}

choices!(UsbSpeed, "speed of a USB device", {
    Low => "low",
    Full => "full",
    High => "high",
});

impl UsbSpeed {
    /// Least and greatest bInterval of an interrupt endpoint.
    #[must_use]
    pub fn intervals(self) -> [usize; 2] {
        match self {
            Self::Low => [10, 255],
            Self::Full => [1, 255],
            Self::High => [1, 16],
        }
    }

    /// Longest time between two polls, s, that a bInterval of the endpoint's descriptor asks for. A host may poll more
    /// often.
    ///
    /// # Errors
    /// [`Error::Count`](crate::Error::Count) for a bInterval that the speed does not have.
    ///
    /// # Example
    /// ```
    /// use yokewright::axis::UsbSpeed;
    /// assert_eq!(UsbSpeed::Full.polling_interval(8)?, 0.008);
    /// assert_eq!(UsbSpeed::High.polling_interval(4)?, 0.001);
    /// # Ok::<(), yokewright::Error>(())
    /// ```
    pub fn polling_interval(self, b_interval: usize) -> Result<f64> {
        let quantity = match self {
            Self::Low => "bInterval of a low-speed interrupt endpoint",
            Self::Full => "bInterval of a full-speed interrupt endpoint",
            Self::High => "bInterval of a high-speed interrupt endpoint",
        };
        let count = counted(quantity, b_interval, self.intervals())?;
        Ok(match self {
            Self::Low | Self::Full => count as f64 * MS,
            // At most 15 doublings after the check.
            Self::High => f64::from(1_u32 << (count - 1)) * MICROFRAME,
        })
    }
}
