//! JSON for programs, schema 2: base units, six digits. The types here are the schema, and `docs/schema` is written
//! from them; the form of files and the domain have types of their own.

mod others;
pub mod rank;

pub use others::check;

use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Serialize, Serializer, ser::SerializeMap};

use super::figures::Units;
use super::reasons::Because;
use super::{BadFile, Reasoned, Sheet, escape, six_digits, wording};
use crate::assess::suits::{Largest, Limit};
use crate::assess::{self, Assessment, Stocking};
use crate::compare::reasons::NoReasons;
use crate::compare::{Call, Verdict};
use crate::measures::{Measure, Outcome, Unit};
use crate::media_order::Rule;
use crate::model::Role;
use crate::model::put_right::State;
use crate::uncertainty::Band;

/// The schema's number. A field is added without a new number; one that changes or goes needs the next.
pub const SCHEMA: u32 = 2;

const PROGRAM: &str = concat!(env!("CARGO_PKG_NAME"), " ", env!("CARGO_PKG_VERSION"));

/// What `table` and `compare` write; the last two are of `compare` alone.
#[derive(Serialize, JsonSchema)]
struct Table<'a> {
    #[schemars(range(min = 2, max = 2))]
    schema: u32,
    program: &'static str,
    /// Simulated cases behind `median`, `low` and `high`; 0 for none.
    samples: usize,
    seed: u64,
    tank: Option<&'a str>,
    builds: Vec<Build<'a>>,
    broken: &'a [BadFile],
    /// What came of the logs of builds; left out where there are none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    logs: Vec<others::Log<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    differences: Option<Vec<Difference>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<Vec<Why>>,
}

#[derive(Serialize, JsonSchema)]
#[allow(clippy::struct_field_names)] // the fields are named as the schema has them
struct Build<'a> {
    file: &'a str,
    filter: &'a str,
    build: &'a str,
    /// Whether what `to_fix` names is judged as put right.
    #[schemars(extend("enum" = [State::AsFound, State::AfterRepair].map(State::words)))]
    state: &'static str,
    measures: Measures,
    /// Largest tanks, by stocking and by limit; the lesser of ammonia and clearing counts for `suits_up_to`.
    suits: Vec<Suits>,
    /// Which limit `suits_up_to` is; null where it cannot be told.
    #[schemars(extend("enum" = ["ammonia", "clearing", null]))]
    suits_limit: Option<&'static str>,
    known: Known,
    /// What the water meets, in its order.
    #[schemars(extend("items" = json_schema!({"enum": Role::ALL.map(|role| role.word())})))]
    stages: Vec<&'static str>,
    order_faults: Vec<Fault<'a>>,
    /// What uses up the pump's lift, in the order of the water.
    head_budget: Vec<Part<'a>>,
    /// Where water slips past the finest layer, as shares of the pumped water.
    leaks: Vec<Leak<'a>>,
    /// Simulated cases that could not be solved; left out where there are none.
    #[schemars(range(min = 1))]
    #[serde(skip_serializing_if = "Option::is_none")]
    failed_cases: Option<usize>,
}

/// Inputs by how they are known; `guessed` holds what was given as between two.
#[derive(Serialize, JsonSchema)]
struct Known {
    measured: usize,
    printed: usize,
    guessed: usize,
    /// Left out by the file.
    assumed: usize,
}

/// Figures by their keys, in the catalogue's order.
struct Measures(Vec<(Measure, Told)>);

#[derive(Serialize)]
#[serde(untagged)]
enum Told {
    Figure(Figure),
    Flag(Flag),
    Missing(Missing),
}

/// The nominal model, and the 50th, 5th and 95th percentiles of the simulated cases; these are null where none
/// were run.
#[derive(Serialize, JsonSchema)]
struct Figure {
    unit: &'static str,
    value: f64,
    median: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    /// The same as readings of a log have it, this build's or another's; left out where none moved it.
    #[serde(skip_serializing_if = "Option::is_none")]
    log: Option<Corrected>,
}

/// The 50th, 5th and 95th percentiles of the simulated cases as readings of a log have them.
#[derive(Serialize, JsonSchema)]
struct Corrected {
    value: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
}

/// Yes or no, by the nominal model.
#[derive(Serialize, JsonSchema)]
struct Flag {
    unit: &'static str,
    value: bool,
}

/// What cannot be told, and why.
#[derive(Serialize, JsonSchema)]
struct Missing {
    unit: &'static str,
    value: (),
    why: &'static str,
}

/// Litres, with the 5th and 95th percentile of the simulated cases.
#[derive(Serialize, JsonSchema)]
struct Suits {
    #[schemars(extend("enum" = Stocking::ALL.map(Stocking::word)))]
    stocking: &'static str,
    #[schemars(extend("enum" = Limit::TOLD.map(Limit::word)))]
    limit: &'static str,
    litres: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
}

