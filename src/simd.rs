//! One number, or eight draws of it at once.
//!
//! The numeric core is written once over [`Real`]: with `f64` it gives the nominal figures, with
//! [`F64x8`] the same law runs over eight draws of the doubt in SIMD registers.
//!
//! The release is built small (`Cargo.toml`), where no loop is unrolled and little is inlined: so what is called in every
//! formula is inlined whatever its size, and no eight numbers are put together by a loop (what that is worth: `docs/measured.md`).

#![allow(clippy::inline_always)]

use std::fmt::Debug;
use std::ops::{Add, AddAssign, Div, Mul, MulAssign, Neg, Sub, SubAssign};

use wide::f64x2;

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
    /// Draw `i`, 0 to `WIDTH - 1`.
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

/// Eight draws at once, in pairs: what holds them then needs no wider places in memory than an allocator gives anyhow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct F64x8(Pairs);

/// Eight answers at once; each lane is all ones or all zeros.
#[derive(Clone, Copy, Debug)]
pub struct EightMask(Pairs);

type Pairs = [f64x2; 4];

const NOTHING: Pairs = [f64x2::splat(0.0); 4];
const ONES: Pairs = [f64x2::splat(1.0); 4];
const EVERY: f64x2 = f64x2::splat(f64::from_bits(u64::MAX));
/// All bits but the sign.
const SIZE: f64x2 = f64x2::splat(f64::from_bits(i64::MAX as u64));
const SIGN: f64x2 = f64x2::splat(-0.0);

/// The same number eight times. The products that change nothing keep the compiler from making a loop of it.
#[inline(always)]
fn eight(x: f64) -> Pairs {
    let (one, other) = (f64x2::new([x, x * 1.0]), f64x2::new([x * 1.0, x]));
    [one, other, one, other]
}

#[inline(always)]
fn of_one([a, b, c, d]: Pairs, f: impl Fn(f64x2) -> f64x2) -> Pairs {
    [f(a), f(b), f(c), f(d)]
}
#[inline(always)]
fn of_two([a, b, c, d]: Pairs, [i, j, k, l]: Pairs, f: impl Fn(f64x2, f64x2) -> f64x2) -> Pairs {
    [f(a, i), f(b, j), f(c, k), f(d, l)]
}

#[inline(always)]
fn joined(EightMask([a, b, c, d]): EightMask, f: impl Fn(f64x2, f64x2) -> f64x2) -> f64x2 {
    f(f(a, b), f(c, d))
}

macro_rules! arithmetic {
    ($($trait:ident $method:ident),+) => { $(
        impl $trait for F64x8 {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: Self) -> Self { Self(of_two(self.0, other.0, |a, b| a.$method(b))) }
        }
        impl $trait<f64> for F64x8 {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: f64) -> Self { Self(of_two(self.0, eight(other), |a, b| a.$method(b))) }
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
    each! { neg(self) -> Self = Self(of_one(self.0, |a| a ^ SIGN)); }
}

impl Real for F64x8 {
    const WIDTH: usize = 8;
    type Mask = EightMask;

    #[inline(always)]
    fn draw(self, i: usize) -> f64 {
        let [first, second] = self.0.get(i / 2).unwrap_or(&self.0[3]).to_array();
        if i.is_multiple_of(2) { first } else { second }
    }
    #[inline(always)]
    fn gather(mut f: impl FnMut(usize) -> f64) -> Self {
        let (a, b) = (f64x2::new([f(0), f(1)]), f64x2::new([f(2), f(3)]));
        Self([a, b, f64x2::new([f(4), f(5)]), f64x2::new([f(6), f(7)])])
    }
    #[inline(always)]
    fn select(EightMask([i, j, k, l]): EightMask, Self([a, b, c, d]): Self, no: Self) -> Self {
        let [m, n, o, p] = no.0;
        Self([i.bitselect(a, m), j.bitselect(b, n), k.bitselect(c, o), l.bitselect(d, p)])
    }
    each! {
        splat(x: f64) -> Self = Self(eight(x));
        zero() -> Self = Self(NOTHING);
        one() -> Self = Self(ONES);
        sqrt(self) -> Self = Self(of_one(self.0, f64x2::sqrt));
        abs(self) -> Self = Self(of_one(self.0, |a| a & SIZE));
        max(self, other: Self) -> Self = Self(of_two(self.0, other.0, f64x2::fast_max));
        min(self, other: Self) -> Self = Self(of_two(self.0, other.0, f64x2::fast_min));
        lt(self, other: Self) -> EightMask = EightMask(of_two(self.0, other.0, f64x2::simd_lt));
        le(self, other: Self) -> EightMask = EightMask(of_two(self.0, other.0, f64x2::simd_le));
        finite(self) -> EightMask = EightMask(of_one(self.0, f64x2::is_finite));
        any(mask: EightMask) -> bool = joined(mask, |a, b| a | b).any();
        all(mask: EightMask) -> bool = joined(mask, |a, b| a & b).all();
        and(a: EightMask, b: EightMask) -> EightMask = EightMask(of_two(a.0, b.0, |a, b| a & b));
        or(a: EightMask, b: EightMask) -> EightMask = EightMask(of_two(a.0, b.0, |a, b| a | b));
        not(a: EightMask) -> EightMask = EightMask(of_one(a.0, |a| a ^ EVERY));
        mask(yes: bool) -> EightMask = EightMask(if yes { [EVERY; 4] } else { NOTHING });
        holds(mask: EightMask, i: usize) -> bool = F64x8(mask.0).draw(i).to_bits() != 0;
    }
}
