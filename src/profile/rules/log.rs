//! Rules of logs: days in their order, places and colours that there are, flows that the pump can give.

use crate::model::fields::{Door, Place};
use crate::model::log::{Lay, Reading, TestEntry, WaterTest, When, Within};
use crate::model::pump::Curve;
use crate::model::{Build, Day, Filter, Impeller, Tank};
use crate::profile::diagnostics::KEEP_ONE;
use crate::profile::{Reader, lexer, today};
use crate::units::litres_an_hour;

/// Most that a pump gives over what it is printed with: the figure's own doubt.
const ABOVE_PRINTED: f64 = 1.1;
const HIGHEST_MAINS: f64 = 60.0;

/// Places of the items of a list of the open form.
fn items(reader: &Reader<'_>, list: &str) -> Vec<Place> {
    reader.place_of(list).map_or_else(Vec::new, |place| lexer::items(reader.source, &place))
}

/// Days of a list stand in order, none before the first and none after today.
fn in_order(reader: &mut Reader<'_>, days: &[(When, Option<Day>)], at: &[Place], from: Option<Day>) -> bool {
    let (mut before, mut sound) = (from, true);
    for ((_, day), place) in days.iter().zip(at) {
        let spot = reader.inside(place, "on").unwrap_or_else(|| place.clone());
        let Some(day) = day else {
            sound = reader.fault(
                Some(&spot),
                "days since what?".into(),
                "write the date, such as \"2026-04-10\"",
            );
            continue;
        };
        let (wrong, help) = if *day > today::get() {
            (format!("{} is after today", day.said()), "check the date; `--today` sets another day")
        } else if from.is_some_and(|from| *day < from) {
            (format!("{} is before `packed`", day.said()), "a log begins on the day the filter was packed")
        } else if let Some(before) = before.filter(|before| day < before) {
            (format!("{} follows {}", day.said(), before.said()), "entries stand in order of time")
        } else {
            before = Some(*day);
            continue;
        };
        sound = reader.fault(Some(&spot), wrong, help);
    }
    sound
}

/// Of a build: its log by itself and against its layers.
pub fn build(reader: &mut Reader<'_>, build: &Build, _: &[Place]) -> bool {
    let kept = &build.kept;
    if kept.packed.is_some_and(|packed| packed > today::get()) {
        return reader.fault_at("packed", "packed after today", "check the date; `--today` sets another day");
    }
    if kept.log.is_empty() {
        return true;
    }
    let at = items(reader, "log");
    if kept.packed.is_none() {
        let place = reader.place_of("log").map(|place| lexer::head(reader.source, &place));
        return reader.fault(
            place.as_ref(),
            "a log needs `packed`".into(),
            "add the day, such as `packed: \"2026-03-01\"`",
        );
    }
    let days: Vec<(When, Option<Day>)> = kept.log.iter().map(|e| (e.on, e.on.day(kept.packed))).collect();
    let mut sound = in_order(reader, &days, &at, kept.packed);
    for (entry, place) in kept.log.iter().zip(&at) {
        let Reading::Opened { most_muck, .. } = &entry.what else { continue };
        let spot = reader.inside(place, "most_muck").unwrap_or_else(|| place.clone());
        let spots = lexer::items(reader.source, &spot);
        for (n, lay) in most_muck.iter().enumerate() {
            let spot = spots.get(n).unwrap_or(&spot).clone();
            let missing = match lay {
                Lay::Floor => None,
                Lay::Layer { tray, layer } => match build.trays.get(*tray) {
                    None => Some(format!("there is no tray {}", tray + 1)),
                    Some(layers) if *layer >= layers.len() => {
                        Some(format!("tray {} has no layer {}", tray + 1, layer + 1))
                    }
                    Some(_) => None,
                },
            };
            let twice = most_muck.iter().take(n).any(|other| other == lay);
            if let Some(message) = missing.or_else(|| twice.then(|| "this place is named twice".to_owned())) {
                sound = reader.fault(Some(&spot), message, "count trays and layers from the bottom, from 1");
            }
        }
    }
    sound
}

/// Of a filter: what no pump of it can give, and what stands in `unit` already.
pub fn filter(reader: &mut Reader<'_>, filter: &Filter) -> bool {
    let tested = filter.unit.as_ref().and_then(|unit| match &unit.impeller {
        Impeller::Bucket(test) => Some((test.volume.si(), test.time.si())),
        _ => None,
    });
    let printed = match &filter.pump.curve {
        Some(Curve::Ends { flow, .. }) => Some(flow.si()),
        Some(Curve::Points { points }) => points.last().map(|point| point.flow.si()),
        None => filter
            .label
            .as_ref()
            .and_then(|label| label.flow.as_ref())
            .map(crate::uncertainty::uncertain::Uncertain::si),
    };
    let mains = filter.pump.hz.as_ref().map_or(1.0, |hz| (HIGHEST_MAINS / hz.si()).max(1.0));
    let most = printed.map(|flow| flow * ABOVE_PRINTED * mains);
    let mut sound = true;
    for (build, place) in filter.builds.iter().zip(items(reader, "builds")) {
        let Some(list) = reader.inside(&place, "log") else { continue };
        for (entry, at) in build.kept.log.iter().zip(lexer::items(reader.source, &list)) {
            let Reading::Bucket { volume, time, media, .. } = &entry.what else { continue };
            let flow = volume.si() / time;
            let wrong = if media == &Some(Within::Out) && tested == Some((volume.si(), *time)) {
                Some(("this bucket test also stands in `unit`".to_owned(), KEEP_ONE))
            } else {
                most.filter(|most| flow > *most).map(|most| {
                    let [flow, most] = [flow, most].map(|q| litres_an_hour(q).round());
                    let message = format!("{flow} l/h is above what this pump can give ({most})");
                    (message, "check litres and seconds, or the pump's printed flow")
                })
            };
            if let Some((message, help)) = wrong {
                sound = reader.fault(Some(&at), message, help);
            }
        }
    }
    sound
}

pub fn tank(reader: &mut Reader<'_>, tank: &Tank, _: &[Place]) -> bool {
    let at = items(reader, "tests");
    let days: Vec<(When, Option<Day>)> = tank.tests.iter().map(|test| (test.on, test.on.day(None))).collect();
    in_order(reader, &days, &at, None)
}

/// A test reads one of the colours of its card.
pub fn test(reader: &mut Reader<'_>, test: &TestEntry, _: &[Place]) -> bool {
    let (WaterTest::Nitrate { reads, card, .. } | WaterTest::Ammonia { reads, card, .. }) = &test.what;
    let rises = card.windows(2).all(|pair| pair.first() < pair.last());
    if !rises || card.len() == 1 {
        return reader.fault_at(
            "card",
            "the colours of this card do not rise",
            "list two or more, the palest first",
        );
    }
    let message = || format!("{} is not a colour of this card", crate::profile::diagnostics::digits(*reads));
    card.is_empty()
        || card.contains(reads)
        || reader.fault_at("reads", message(), "write the figure beside the colour that came nearest")
}

/// Why a flow was fine, or had fallen, cannot both be.
pub fn reading(reader: &mut Reader<'_>, reading: &crate::model::log::Entry, _: &[Place]) -> bool {
    use crate::model::log::{FlowWas, Why};
    let Reading::Opened { why: Why::FlowFell, flow: Some(FlowWas::Fine), .. } = reading.what else {
        return true;
    };
    reader.fault_at(
        "flow",
        "the flow had fallen and was fine",
        "`flow: fine` goes with `calendar` and `other`",
    )
}
