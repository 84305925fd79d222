//! What a picture of a build shows, in sentences: for those who cannot see it, on the screens and in an SVG alike.

use crate::assess::assessment::{CurvePicture, Opens, Space, Timeline};
use crate::assess::findings::OpenedBy;
use crate::assess::stage::words_of_layer;
use crate::assess::{Assessment, TimePoint};
use crate::assumptions::A;
use crate::model::Way;
use crate::report::figures::{self, Units};

/// Points told of a curve or of the weeks.
const POINTS: usize = 8;

/// The vessel cut open, from the bottom up, and where water slips past.
pub fn section(judged: &Assessment, units: Units) -> Vec<String> {
    let section = &judged.section;
    let mut out = vec![
        match section.way {
            Way::Rising => "the water rises through the trays",
            Way::Falling => "the water falls through the trays",
        }
        .to_owned(),
    ];
    out.extend(section.floor.iter().map(|floor| format!("floor, {}", space(floor, units))));
    for (tray, i) in section.trays.iter().zip(1..) {
        out.push(format!("tray {i} from the bottom, {}", space(tray, units)));
    }
    if section.uv {
        out.push("it has a UV chamber".to_owned());
    }
    if judged.leaks.is_empty() {
        out.push("no place where water slips past the finest mechanical stage".to_owned());
    }
    for leak in &judged.leaks {
        let late = leak.share_at_service.map_or(String::new(), |s| {
            format!(", {} on the day before it should be opened", figures::share(s))
        });
        out.push(format!("water slips past at {}: {} clean{late}", leak.at, figures::share(leak.share)));
    }
    out
}

/// One tray: its height, and its layers from the bottom up.
fn space(space: &Space, units: Units) -> String {
    let mut out = format!("{} high, {}", figures::length(space.height_mm, units), space.outline);
    if space.excess_mm > 0.0 {
        out.push_str(&format!(", overfull by {}", figures::length(space.excess_mm, units)));
    }
    if space.layers.is_empty() {
        out.push_str(": empty");
    }
    for (i, slab) in space.layers.iter().enumerate() {
        let gap = if i == 0 { ":" } else { ", then" };
        let share = slab.share.map_or(String::new(), |s| format!(" taking {}", figures::share(s)));
        let height = figures::length(slab.height_mm, units);
        out.push_str(&format!("{gap} {height} of {} ({}){share}", slab.name, slab.role.called()));
    }
    out
}

/// What the pump gives, and what takes it, in the order of the water.
pub fn head_budget(judged: &Assessment, units: Units) -> Vec<String> {
    let gives = judged.pump_head.map(|head| format!("the pump gives {}", figures::head(head, units)));
    let parts = judged.head_budget.iter().map(|part| {
        format!("{}: {}, {}", part.part, figures::head(part.m, units), figures::share(part.share))
    });
    gives.into_iter().chain(parts).collect()
}

/// Where pump and system meet, and what the pump gives.
pub fn curve(picture: &CurvePicture, units: Units) -> Vec<String> {
    let at = |(flow, head): (f64, f64)| {
        format!("{} against {}", figures::flow(flow, units), figures::head(head, units))
    };
    let mut out = vec![format!("it works at {} when clean", at(picture.works_at))];
    out.extend(picture.works_dirty_at.map(|works| format!("it works at {} when dirty", at(works))));
    out.push("the pump gives:".to_owned());
    let step = (picture.pump.len() / POINTS).max(1);
    out.extend(picture.pump.iter().step_by(step).map(|point| at(*point)));
    out
}

/// What says "open it", and the days up to it.
pub fn weeks(line: &Timeline, units: Units) -> Vec<String> {
    let day = |p: &TimePoint| {
        format!(
            "day {}: filtered {}, flow {}, bypass {}",
            figures::rounded(p.day, 0),
            figures::flow(p.worked, units),
            figures::flow(p.flow, units),
            figures::share(p.bypass)
        )
    };
    let step = (line.points.len() / POINTS).max(1);
    std::iter::once(opens(&line.opens)).chain(line.points.iter().step_by(step).map(day)).collect()
}

pub fn opens(opens: &Opens) -> String {
    match opens {
        Opens::On { day, why } => format!("open it after {}: {}", figures::days(*day), opened_by(*why)),
        Opens::Calendar => format!("nothing says so in {}: open it by the calendar", figures::horizon()),
    }
}

/// What happened by the day on which it should be opened.
pub fn opened_by(by: OpenedBy) -> String {
    let down = figures::share(1.0 - A::OpenAtFall.value());
    match by {
        OpenedBy::SlipsPast => format!("clearing {down} down: water slips past the media"),
        OpenedBy::LessFlow => format!("clearing {down} down: less flow"),
        OpenedBy::Slime => format!("flow {down} down: slime in the hoses"),
        OpenedBy::Dirt => format!("flow {down} down: dirt in the media"),
        OpenedBy::Voids((tray, layer)) => {
            format!(
                "voids of {} {} full",
                words_of_layer(tray, layer),
                figures::share(A::OpenAtVoids.value())
            )
        }
    }
}
