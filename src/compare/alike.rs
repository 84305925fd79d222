//! Are two things the same to the nominal model? Names, keys and doubt do not count, only what is computed with.

use std::sync::Arc;

use crate::model::filter::{Body, DownTube, Floor, Lamp, Outside, Repair, Uv, Way};
use crate::model::hoses::{Fitting, Hose, Outlet, Wall};
use crate::model::medium::{Bed, Medium, Role};
use crate::model::pump::{Curve, CurvePoint, Pump, Taken};
use crate::model::shape::{Outline, Shape};
use crate::model::tray::{Amount, Dimples, SealCondition};
use crate::uncertainty::uncertain::{Spread, Uncertain};
use crate::units::Quantity;

/// The same to the nominal model.
pub trait Alike {
    /// Gives every figure to the bit when one stands for the other.
    fn alike(&self, other: &Self) -> bool;
}

impl<Q: Quantity> Alike for Uncertain<Q> {
    fn alike(&self, other: &Self) -> bool {
        // A gap of nothing is a passage when it is in doubt, and none when it is not.
        let passage = |f: &Self| f.si() != 0.0 || f.spread != Spread::Exact;
        self.si().to_bits() == other.si().to_bits() && passage(self) == passage(other)
    }
}

impl Alike for f64 {
    fn alike(&self, other: &Self) -> bool {
        self.to_bits() == other.to_bits()
    }
}

impl<T: Alike> Alike for Option<T> {
    fn alike(&self, other: &Self) -> bool {
        match (self, other) {
            (Some(a), Some(b)) => a.alike(b),
            (None, None) => true,
            _ => false,
        }
    }
}

impl<T: Alike> Alike for Vec<T> {
    fn alike(&self, other: &Self) -> bool {
        self.len() == other.len() && self.iter().zip(other).all(|(a, b)| a.alike(b))
    }
}

impl<T: Alike, U: Alike> Alike for (T, U) {
    fn alike(&self, other: &Self) -> bool {
        self.0.alike(&other.0) && self.1.alike(&other.1)
    }
}

impl<T: Alike> Alike for Arc<T> {
    fn alike(&self, other: &Self) -> bool {
        Arc::ptr_eq(self, other) || self.as_ref().alike(other)
    }
}

macro_rules! by_equality {
    ($($type:ty),+) => { $(
        impl Alike for $type {
            fn alike(&self, other: &Self) -> bool {
                self == other
            }
        }
    )+ };
}
by_equality!(u32, bool, String, Way, Taken, Lamp, Role, Dimples, SealCondition);

macro_rules! by_field {
    ($($type:ident { $($field:ident),+ })+) => { $(
        impl Alike for $type {
            fn alike(&self, other: &Self) -> bool {
                $(self.$field.alike(&other.$field))&&+
            }
        }
    )+ };
}
by_field! {
    Hose { bore, wall }
    Pump { taken, curve, power, hz }
    CurvePoint { flow, head }
    Outside { width, depth, height }
    Floor { shape, height }
    Uv { lamp, hours, sleeve, shell, length, price }
    Shape { outline, less }
    Medium { id, role, bed, dry, surface, inner, capture, life, price, freshwater_only, floats }
}

impl Alike for Repair {
    fn alike(&self, other: &Self) -> bool {
        self.price.alike(&other.price)
    }
}

impl Alike for DownTube {
    /// Without its joints: they are a matter of seals.
    fn alike(&self, other: &Self) -> bool {
        self.bore.alike(&other.bore) && self.length.alike(&other.length)
    }
}

impl Alike for Body {
    fn alike(&self, other: &Self) -> bool {
        self.outside.alike(&other.outside)
            && self.dry_mass.alike(&other.dry_mass)
            && self.floor.alike(&other.floor)
            && self.down_tube.alike(&other.down_tube)
            && self.head_space.alike(&other.head_space)
    }
}

macro_rules! by_choice {
    ($($type:ident { $($choice:ident { $($field:ident = $other:ident),* })+ })+) => { $(
        impl Alike for $type {
            fn alike(&self, other: &Self) -> bool {
                match (self, other) {
                    $((Self::$choice { $($field,)* }, Self::$choice { $($field: $other,)* }) => {
                        true $(&& $field.alike($other))*
                    })+
                    _ => false,
                }
            }
        }
    )+ };
}
by_choice! {
    Wall {
        Smooth { }
        Ribbed { pitch = p }
    }
    Fitting {
        Strainer { diameter = d, length = l, open = o }
        Connector { bore = b, length = l }
        Tap { bore = b, length = l }
        Elbow { count = c }
    }
    Outlet {
        Open { }
        Jet { bore = b }
        SprayBar { bore = b, holes = n, hole = h, pitch = p }
    }
    Outline {
        Rect { width = w, depth = d, corner = c }
        Round { diameter = d }
        Oval { width = w, depth = d }
        Dee { width = w, depth = d }
        Sector { radius = r, angle = a }
        Points { points = p }
        Unseen { width = w, depth = d, fill = f }
        MeasuredFill { volume = v, perimeter = p }
    }
    Bed {
        Foam { ppi = p, void = v }
        Fibre { diameter = d, solidity = s }
        Pieces { size = s, void = v, sphericity = p }
        Rings { outer = o, inner = i, length = l, void = v }
    }
}

impl Alike for Curve {
    fn alike(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Ends { flow, head }, Self::Ends { flow: f, head: h }) => flow.alike(f) && head.alike(h),
            (Self::Points(a), Self::Points(b)) => a.alike(b),
            _ => false,
        }
    }
}

impl Alike for Amount {
    fn alike(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Depth(a), Self::Depth(b)) => a.alike(b),
            (Self::Volume(a), Self::Volume(b)) => a.alike(b),
            (Self::Mass(a), Self::Mass(b)) => a.alike(b),
            (Self::Rest, Self::Rest) => true,
            _ => false,
        }
    }
}
