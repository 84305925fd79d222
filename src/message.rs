//! Words: enumerations with what is said of each variant, and sentences with amounts in them. An amount is written out only where the sentence is shown, in the units that
//! a person reads there.

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// l/h.
    Flow(f64),
    /// Litres.
    Volume(f64),
    /// kg.
    Mass(f64),
    /// A bore, a gap, a height: mm.
    Length(f64),
    /// A head of water, m.
    Head(f64),
    /// A run of hose, m.
    Run(f64),
}

#[derive(Clone, Debug, PartialEq)]
enum Piece {
    Words(String),
    Amount(Amount),
}

#[derive(Clone, Debug, Default, PartialEq)]
pub struct Message(Vec<Piece>);

impl Message {
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub fn add(&mut self, more: impl Into<Self>) {
        for piece in more.into().0 {
            match (self.0.last_mut(), piece) {
                (Some(Piece::Words(last)), Piece::Words(words)) => last.push_str(&words),
                (_, piece) => self.0.push(piece),
            }
        }
    }

    pub fn joined(parts: impl IntoIterator<Item = Self>, between: &str) -> Self {
        let mut out = Self::default();
        for (i, part) in parts.into_iter().enumerate() {
            if i > 0 {
                out.add(between);
            }
            out.add(part);
        }
        out
    }

    /// As text; `amount` writes an amount with its unit.
    pub fn written(&self, amount: impl Fn(Amount) -> String) -> String {
        let piece = |piece: &Piece| match piece {
            Piece::Words(words) => words.clone(),
            Piece::Amount(a) => amount(*a),
        };
        self.0.iter().map(piece).collect()
    }
}

impl From<&str> for Message {
    fn from(words: &str) -> Self {
        Self::from(words.to_owned())
    }
}

impl From<String> for Message {
    fn from(words: String) -> Self {
        Self(if words.is_empty() { Vec::new() } else { vec![Piece::Words(words)] })
    }
}

impl From<Amount> for Message {
    fn from(amount: Amount) -> Self {
        Self(vec![Piece::Amount(amount)])
    }
}

/// Words and amounts put together: `message!("the ", Amount::Length(12.0), " tap")`.
#[macro_export]
macro_rules! message {
    ($($part:expr),+ $(,)?) => {{
        let mut said = $crate::message::Message::default();
        $(said.add($part);)+
        said
    }};
}
pub use message;

/// An enumeration of plain variants and the table of what is said of each, a row a variant.
#[macro_export]
macro_rules! worded {
    ($(#[$meta:meta])* $name:ident $(#[$doc:meta])* $said:ident: $type:ty {
        $($(#[$about:meta])* $variant:ident $row:expr;)+
    }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum $name { $($(#[$about])* $variant),+ }
        impl $name {
            pub const ALL: [Self; [$(stringify!($variant)),+].len()] = [$(Self::$variant),+];
            $(#[$doc])*
            pub fn $said(self) -> $type {
                match self { $(Self::$variant => $row),+ }
            }
            /// The one so many rows on, round and round.
            #[must_use]
            pub fn turned(self, by: isize) -> Self {
                let at = $crate::message::round(self as usize, by, Self::ALL.len());
                Self::ALL.into_iter().nth(at).unwrap_or(self)
            }
        }
    };
}
pub use worded;

/// A place so far on in a list, round and round.
pub fn round(from: usize, by: isize, len: usize) -> usize {
    let len = len.max(1);
    let steps = by.unsigned_abs() % len;
    (from + if by < 0 { len - steps } else { steps }) % len
}
