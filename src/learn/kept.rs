//! The log of a build made ready to be compared: its readings, and the spells between cleanings in which they lie.

use super::reading::{Reading, bucket_sd, card_ends};
use crate::assess::Case;
use crate::assess::case::Faults;
use crate::assess::log::{From, Sort};
use crate::model::Build;
use crate::model::log::{
    Cleaned, FlowWas, Hoses, Lay, Measures, Reading as Entry, Scales, WaterTest, Why, Within,
};
use crate::uncertainty::{Spread, Uncertain};

/// Own errors, as logarithms.
const MUCK: f64 = 0.20;
const NITRATE: f64 = 0.20;
const AMMONIA: f64 = 0.35;
const METER_OWN: f64 = 0.02;
const KITCHEN: f64 = 0.01;
/// kg
const BATHROOM: f64 = 0.3;
const FILLING: f64 = 0.015;
const LOSS_OWN: f64 = 0.05;
/// Half the divisions of a ruler, cm.
const LOSS_RULER: f64 = 0.1;
/// Days before and after an opening between which the flow fell below the limit.
pub(super) const ROUND: f64 = 3.0;
/// What reads alike without a card: so much less or more.
const ALIKE: f64 = 1.5;
/// Least that a kit tells from nothing, mg/l.
const LEAST_COLOUR: f64 = 0.1;
/// Ammonium over its nitrogen by mass, 18.04/14.007.
const NH4_PER_N: f64 = 1.288;

#[derive(Clone, Debug)]
pub struct Item {
    pub from: From,
    pub sort: Sort,
    /// Days since packing.
    pub day: f64,
    pub reading: Reading,
    /// In which period it lies, and how many days from its start.
    pub(super) period: usize,
    pub(super) into: f64,
    pub(super) what: What,
}

#[derive(Clone, Debug)]
pub(super) enum What {
    Bucket { size: f64, known: f64, end: Option<f64> },
    BucketOut { size: f64, known: f64 },
    Fell,
    Fine,
    Places,
    Muck,
    Weighed,
    Meter,
    Loss,
    Nitrate { since: Option<f64> },
    Ammonia { per_n: f64 },
}

/// From one cleaning of the media to the next.
#[derive(Clone, Debug, Default)]
pub struct Period {
    /// Day it began, since packing.
    pub start: f64,
    /// Followed for so many days.
    pub until: f64,
    /// Days that slime had then, beside what was of unknown age; and whether that counts.
    pub(super) slimed: f64,
    pub(super) unknown: bool,
    /// Days of it on which the hoses alone were brushed.
    pub(super) brushed: Vec<f64>,
}

/// A build with its log, ready to be compared.
#[derive(Clone, Debug)]
pub struct Watched<'a> {
    pub case: Case<'a>,
    pub items: Vec<Item>,
    pub periods: Vec<Period>,
    pub(super) faults: Faults,
    /// Where muck can lie: floor first, then layers, with their places in the plan.
    pub(super) places: Vec<(Lay, Vec<usize>)>,
    pub(super) bare: Build,
    /// Days of all openings, since packing.
    pub openings: Vec<f64>,
    /// Readings that the model gives nothing for.
    pub mute: Vec<Item>,
}

pub(super) fn close(from: f64, to: f64) -> f64 {
    (to - from).max(0.0)
}

