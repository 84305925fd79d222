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
        if let Some(slot) = self.0.as_mut_array().get_mut(at) {
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
    ($($name:ident { $($field:ident),+ })+) => { $(
        impl<L: $crate::simd::Real> $crate::simd::Lane for $name<L> {
            fn take(&mut self, at: usize, from: &Self, lane: usize) {
                $( $crate::simd::Lane::take(&mut self.$field, at, &from.$field, lane); )+
            }
        }
    )+ };
}
pub(crate) use lanes;
