//! What would mend a build, and what a fault of its media order costs.

use crate::assess::Costs;
use crate::assess::findings::{LeftOver, Mend, Slips, Takes};
use crate::assess::stage::words_of_layer;
use crate::assumptions::A;
use crate::message::{Amount, Message, message};
use crate::model::edit::Side;
use crate::report::figures::{self, Units};

/// The honest word where order does not help.
pub const NOTHING: &str = "costs nothing by this model";

pub fn mend(what: &Mend, units: Units) -> String {
    figures::said(&mending(what), units)
}

/// What a fault costs, such as `open every 19 d instead of 44 d`; empty while untold.
pub fn costs(of: &Costs, units: Units) -> String {
    figures::said(&suffering(of), units)
}

fn mending(what: &Mend) -> Message {
    let mm = Amount::Length;
    match what {
        Mend::Seals { trays, missing, slips } => match trays.as_slice() {
            [tray] => {
                let word = if *missing { "missing" } else { "worn" };
                format!("the {word} seal of tray {}{}; a new one", tray + 1, past(*slips, false)).into()
            }
            trays => format!("the seals of {}{}; new ones", trays_words(trays), past(*slips, true)).into(),
        },
        Mend::Slack { at, slack, slips } => {
            let slips = past(*slips, false);
            match at.as_slice() {
                [(tray, layer)] => {
                    let name = words_of_layer(*tray, *layer);
                    message!(mm(*slack), format!(" of edge gap round {name}{slips}; a pad cut to fit"))
                }
                places => {
                    let count = count_word(places.len());
                    format!("the edge gap round {count} pads{slips}; pads cut to fit").into()
                }
            }
        }
        Mend::Hole { at: (tray, layer), hole, slips } => {
            let (name, slips) = (words_of_layer(*tray, *layer), past(*slips, false));
            message!("the ", mm(*hole), format!(" hole in {name}{slips}; a pad without one"))
        }
        Mend::Fittings { name, bore, at, to, takes } => {
            let (bore, wide) = (mm(*bore), mm(*to));
            match at.as_slice() {
                [side] => {
                    let side = if *side == Side::Intake { "intake" } else { "return" };
                    let name = format!(" {name} of the {side} hose ");
                    message!("the ", bore, name, of_head(*takes, "s"), "; a ", wide, " one")
                }
                [_, _] => {
                    message!(
                        "the two ",
                        bore,
                        format!(" {name}s "),
                        of_head(*takes, ""),
                        "; a ",
                        wide,
                        " pair"
                    )
                }
                more => {
                    let count = format!("the {} ", count_word(more.len()));
                    message!(count, bore, format!(" {name}s "), of_head(*takes, ""), "; ", wide, " ones")
                }
            }
        }
        Mend::Hose { from, to } => {
            message!("a ", mm(*to), " hose instead of the ", mm(*from), " one, fittings as they are")
        }
        Mend::Order { left } => message!("the same layers put in order", left_over(left)),
        Mend::Lamp { burnt_out: true, dose, .. } => {
            format!("the lamp is burnt out; a new one would give {dose:.1} mJ/cm2").into()
        }
        Mend::Lamp { was: Some(was), dose, .. } => {
            format!("the lamp has aged; a new one would give {dose:.1} mJ/cm2 instead of {was:.1}").into()
        }
        Mend::Lamp { dose, .. } => {
            format!("the lamp is missing; a new one would give {dose:.1} mJ/cm2").into()
        }
        Mend::Impeller { share: Some(share) } => {
            format!("the impeller gives {:.0} % of a new one's flow; a new one", share * 100.0).into()
        }
        Mend::Impeller { share: None } => "the bucket test says the impeller is worn; a new one".into(),
        Mend::Outlet { height } => {
            message!("the outlet ", mm(*height), " above the water costs head; under the surface")
        }
    }
}

fn suffering(of: &Costs) -> Message {
    let (service, filtered, ammonia, shorter, shield, left) = match of {
        Costs::Untold => return Message::default(),
        Costs::Coarser => return "order alone does not mend it: a coarser pad has to stand first".into(),
        Costs::Figures { service, filtered, ammonia, shorter, shield, left } => {
            (service, filtered, ammonia, shorter, shield, left)
        }
    };
    let service = service.map(|(is, better)| service_pair(is, better).into());
    let filtered = filtered.map(|(is, better)| {
        message!("filtered flow ", Amount::Flow(is), " instead of ", Amount::Flow(better))
    });
    let ammonia =
        ammonia.map(|(is, better)| Message::from(format!("ammonia margin {is:.1} instead of {better:.1}")));
    let parts: Vec<Message> = [service, filtered, ammonia].into_iter().flatten().collect();
    let mut all = if parts.is_empty() { NOTHING.into() } else { Message::joined(parts, ", ") };
    if let Some((is, worse)) = *shorter {
        let why = shield.map_or_else(String::new, |(is, less)| {
            format!(
                ": biological media now shield the pads, with {:.0} % of the dirt on their bacteria instead of {:.0} %",
                is * 100.0,
                less * 100.0
            )
        });
        all.add(format!(" (in order it would be {}{why})", service_pair(worse, is)));
    }
    message!(all, left_over(left))
}

/// ` lets 9 % slip past`; `many` things let, one lets.
fn past(slips: Slips, many: bool) -> String {
    let s = if many { "" } else { "s" };
    slips.map_or_else(String::new, |share| format!(" let{s} {:.0} % slip past", share * 100.0))
}

/// `cost more than all the hose`; one thing costs.
fn of_head(takes: Takes, s: &str) -> Message {
    match takes {
        Takes::Untold => format!("cost{s} head").into(),
        Takes::MoreThanTheHose => format!("cost{s} more than all the hose").into(),
        Takes::Head(metres) => message!(format!("take{s} "), Amount::Head(metres), " of head"),
    }
}

/// `; 0.4 l of lava would be left over`.
fn left_over(left: &[LeftOver]) -> Message {
    let parts =
        left.iter().map(|(medium, litres)| message!(Amount::Volume(*litres), " of ", medium.as_str()));
    let parts = Message::joined(parts, " and ");
    if parts.is_empty() { parts } else { message!("; ", parts, " would be left over") }
}

/// `two`, `three`, `4`.
fn count_word(count: usize) -> String {
    match count {
        2 => "two".to_owned(),
        3 => "three".to_owned(),
        n => n.to_string(),
    }
}

/// `tray 1`, `trays 1 and 3`.
fn trays_words(trays: &[usize]) -> String {
    let numbers: Vec<String> = trays.iter().map(|t| (t + 1).to_string()).collect();
    format!("tray{} {}", if numbers.len() > 1 { "s" } else { "" }, super::list(&numbers))
}

/// Days in words: `19 d`, `over 26 weeks`.
fn days(days: f64) -> String {
    if days >= A::Horizon.value() {
        format!("over {}", figures::horizon())
    } else if days < 1.0 {
        "under 1 d".to_owned()
    } else {
        format!("{days:.0} d")
    }
}

/// `open every 19 d instead of 44 d`.
fn service_pair(is: f64, instead_of: f64) -> String {
    let (mut one, mut other) = (days(is), days(instead_of));
    if one == other && is.max(instead_of) < A::Horizon.value() {
        (one, other) = (format!("{is:.1} d"), format!("{instead_of:.1} d"));
    }
    format!("open every {one} instead of {other}")
}
