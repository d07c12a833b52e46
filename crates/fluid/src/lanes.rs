//! The widest lanes that the processor has: the same additions and multiplications, more of them at a time.
//!
//! On x86-64 a program built for every machine may take two numbers at a time; most machines take four. The work is compiled
//! for both and the machine chooses. No operation is fused with another and no order changes, so that the bits are the same.

/// Work whose loops the compiler may spread over lanes; its methods are inlined always.
pub(crate) trait Work {
    /// What comes of it.
    type Output;

    /// Does it.
    fn run(self) -> Self::Output;
}

/// What the processor can do, found once.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Lanes {
    #[cfg(target_arch = "x86_64")]
    arch: pulp::Arch,
}

#[cfg(target_arch = "x86_64")]
struct InLanes<W>(W);

#[cfg(target_arch = "x86_64")]
impl<W: Work> pulp::WithSimd for InLanes<W> {
    type Output = W::Output;

    #[inline(always)]
    fn with_simd<S: pulp::Simd>(self, _: S) -> W::Output {
        self.0.run()
    }
}

impl Lanes {
    /// Does the work in these lanes.
    #[inline]
    pub fn run<W: Work>(self, work: W) -> W::Output {
        #[cfg(target_arch = "x86_64")]
        return self.arch.dispatch(InLanes(work));
        #[cfg(not(target_arch = "x86_64"))]
        return work.run();
    }
}
