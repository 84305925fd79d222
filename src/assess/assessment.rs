//! What judging a build gives: its measures, and the pictures that show why.

use std::sync::Arc;

use super::figures::{Figures, figures};
pub use super::findings::{Fault, Help, Leak, LeakPlace, Note, Opens, Rule};
use super::log::Told;
use super::suits::{self, Largest, Limit};
use super::{Case, Effort, Simulated};
use crate::assumptions::A;
use crate::measures::{Measure, Missing, Outcome};
use crate::model::fields::Field;
use crate::model::put_right::State;
use crate::model::{Build, Dimples, Filter, Role, SealCondition, Tank, Way};
use crate::uncertainty::{Band, Key, Nominal, Provenance, Source, Spread};

/// One build judged: its figures at nominal values and in simulated cases, the pictures that show why, what was
/// found, and what would help.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Assessment {
    /// Its file, as short as tells it apart; empty until someone who knows the files says it.
    pub file: String,
    /// The filter's id, which starts the keys of its figures.
    pub id: String,
    pub filter: String,
    pub build: String,
    pub known: Known,
    /// The unit as it is, or put right.
    pub state: State,
    measures: [Outcome; Measure::ALL.len()],
    /// The simulated cases; `None` while they are not worked out.
    pub simulated: Option<Arc<Simulated>>,
    pub logged: Option<Arc<Logged>>,
    /// What tank it suits, by stocking and by limit, clean; empty where the flow cannot be told.
    pub suits: Vec<Largest>,
    /// Roles in the order the water meets them.
    pub stages: Vec<Role>,
    pub faults: Vec<Fault>,
    /// Where the pump's head goes, in the order of the water; empty when the flow cannot be told.
    pub head_budget: Vec<HeadPart>,
    /// What the pump gives at that flow, m of water.
    pub pump_head: Option<f64>,
    /// Where water slips past the finest mechanical stage; the shares add to `bypass`.
    pub leaks: Vec<Leak>,
    pub section: Section,
    pub curve: Option<CurvePicture>,
    pub timeline: Option<Timeline>,
    pub notes: Vec<Note>,
    pub helps: Vec<Help>,
}

