//! Normally distributed numbers, the same on every machine.

/// A source of them with standard deviation 1: SplitMix64 (Steele, Lea and Flood 2014) and Box-Muller.
pub(crate) fn noise(seed: u64) -> impl FnMut() -> f64 {
    let mut state = seed;
    let mut uniform = move || {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    };
    move || {
        let radius = (-2.0 * (1.0 - uniform()).ln()).sqrt();
        radius * (std::f64::consts::TAU * uniform()).cos()
    }
}