impl<'a> Watched<'a> {
    /// Of a build at its tank; `tests` are those of the tank's that belong to it, with their days since packing.
    pub fn new(case: Case<'a>, tests: &[(usize, f64, &WaterTest)]) -> Self {
        let kept = &case.build.kept;
        let mut places: Vec<(Lay, Vec<usize>)> = vec![(Lay::Floor, Vec::new())];
        for (n, at) in case.plan.layers.iter().enumerate() {
            match at.tray {
                None => places.first_mut().into_iter().for_each(|(_, of)| of.push(n)),
                Some(tray) => places.push((Lay::Layer { tray, layer: at.index }, vec![n])),
            }
        }
        let mut out = Self {
            faults: Faults::of(&case.filter.id),
            bare: Build::empty(case.filter.trays.len()),
            case,
            items: Vec::new(),
            periods: vec![Period { unknown: kept.hoses == Some(Hoses::Left), ..Period::default() }],
            places,
            openings: Vec::new(),
            mute: Vec::new(),
        };
        // When the hoses were last brushed; none while their slime is of unknown age.
        let mut brushed = (kept.hoses != Some(Hoses::Left)).then_some(0.0);
        for (i, entry) in kept.log.iter().enumerate() {
            let Some(day) = kept.days(entry) else { continue };
            let day = day as f64;
            let read = |out: &mut Self, sort, reading, what| {
                if entry.trusted {
                    out.add(From::Log(i), day, sort, reading, what);
                }
            };
            let number = |value: f64, sd: f64| Reading::Number { seen: libm::log(value), sd };
            match &entry.what {
                Entry::Bucket { volume, time, end, media } => {
                    let (size, known) = (volume.si(), relative(volume));
                    let reading = number(size / time, bucket_sd(*time));
                    if *media == Some(Within::Out) {
                        read(&mut out, Sort::BucketOut, reading, What::BucketOut { size, known });
                    } else {
                        let end = end.map(|cm| cm / 100.0);
                        read(&mut out, Sort::Bucket, reading, What::Bucket { size, known, end });
                    }
                }
                Entry::Weighed { mass, with } => {
                    let own = if *with == Scales::Kitchen { KITCHEN } else { BATHROOM / mass };
                    read(&mut out, Sort::Weighed, number(*mass, own.hypot(FILLING)), What::Weighed);
                }
                Entry::Meter { power } => read(&mut out, Sort::Meter, number(*power, METER_OWN), What::Meter),
                Entry::Loss { head } => {
                    let sd = LOSS_OWN.hypot(LOSS_RULER / head);
                    read(&mut out, Sort::Loss, number(*head / 100.0, sd), What::Loss);
                }
                Entry::Opened { why, flow, most_muck, muck, cleaned } => {
                    if *why == Why::FlowFell {
                        read(&mut out, Sort::Fell, Reading::Fell, What::Fell);
                    } else if *flow == Some(FlowWas::Fine) {
                        read(&mut out, Sort::Fine, Reading::Fine, What::Fine);
                    }
                    let worst: Vec<usize> = most_muck
                        .iter()
                        .filter_map(|lay| out.places.iter().position(|(at, _)| at == lay))
                        .collect();
                    if !worst.is_empty() {
                        let of = out.places.len();
                        read(&mut out, Sort::Places, Reading::Places { worst, of }, What::Places);
                    }
                    if let Some(litres) = muck {
                        read(&mut out, Sort::Muck, number(*litres / 1e3, MUCK), What::Muck);
                    }
                    out.openings.push(day);
                    let start = out.periods.last().map_or(0.0, |period| period.start);
                    let both = *cleaned == Some(Cleaned::Both);
                    if both || *cleaned == Some(Cleaned::Hoses) {
                        brushed = Some(day);
                    }
                    if both || matches!(cleaned, None | Some(Cleaned::Media)) {
                        let (slimed, unknown) = (close(brushed.unwrap_or(0.0), day), brushed.is_none());
                        out.periods.push(Period { start: day, slimed, unknown, ..Period::default() });
                    } else if *cleaned == Some(Cleaned::Hoses)
                        && let Some(period) = out.periods.last_mut()
                    {
                        period.brushed.push(close(start, day));
                    }
                }
            }
        }
        for (n, day, test) in tests {
            let colour = |reads: f64, card: &[f64], sd: f64| {
                let (ends, seen) = if card.is_empty() {
                    let low = (reads / ALIKE).max(LEAST_COLOUR);
                    let ends = if reads < LEAST_COLOUR {
                        vec![low]
                    } else {
                        vec![low, (reads * ALIKE).max(low * ALIKE)]
                    };
                    (ends.into_iter().map(libm::log).collect(), usize::from(reads >= LEAST_COLOUR))
                } else {
                    (
                        card_ends(card),
                        card.iter().position(|colour| colour.to_bits() == reads.to_bits()).unwrap_or(0),
                    )
                };
                Reading::Colour { ends, seen, sd }
            };
            match test {
                WaterTest::Nitrate { reads, card, since_change } => {
                    let reading = colour(*reads, card, NITRATE);
                    out.add(
                        From::Test(*n),
                        *day,
                        Sort::Nitrate,
                        reading,
                        What::Nitrate { since: *since_change },
                    );
                }
                WaterTest::Ammonia { reads, measures, card } => {
                    let per_n = if *measures == Measures::Ammonium { NH4_PER_N } else { 1.0 };
                    out.add(
                        From::Test(*n),
                        *day,
                        Sort::Ammonia,
                        colour(*reads, card, AMMONIA),
                        What::Ammonia { per_n },
                    );
                }
            }
        }
        out
    }

    fn add(&mut self, from: From, day: f64, sort: Sort, reading: Reading, what: What) {
        let period = self.periods.len() - 1;
        let Some(last) = self.periods.last_mut() else { return };
        let into = close(last.start, day);
        let past = if matches!(what, What::Fell) { ROUND } else { 0.0 };
        let clean = matches!(
            what,
            What::Weighed
                | What::Meter
                | What::Nitrate { .. }
                | What::Ammonia { .. }
                | What::BucketOut { .. }
        );
        if !clean {
            last.until = last.until.max(into + past);
        }
        self.items.push(Item { from, sort, day, reading, period, into, what });
    }

    /// The same with one reading in place of all, so many days after the media were last cleaned.
    pub(super) fn probe(&self, sort: Sort, into: f64) -> Self {
        let number = |sd| Reading::Number { seen: 0.0, sd };
        let colour = |sd| Reading::Colour { ends: Vec::new(), seen: 0, sd };
        let (reading, what) = match sort {
            Sort::Muck => (number(MUCK), What::Muck),
            Sort::Loss => (number(LOSS_OWN), What::Loss),
            Sort::Meter => (number(METER_OWN), What::Meter),
            Sort::Weighed => (number(KITCHEN.hypot(FILLING)), What::Weighed),
            Sort::Nitrate => (colour(NITRATE), What::Nitrate { since: None }),
            Sort::Ammonia => (colour(AMMONIA), What::Ammonia { per_n: 1.0 }),
            _ => (number(bucket_sd(60.0)), What::Bucket { size: 0.01, known: 0.0, end: None }),
        };
        let mut probe = Self { items: Vec::new(), ..self.clone() };
        for period in &mut probe.periods {
            period.until = 0.0;
        }
        let start = probe.periods.last().map_or(0.0, |period| period.start);
        probe.add(From::Log(0), start + into, sort, reading, what);
        probe
    }
}

/// A volume's relative standard deviation.
fn relative(volume: &Uncertain<crate::units::Volume>) -> f64 {
    match volume.spread {
        Spread::Normal { sd } => sd,
        Spread::Uniform { low, high } => (high - low) / (high + low) / 3.0_f64.sqrt(),
        _ => 0.0,
    }
}
