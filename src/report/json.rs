//! JSON for programs, schema 1. The types here are the schema: the file format and the domain have their own.

use crate::assess::Assessment;
use serde::{Serialize, Serializer};

use super::figures::{self, Units};
use super::reasons::{Because, Reasoned};
use super::{BadFile, Sheet, escape, six_digits};
use crate::compare::better::{Side, Verdict};
use crate::compare::reasons::NoReasons;
use crate::measures::{Measure, Outcome};

/// The schema's number. A field is added without a new number; one that changes or goes needs the next.
pub const SCHEMA: u32 = 1;

pub(super) const PROGRAM: &str = concat!(env!("CARGO_PKG_NAME"), " ", env!("CARGO_PKG_VERSION"));

#[derive(Serialize)]
struct Document<'a> {
    schema: u32,
    program: &'static str,
    samples: usize,
    seed: u64,
    tank: Option<&'a str>,
    builds: Vec<Build<'a>>,
    broken: Vec<BrokenFile<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    differences: Option<Vec<Difference>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<Vec<Why>>,
}

#[derive(Serialize)]
#[allow(clippy::struct_field_names)] // the fields are named as the schema has them
struct Build<'a> {
    file: &'a str,
    filter: &'a str,
    build: &'a str,
    #[serde(serialize_with = "in_order")]
    measures: Vec<(&'static str, Told)>,
    stages: Vec<&'static str>,
    staging_faults: Vec<Fault<'a>>,
    head_budget: Vec<Part<'a>>,
    leaks: Vec<Leak<'a>>,
    /// Draws that could not be solved; left out where there are none.
    #[serde(skip_serializing_if = "Option::is_none")]
    failed_draws: Option<usize>,
}

/// A figure has `low` and `high`, null while the doubt is not worked out; a figure that is missing has `why`.
#[derive(Serialize)]
struct Told {
    unit: &'static str,
    value: Datum,
    #[serde(skip_serializing_if = "Option::is_none")]
    low: Option<Datum>,
    #[serde(skip_serializing_if = "Option::is_none")]
    high: Option<Datum>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<&'static str>,
}

#[derive(Serialize)]
#[serde(untagged)]
enum Datum {
    Flag(bool),
    Number(f64),
    Nothing,
}

#[derive(Serialize)]
struct Fault<'a> {
    rule: &'static str,
    at: &'a str,
    /// Null while it is not worked out.
    costs: Option<String>,
}

#[derive(Serialize)]
#[allow(clippy::struct_field_names)] // as above
struct Part<'a> {
    part: &'a str,
    m: Datum,
    share: Datum,
}

#[derive(Serialize)]
struct Leak<'a> {
    at: &'a str,
    share: Datum,
}

#[derive(Serialize)]
pub(super) struct BrokenFile<'a> {
    file: &'a str,
    problems: Vec<Problem<'a>>,
}

#[derive(Serialize)]
struct Problem<'a> {
    line: usize,
    column: usize,
    message: &'a str,
    help: Option<&'a str>,
}

/// One measure's difference of each further build to the first.
#[derive(Serialize)]
struct Difference {
    measure: &'static str,
    unit: &'static str,
    to_first: Vec<Datum>,
    /// For each further build, the chance that it is better than the first, and what it is called; null where
    /// that cannot be told.
    better: Vec<Option<Better>>,
}

#[derive(Serialize)]
struct Better {
    chance: Datum,
    /// `better`, `worse` or `can't tell`.
    called: &'static str,
    /// Draws in which it cannot be told; they count half.
    untold: usize,
}

/// Why a further build differs from the first in a measure.
#[derive(Serialize)]
#[allow(clippy::struct_field_names)] // as above
struct Why {
    /// Its place in `builds`, from 0.
    build: usize,
    measure: &'static str,
    unit: &'static str,
    /// They add to the difference; null, with the reason, where there are none.
    shares: Option<Vec<Share>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<String>,
}

/// What one group that differs has in the difference.
#[derive(Serialize)]
struct Share {
    group: String,
    amount: Datum,
}

