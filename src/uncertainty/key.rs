//! Which doubtful figure: where it comes from, where it stands there, and the field it fills. Builds that share a
//! key share its draw. The parts are typed; the name is for the hash and for people, and nobody reads it back.

use std::fmt::{self, Write as _};
use std::hash::{Hash, Hasher};
use std::sync::Arc;

use super::field::{self, Field};
use crate::assumptions::A;
use crate::place::Space;

/// Where a figure comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Source {
    Assumption(A),
    Tank,
    /// Media and fittings of lists, whichever filter uses them.
    Library,
    /// A filter's file, by its id.
    Filter(Arc<str>),
    /// No figure that anybody wrote: a stream of draws, something worked out.
    Named(Arc<str>),
}

/// Names of sources and lists that the id of a file may happen to be.
pub const RESERVED: [&str; 5] = ["model", "tank", "media", "fittings", "file"];

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Assumption(a) => f.write_str(a.entry().key),
            Self::Tank => f.write_str("tank"),
            Self::Library => Ok(()),
            Self::Filter(id) if RESERVED.contains(&&**id) => write!(f, "file/{id}"),
            Self::Filter(name) | Self::Named(name) => f.write_str(name),
        }
    }
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// A part or a field, by its word in the file; `hose/bore` is two in one.
    Part(&'static str),
    Build(Arc<str>),
    Space(Space),
    /// Of a list, counted from 0.
    Item(usize),
    /// Of a list, by the id of what it is.
    Id(Arc<str>),
    /// Changed in the program, not read from the file.
    Edited,
}

/// Where a field stands in its source.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Spot(Box<[Step]>);

impl Spot {
    pub fn then(&self, step: Step) -> Self {
        Self(self.0.iter().cloned().chain([step]).collect())
    }
    pub fn part(&self, word: &'static str) -> Self {
        self.then(Step::Part(word))
    }
    pub fn item(&self, index: usize) -> Self {
        self.then(Step::Item(index))
    }
    pub fn space(&self, space: Space) -> Self {
        self.then(Step::Space(space))
    }
    pub fn id(&self, id: &str) -> Self {
        self.then(Step::Id(id.into()))
    }
    pub fn build(name: &str) -> Self {
        Self([Step::Build(name.into())].into())
    }
    /// The same spot as changed in the program.
    pub fn edited(&self) -> Self {
        Self([Step::Edited].into_iter().chain(self.0.iter().cloned()).collect())
    }
    pub fn steps(&self) -> &[Step] {
        &self.0
    }
}

impl From<&'static str> for Spot {
    fn from(word: &'static str) -> Self {
        Self([Step::Part(word)].into())
    }
}
impl From<Space> for Spot {
    fn from(space: Space) -> Self {
        Self([Step::Space(space)].into())
    }
}
impl From<&Self> for Spot {
    fn from(spot: &Self) -> Self {
        spot.clone()
    }
}

impl fmt::Display for Step {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Part(word) => f.write_str(word),
            Self::Build(name) => write!(f, "builds/{name}"),
            Self::Space(Space::Floor) => f.write_str("floor"),
            Self::Space(Space::Tray(tray)) => write!(f, "trays/{}", tray + 1),
            Self::Item(index) => write!(f, "{}", index + 1),
            Self::Id(id) => f.write_str(id),
            Self::Edited => f.write_str("edit"),
        }
    }
}

/// A doubtful figure's identity.
#[derive(Clone)]
pub struct Key(Arc<Parts>);

/// A profile has scores of them, a folder millions: the name is made when it is asked for.
struct Parts {
    source: Source,
    at: Spot,
    field: &'static Field,
    made: Option<A>,
    hash: u64,
}

impl Key {
    pub fn new(source: Source, at: impl Into<Spot>, field: &'static Field) -> Self {
        Self::of(source, at.into(), field, None)
    }
    /// The key of a figure that was made by that assumption, for a field that the file left out.
    pub fn made(source: Source, at: impl Into<Spot>, field: &'static Field, by: A) -> Self {
        Self::of(source, at.into(), field, Some(by))
    }
    fn of(source: Source, at: Spot, field: &'static Field, made: Option<A>) -> Self {
        let hash = fnv1a(named(&source, &at).as_bytes());
        Self(Arc::new(Parts { source, at, field, made, hash }))
    }
    /// A key of no file: a stream of draws, or a figure that is worked out or made up.
    pub fn named(name: &str) -> Self {
        Self::new(Source::Named(name.into()), Spot::default(), &field::NONE)
    }
    /// The key of a row of the assumptions. Stocking stands in for feed, and feed can be weighed.
    pub fn assumption(a: A) -> Self {
        let feed = matches!(a, A::LightFeed | A::NormalFeed | A::HeavyFeed);
        Self::new(
            Source::Assumption(a),
            Spot::default(),
            if feed { &field::WEIGHED_FEED } else { &field::NONE },
        )
    }
    pub fn source(&self) -> &Source {
        &self.0.source
    }
    pub fn at(&self) -> &Spot {
        &self.0.at
    }
    pub fn field(&self) -> &'static Field {
        self.0.field
    }
    /// The assumption that it was made by where the file left it out.
    pub fn made_by(&self) -> Option<A> {
        self.0.made
    }
    /// Returns how the figure is measured at home; `None` where no tool there can.
    pub fn measured_by(&self) -> Option<&'static str> {
        self.0.field.measured_by
    }
    /// For the hash and for people, such as `media/foam-20/ppi` or `tamsin-1100/trays/3/seal`.
    pub fn name(&self) -> String {
        named(&self.0.source, &self.0.at)
    }
    /// The same for the same name, on every machine: it starts the key's own draws.
    pub fn hash(&self) -> u64 {
        self.0.hash
    }
}

fn named(source: &Source, at: &Spot) -> String {
    let mut name = source.to_string();
    for step in at.steps() {
        let stroke = if name.is_empty() { "" } else { "/" };
        let _ = write!(name, "{stroke}{step}");
    }
    name
}

/// Fowler–Noll–Vo 1a, 64 bit (public domain): small, stable, the same everywhere.
pub fn fnv1a(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(*b)).wrapping_mul(0x0100_0000_01b3))
}

impl PartialEq for Key {
    fn eq(&self, other: &Self) -> bool {
        let (a, b) = (&*self.0, &*other.0);
        let same = a.source == b.source && a.at == b.at;
        Arc::ptr_eq(&self.0, &other.0) || a.hash == b.hash && (same || self.name() == other.name())
    }
}
impl Eq for Key {}
impl Hash for Key {
    fn hash<H: Hasher>(&self, state: &mut H) {
        state.write_u64(self.0.hash);
    }
}
impl PartialOrd for Key {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Key {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.name().cmp(&other.name())
    }
}
impl fmt::Debug for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Key").field("name", &self.name()).finish()
    }
}
impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.name())
    }
}
