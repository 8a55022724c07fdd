//! One stage between hand and screen.

use serde::Serialize;

use crate::axis::latency::delay::Delay;
use crate::error::{Result, choices, counted};
use crate::stored::checked_when_read;

/// Characters of a stage's name.
const NAME: [usize; 2] = [1, 60];

/// What a stage does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum StageKind {
    /// Group delay of filter and averaging.
    Filter,
    /// The converter takes its sample.
    Conversion,
    /// Until the program of the device comes round again, and its work.
    Firmware,
    /// Until the host asks.
    Bus,
    /// The host's system, until the program has the report.
    Host,
    /// Until the simulator's next frame, and its work.
    Simulator,
    /// Until the display's next frame, and down to the place on the screen.
    Scan,
    /// Until the picture has changed there.
    Response,
    /// Anything else.
    Other,
}

choices!(StageKind, "kind of a stage", {
    Filter => "filter",
    Conversion => "conversion",
    Firmware => "firmware loop",
    Bus => "bus polling",
    Host => "host",
    Simulator => "simulator frame",
    Scan => "display scan",
    Response => "display response",
    Other => "other",
});

impl StageKind {
    /// What makes it shorter.
    #[must_use]
    pub fn remedy(self) -> &'static str {
        match self {
            Self::Filter => {
                "a higher cutoff or fewer samples averaged; sample faster instead, and look what noise that leaves"
            }
            Self::Conversion => "a faster converter, or fewer channels one after another",
            Self::Firmware => {
                "do less in the loop, or start it by the poll so that the two do not drift"
            }
            Self::Bus => "a smaller bInterval in the endpoint's descriptor",
            Self::Host => "no hub between, and no program that reads and passes on",
            Self::Simulator => "more frames a second, fewer frames rendered ahead",
            Self::Scan => "a display with more frames a second, or without waiting for its frame",
            Self::Response => "a display that responds faster, or its own picture processing off",
            Self::Other => "look at what it does",
        }
    }
}

checked_when_read! {
    /// A stage: what it does, what it is called, and how long it takes.
    #[derive(Debug, Clone, PartialEq, Serialize)]
    pub struct LatencyStage {
        kind: StageKind,
        name: String,
        delay: Delay,
    }
}

impl LatencyStage {
    /// A stage that is called as its kind.
    #[must_use]
    pub fn new(kind: StageKind, delay: Delay) -> Self {
        let name = kind.to_string();
        Self { kind, name, delay }
    }

    /// The same under a name of its own, 1 to 60 characters.
    ///
    /// # Errors
    /// [`Error::Count`](crate::Error::Count).
    pub fn named(self, name: impl Into<String>) -> Result<Self> {
        let name = name.into();
        let named = Self { name, ..self };
        named.check()?;
        Ok(named)
    }

    fn check(&self) -> Result<()> {
        let letters = self.name.chars().count();
        counted("characters in the name of a stage", letters, NAME)?;
        Ok(())
    }

    /// What it does.
    #[must_use]
    pub fn kind(&self) -> StageKind {
        self.kind
    }

    /// What it is called.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// How long it takes.
    #[must_use]
    pub fn delay(&self) -> &Delay {
        &self.delay
    }
}
