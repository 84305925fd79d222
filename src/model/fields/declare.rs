//! Forms and choices are declared here: one row a field, from which reading and telling follow.

use super::row::{Brackets, Choice, Row, Variant, row};

/// The next of a form's rows, in their order.
pub fn next(rows: &mut std::slice::Iter<'static, Row>) -> &'static Row {
    /// Never reached: a form has a row for each of its fields.
    static NONE: Row = row("field");
    rows.next().unwrap_or(&NONE)
}

/// A form: a structure, its name in files, what it is, an example, and the table of its fields. `given` are fields
/// that no file holds, `also` rows that files hold and the structure does not.
macro_rules! form {
    ($(#[$meta:meta])* $name:ident $file:literal $what:literal $like:literal $(by $place:ident)?
        $(given { $($(#[$gdoc:meta])* $given:ident: $gtype:ty,)+ })? $(also $extra:ident)? {
        $($(#[$doc:meta])* $field:ident: $type:ty = $row:expr;)+
    }) => {
        $(#[$meta])*
        #[derive(Clone, Debug, PartialEq)]
        pub struct $name { $($(#[$doc])* pub $field: $type,)+ $($($(#[$gdoc])* pub $given: $gtype,)+)? }
        #[allow(non_upper_case_globals, reason = "a row goes by the name of its field")]
        impl $name {
            $(pub const $field: $crate::model::fields::Row =
                $row.of::<$type>(stringify!($field));)+
            pub const TABLE: &'static $crate::model::fields::Table = &$crate::model::fields::Table {
                name: $file,
                what: $what,
                like: $like,
                rows: &[$(Self::$field),+ $(, $extra)?],
                by_place: $crate::model::fields::by_place!($($place)?),
            };
            fn from_open(door: &mut dyn $crate::model::fields::Door, at: &$crate::model::fields::Place) -> Option<Self> {
                let mut rows = Self::TABLE.rows.iter();
                $(let $field = <$type as $crate::model::fields::Field>::take(door, $crate::model::fields::next(&mut rows));)+
                let built = Self { $($field: $field?),+ $(, $($given: Default::default()),+)? };
                door.built(&built, std::slice::from_ref(at)).then_some(built)
            }
        }
        impl $crate::model::fields::Field for $name {
            const KIND: $crate::model::fields::Kind = $crate::model::fields::Kind::Form(|| Self::TABLE);
            fn read(
                door: &mut dyn $crate::model::fields::Door,
                at: &$crate::model::fields::Place,
                _: &'static $crate::model::fields::Row,
            ) -> Option<Self> {
                if !door.open(Some(at), Self::TABLE) {
                    return None;
                }
                let built = Self::from_open(door, at);
                door.close();
                built
            }
            fn silent(
                door: &mut dyn $crate::model::fields::Door,
                row: &'static $crate::model::fields::Row,
            ) -> Option<Self> {
                if !matches!(row.silence, $crate::model::fields::Silence::Fields) {
                    door.missing(row);
                    return None;
                }
                door.open(None, Self::TABLE);
                let built = Self::from_open(door, &(0..0));
                door.close();
                built
            }
            fn each(&self, take: &mut $crate::model::fields::Figures<'_>) {
                $($crate::model::fields::Field::each(&self.$field, take);)+
            }
            fn value(&self, _: &'static $crate::model::fields::Row) -> Option<$crate::model::fields::Value> {
                let mut rows = Self::TABLE.rows.iter();
                let mut given = Vec::new();
                $($crate::model::fields::Field::put(&self.$field, $crate::model::fields::next(&mut rows), &mut given);)+
                Some($crate::model::fields::Value::Form(Self::TABLE, given))
            }
        }
    };
}

/// Rows that stand by themselves: of a type by its name in files, or to be made more of.
macro_rules! rows {
    ($($(#[$doc:meta])* $vis:vis $name:ident $($file:literal: $type:ty)? = $row:expr;)+) => { $(
        $(#[$doc])*
        $vis const $name: $crate::model::fields::Row = $row$(.of::<$type>($file))?;
    )+ };
}

macro_rules! by_place {
    () => {
        false
    };
    (place) => {
        true
    };
}

macro_rules! brackets {
    () => {
        $crate::model::fields::Brackets::None
    };
    (named) => {
        $crate::model::fields::Brackets::Named
    };
    (place) => {
        $crate::model::fields::Brackets::ByPlace
    };
}

/// A choice: an enumeration whose variants are words of the file, each perhaps with fields.
macro_rules! choice {
    ($(#[$meta:meta])* $name:ident $what:literal $like:literal $(with [$($common:expr),+])?, {
        $($(#[$doc:meta])* $variant:ident $word:literal $says:literal $(($by:ident) {
            $($(#[$fdoc:meta])* $field:ident: $type:ty = $row:expr;)*
        })?,)+
    }) => {
        $(#[$meta])*
        #[derive(Clone, Debug, PartialEq)]
        pub enum $name { $($(#[$doc])* $variant $({ $($(#[$fdoc])* $field: $type),* })?,)+ }
        impl $name {
            pub const CHOICE: &'static $crate::model::fields::Choice = &$crate::model::fields::Choice {
                what: $what,
                like: $like,
                variants: &[$($crate::model::fields::Variant {
                    word: $word,
                    says: $says,
                    rows: &[$($($row.of::<$type>(stringify!($field))),*)?],
                    brackets: $crate::model::fields::brackets!($($by)?),
                }),+],
                common: &[$($($common),+)?],
            };
            /// Reads the fields of a word that was chosen and is open.
            #[allow(unused_variables, reason = "a word without fields asks the door for none")]
            pub fn of_variant(
                door: &mut dyn $crate::model::fields::Door,
                variant: &'static $crate::model::fields::Variant,
            ) -> Option<Self> {
                #[allow(unused_mut, unused_variables, reason = "not every word has fields")]
                let mut rows = variant.rows.iter();
                match variant.word {
                    $($word => {
                        $($(let $field = <$type as $crate::model::fields::Field>::take(
                            door, $crate::model::fields::next(&mut rows));)*)?
                        Some(Self::$variant $({ $($field: $field?),* })?)
                    })+
                    _ => None,
                }
            }
            /// The word in files and what stands behind it.
            pub fn variant(&self) -> (&'static $crate::model::fields::Variant, $crate::model::fields::Given) {
                #[allow(unused_mut, reason = "not every word has fields")]
                let mut given = Vec::new();
                let word = match self {
                    $(Self::$variant $({ $($field: _),* })? => $word,)+
                };
                let variant = $crate::model::fields::variant_of(Self::CHOICE, word);
                #[allow(unused_mut, unused_variables, reason = "not every word has fields")]
                let mut rows = variant.rows.iter();
                match self {
                    $(Self::$variant $({ $($field),* })? => {
                        $($($crate::model::fields::Field::put($field, $crate::model::fields::next(&mut rows), &mut given);)*)?
                    })+
                }
                (variant, given)
            }
            #[allow(unused_variables, reason = "not every word has figures")]
            pub fn figures(&self, take: &mut $crate::model::fields::Figures<'_>) {
                match self {
                    $(Self::$variant $({ $($field),* })? => {
                        $($($crate::model::fields::Field::each($field, take);)*)?
                    })+
                }
            }
            pub fn word(&self) -> &'static str {
                self.variant().0.word
            }
        }
    };
}

macro_rules! choice_field {
    ($($name:ident),+) => { $(
        impl $crate::model::fields::Field for $name {
            const KIND: $crate::model::fields::Kind = $crate::model::fields::Kind::Choice(|| Self::CHOICE);
            fn read(
                door: &mut dyn $crate::model::fields::Door,
                at: &$crate::model::fields::Place,
                _: &'static $crate::model::fields::Row,
            ) -> Option<Self> {
                let variant = door.choose(Some(at), Self::CHOICE, "")?;
                let built = Self::of_variant(door, variant);
                let built = built.filter(|built| door.built(built, std::slice::from_ref(at)));
                door.close();
                built
            }
            fn silent(
                door: &mut dyn $crate::model::fields::Door,
                row: &'static $crate::model::fields::Row,
            ) -> Option<Self> {
                let $crate::model::fields::Silence::Word(word) = row.silence else {
                    door.missing(row);
                    return None;
                };
                let variant = door.choose(None, Self::CHOICE, word)?;
                let built = Self::of_variant(door, variant);
                door.close();
                built
            }
            fn each(&self, take: &mut $crate::model::fields::Figures<'_>) {
                self.figures(take);
            }
            fn value(&self, _: &'static $crate::model::fields::Row) -> Option<$crate::model::fields::Value> {
                let (variant, given) = self.variant();
                Some($crate::model::fields::Value::Word(variant, given))
            }
        }
    )+ };
}

/// The variant of that word; the first where there is none.
pub fn variant_of(choice: &'static Choice, word: &str) -> &'static Variant {
    /// Never reached: a word of a choice is one of its variants.
    static NONE: Variant = Variant { word: "", says: "", rows: &[], brackets: Brackets::None };
    choice.variants.iter().find(|variant| variant.word == word).unwrap_or(&NONE)
}

pub(crate) use {brackets, by_place, choice, choice_field, form, rows};