impl Assessment {
    /// One in which nothing could be told yet.
    pub fn empty(section: Section, why: Missing) -> Self {
        Self { measures: [Outcome::Missing(why); Measure::ALL.len()], section, ..Self::default() }
    }
    /// The measures of a build alone, without pictures, faults and notes: for a table of thousands.
    pub fn measured(filter: &Filter, build: &Build, tank: Option<&Tank>) -> Self {
        let case = Case::new(filter, build, tank);
        Self::of(&case, Section::unseen(filter.way), &figures(&case, &Nominal, Effort::FULL))
    }
    pub(super) fn of(case: &Case<'_>, section: Section, told: &Figures<f64>) -> Self {
        let mut out = Self::empty(section, Missing::NotSolved);
        (out.id, out.filter) = (case.filter.id.clone(), case.filter.name.clone());
        out.build.clone_from(&case.build.name);
        out.known = Known::of(case.filter, case.build);
        out.state = case.filter.state();
        out.measures = Measure::ALL.map(|measure| told.outcome(measure));
        if let (Ok(rows), true) = (&told.suits, told.solved) {
            out.suits = suits::largest(rows, suits::counted(case));
        }
        out
    }
    /// Forgets what only drawings and explanations show: section, curves, timeline, notes, helps.
    pub fn forget_pictures(&mut self) {
        self.section = Section::unseen(self.section.way);
        (self.curve, self.timeline) = (None, None);
        (self.notes, self.helps) = (Vec::new(), Vec::new());
    }
    /// What a measure came to. A chance is known from the simulated cases alone; a number that is not finite counts
    /// as not solved, so none can leave.
    pub fn outcome(&self, measure: Measure) -> Outcome {
        let chance = self.simulated.as_ref().and_then(|s| s.bypass_chance);
        if let (Outcome::Value(_), Some(band)) = (self.model_outcome(measure), self.corrected(measure)) {
            return Outcome::Value(band.median);
        }
        match (measure, chance) {
            (Measure::BypassChance, Some(chance)) => Outcome::Value(chance),
            _ => self.model_outcome(measure),
        }
    }
    /// The measure's band by the log, where one moved it.
    fn corrected(&self, measure: Measure) -> Option<Band> {
        self.logged.as_ref()?.model.as_ref()?;
        self.band(measure)
    }
    /// What the nominal model says of a measure, whatever was logged.
    pub fn model_outcome(&self, measure: Measure) -> Outcome {
        let nominal = self.measures.get(measure as usize).copied();
        match nominal.unwrap_or(Outcome::Missing(Missing::NotSolved)) {
            Outcome::Value(x) if !x.is_finite() => Outcome::Missing(Missing::NotSolved),
            sound => sound,
        }
    }
    /// Simulated cases as they are without any log.
    pub fn model(&self) -> Option<&Arc<Simulated>> {
        self.logged.as_ref().and_then(|logged| logged.model.as_ref()).or(self.simulated.as_ref())
    }
    pub fn told(&self) -> Option<&Told> {
        self.logged.as_ref()?.told.as_ref()
    }
    pub fn contradicts(&self) -> bool {
        self.told().is_some_and(Told::contradicts)
    }
    /// The same as logs have it: cases they moved, and what came of its own.
    #[must_use]
    pub fn by_log(mut self, cases: Option<Arc<Simulated>>, told: Option<Told>) -> Self {
        if cases.is_none() && told.is_none() {
            return self;
        }
        let model = cases.as_ref().and(self.simulated.take());
        self.simulated = cases.or(self.simulated);
        self.logged = Some(Arc::new(Logged { model, told }));
        self
    }
    /// The same with these simulated cases.
    #[must_use]
    pub fn with(self, simulated: Option<Arc<Simulated>>) -> Self {
        Self { simulated, ..self }
    }
    pub fn set(&mut self, measure: Measure, outcome: Outcome) {
        if let Some(slot) = self.measures.get_mut(measure as usize) {
            *slot = outcome;
        }
    }
    /// 5th and 95th percentile of a measure, where the cases were simulated and both are finite.
    pub fn band(&self, measure: Measure) -> Option<Band> {
        self.simulated.as_ref()?.band(measure).filter(|band| band.low.is_finite() && band.high.is_finite())
    }
    /// What tank it suits, with the bands of the simulated cases.
    pub fn suits(&self) -> impl Iterator<Item = Largest> + '_ {
        let bands = self.simulated.iter().flat_map(|cases| &cases.suits).copied();
        let bands = bands.map(Some).chain(std::iter::repeat(None));
        self.suits.iter().zip(bands).map(|(row, band)| Largest { band: band.flatten(), ..*row })
    }
    /// Which limit `suits_up_to` is.
    pub fn suits_limit(&self) -> Option<Limit> {
        let counts = |row: &&Largest| row.counted && matches!(row.limit, Limit::Ammonia | Limit::Clearing);
        let least = self.suits.iter().filter(counts).min_by(|a, b| a.litres.total_cmp(&b.litres));
        least.map(|row| row.limit)
    }
    /// Cases that could not be worked out, of 100, where they are too many to keep still about: above 5.
    pub fn unsolved_of_100(&self) -> Option<f64> {
        let cases = self.simulated.as_ref()?;
        let share = cases.failed as f64 / cases.count.max(1) as f64;
        (share > 0.05).then_some(share * 100.0)
    }
    /// `Tamsin 1100 · restacked`; marked where its readings contradict its figures.
    pub fn title(&self) -> String {
        let unlike = if self.contradicts() { "≠ " } else { "" };
        format!("{unlike}{} · {}", self.filter, self.build)
    }
    /// Does most of the water pass the finest stage from the first day? A leak must not earn a longer interval.
    pub fn most_passes(&self) -> bool {
        self.outcome(Measure::Bypass).number().is_some_and(|share| share > A::MostPasses.value())
    }
}

#[derive(Clone, Debug, PartialEq)]
pub struct Logged {
    /// Its simulated cases as they are without any log; none where no log moved them.
    pub model: Option<Arc<Simulated>>,
    pub told: Option<Told>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct HeadPart {
    /// `intake hose`, `media`.
    pub part: String,
    /// Head it takes, m of water.
    pub m: f64,
    /// Share of what the pump gives.
    pub share: f64,
}

/// The vessel cut open, to scale.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Section {
    pub way: Way,
    /// Bore of the down pipe, mm; none when there is none.
    pub tube_mm: Option<f64>,
    pub tube_assumed: bool,
    pub floor: Option<Space>,
    pub trays: Vec<Space>,
    /// Height of the water above the top tray, mm.
    pub head_mm: Option<f64>,
    pub head_assumed: bool,
    pub uv: bool,
}

impl Section {
    /// Nothing of it was looked at but the way of the water.
    pub fn unseen(way: Way) -> Self {
        Self { way, ..Self::default() }
    }

    /// Whether any part of it stands on an assumption, and so is drawn dotted.
    pub fn assumes(&self) -> bool {
        let spaces = || self.floor.iter().chain(&self.trays);
        self.tube_assumed || self.head_assumed || spaces().any(|space| space.assumed || space.seal_assumed)
    }
}

