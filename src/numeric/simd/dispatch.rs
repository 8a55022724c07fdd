//! Runs a loop over points on the widest vector unit the machine has.
//!
//! `pulp` does the work; what is left here is the choice of fused multiply-add that the kernels are written for.

use pulp::{Arch, NullaryFnOnce};

/// A loop that can be compiled with and without fused multiply-add. `run` and all it calls must be `inline(always)`.
pub(crate) trait Loop {
    fn run<const FMA: bool>(self);
}

/// Compiles the loop once for each instruction set and runs the best one.
pub(crate) fn dispatch(work: impl Loop) {
    match Arch::new() {
        #[cfg(any(target_arch = "x86", target_arch = "x86_64"))]
        Arch::V4(simd) => pulp::Simd::vectorize(simd, Fused(work)),
        #[cfg(any(target_arch = "x86", target_arch = "x86_64"))]
        Arch::V3(simd) => pulp::Simd::vectorize(simd, Fused(work)),
        // NEON is part of the aarch64 baseline and has fused multiply-add.
        _ if cfg!(target_arch = "aarch64") => work.run::<true>(),
        _ => work.run::<false>(),
    }
}

struct Fused<L>(L);

impl<L: Loop> NullaryFnOnce for Fused<L> {
    type Output = ();

    #[inline(always)]
    fn call(self) {
        self.0.run::<true>();
    }
}