/// The table, with these measures.
pub fn table(sheet: &Sheet, measures: &[Measure]) -> Result<String, serde_json::Error> {
    write(&document(sheet, measures, None))
}

/// The table of a few builds with the differences to the first, and why they differ.
pub fn diff(sheet: &Sheet, measures: &[Measure], reasoned: &Reasoned) -> Result<String, serde_json::Error> {
    let further = sheet.rows.len().saturating_sub(1);
    let differences = measures
        .iter()
        .map(|&measure| Difference {
            measure: measure.key(),
            unit: measure.row().unit.sign(),
            to_first: super::differences::to_first(sheet, measure).into_iter().map(number).collect(),
            better: (0..further).map(|i| reasoned.verdict(measure, i).map(better)).collect(),
        })
        .collect();
    let why = reasoned.because.iter().map(why).collect();
    write(&Document { why: Some(why), ..document(sheet, measures, Some(differences)) })
}

fn better(verdict: Verdict) -> Better {
    let called = match verdict.better {
        Some(Side::First) => "worse",
        Some(Side::Second) => "better",
        None => "can't tell",
    };
    Better { chance: number(Some(verdict.chance_of(Side::Second))), called, untold: verdict.untold }
}

fn why(because: &Because) -> Why {
    let told = because.why.as_ref();
    Why {
        build: because.further + 1,
        measure: because.measure.key(),
        unit: because.measure.row().unit.sign(),
        shares: told.ok().map(|told| {
            let differ = told.shares.iter().filter(|share| share.group.bits != 0);
            differ
                .map(|share| Share { group: share.group.label(), amount: number(Some(share.amount)) })
                .collect()
        }),
        why: told.err().map(NoReasons::words),
    }
}

/// A document as text, with nothing hidden in it.
pub(super) fn write(document: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(document)?;
    text.push('\n');
    Ok(escape::json(&text).into_owned())
}

fn document<'a>(
    sheet: &'a Sheet,
    measures: &[Measure],
    differences: Option<Vec<Difference>>,
) -> Document<'a> {
    Document {
        schema: SCHEMA,
        program: PROGRAM,
        samples: sheet.samples(),
        seed: sheet.seed,
        tank: sheet.tank.as_deref(),
        builds: sheet.rows.iter().map(|row| build(row, measures)).collect(),
        broken: sheet.broken.iter().map(broken).collect(),
        differences,
        why: None,
    }
}

fn build<'a>(row: &'a Assessment, measures: &[Measure]) -> Build<'a> {
    Build {
        file: &row.file,
        filter: &row.filter,
        build: &row.build,
        measures: measures.iter().map(|&m| (m.key(), told(row, m))).collect(),
        stages: row.stages.iter().map(|role| role.word()).collect(),
        staging_faults: row
            .faults
            .iter()
            .map(|f| Fault {
                rule: f.rule.key(),
                at: &f.at,
                costs: Some(figures::said(&f.costs, Units::Metric)).filter(|text| !text.is_empty()),
            })
            .collect(),
        head_budget: row
            .head_budget
            .iter()
            .map(|p| Part { part: &p.part, m: number(Some(p.m)), share: number(Some(p.share)) })
            .collect(),
        leaks: row.leaks.iter().map(|l| Leak { at: &l.at, share: number(Some(l.share)) }).collect(),
        failed_draws: row.simulated.as_ref().map(|cases| cases.failed).filter(|failed| *failed > 0),
    }
}

fn told(row: &Assessment, measure: Measure) -> Told {
    let outcome = row.outcome(measure);
    let band = row.band(measure);
    let value = match outcome {
        Outcome::Value(x) => number(Some(x)),
        Outcome::Flag(yes) => Datum::Flag(yes),
        Outcome::Missing(_) => Datum::Nothing,
    };
    let why = if let Outcome::Missing(why) = outcome { Some(why.words()) } else { None };
    let edge = |x: Option<f64>| why.is_none().then(|| number(x));
    Told {
        unit: measure.row().unit.sign(),
        low: edge(band.map(|b| b.low)),
        high: edge(band.map(|b| b.high)),
        value,
        why,
    }
}