/// A tray or the floor, cut open.
#[derive(Clone, Debug, PartialEq)]
pub struct Space {
    /// Usable height, mm.
    pub height_mm: f64,
    pub assumed: bool,
    /// `round`, `dee`, `rectangle`.
    pub outline: &'static str,
    /// The outline from above as corners in a unit square, y downward; empty where it is not known.
    pub from_above: Vec<(f64, f64)>,
    /// Width and depth of the rectangle it sits in, mm; none where it is not known.
    pub box_mm: Option<(f64, f64)>,
    pub fills_box: Option<f64>,
    pub layers: Vec<Slab>,
    pub seal: Option<(SealCondition, f64)>,
    pub seal_assumed: bool,
    /// mm by which the layers stand too high; 0 when they fit.
    pub excess_mm: f64,
}

/// A layer, cut open.
#[derive(Clone, Debug, PartialEq)]
pub struct Slab {
    pub id: String,
    pub name: String,
    pub role: Role,
    pub height_mm: f64,
    /// Clear width at its edge, mm.
    pub slack_mm: f64,
    pub hole_mm: Option<f64>,
    /// Share of the pumped water that goes through its media.
    pub share: Option<f64>,
    pub litres: f64,
    /// Dry mass, kg.
    pub kilograms: f64,
    pub pad: bool,
    pub dimples: Option<Dimples>,
}

impl Slab {
    /// Whether its upper and its lower side are dimpled.
    pub fn dimpled(&self) -> [bool; 2] {
        let on = |side| self.dimples == Some(Dimples::Both) || self.dimples == Some(side);
        [on(Dimples::Up), on(Dimples::Down)]
    }
}

/// Pump and system curves for drawing: flows in l/h, heads in m.
#[derive(Clone, Debug, PartialEq)]
pub struct CurvePicture {
    pub pump: Vec<(f64, f64)>,
    pub clean: Vec<(f64, f64)>,
    /// The same at service.
    pub dirty: Vec<(f64, f64)>,
    /// Where pump and clean system meet.
    pub works_at: (f64, f64),
    /// Where pump and dirty system meet.
    pub works_dirty_at: Option<(f64, f64)>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Timeline {
    pub points: Vec<TimePoint>,
    pub opens: Opens,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimePoint {
    pub day: f64,
    /// Delivered flow, l/h.
    pub flow: f64,
    /// Filtered flow, l/h.
    pub worked: f64,
    /// Bypass, share.
    pub bypass: f64,
    /// Fullest layer's voids, share.
    pub voids: f64,
}

/// Inputs of a filter and one of its builds; several figures of one key are one. What the program takes without
/// doubt where nobody says is no input, nor is what libraries hold or only the box prints.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Known {
    pub measured: usize,
    pub printed: usize,
    /// `between` too.
    pub guessed: usize,
    pub assumed: usize,
}

impl Known {
    pub fn of(filter: &Filter, build: &Build) -> Self {
        let (mut all, mut seen) = (Self::default(), Vec::with_capacity(64));
        let mut take = |key: &Key, known: Provenance, spread: Spread| {
            let untold = (known, spread) == (Provenance::Assumed, Spread::Exact);
            if untold || *key.source() == Source::Library || seen.contains(&key.hash()) {
                return;
            }
            seen.push(key.hash());
            *match known {
                Provenance::Measured => &mut all.measured,
                Provenance::Stated => &mut all.printed,
                Provenance::Guessed | Provenance::Between => &mut all.guessed,
                Provenance::Assumed => &mut all.assumed,
            } += 1;
        };
        filter.pump.each(&mut take);
        filter.hose.each(&mut take);
        filter.intake.each(&mut take);
        filter.return_side.each(&mut take);
        filter.outlet.each(&mut take);
        filter.body.each(&mut take);
        filter.trays.each(&mut take);
        filter.uv.each(&mut take);
        filter.unit.each(&mut take);
        build.each(&mut take);
        all
    }
    /// Share of the inputs that are measured or printed.
    pub fn sure(self) -> f64 {
        let Self { measured, printed, guessed, assumed } = self;
        (measured + printed) as f64 / (measured + printed + guessed + assumed).max(1) as f64
    }
    /// `0 9 2 6`: measured, printed, guessed, assumed.
    pub fn counts(self) -> String {
        let Self { measured, printed, guessed, assumed } = self;
        format!("{measured} {printed} {guessed} {assumed}")
    }
    /// `9 printed, 2 guessed, 6 assumed`: without what there is none of.
    pub fn words(self) -> String {
        let Self { measured, printed, guessed, assumed } = self;
        let of = [(measured, "measured"), (printed, "printed"), (guessed, "guessed"), (assumed, "assumed")];
        let told = of.iter().filter(|(n, _)| *n > 0).map(|(n, how)| format!("{n} {how}"));
        told.collect::<Vec<_>>().join(", ")
    }
}
