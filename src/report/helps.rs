//! What would help most, in words.

use super::figures::{self, Units};
use crate::judge::result::{Help, Judgement};
use crate::measures::{Measure, Outcome};

/// Before the figures in what to do.
const GIVES: &str = " would give ";

/// One improvement: what to do, and every measure it moves.
pub fn words(judged: &Judgement, help: &Help, units: Units) -> String {
    let moves = [
        (Measure::WorkedFlow, help.worked),
        (Measure::Flow, help.flow),
        (Measure::Service, help.service),
        (Measure::Bypass, help.bypass),
    ];
    let mut said: Vec<String> = Vec::new();
    for (measure, after) in moves {
        let Some(after) = after else { continue };
        let (before, after) = (judged.get(measure), Outcome::Value(after));
        if figures::show(measure, before, units) != figures::show(measure, after, units) {
            said.push(format!(
                "{} {} → {}",
                measure.row().head,
                figures::show(measure, before, units),
                figures::show_with_sign(measure, after, units)
            ));
        }
    }
    let moved = !said.is_empty();
    if let Some(cost) = help.cost {
        said.push(format!("costs {}", figures::show(Measure::PutRight, Outcome::Value(cost), units)));
    }
    if moved { format!("{}: {}", change(&help.what), said.join(", ")) } else { join(&help.what, &said) }
}

fn join(what: &str, said: &[String]) -> String {
    if said.is_empty() { what.to_owned() } else { format!("{what}: {}", said.join(", ")) }
}

/// What to do, without the figures that it would give: they follow, all of them and in the units that are read.
/// What is said after those, of media left over, stays.
fn change(what: &str) -> String {
    let Some((before, after)) = what.split_once(GIVES) else { return what.to_owned() };
    let left = after.split_once("; ").map_or(String::new(), |(_, left)| format!("; {left}"));
    let before = before.strip_suffix(", it").or(before.strip_suffix(" it")).unwrap_or(before);
    format!("{}{left}", before.trim_end_matches(','))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_that_follow_are_not_said_twice() {
        for (what, wanted) in [
            (
                "1 mm of slack lets 19 % slip past: a pad cut to fit would give 1306 l/h worked, service 74 d",
                "1 mm of slack lets 19 % slip past: a pad cut to fit",
            ),
            (
                "the 30 mm hole in tray 1: mended, it would give 90 l/h worked",
                "the 30 mm hole in tray 1: mended",
            ),
            (
                "the same layers put in order would give 9 l/h; 0.5 l of rings would be left over",
                "the same layers put in order; 0.5 l of rings would be left over",
            ),
            (
                "a 19 mm hose instead of the 16 mm one, fittings as they are, would give 700 l/h",
                "a 19 mm hose instead of the 16 mm one, fittings as they are",
            ),
            (
                "the outlet 5 cm above the water costs head: under the surface it would give 9 l/h",
                "the outlet 5 cm above the water costs head: under the surface",
            ),
            ("a new lamp", "a new lamp"),
        ] {
            assert_eq!(change(what), wanted);
        }
    }
}
