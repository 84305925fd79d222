//! What a field holds, as a value to be written, compared and read.

use super::row::{Dimension, Row, Table, Variant};
use crate::uncertainty::uncertain::{Provenance, Spread};

/// A figure without its type.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Known {
    pub si: f64,
    pub known: Provenance,
    pub spread: Spread,
    pub of: Dimension,
}

/// What a field holds, as a value to be written, compared and read.
#[derive(Clone, Debug)]
pub enum Value {
    Figure(Known),
    /// In the row's unit.
    Number(f64),
    Flag(bool),
    Text(String),
    Form(&'static Table, Given),
    Word(&'static Variant, Given),
    List(Vec<Value>),
    Map(Vec<(String, f64)>),
}

pub type Given = Vec<(&'static Row, Value)>;

impl Value {
    /// Made by the program where a file left it out.
    pub fn is_assumed(&self) -> bool {
        match self {
            Self::Figure(known) => known.known == Provenance::Assumed && known.spread != Spread::Exact,
            Self::Word(_, given) | Self::Form(_, given) => {
                let is_told =
                    |value: &Self| matches!(value, Self::Figure(k) if k.known != Provenance::Assumed);
                let mut figures =
                    given.iter().map(|(_, v)| v).filter(|v| matches!(v, Self::Figure(_))).peekable();
                if figures.peek().is_none() {
                    return given.iter().any(|(_, value)| value.is_assumed());
                }
                let figures: Vec<&Self> = figures.collect();
                !figures.iter().any(|f| is_told(f)) && figures.iter().any(|f| f.is_assumed())
            }
            Self::List(items) => items.iter().any(Self::is_assumed),
            Self::Number(_) | Self::Flag(_) | Self::Text(_) | Self::Map(_) => false,
        }
    }
    /// The same to whoever computes with it: names, keys and doubt do not count.
    pub fn alike(&self, other: &Self) -> bool {
        // A gap of nothing is a passage when it is in doubt, and none when it is not.
        let passage = |f: &Known| f.si != 0.0 || f.spread != Spread::Exact;
        match (self, other) {
            (Self::Figure(a), Self::Figure(b)) => {
                a.si.to_bits() == b.si.to_bits() && passage(a) == passage(b)
            }
            (Self::Number(a), Self::Number(b)) => a.to_bits() == b.to_bits(),
            (Self::Flag(a), Self::Flag(b)) => a == b,
            (Self::Text(a), Self::Text(b)) => a == b,
            (Self::Map(a), Self::Map(b)) => a == b,
            (Self::Form(_, a), Self::Form(_, b)) => fields_alike(a, b),
            (Self::Word(v, a), Self::Word(w, b)) => v.word == w.word && fields_alike(a, b),
            (Self::List(a), Self::List(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.alike(b)),
            _ => false,
        }
    }
}

fn fields_alike(a: &Given, b: &Given) -> bool {
    let counted = |given: &Given| {
        given
            .iter()
            .filter(|(row, _)| !row.aside)
            .map(|(row, value)| (row.name, value.clone()))
            .collect::<Vec<_>>()
    };
    let (a, b) = (counted(a), counted(b));
    a.len() == b.len() && a.iter().zip(&b).all(|((n, v), (m, w))| n == m && v.alike(w))
}
