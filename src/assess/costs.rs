//! What a fault of staging costs: the same layers put in order, and the model run again.

use std::sync::Arc;

use super::case::Case;
use super::rerun::{Run, case_of, gain, left_over_words, reordered, service_pair};
use crate::media_order::{Found, Rule};
use crate::message::{Amount, Message, message};
use crate::model::edit::{Edit, Workpiece};
use crate::model::filter::Way;
use crate::model::tray::Dimples;

/// Relative difference that is worth a word.
const WORTH: f64 = 0.02;
/// The honest word where order does not help.
pub const NOTHING: &str = "costs nothing by this model";

/// What each fault of the case costs, in words: `service 19 d instead of 44 d`, filtered flow and ammonia margin
/// where they suffer. Faults of order share one re-run with the layers put in order; a pad that
/// faces away is turned. Empty where the flow cannot be told.
pub fn costs(case: &Case<'_>, faults: &[Found]) -> Vec<Message> {
    if faults.is_empty() {
        return Vec::new();
    }
    costs_from(case, &Run::of(case), faults)
}

/// The same where the case was run already.
pub(super) fn costs_from(case: &Case<'_>, now: &Run, faults: &[Found]) -> Vec<Message> {
    if now.flow.is_none() {
        return vec![Message::default(); faults.len()];
    }
    let order = reordered(case, &now.told.way).map(|ordered| {
        let then = Run::of(&Case::new(case.filter, &ordered.build, case.tank));
        let left = left_over_words(&ordered);
        message!(words(now, &then), left)
    });
    faults
        .iter()
        .map(|fault| match (fault.rule, &order) {
            (Rule::DimplesFacingAway, _) => turned(case, now, fault),
            (Rule::LoneFine, None) => "order alone does not mend it: a coarser pad has to stand first".into(),
            (_, Some(order)) => order.clone(),
            (_, None) => NOTHING.into(),
        })
        .collect()
}

/// What a pad costs that faces away: the same pad, turned over.
fn turned(case: &Case<'_>, now: &Run, fault: &Found) -> Message {
    let mut piece = Workpiece::new(
        Arc::new(case.filter.clone()),
        case.build.clone(),
        case.tank.map(|tank| Arc::new(tank.clone())),
    );
    let dimples = Some(if case.filter.way == Way::Rising { Dimples::Down } else { Dimples::Up });
    let at = (fault.tray, fault.layer.unwrap_or(0));
    match piece.apply(&Edit::SetDimples { at, dimples }) {
        Ok(_) => words(now, &Run::of(&case_of(&piece))),
        Err(_) => Message::default(),
    }
}

fn words(now: &Run, then: &Run) -> Message {
    if then.flow.is_none() {
        return Message::default();
    }
    let mut parts: Vec<Message> = Vec::new();
    // A leak must not earn a longer interval: the service of a leaky build is not held against one in order.
    if let (Some(is), Some(better)) = (now.service, then.service)
        && !now.leaky()
        && !then.leaky()
        && gain(now.service, then.service) >= WORTH
    {
        parts.push(service_pair(is, better).into());
    }
    if let (Some(is), Some(better)) = (now.worked, then.worked)
        && gain(now.worked, then.worked) >= WORTH
    {
        parts.push(message!("filtered flow ", Amount::Flow(is), " instead of ", Amount::Flow(better)));
    }
    if let (Some(is), Some(better)) = (now.ammonia, then.ammonia)
        && gain(now.ammonia, then.ammonia) >= WORTH
    {
        parts.push(format!("ammonia margin {is:.1} instead of {better:.1}").into());
    }
    let all = if parts.is_empty() { NOTHING.into() } else { Message::joined(parts, ", ") };
    match (now.service, then.service) {
        (Some(is), Some(worse)) if !now.leaky() && gain(now.service, then.service) <= -WORTH => {
            let pair = service_pair(worse, is);
            message!(all, format!(" (in order it would be {pair}{})", why_shorter(now, then)))
        }
        _ => all,
    }
}

/// Why order may shorten service and yet be right: what stands in front shields the pads.
fn why_shorter(now: &Run, then: &Run) -> String {
    match (now.on_bacteria, then.on_bacteria) {
        (Some(is), Some(less)) if is > less + 0.01 => format!(
            ": biological media now shield the pads, with {:.0} % of the dirt on their bacteria instead of {:.0} %",
            is * 100.0,
            less * 100.0
        ),
        _ => String::new(),
    }
}
