//! One draw taken out of eight and put in another's place, through everything that hangs on it.

use super::{F64x8, Real};

/// Something of which each draw has its own.
pub trait Lane {
    /// Draw `at` becomes draw `lane` of `from`, which is of the same shape.
    fn take(&mut self, at: usize, from: &Self, lane: usize);
}

impl Lane for f64 {
    fn take(&mut self, _: usize, from: &Self, _: usize) {
        *self = *from;
    }
}
impl Lane for F64x8 {
    fn take(&mut self, at: usize, from: &Self, lane: usize) {
        let slot = self.0.get_mut(at / 2).and_then(|pair| pair.as_mut_array().get_mut(at % 2));
        if let Some(slot) = slot {
            *slot = from.draw(lane);
        }
    }
}
/// The number of a passage: the same in every draw.
impl Lane for usize {
    fn take(&mut self, _: usize, _: &Self, _: usize) {}
}
impl<A: Lane, B: Lane> Lane for (A, B) {
    fn take(&mut self, at: usize, from: &Self, lane: usize) {
        self.0.take(at, &from.0, lane);
        self.1.take(at, &from.1, lane);
    }
}
impl<A: Lane, B: Lane, C: Lane> Lane for (A, B, C) {
    fn take(&mut self, at: usize, from: &Self, lane: usize) {
        self.0.take(at, &from.0, lane);
        self.1.take(at, &from.1, lane);
        self.2.take(at, &from.2, lane);
    }
}
impl<T: Lane> Lane for Vec<T> {
    fn take(&mut self, at: usize, from: &Self, lane: usize) {
        for (to, from) in self.iter_mut().zip(from) {
            to.take(at, from, lane);
        }
    }
}
/// What only one of both has is something worked out of late, and is worked out again.
impl<T: Lane> Lane for Option<T> {
    fn take(&mut self, at: usize, from: &Self, lane: usize) {
        match (&mut *self, from) {
            (Some(to), Some(from)) => to.take(at, from, lane),
            _ => *self = None,
        }
    }
}
impl<T: Lane> Lane for Box<T> {
    fn take(&mut self, at: usize, from: &Self, lane: usize) {
        (**self).take(at, from, lane);
    }
}

/// [`Lane`] for structs, by the fields that a draw has of its own.
macro_rules! lanes {
    ($($name:ident $(<$life:lifetime>)? { $($field:ident),+ })+) => { $(
        impl<$($life,)? L: $crate::simd::Real> $crate::simd::Lane for $name<$($life,)? L> {
            fn take(&mut self, at: usize, from: &Self, lane: usize) {
                $( $crate::simd::Lane::take(&mut self.$field, at, &from.$field, lane); )+
            }
        }
    )+ };
}
pub(crate) use lanes;

const LN2_HIGH: f64 = f64::from_bits(0x3fe6_2e42_fee0_0000);
const LN2_LOW: f64 = f64::from_bits(0x3dea_39ef_3579_3c76);
/// A number this large keeps no fraction: what is added to it is rounded to the nearest whole, which then stands in its
/// last bits.
const WHOLE: f64 = 1.5 * 4_503_599_627_370_496.0;
/// 2^52: with whole numbers from 0 up in its last bits.
const COUNTS: f64 = 4_503_599_627_370_496.0;
/// Powers beyond are no ordinary numbers.
const MOST: f64 = 708.0;
/// Bits of half the root of two, and of the mantissa.
const HALF_ROOT: u64 = 0x3fe6_a09e_0000_0000;
const ONE: u64 = 0x3ff0_0000_0000_0000;
const MANTISSA: u64 = 0x000f_ffff_ffff_ffff;

/// What is no ordinary number in one draw at least: each draw by itself.
#[cold]
#[inline(never)]
fn apart<L: Real>(x: L, f: fn(f64) -> f64) -> L {
    L::gather(|i| f(x.draw(i)))
}

/// `e^x`.
#[inline]
pub(super) fn exp<L: Real>(x: L) -> L {
    if !L::all(x.abs().lt(L::splat(MOST))) {
        return apart(x, libm::exp);
    }
    let placed = x * std::f64::consts::LOG2_E + WHOLE;
    let k = placed - WHOLE;
    let r = x - k * LN2_HIGH - k * LN2_LOW;
    let t = r * r;
    let series = t * 4.138_136_797_057_238_5e-8 - 1.653_390_220_546_525_2e-6;
    let series = (t * series + 6.613_756_321_437_934e-5) * t - 2.777_777_777_701_559_3e-3;
    let c = r - (t * series + 1.666_666_666_666_660_2e-1) * t;
    let y = L::one() - (r * c / (c - 2.0) - r);
    y.bits(placed, |y, placed| y.wrapping_add(placed << 52))
}

/// Natural logarithm.
#[inline]
pub(super) fn ln<L: Real>(x: L) -> L {
    let usual = L::and(x.ge(L::splat(f64::MIN_POSITIVE)), x.le(L::splat(f64::MAX)));
    if !L::all(usual) {
        return apart(x, libm::log);
    }
    // x = 2^k (1 + f), 1 + f between the halved root of two and the root.
    let from = |x: u64| x.wrapping_add(ONE - HALF_ROOT);
    let k = x.bits(x, |x, _| (from(x) >> 52) | COUNTS.to_bits()) - (COUNTS + 1023.0);
    let f = x.bits(x, |x, _| (from(x) & MANTISSA) + HALF_ROOT) - 1.0;
    let half = f * f * 0.5;
    let s = f / (f + 2.0);
    let z = s * s;
    let w = z * z;
    let even =
        w * ((w * 1.531_383_769_920_937_3e-1 + 2.222_219_843_214_978_4e-1) * w + 3.999_999_999_940_942e-1);
    let odd = (w * 1.479_819_860_511_658_6e-1 + 1.818_357_216_161_805e-1) * w + 2.857_142_874_366_239e-1;
    let odd = z * (odd * w + 6.666_666_666_666_735e-1);
    k * LN2_HIGH - ((half - (s * (half + even + odd) + k * LN2_LOW)) - f)
}
