//! How a measure of one build came about: the chain of formulas, what went in, which constants were used.

use crate::assumptions::A;
use crate::uncertainty::uncertain::Provenance;

/// A measure explained.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Explanation {
    /// The steps, in the order they are worked out.
    pub lines: Vec<Step>,
    /// What the profile and the tank gave.
    pub inputs: Vec<Input>,
    /// Constants and assumptions used, as rows of the one table.
    pub constants: Vec<A>,
}

/// One step of a derivation.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// The formula in letters: `turnover = flow / volume`.
    pub formula: String,
    /// The same with this build's numbers: `670 l/h / 180 l`.
    pub numbers: String,
    /// What comes out: `3.72 1/h`.
    pub result: String,
}

/// One thing that went in.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// What it is: `hose bore`.
    pub name: String,
    /// Its value with its unit: `16 mm`.
    pub value: String,
    /// How it is known.
    pub known: Provenance,
}
