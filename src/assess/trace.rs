//! How a figure came about, as values: the equations in the order they are worked out, with the quantities in
//! them, what went in, and the constants used. `report::wording` turns it into sentences.

use super::findings::OpenedBy;
use crate::assumptions::A;
use crate::measures::{Measure, Missing};
use crate::message::Message;
use crate::uncertainty::{Key, Provenance, Spread, Uncertain};
use crate::units::{Plain, Quantity};

/// A quantity in a step, SI unless said.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A flow, m3/s.
    Flow(f64),
    /// A head of water, m.
    Head(f64),
    /// A short length, m.
    Length(f64),
    /// An area, m2.
    Area(f64),
    /// A volume, m3.
    Volume(f64),
    /// A speed of water, m/s.
    Speed(f64),
    /// A mass, kg.
    Mass(f64),
    /// A share of 1.
    Share(f64),
    /// A worked-out number, in the unit that the sentence names.
    Number(f64),
    /// A number as it was given.
    Given(f64),
    /// A time in days.
    Days(f64),
    Money(f64),
    /// Price a litre.
    PerLitre(f64),
    Count(usize, &'static str),
    Sum(Vec<Value>),
    /// Both ends of a figure given as between two.
    Between(Box<Value>, Box<Value>),
    /// A number in the unit of that sign, as it was given.
    In(f64, &'static str),
    /// Names and phrases; amounts in them are written in the units that are read.
    Words(Message),
    OpenedBy(OpenedBy),
}

impl Value {
    /// The number in it; a sum's total. `None` for words.
    pub fn number(&self) -> Option<f64> {
        match self {
            Self::Flow(x)
            | Self::Head(x)
            | Self::Length(x)
            | Self::Area(x)
            | Self::Volume(x)
            | Self::Mass(x)
            | Self::Speed(x)
            | Self::Share(x)
            | Self::Number(x)
            | Self::Given(x)
            | Self::Days(x)
            | Self::Money(x)
            | Self::PerLitre(x)
            | Self::In(x, _) => Some(*x),
            Self::Count(n, _) => Some(*n as f64),
            Self::Sum(terms) => terms.iter().map(Self::number).sum(),
            Self::Between(..) | Self::Words(_) | Self::OpenedBy(_) => None,
        }
    }
}

impl<T: Into<Message>> From<T> for Value {
    fn from(words: T) -> Self {
        Self::Words(words.into())
    }
}

/// The quantities of a step, each behind its kind: `parts![Flow q, Share bypass]`.
macro_rules! parts {
    (@Words $x:expr) => { $crate::assess::trace::Value::from($x) };
    (@$kind:ident $x:expr) => { $crate::assess::trace::Value::$kind($x) };
    ($($kind:ident $x:expr),+ $(,)?) => { [$($crate::assess::trace::parts!(@$kind $x)),+] };
}
pub(crate) use parts;

macro_rules! equations {
    ($($eq:ident),+ $(,)?) => {
        /// An equation, or a fact beside one. Its words stand in `report::wording::steps`.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum Eq { $($eq),+ }
        impl Eq {
            pub const ALL: &[Self] = &[$(Self::$eq),+];
        }
    };
}

equations! {
    // Water.
    Speed, PrintedEnds, PrintedPoints, EmptyLoss, HeadGiven, HeadLost, Cabinet, HeadTaken, Flow, FlowSeen, Stage,
    Stopped, Bypass, Leak, LeaksScaled, FilteredFlow, Turnover,
    // Dirt.
    OnePass, Clearing, CaughtShare, ClearingMark, FlowDirty, FoodOf100, SuitsAmmonia, SuitsClearing, SuitsUpTo,
    Solids, Settled, Caught, Deposit, FlowMark, VoidsMark, Leaky, Trust, Interval, ByCalendar, Late,
    LateHorizon, FlowThen, FilteredThen, BypassThen, LeakThen, WorstBypass, Chance,
    // Life.
    ToldAt, WithTank, NitrateOff, Tan, OxygenIn, SurfaceSpeed, NoSurface, Surface, Takes, Removal, Steady, SteadyNever, UnIonised, NoPh, Capacity,
    Nitrogen, OxygenUse, OxygenDrop, PumpStops, OxygenOut, NoGrains, Respiration, Airless, Potential, Denitrified,
    NetProduction, NitratePeak, Porous, NoPorous, PerKilogram, NoEstimate, EstimateNitrate,
    EstimateAmmonia, RuleOfThumb,
    // Lamp.
    Caution, LampAge, LightPath, Absorbed, Kills, DoseFor, Dose,
    // Room.
    Room, TraySpace, Layer, Media, BioMedia, MediaSum, OutsideBox, MediaShare, Meets, OrderFault, OrderFaults,
    DryMedia, Inside, WaterInside, FullWeight, Straight, Turned, Height, Fits,
    // Money and power.
    PumpAtMains, DeadLamp, Watts, Power, ToFix, ComesWithIt, OnHand, NoPrice, MediaCost, RepairCost, Asking,
    PowerCost, WearUnknown, Wear, LampPriceUnknown, LampWear, FirstYear,
}

/// One step: an equation with its quantities in the order its words name them, what comes out last.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    pub eq: Eq,
    pub parts: Vec<Value>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// `hose bore`.
    pub name: String,
    pub value: Value,
    pub known: Provenance,
    /// Which draw it follows, where it is one uncertain figure.
    pub key: Option<Key>,
}

