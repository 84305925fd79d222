//! The pump as the box or a bucket tells it. Its laws stand in `hydraulics::pump`.

use crate::doubt::figure::Figure;
use crate::units::{Flow, Length, Plain, Power};

/// The pump.
#[derive(Clone, Debug, PartialEq)]
pub struct Pump {
    /// Where the curve was taken.
    pub taken: Taken,
    /// Head over flow, if known.
    pub curve: Option<Curve>,
    /// Electrical power.
    pub power: Option<Figure<Power>>,
    /// Mains frequency the figures were taken on, Hz.
    pub hz: Option<Figure<Plain>>,
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
        flow: Figure<Flow>,
        /// Head at no flow.
        head: Figure<Length>,
    },
    /// Points with rising flow and falling head, two or more.
    Points(Vec<CurvePoint>),
}

/// One point of a pump curve.
#[derive(Clone, Debug, PartialEq)]
pub struct CurvePoint {
    /// Flow.
    pub flow: Figure<Flow>,
    /// Head.
    pub head: Figure<Length>,
}
