//! The pump as the box or a bucket tells it. Its laws stand in `hydraulics::pump`.

use crate::uncertainty::uncertain::Uncertain;
use crate::units::{Flow, Length, Plain, Power};

/// The pump.
#[derive(Clone, Debug, PartialEq)]
pub struct Pump {
    /// Where the curve was taken.
    pub taken: Taken,
    /// Head over flow, if known.
    pub curve: Option<Curve>,
    /// Electrical power.
    pub power: Option<Uncertain<Power>>,
    /// Mains frequency the figures were taken on, Hz.
    pub hz: Option<Uncertain<Plain>>,
}

/// Where a pump's figures were taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Taken {
    /// At the ports: the empty vessel's own loss is inside.
    #[default]
    AtPorts,
    /// At the impeller.
    AtImpeller,
}

/// Head over flow.
#[derive(Clone, Debug, PartialEq)]
pub enum Curve {
    /// Only flow without head and head without flow, both above 0.
    Ends {
        /// Flow against no head.
        flow: Uncertain<Flow>,
        /// Head at no flow.
        head: Uncertain<Length>,
    },
    /// Points with rising flow and falling head, two or more.
    Points(Vec<CurvePoint>),
}

/// One point of a pump curve.
#[derive(Clone, Debug, PartialEq)]
pub struct CurvePoint {
    /// Flow.
    pub flow: Uncertain<Flow>,
    /// Head.
    pub head: Uncertain<Length>,
}
