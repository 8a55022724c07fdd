//! The straight line from what a sensor reads to what it gives, and where it ends.

/// Output = zero + gain signal, held between limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Characteristic {
    /// Output at a signal of zero.
    pub(crate) zero: f64,
    /// Change of output for a change of signal, not zero.
    pub(crate) gain: f64,
    /// Lowest and highest output.
    pub(crate) limits: [f64; 2],
}

impl Characteristic {
    /// Output if there were no limits.
    pub(crate) fn open(&self, signal: f64) -> f64 {
        self.zero + self.gain * signal
    }

    /// Output.
    pub(crate) fn held(&self, signal: f64) -> f64 {
        let [lower, upper] = self.limits;
        self.open(signal).clamp(lower, upper)
    }

    /// Whether a signal drives the output beyond a limit; one that is not finite does.
    pub(crate) fn clips(&self, signal: f64) -> bool {
        let [lower, upper] = self.limits;
        !(lower..=upper).contains(&self.open(signal))
    }

    /// The signal at which the output, if there were no limits, would be this.
    pub(crate) fn signal_for(&self, output: f64) -> f64 {
        (output - self.zero) / self.gain
    }

    /// The signals, ascending, between which the output lies between two outputs.
    pub(crate) fn signals_between(&self, outputs: [f64; 2]) -> [f64; 2] {
        let [a, b] = outputs.map(|output| self.signal_for(output));
        [a.min(b), a.max(b)]
    }
}
