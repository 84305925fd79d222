//! A derivation in the making: steps, inputs and constants, and which step is the measure itself.

use super::words::as_given;
use crate::assess::explain_types::{Explanation, Input, Step};
use crate::assumptions::A;
use crate::uncertainty::uncertain::{Provenance, Spread, Uncertain};
use crate::units::{Plain, Quantity};

/// A derivation, and the step that is the measure itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Worked {
    /// Steps, inputs, constants.
    pub explanation: Explanation,
    /// Index of the measure's own step with its value in the measure's unit; none where it cannot be told.
    pub answer: Option<(usize, f64)>,
}

impl Worked {
    /// One step.
    pub fn step(
        &mut self,
        formula: impl Into<String>,
        numbers: impl Into<String>,
        result: impl Into<String>,
    ) {
        self.explanation.lines.push(Step {
            formula: formula.into(),
            numbers: numbers.into(),
            result: result.into(),
        });
    }

    /// The step that is the measure, and its value in the measure's unit.
    pub fn answer(
        &mut self,
        formula: impl Into<String>,
        numbers: impl Into<String>,
        result: impl Into<String>,
        value: f64,
    ) {
        self.answer = Some((self.explanation.lines.len(), value));
        self.step(formula, numbers, result);
    }

    /// Constants that went in.
    pub fn uses(&mut self, constants: &[A]) {
        for constant in constants {
            if !self.explanation.constants.contains(constant) {
                self.explanation.constants.push(*constant);
            }
        }
    }

    /// Something that went in, in words. The same thing stands once.
    pub fn said(&mut self, name: impl Into<String>, value: impl Into<String>, known: Provenance) {
        let input = Input { name: name.into(), value: value.into(), known };
        if !self.explanation.inputs.contains(&input) {
            self.explanation.inputs.push(input);
        }
    }

    /// A figure in the unit of that sign.
    pub fn input<Q: Quantity>(&mut self, name: impl Into<String>, figure: &Uncertain<Q>, sign: &str) {
        let unit = Q::UNITS.iter().find(|u| u.sign == sign);
        let value = written(figure, sign, |si| unit.map_or(si, |u| u.from_si(si)));
        self.said(name, value, figure.known);
    }

    /// A share, as per cent.
    pub fn share(&mut self, name: impl Into<String>, figure: &Uncertain<Plain>) {
        let value = written(figure, "%", |share| share * 100.0);
        self.said(name, value, figure.known);
    }
}

fn written<Q: Quantity>(figure: &Uncertain<Q>, sign: &str, of: impl Fn(f64) -> f64) -> String {
    let value = match (figure.known, figure.spread) {
        (Provenance::Between, Spread::Uniform { low, high }) => {
            format!("{} to {} {sign}", as_given(of(low)), as_given(of(high)))
        }
        _ => format!("{} {sign}", as_given(of(figure.si()))),
    };
    value.trim_end().to_owned()
}