pub(super) fn broken(file: &BadFile) -> BrokenFile<'_> {
    BrokenFile {
        file: &file.file,
        problems: file
            .problems
            .iter()
            .map(|p| Problem { line: p.line, column: p.column, message: &p.message, help: p.help.as_deref() })
            .collect(),
    }
}

fn number(x: Option<f64>) -> Datum {
    x.and_then(six_digits).map_or(Datum::Nothing, Datum::Number)
}

fn in_order<S: Serializer>(measures: &[(&'static str, Told)], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_map(measures.iter().map(|(key, told)| (key, told)))
}

#[cfg(test)]
mod tests {
    use super::super::{BadSpot, samples};
    use super::*;

    fn sheet() -> Sheet {
        Sheet {
            rows: vec![
                samples::row("Tamsin\u{1b}[2J\u{202e}", "a", Some(612.345_678)),
                samples::row("Orrin", "b", Some(f64::NAN)),
            ],
            broken: vec![BadFile {
                file: "x.ron".to_owned(),
                problems: vec![BadSpot { line: 3, column: 12, message: "m".to_owned(), help: None }],
            }],
            tank: Some("reading-room tank".to_owned()),
            currency: "EUR".to_owned(),
            seed: 1,
        }
    }

    #[test]
    fn figures_are_rounded_and_gaps_give_their_reason() {
        let text = table(&sheet(), &Measure::ALL).unwrap();
        let json: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!(json["schema"], 1);
        assert_eq!(json["samples"], 0);
        let first = &json["builds"][0];
        assert_eq!(
            first["measures"]["flow"],
            serde_json::json!({"unit": "l/h", "value": 612.346, "low": null, "high": null})
        );
        assert_eq!(
            first["measures"]["uv_dose"],
            serde_json::json!({"unit": "mJ/cm2", "value": null, "why": "the lamp is burnt out"})
        );
        assert_eq!(first["measures"]["fits_cabinet"]["value"], true);
        assert_eq!(first["measures"]["bypass_chance"]["value"], serde_json::Value::Null);
        assert!(
            first["measures"]["bypass_chance"]["why"].as_str().unwrap().contains("doubt was not worked out")
        );
        assert_eq!(first["staging_faults"][0]["costs"], serde_json::Value::Null);
        assert_eq!(json["builds"][1]["measures"]["flow"]["value"], serde_json::Value::Null);
        assert_eq!(json["broken"][0]["problems"][0]["column"], 12);
        assert_eq!(first["filter"], "Tamsin\u{1b}[2J\u{202e}", "the name is whole once it is read back");
        assert!(!text.chars().any(|c| c != '\n' && escape::is_hidden(c)), "but never stands there raw");
        let keys: Vec<&str> = text
            .lines()
            .filter_map(|l| l.strip_prefix("        \"")?.strip_suffix("\": {"))
            .take(23)
            .collect();
        assert_eq!(keys, Measure::ALL.map(Measure::key), "measures stand in the catalogue's order");
    }

    #[test]
    fn doubt_fills_the_bands_and_the_risk() {
        let mut sheet = sheet();
        let bands = [(Measure::Flow, 563.0, 660.9), (Measure::Bypass, f64::NAN, 1.0)];
        let mut cases = samples::simulated(&bands);
        (cases.bypass_chance, cases.failed) = (Some(0.25), 3);
        sheet.rows[0].simulated = Some(cases.into());
        let json: serde_json::Value = serde_json::from_str(&table(&sheet, &Measure::ALL).unwrap()).unwrap();
        assert_eq!(json["samples"], 512);
        let measures = &json["builds"][0]["measures"];
        assert_eq!(measures["flow"]["low"], 563.0);
        assert_eq!(measures["flow"]["high"], 660.9);
        assert_eq!(measures["bypass"]["low"], serde_json::Value::Null);
        assert_eq!(measures["bypass_chance"]["value"], 0.25);
        assert_eq!(json["builds"][0]["failed_draws"], 3);
        assert_eq!(json["builds"][1]["failed_draws"], serde_json::Value::Null);
    }
}
