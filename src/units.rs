//! Quantities as newtypes over `f64` in SI, always finite, and every unit's name and factor, once.
//!
//! Factors: international foot and inch, avoirdupois pound and ounce (exact, NIST SP 811 app. B),
//! US liquid gallon 231 in3 and imperial gallon 4.54609 l (exact, NIST Handbook 44 app. C).

use std::fmt::Debug;

use crate::message::worded;

/// A unit a person may write: `si = number * factor + offset`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnitOf {
    /// As written in a file, such as `l_h`.
    pub name: &'static str,
    /// As shown to a person, such as `l/h`.
    pub sign: &'static str,
    /// SI value of one of it.
    pub factor: f64,
    /// Added after the factor; only temperatures have one.
    pub offset: f64,
}

impl UnitOf {
    /// The SI value of `number` of this unit.
    pub fn to_si(&self, number: f64) -> f64 {
        number * self.factor + self.offset
    }
    /// How many of this unit an SI value is.
    pub fn from_si(&self, si: f64) -> f64 {
        (si - self.offset) / self.factor
    }
}

pub trait Quantity: Copy + Debug + PartialEq + Send + Sync + 'static {
    /// What it is called in messages: `length`, `flow`.
    const KIND: &'static str;
    /// The units it may be written in, the first being the usual one; none for a bare number.
    const UNITS: &'static [UnitOf];
    /// From an SI value; `None` unless it is finite.
    fn new(si: f64) -> Option<Self>;
    fn si(self) -> f64;
}

macro_rules! quantities {
    ($($(#[$doc:meta])* $type:ident $kind:literal [$($unit:ident $sign:literal $factor:expr $(, $offset:expr)?);*])+) => { $(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $type(f64);
        impl $type {
            /// From an SI value known to be finite; anything else becomes zero.
            pub const fn of(si: f64) -> Self {
                if si.is_finite() { Self(si) } else { Self(0.0) }
            }
            /// The SI value.
            pub const fn get(self) -> f64 { self.0 }
        }
        impl Quantity for $type {
            const KIND: &'static str = $kind;
            const UNITS: &'static [UnitOf] = &[$(UnitOf {
                name: stringify!($unit), sign: $sign, factor: $factor, offset: 0.0 $(+ $offset)?,
            }),*];
            fn new(si: f64) -> Option<Self> { si.is_finite().then_some(Self(si)) }
            fn si(self) -> f64 { self.0 }
        }
    )+
        /// Every kind of quantity with its units, for messages and help.
        pub const KINDS: &[(&str, &[UnitOf])] = &[$(($kind, $type::UNITS)),+];
    };
}

/// Litres in a m3.
pub const LITRES: f64 = 1e3;
/// 0 °C, K.
pub const FREEZING: f64 = 273.15;
/// m.
pub const INCH: f64 = 0.0254;
const US_GALLON: f64 = 231.0 * INCH * INCH * INCH;
const UK_GALLON: f64 = 4.546_09e-3;
const LITRE: f64 = 1e-3;
const POUND: f64 = 0.453_592_37;
pub const HOUR: f64 = 3600.0;
/// Seconds in a day.
pub const DAY: f64 = 86_400.0;
/// Days in a year: 8766 hours.
pub const YEAR_DAYS: f64 = 365.25;
/// A year, s.
pub const YEAR: f64 = YEAR_DAYS * DAY;

quantities! {
    /// A length or a head of water, m.
    Length "length" [mm "mm" 1e-3; um "µm" 1e-6; cm "cm" 1e-2; m "m" 1.0; inch "in" INCH; ft "ft" 12.0 * INCH]
    /// A volume, m3.
    Volume "volume" [l "l" LITRE; ml "ml" 1e-6; gal_us "US gal" US_GALLON; gal_uk "UK gal" UK_GALLON]
    /// A volume flow, m3/s.
    Flow "flow" [l_h "l/h" LITRE / HOUR; l_min "l/min" LITRE / 60.0; m3_h "m3/h" 1.0 / HOUR; gal_us_h "US gal/h" US_GALLON / HOUR; gal_uk_h "UK gal/h" UK_GALLON / HOUR]
    /// A mass, kg.
    Mass "mass" [kg "kg" 1.0; g "g" 1e-3; oz "oz" POUND / 16.0; lb "lb" POUND]
    /// A power, W.
    Power "power" [w "W" 1.0]
    /// A temperature, degrees Celsius.
    Temperature "temperature" [degc "°C" 1.0; degf "°F" 5.0 / 9.0, -160.0 / 9.0]
    /// A time, s.
    Time "time" [day "d" DAY; s "s" 1.0; h "h" HOUR; week "wk" 7.0 * DAY; month "months" YEAR_DAYS / 12.0 * DAY; year "years" YEAR]
    /// A mass a day, g/day.
    DailyMass "daily mass" [g_day "g/day" 1.0; oz_day "oz/day" 1000.0 * POUND / 16.0]
    /// Surface per volume of bed, m2/m3.
    AreaPerVolume "area per volume" [m2_l "m2/l" 1e3]
    /// Mass per volume of bed, kg/m3.
    BulkDensity "mass per volume" [kg_l "kg/l" 1e3]
    /// A bare number: share, count, pH, mg/l, money, PPI, 1/m.
    Plain "number" []
}

/// The kind a unit's name belongs to.
pub fn kind_of_unit(name: &str) -> Option<&'static str> {
    KINDS.iter().find(|(_, units)| units.iter().any(|u| u.name == name)).map(|(kind, _)| *kind)
}

/// l/h of a flow in m3/s.
pub fn litres_an_hour(flow: f64) -> f64 {
    flow / (LITRE / HOUR)
}

/// A decimal number without idle zeros at its end.
pub fn trimmed(number: &str) -> &str {
    if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { number }
}

worded! {
    /// What people read. Files and machine output are never changed by it.
    #[derive(Default)]
    Units /// The word on the command line and on screen.
    word: &'static str {
        #[default]
        Metric "metric";
        /// US gallons, inches, pounds.
        Us "us";
        /// Imperial gallons; lengths and masses as they are sold in Britain, in millimetres and kilograms.
        Uk "uk";
    }
}

impl Units {
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|u| u.word() == word)
    }
    /// The unit that people read for one of the files' own.
    pub fn read_in(self, unit: &'static str) -> &'static str {
        match (self, unit) {
            (Self::Us, "mm" | "cm") => "inch",
            (Self::Us, "m") => "ft",
            (Self::Us, "l") => "gal_us",
            (Self::Us, "l_h") => "gal_us_h",
            (Self::Us, "kg") => "lb",
            (Self::Us, "degc") => "degf",
            (Self::Uk, "l") => "gal_uk",
            (Self::Uk, "l_h") => "gal_uk_h",
            (_, own) => own,
        }
    }
}
