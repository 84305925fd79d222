//! One number, or eight draws of it at once.
//!
//! The numeric core is written once over [`Real`]: with `f64` it gives the nominal figures, with
//! [`F64x8`] the same law runs over eight draws of the doubt in SIMD registers.
//!
//! The release is built small (`Cargo.toml`), where no loop is unrolled and little is inlined: so what is called in every
//! formula is inlined whatever its size, and no eight numbers are put together by a loop. That is worth a factor of two.

#![allow(clippy::inline_always)]

use std::fmt::Debug;
use std::ops::{Add, AddAssign, Div, Mul, MulAssign, Neg, Sub, SubAssign};

use wide::f64x8;

mod lanes;

pub use lanes::Lane;
pub(crate) use lanes::lanes;

/// A number of the core: `f64`, or eight at once. Comparisons give a mask, as a lane has no single order.
pub trait Real:
    Lane
    + Copy
    + Debug
    + PartialEq
    + Send
    + Sync
    + 'static
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + AddAssign
    + SubAssign
    + MulAssign
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
{
    /// How many draws one value carries.
    const WIDTH: usize;
    /// The outcome of a comparison, one answer a draw.
    type Mask: Copy + Debug + Send + Sync;

    /// The same number in every draw.
    fn splat(x: f64) -> Self;
    /// Draw `i` (0 to `WIDTH - 1`; a number outside gives the last).
    fn draw(self, i: usize) -> f64;
    /// Puts each draw's number together; `f` is called with 0 to `WIDTH - 1`.
    fn gather(f: impl FnMut(usize) -> f64) -> Self;
    fn sqrt(self) -> Self;
    /// What `f` makes of the bits of both, draw by draw.
    #[inline(always)]
    fn bits(self, other: Self, f: impl Fn(u64, u64) -> u64) -> Self {
        Self::gather(|i| f64::from_bits(f(self.draw(i).to_bits(), other.draw(i).to_bits())))
    }
    fn abs(self) -> Self;
    /// The greater of two.
    fn max(self, other: Self) -> Self;
    /// The smaller of two.
    fn min(self, other: Self) -> Self;
    fn lt(self, other: Self) -> Self::Mask;
    fn le(self, other: Self) -> Self::Mask;
    /// `yes` where the mask holds, else `no`.
    fn select(mask: Self::Mask, yes: Self, no: Self) -> Self;
    /// Does the mask hold in any draw?
    fn any(mask: Self::Mask) -> bool;
    /// Does the mask hold in every draw?
    fn all(mask: Self::Mask) -> bool;
    fn and(a: Self::Mask, b: Self::Mask) -> Self::Mask;
    fn or(a: Self::Mask, b: Self::Mask) -> Self::Mask;
    fn not(a: Self::Mask) -> Self::Mask;
    /// The mask of draw `i`.
    fn holds(mask: Self::Mask, i: usize) -> bool;
    fn mask(yes: bool) -> Self::Mask;
    /// The mask of draw `i` alone.
    fn only(i: usize) -> Self::Mask {
        Self::gather(|draw| if draw == i { 1.0 } else { 0.0 }).gt(Self::zero())
    }
    /// Neither NaN nor infinite.
    fn finite(self) -> Self::Mask;

    #[inline(always)]
    fn exp(self) -> Self {
        lanes::exp(self)
    }
    #[inline(always)]
    fn ln(self) -> Self {
        lanes::ln(self)
    }
    /// `self` to the power `n`, for `self > 0`.
    #[inline(always)]
    fn powf(self, n: Self) -> Self {
        lanes::exp(lanes::ln(self) * n)
    }
    #[inline(always)]
    fn gt(self, other: Self) -> Self::Mask {
        other.lt(self)
    }
    #[inline(always)]
    fn ge(self, other: Self) -> Self::Mask {
        other.le(self)
    }
    #[inline(always)]
    fn zero() -> Self {
        Self::splat(0.0)
    }
    #[inline(always)]
    fn one() -> Self {
        Self::splat(1.0)
    }
    /// Kept between two bounds.
    #[inline(always)]
    fn clamp(self, low: f64, high: f64) -> Self {
        self.max(Self::splat(low)).min(Self::splat(high))
    }
    #[inline(always)]
    fn squared(self) -> Self {
        self * self
    }
    /// Integer power by squaring, `n` from 0.
    #[inline(always)]
    fn powi(self, n: u32) -> Self {
        let (mut base, mut left, mut out) = (self, n, Self::one());
        while left > 0 {
            if left & 1 == 1 {
                out *= base;
            }
            base *= base;
            left >>= 1;
        }
        out
    }
}

/// Methods that are one expression each, a line a method.
macro_rules! each {
    ($($name:ident($($arg:ident $(: $type:ty)?),*) -> $out:ty = $body:expr;)+) => { $(
        #[inline(always)]
        fn $name($($arg $(: $type)?),*) -> $out { $body }
    )+ };
}

