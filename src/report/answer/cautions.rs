//! The cautions that apply to what is on the list, and what the figures are worth. Short forms of
//! [`super::super::cautions::CAUTIONS`].

use super::super::figures;
use super::to_do::buys_biological;
use super::words;
use super::{Case, One};
use crate::assumptions::A;
use crate::measures::Measure;
use crate::model::filter::Lamp;

pub fn cautions(case: &Case<'_>) -> String {
    let mut said = Vec::new();
    let listed = || case.listed.iter();
    if !case.answer.standing.none_passes {
        said.push("Unplug it before you open it or put a hand in the water.".to_owned());
        if listed().any(|one| one.unit().is_some()) {
            said.push("Run a used one in a tub for a day, on a residual current device, before it stands on a floor.".to_owned());
        }
        said.extend(electrics(case));
        said.extend(lamps(case));
        said.extend(weight(case));
        if listed().any(|one| buys_biological(case, one)) {
            said.push(
                "New media carry next to nothing for the first weeks: keep what filters the tank now running beside \
                 it, and test ammonia and nitrite."
                    .to_owned(),
            );
        }
    }
    said.push(worth(case));
    said.join(" ")
}

fn lamps(case: &Case<'_>) -> Option<String> {
    let with_uv: Vec<&One<'_>> = case.listed.iter().filter(|one| one.filter.uv.is_some()).collect();
    let dead = with_uv.iter().any(|one| one.unit().is_some_and(|unit| unit.lamp == Lamp::BurntOut));
    (!with_uv.is_empty()).then(|| {
        let waste = if dead { "; the dead one holds mercury and goes to a collection point" } else { "" };
        format!("Never look at a lit UV lamp{waste}.")
    })
}

/// Repairs to mains parts are not for everybody.
fn electrics(case: &Case<'_>) -> Option<String> {
    let mains = |part: &str| {
        let part = part.to_lowercase();
        ["mains", "lead", "cable", "plug", "motor"].iter().any(|word| part.contains(word))
    };
    let repairs = || case.listed.iter().filter_map(One::unit).flat_map(|unit| &unit.to_fix);
    repairs()
        .any(|repair| mains(&repair.part))
        .then(|| "Mains parts are for a qualified electrician.".to_owned())
}

fn weight(case: &Case<'_>) -> Option<String> {
    let listed: Vec<(f64, String)> = case
        .listed
        .iter()
        .take(case.tied)
        .filter_map(|one| Some((one.number(Measure::FullWeight)?, case.name(one))))
        .collect();
    let heaviest = listed.iter().max_by(|a, b| a.0.total_cmp(&b.0))?;
    let mass = figures::mass(heaviest.0, case.answer.units);
    let two = if heaviest.0 >= A::LiftForTwo.value() { ": get help to lift it" } else { "" };
    Some(format!("Full, {} weighs {mass}{two}.", heaviest.1))
}

fn worth(case: &Case<'_>) -> String {
    let doubt = match case.answer.standing.samples {
        0 => "These are nominal figures, without their doubt".to_owned(),
        n => format!(
            "The cases are {n} draws of everything printed, guessed or measured; in brackets stand their 5th and \
             95th percentile"
        ),
    };
    words::sentence(&format!(
        "{doubt}. Estimates all, and no licence to overstock; the maker's instructions come first."
    ))
}