#[derive(Clone, Debug, Default, PartialEq)]
pub struct Trace {
    pub steps: Vec<Step>,
    pub inputs: Vec<Input>,
    /// Constants and assumptions used, as rows of the one table.
    pub constants: Vec<A>,
    /// Index of the measure's own step, and its value in the measure's unit; `None` where it cannot be told.
    pub answer: Option<(usize, f64)>,
    /// Why the measure cannot be told, where it cannot.
    pub untold: Option<(Measure, Missing)>,
    pub currency: String,
}

impl Trace {
    pub fn step(&mut self, eq: Eq, parts: impl Into<Vec<Value>>) {
        self.steps.push(Step { eq, parts: parts.into() });
    }

    /// The step that is the measure, and its value in the measure's unit.
    pub fn answer(&mut self, eq: Eq, parts: impl Into<Vec<Value>>, value: f64) {
        self.answer = Some((self.steps.len(), value));
        self.step(eq, parts);
    }

    pub fn uses(&mut self, constants: &[A]) {
        for constant in constants {
            if !self.constants.contains(constant) {
                self.constants.push(*constant);
            }
        }
    }

    /// Something that went in. The same thing stands once.
    pub fn said(&mut self, name: impl Into<String>, value: impl Into<Value>, known: Provenance) {
        self.put(Input { name: name.into(), value: value.into(), known, key: None });
    }

    pub fn input<Q: Quantity>(&mut self, name: impl Into<String>, figure: &Uncertain<Q>, sign: &'static str) {
        let unit = Q::UNITS.iter().find(|u| u.sign == sign);
        self.figure(name.into(), figure, |si| Value::In(unit.map_or(si, |u| u.from_si(si)), sign));
    }

    pub fn share(&mut self, name: impl Into<String>, figure: &Uncertain<Plain>) {
        self.figure(name.into(), figure, |share| Value::In(share * 100.0, "%"));
    }

    /// A price a litre.
    pub fn per_litre(&mut self, name: impl Into<String>, figure: &Uncertain<Plain>) {
        self.figure(name.into(), figure, Value::PerLitre);
    }

    pub fn price(&mut self, name: impl Into<String>, figure: &Uncertain<Plain>) {
        self.figure(name.into(), figure, Value::Money);
    }

    fn figure<Q: Quantity>(&mut self, name: String, figure: &Uncertain<Q>, of: impl Fn(f64) -> Value) {
        let value = match (figure.known, figure.spread) {
            (Provenance::Between, Spread::Uniform { low, high }) => {
                Value::Between(Box::new(of(low)), Box::new(of(high)))
            }
            _ => of(figure.si()),
        };
        self.put(Input { name, value, known: figure.known, key: Some(figure.key.clone()) });
    }

    fn put(&mut self, input: Input) {
        if let Some(made) = input.key.as_ref().and_then(Key::made_by) {
            self.uses(&[made]);
        }
        // A shared name with the same value is the same thing to a reader.
        if !self
            .inputs
            .iter()
            .any(|i| (&i.name, &i.value, i.known) == (&input.name, &input.value, input.known))
        {
            self.inputs.push(input);
        }
    }
}
