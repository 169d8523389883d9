//! A small generator (xorshift64*): the same numbers on every machine.

/// The generator's state.
#[derive(Debug, Clone)]
pub struct Random(u64);

impl Random {
    /// A stream for a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15).wrapping_add(0x2545_F491_4F6C_DD1D) | 1)
    }

    /// 32 random bits.
    #[inline]
    pub fn bits(&mut self) -> u32 {
        let mut x = self.0;
        x ^= x >> 12;
        x ^= x << 25;
        x ^= x >> 27;
        self.0 = x;
        (x.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 32) as u32
    }

    /// A number below `n`; 0 when `n` is 0.
    #[inline]
    pub fn below(&mut self, n: usize) -> usize {
        ((u64::from(self.bits()) * n as u64) >> 32) as usize
    }
}
