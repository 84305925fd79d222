//! Are two things the same to the nominal model? Names, keys and doubt do not count, only what is computed with.

use crate::model::fields::{self, Field};

pub trait Alike {
    fn alike(&self, other: &Self) -> bool;
}

impl<T: Field> Alike for T {
    fn alike(&self, other: &Self) -> bool {
        fields::alike(self, other)
    }
}
