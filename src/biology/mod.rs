//! Nitrogen and oxygen: what feeding makes, what the media carry.

pub mod decay;
pub mod denitrifying;
pub mod load;
pub mod nitrate;
pub mod nitrifying;
pub mod oxygen;

/// The constants of a law in one draw, each the assumption named beside it, which says what it is and in what unit.
macro_rules! drawn {
    ($(#[$meta:meta])* $name:ident { $($field:ident: $a:ident,)+ }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq)]
        pub struct $name<L> { $(pub $field: L,)+ }
        impl<L: $crate::simd::Real> $name<L> {
            pub fn drawn(draw: &dyn $crate::uncertainty::uncertain::Draw<L>) -> Self {
                Self { $($field: draw.constant($crate::assumptions::A::$a)),+ }
            }
        }
    };
}
pub(crate) use drawn;
