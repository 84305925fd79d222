//! One number, or eight draws of it at once.
//!
//! The numeric core is written once over [`Real`]: with `f64` it gives the nominal figures, with
//! [`F64x8`] the same law runs over eight draws of the doubt in SIMD registers.

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
    fn bits(self, other: Self, f: impl Fn(u64, u64) -> u64) -> Self;
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

    #[inline]
    fn exp(self) -> Self {
        lanes::exp(self)
    }
    #[inline]
    fn ln(self) -> Self {
        lanes::ln(self)
    }
    /// `self` to the power `n`, for `self > 0`.
    #[inline]
    fn powf(self, n: Self) -> Self {
        lanes::exp(lanes::ln(self) * n)
    }
    fn gt(self, other: Self) -> Self::Mask {
        other.lt(self)
    }
    fn ge(self, other: Self) -> Self::Mask {
        other.le(self)
    }
    fn zero() -> Self {
        Self::splat(0.0)
    }
    fn one() -> Self {
        Self::splat(1.0)
    }
    /// Kept between two bounds.
    fn clamp(self, low: f64, high: f64) -> Self {
        self.max(Self::splat(low)).min(Self::splat(high))
    }
    fn squared(self) -> Self {
        self * self
    }
    /// Integer power by squaring, `n` from 0.
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
        #[inline]
        fn $name($($arg $(: $type)?),*) -> $out { $body }
    )+ };
}

impl Real for f64 {
    const WIDTH: usize = 1;
    type Mask = bool;

    fn gather(mut f: impl FnMut(usize) -> f64) -> Self {
        f(0)
    }
    fn bits(self, other: Self, f: impl Fn(u64, u64) -> u64) -> Self {
        Self::from_bits(f(self.to_bits(), other.to_bits()))
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

macro_rules! arithmetic {
    ($($trait:ident $method:ident),+) => { $(
        impl $trait for F64x8 {
            type Output = Self;
            #[inline]
            fn $method(self, other: Self) -> Self { Self(self.0.$method(other.0)) }
        }
        impl $trait<f64> for F64x8 {
            type Output = Self;
            #[inline]
            fn $method(self, other: f64) -> Self { Self(self.0.$method(f64x8::splat(other))) }
        }
    )+ };
}
arithmetic!(Add add, Sub sub, Mul mul, Div div);

macro_rules! in_place {
    ($($trait:ident $method:ident $sign:tt),+) => { $(
        impl $trait for F64x8 {
            #[inline]
            fn $method(&mut self, other: Self) { *self = *self $sign other; }
        }
    )+ };
}
in_place!(AddAssign add_assign +, SubAssign sub_assign -, MulAssign mul_assign *);

impl Neg for F64x8 {
    type Output = Self;
    each! { neg(self) -> Self = Self(-self.0); }
}

impl Real for F64x8 {
    const WIDTH: usize = 8;
    type Mask = EightMask;

    #[inline]
    fn draw(self, i: usize) -> f64 {
        let all = self.0.to_array();
        all.get(i).copied().unwrap_or(all[7])
    }
    #[inline]
    fn gather(f: impl FnMut(usize) -> f64) -> Self {
        Self(f64x8::new(std::array::from_fn(f)))
    }
    #[inline]
    fn bits(self, other: Self, f: impl Fn(u64, u64) -> u64) -> Self {
        let mut all = self.0.to_array();
        for (here, there) in all.iter_mut().zip(other.0.to_array()) {
            *here = f64::from_bits(f(here.to_bits(), there.to_bits()));
        }
        Self(f64x8::new(all))
    }
    #[inline]
    fn mask(yes: bool) -> EightMask {
        let zero = f64x8::splat(0.0);
        EightMask(if yes { zero.simd_eq(zero) } else { zero })
    }
    each! {
        splat(x: f64) -> Self = Self(f64x8::splat(x));
        sqrt(self) -> Self = Self(self.0.sqrt());
        abs(self) -> Self = Self(self.0.abs());
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