#[derive(Serialize, JsonSchema)]
struct Fault<'a> {
    #[schemars(extend("enum" = Rule::ALL.map(Rule::key)))]
    rule: &'static str,
    at: &'a str,
    /// What it costs by the model; null while that is not worked out.
    costs: Option<String>,
}

#[derive(Serialize, JsonSchema)]
#[allow(clippy::struct_field_names)] // as above
struct Part<'a> {
    part: &'a str,
    /// Metres of water.
    m: Option<f64>,
    share: Option<f64>,
}

#[derive(Serialize, JsonSchema)]
struct Leak<'a> {
    at: &'a str,
    share: Option<f64>,
}

/// One measure's difference of each further build to the first.
#[derive(Serialize, JsonSchema)]
struct Difference {
    measure: &'static str,
    unit: &'static str,
    to_first: Vec<Option<f64>>,
    /// Null where one of the two cannot be told.
    verdicts: Vec<Option<Judged>>,
}

/// This build held against the first, case by case.
#[derive(Serialize, JsonSchema)]
struct Judged {
    #[schemars(extend("enum" = Call::ALL.map(Call::word)))]
    called: &'static str,
    /// This build less the first: the 5th, 50th and 95th percentile.
    low: Option<f64>,
    middle: Option<f64>,
    high: Option<f64>,
    /// Share of the cases in which the likelier one is ahead; where the two are alike neither is.
    #[schemars(range(min = 0, max = 1))]
    sure: Option<f64>,
    /// Simulated cases in which it cannot be told.
    untold: usize,
}

/// Why a further build differs from the first in a measure.
#[derive(Serialize, JsonSchema)]
#[allow(clippy::struct_field_names)] // as above
struct Why {
    /// Its place in `builds`, from 0.
    #[schemars(range(min = 1))]
    build: usize,
    measure: &'static str,
    unit: &'static str,
    /// They add to the difference; null, with the reason, where there are none.
    shares: Option<Vec<Share>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<String>,
}

/// What one group that differs has in the difference.
#[derive(Serialize, JsonSchema)]
struct Share {
    group: String,
    amount: Option<f64>,
}

impl Serialize for Measures {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.0.len()))?;
        for (measure, told) in &self.0 {
            map.serialize_entry(measure.key(), told)?;
        }
        map.end()
    }
}

impl JsonSchema for Measures {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Measures".into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let missing = generator.subschema_for::<Missing>();
        let mut told = |measure: Measure| {
            let row = measure.row();
            let value = match row.unit {
                Unit::YesNo => generator.subschema_for::<Flag>(),
                _ => generator.subschema_for::<Figure>(),
            };
            (
                measure.key().to_owned(),
                json_schema!({"description": row.says, "anyOf": [value, missing]}).to_value(),
            )
        };
        let properties: serde_json::Map<_, _> = Measure::ALL.into_iter().map(&mut told).collect();
        json_schema!({"type": "object", "properties": properties})
    }
}

/// The table, with these measures.
pub fn table(sheet: &Sheet, measures: &[Measure]) -> Result<String, serde_json::Error> {
    write(&document(sheet, measures))
}

/// The table of a few builds with the differences to the first, and why they differ.
pub fn compare(
    sheet: &Sheet,
    measures: &[Measure],
    reasoned: &Reasoned,
) -> Result<String, serde_json::Error> {
    let further = sheet.rows.len().saturating_sub(1);
    let differences = measures.iter().map(|&measure| Difference {
        measure: measure.key(),
        unit: measure.row().unit.sign(),
        to_first: super::differences::to_first(sheet, measure)
            .into_iter()
            .map(|x| x.and_then(six_digits))
            .collect(),
        verdicts: (0..further).map(|i| reasoned.verdict(measure, i).map(|v| judged(&v))).collect(),
    });
    write(&Table {
        differences: Some(differences.collect()),
        why: Some(reasoned.because.iter().map(why).collect()),
        ..document(sheet, measures)
    })
}