impl Real for f64 {
    const WIDTH: usize = 1;
    type Mask = bool;

    fn gather(mut f: impl FnMut(usize) -> f64) -> Self {
        f(0)
    }
    each! {
        splat(x: f64) -> Self = x;
        draw(self, _i: usize) -> f64 = self;
        sqrt(self) -> Self = Self::sqrt(self);
        abs(self) -> Self = Self::abs(self);
        max(self, other: Self) -> Self = Self::max(self, other);
        min(self, other: Self) -> Self = Self::min(self, other);
        lt(self, other: Self) -> bool = self < other;
        le(self, other: Self) -> bool = self <= other;
        select(mask: bool, yes: Self, no: Self) -> Self = if mask { yes } else { no };
        any(mask: bool) -> bool = mask;
        all(mask: bool) -> bool = mask;
        and(a: bool, b: bool) -> bool = a && b;
        or(a: bool, b: bool) -> bool = a || b;
        not(a: bool) -> bool = !a;
        holds(mask: bool, _i: usize) -> bool = mask;
        mask(yes: bool) -> bool = yes;
        finite(self) -> bool = self.is_finite();
    }
}

/// F64x8 draws at once.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct F64x8(f64x8);

/// F64x8 answers at once; each lane is all ones or all zeros.
#[derive(Clone, Copy, Debug)]
pub struct EightMask(f64x8);

const NOTHING: f64x8 = f64x8::splat(0.0);
const ONES: f64x8 = f64x8::splat(1.0);
/// All bits but the sign.
const SIZE: f64x8 = f64x8::splat(f64::from_bits(i64::MAX as u64));
const SIGN: f64x8 = f64x8::splat(-0.0);

/// The same number eight times. The one product that changes nothing keeps the compiler from making a loop of it.
#[inline(always)]
fn eight(x: f64) -> f64x8 {
    f64x8::new([x, x, x, x, x, x, x, x * 1.0])
}

macro_rules! arithmetic {
    ($($trait:ident $method:ident),+) => { $(
        impl $trait for F64x8 {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: Self) -> Self { Self(self.0.$method(other.0)) }
        }
        impl $trait<f64> for F64x8 {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: f64) -> Self { Self(self.0.$method(eight(other))) }
        }
    )+ };
}
arithmetic!(Add add, Sub sub, Mul mul, Div div);

macro_rules! in_place {
    ($($trait:ident $method:ident $sign:tt),+) => { $(
        impl $trait for F64x8 {
            #[inline(always)]
            fn $method(&mut self, other: Self) { *self = *self $sign other; }
        }
    )+ };
}
in_place!(AddAssign add_assign +, SubAssign sub_assign -, MulAssign mul_assign *);

impl Neg for F64x8 {
    type Output = Self;
    each! { neg(self) -> Self = Self(self.0 ^ SIGN); }
}

impl Real for F64x8 {
    const WIDTH: usize = 8;
    type Mask = EightMask;

    #[inline(always)]
    fn draw(self, i: usize) -> f64 {
        let all = self.0.to_array();
        all.get(i).copied().unwrap_or(all[7])
    }
    #[inline(always)]
    fn gather(mut f: impl FnMut(usize) -> f64) -> Self {
        Self(f64x8::new([f(0), f(1), f(2), f(3), f(4), f(5), f(6), f(7)]))
    }
    #[inline(always)]
    fn mask(yes: bool) -> EightMask {
        EightMask(if yes { NOTHING.simd_eq(NOTHING) } else { NOTHING })
    }
    each! {
        splat(x: f64) -> Self = Self(eight(x));
        sqrt(self) -> Self = Self(self.0.sqrt());
        abs(self) -> Self = Self(self.0 & SIZE);
        zero() -> Self = Self(NOTHING);
        one() -> Self = Self(ONES);
        max(self, other: Self) -> Self = Self(self.0.fast_max(other.0));
        min(self, other: Self) -> Self = Self(self.0.fast_min(other.0));
        lt(self, other: Self) -> EightMask = EightMask(self.0.simd_lt(other.0));
        le(self, other: Self) -> EightMask = EightMask(self.0.simd_le(other.0));
        select(mask: EightMask, yes: Self, no: Self) -> Self = Self(mask.0.bitselect(yes.0, no.0));
        any(mask: EightMask) -> bool = mask.0.any();
        all(mask: EightMask) -> bool = mask.0.all();
        and(a: EightMask, b: EightMask) -> EightMask = EightMask(a.0 & b.0);
        or(a: EightMask, b: EightMask) -> EightMask = EightMask(a.0 | b.0);
        not(a: EightMask) -> EightMask = EightMask(!a.0);
        holds(mask: EightMask, i: usize) -> bool = mask.0.to_bitmask() >> i & 1 == 1;
        finite(self) -> EightMask = EightMask(self.0.is_finite());
    }
}
