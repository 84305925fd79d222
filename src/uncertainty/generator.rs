//! A small pseudo-random generator of our own, so that the same seed gives the same draws everywhere.
//!
//! xoshiro256++ started by splitmix64, both by Blackman and Vigna and in the public domain
//! ("Scrambled linear pseudorandom number generators", ACM Trans. Math. Softw. 47, 2021). Not for secrets.

use libm::log as ln;

/// Splitmix64: steps the state and gives the next number.
pub fn splitmix(state: &mut u64) -> u64 {
    *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let mut z = *state;
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

#[derive(Clone, Debug)]
pub struct Generator {
    pub state: [u64; 4],
}

impl Generator {
    /// The stream of that name under that seed; streams of other names are unrelated.
    pub fn new(seed: u64, stream: u64) -> Self {
        let mut mixed = seed;
        let mut start = splitmix(&mut mixed) ^ stream;
        Self { state: std::array::from_fn(|_| splitmix(&mut start)) }
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        let [a, b, c, d] = self.state;
        let out = a.wrapping_add(d).rotate_left(23).wrapping_add(a);
        let (c, d) = (c ^ a, d ^ b);
        self.state = [a ^ d, b ^ c, c ^ (b << 17), d.rotate_left(45)];
        out
    }

    /// Evenly strictly between 0 and 1, in steps of 2^-32 shifted by half a step: neither end is met, and
    /// adding a whole number below 2^20 is exact.
    pub fn unit(&mut self) -> f64 {
        ((self.bits() >> 32) as f64 + 0.5) / 4_294_967_296.0
    }

    /// Evenly from 0 to `n − 1`; 0 when `n` is 0. The bias is below n/2^64.
    pub fn below(&mut self, n: usize) -> usize {
        ((u128::from(self.bits()) * n as u128) >> 64) as usize
    }

    /// Puts a slice into a random order (Fisher–Yates).
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for last in (1..items.len()).rev() {
            items.swap(last, self.below(last + 1));
        }
    }

    /// Weights drawn evenly from the simplex: `n` shares that add to 1 (Dirichlet with every parameter 1, by
    /// exponentials over their sum).
    pub fn simplex(&mut self, n: usize) -> Vec<f64> {
        let raw: Vec<f64> = (0..n).map(|_| -ln(self.unit())).collect();
        let sum: f64 = raw.iter().sum();
        raw.into_iter().map(|x| x / sum).collect()
    }
}