/// The JSON Schemas of what is written here, each with its name in `docs/schema`.
pub fn schemas() -> [(&'static str, String); 3] {
    [
        ("table", schema::<Table<'_>>()),
        ("rank", schema::<rank::Ranking<'_>>()),
        ("check", schema::<others::Check>()),
    ]
}

fn schema<T: JsonSchema>() -> String {
    // Nothing else may stand in an object whose fields are known.
    let closed = RecursiveTransform(|schema: &mut Schema| {
        if schema.get("properties").is_some() {
            schema.insert("additionalProperties".to_owned(), false.into());
        }
    });
    let settings = SchemaSettings::draft2020_12().for_serialize().with_transform(closed);
    let generator = settings.into_generator();
    format!("{:#}\n", generator.into_root_schema_for::<T>().to_value())
}

fn judged(verdict: &Verdict) -> Judged {
    Judged {
        called: verdict.call.word(),
        low: six_digits(verdict.low),
        middle: six_digits(verdict.middle),
        high: six_digits(verdict.high),
        sure: six_digits(verdict.of_100 / 100.0),
        untold: verdict.untold,
    }
}

fn why(because: &Because) -> Why {
    let told = because.why.as_ref();
    Why {
        build: because.further + 1,
        measure: because.measure.key(),
        unit: because.measure.row().unit.sign(),
        shares: told.ok().map(|told| {
            let differ = told.shares.iter().filter(|share| share.group.bits != 0);
            differ.map(|s| Share { group: s.group.label(), amount: six_digits(s.amount) }).collect()
        }),
        why: told.err().map(NoReasons::words),
    }
}

/// A document as text, with nothing hidden in it.
fn write(document: &impl Serialize) -> Result<String, serde_json::Error> {
    let mut text = serde_json::to_string_pretty(document)?;
    text.push('\n');
    Ok(escape::json(&text).into_owned())
}

fn document<'a>(sheet: &'a Sheet, measures: &[Measure]) -> Table<'a> {
    Table {
        schema: SCHEMA,
        program: PROGRAM,
        samples: sheet.samples(),
        seed: sheet.seed,
        tank: sheet.tank.as_deref(),
        builds: sheet.rows.iter().map(|row| build(row, measures)).collect(),
        broken: &sheet.broken,
        logs: sheet.rows.iter().filter_map(others::log).collect(),
        differences: None,
        why: None,
    }
}

fn build<'a>(row: &'a Assessment, measures: &[Measure]) -> Build<'a> {
    let fault = |f: &'a crate::assess::assessment::Fault| Fault {
        rule: f.rule.key(),
        at: &f.at,
        costs: Some(wording::mends::costs(&f.costs, Units::Metric)).filter(|text| !text.is_empty()),
    };
    let part = |p: &'a crate::assess::assessment::HeadPart| Part {
        part: &p.part,
        m: six_digits(p.m),
        share: six_digits(p.share),
    };
    Build {
        file: &row.file,
        filter: &row.filter,
        build: &row.build,
        state: row.state.words(),
        measures: Measures(measures.iter().map(|&m| (m, told(row, m))).collect()),
        suits: row.suits().map(|of| suits(&of)).collect(),
        suits_limit: row.suits_limit().map(Limit::word),
        known: {
            let assess::assessment::Known { measured, printed, guessed, assumed } = row.known;
            Known { measured, printed, guessed, assumed }
        },
        stages: row.stages.iter().map(super::super::model::medium::Role::word).collect(),
        order_faults: row.faults.iter().map(fault).collect(),
        head_budget: row.head_budget.iter().map(part).collect(),
        leaks: row.leaks.iter().map(|l| Leak { at: &l.at, share: six_digits(l.share) }).collect(),
        failed_cases: row.simulated.as_ref().map(|cases| cases.failed).filter(|failed| *failed > 0),
    }
}

fn suits(of: &Largest) -> Suits {
    Suits {
        stocking: of.stocking.word(),
        limit: of.limit.word(),
        litres: six_digits(of.litres),
        low: of.band.and_then(|band| six_digits(band.low)),
        high: of.band.and_then(|band| six_digits(band.high)),
    }
}

fn told(row: &Assessment, measure: Measure) -> Told {
    let unit = measure.row().unit.sign();
    let outcome =
        if measure == Measure::BypassChance { row.outcome(measure) } else { row.model_outcome(measure) };
    let trio = |band: Band| (six_digits(band.median), six_digits(band.low), six_digits(band.high));
    match outcome {
        Outcome::Flag(value) => Told::Flag(Flag { unit, value }),
        Outcome::Missing(why) => Told::Missing(Missing { unit, value: (), why: why.words() }),
        Outcome::Value(x) => {
            let band = row
                .model()
                .and_then(|cases| cases.band(measure))
                .filter(|b| b.low.is_finite() && b.high.is_finite());
            let moved = row.logged.as_ref().is_some_and(|logged| logged.model.is_some());
            let log = row.band(measure).filter(|_| moved).map(trio);
            Told::Figure(Figure {
                unit,
                // Finite, as the row sees to.
                value: six_digits(x).unwrap_or(x),
                median: band.and_then(|b| six_digits(b.median)),
                low: band.and_then(|b| six_digits(b.low)),
                high: band.and_then(|b| six_digits(b.high)),
                log: log.map(|(value, low, high)| Corrected { value, low, high }),
            })
        }
    }
}
