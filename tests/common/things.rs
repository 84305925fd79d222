//! Invented filters and judgements for the tests of the screens. No model runs here: every figure is made up.

use std::path::PathBuf;
use std::sync::Arc;

use cansift::app::asks::{Next, RankAsk, Stood};
use cansift::app::effect::{Effect, Message};
use cansift::app::state::State;
use cansift::app::update::update;
use cansift::assess::assessment::*;
use cansift::assess::findings::{Costs, Mend, OpenedBy, Takes};
use cansift::assumptions::Kind;
use cansift::compare::ranking::Standing;
use cansift::measures::{Measure, Missing, Outcome};
use cansift::model::edit::Side;
use cansift::model::filter::{Body, Build, DownTube, Filter, Floor, Way};
use cansift::model::filter::{Hose, Wall};
use cansift::model::hoses::Outlet;
use cansift::model::log::Kept;
use cansift::model::medium::{Bed, Medium, Role};
use cansift::model::pump::{Curve, Pump, Taken};
use cansift::model::shape::{Outline, Shape};
use cansift::model::tray::{Amount, Layer, Seal, SealCondition, Tray};
use cansift::profile::{Broken, Loaded, Problem, Sound};
use cansift::uncertainty::key;
use cansift::uncertainty::uncertain::{Provenance, Spread, Uncertain};
use cansift::units::{BulkDensity, Flow, Length, Plain, Quantity};

pub fn fig<Q: Quantity>(si: f64) -> Uncertain<Q> {
    Uncertain {
        value: Q::new(si).unwrap(),
        known: Provenance::Stated,
        spread: Spread::Exact,
        key: key::Key::named("t"),
    }
}
fn mm(x: f64) -> Uncertain<Length> {
    fig(x * 1e-3)
}
fn l_h(x: f64) -> Uncertain<Flow> {
    fig(x / 3.6e6)
}

pub fn medium(id: &str, name: &str, role: Role) -> Arc<Medium> {
    Arc::new(Medium {
        id: id.to_owned(),
        name: name.to_owned(),
        role,
        bed: Bed::Foam { ppi: fig::<Plain>(20.0), void: fig::<Plain>(0.97) },
        dry: fig::<BulkDensity>(30.0),
        surface: None,
        inner: fig(0.0),
        capture: fig(9.0),
        life: None,
        price: None,
        surface_range: None,
        sold: None,
        freshwater_only: false,
        floats: false,
        source: "invented for a test".to_owned(),
        kind: Kind::Ours,
    })
}

pub fn layer(medium: &Arc<Medium>, depth: f64, slack: f64, hole: f64) -> Layer {
    Layer {
        medium: Arc::clone(medium),
        amount: Amount::Depth(mm(depth)),
        slack: (slack > 0.0).then(|| mm(slack)),
        hole: (hole > 0.0).then(|| mm(hole)),
        squeezed: None,
        dimples: None,
    }
}

fn dee() -> Shape {
    Shape { outline: Outline::Dee { width: mm(185.0), depth: mm(160.0) }, less: Vec::new() }
}

fn tray(condition: SealCondition, gap: f64) -> Tray {
    Tray {
        shape: dee(),
        height: mm(80.0),
        grid: Some(fig(0.45)),
        seal: Some(Seal { condition, gap: mm(gap) }),
    }
}

/// A filter with three trays.
pub fn filter(id: &str, name: &str, flow: f64, builds: Vec<Build>) -> Filter {
    Filter {
        id: id.to_owned(),
        found: None,
        text: cansift::model::filter::Text::default(),
        name: name.to_owned(),
        notes: String::new(),
        variant: None,
        measured: None,
        licence: None,
        label: None,
        pump: Pump {
            taken: Taken::AtPorts,
            curve: Some(Curve::Ends { flow: l_h(flow), head: fig(1.7) }),
            power: Some(fig(18.0)),
            hz: None,
        },
        way: Way::Rising,
        hose: Hose { bore: mm(16.0), wall: Wall::Smooth },
        intake: Vec::new(),
        return_side: Vec::new(),
        outlet: Outlet::Jet { bore: mm(13.0) },
        body: Body {
            floor: Some(Floor { shape: dee(), height: mm(25.0) }),
            down_tube: Some(DownTube { bore: mm(22.0), length: mm(300.0), joint: Some(mm(0.05)) }),
            ..Body::default()
        },
        trays: vec![
            tray(SealCondition::Lip, 0.05),
            tray(SealCondition::Worn, 0.4),
            tray(SealCondition::Missing, 1.5),
        ],
        uv: None,
        handling: None,
        unit: None,
        builds,
    }
}

pub fn tamsin() -> Filter {
    let foam10 = medium("foam-10", "coarse foam, 10 PPI", Role::Coarse);
    let foam20 = medium("foam-20", "medium foam, 20 PPI", Role::Medium);
    let foam30 = medium("foam-30", "fine foam, 30 PPI", Role::Fine);
    let floss = medium("floss", "floss", Role::Polishing);
    let rings = medium("ceramic-ring-12", "ceramic rings, 12 mm", Role::Settlement);
    let sintered = medium("sintered-lump-20", "sintered lumps, 20 mm", Role::Biological);
    let bought = Build {
        name: "as bought".to_owned(),
        floor: Vec::new(),
        trays: vec![vec![layer(&foam20, 40.0, 3.0, 0.0)], Vec::new(), vec![layer(&floss, 20.0, 1.0, 25.0)]],
        kept: Kept::default(),
    };
    let restacked = Build {
        name: "restacked".to_owned(),
        floor: vec![layer(&rings, 25.0, 0.0, 0.0)],
        trays: vec![
            vec![
                layer(&foam10, 25.0, 0.5, 0.0),
                layer(&foam20, 25.0, 0.5, 0.0),
                layer(&foam30, 25.0, 0.5, 0.0),
            ],
            vec![layer(&sintered, 78.0, 0.0, 0.0)],
            vec![layer(&sintered, 50.0, 0.0, 0.0)],
        ],
        kept: Kept::default(),
    };
    filter("tamsin-1100", "Tamsin 1100", 1100.0, vec![bought, restacked])
}

/// A section as the judge would give it, for a build of [`filter`].
fn section(filter: &Filter, build: usize) -> Section {
    // A half circle on a rectangle, in a unit square.
    let mut outline: Vec<(f64, f64)> = vec![(0.0, 0.0), (1.0, 0.0), (1.0, 0.42)];
    outline.extend((1..12).map(|i| {
        let a = std::f64::consts::PI * f64::from(i) / 12.0;
        (0.5 + 0.5 * a.cos(), 0.42 + 0.58 * a.sin())
    }));
    outline.push((0.0, 0.42));
    let space = |height: f64, layers: &[Layer], seal: Option<&Seal>| Space {
        height_mm: height,
        assumed: false,
        outline: "dee",
        from_above: outline.clone(),
        box_mm: Some((185.0, 160.0)),
        fills_box: Some(0.876),
        layers: layers
            .iter()
            .map(|l| Slab {
                id: l.medium.id.clone(),
                name: l.medium.name.clone(),
                role: l.medium.role,
                height_mm: match &l.amount {
                    Amount::Depth(d) => d.si() * 1e3,
                    _ => 10.0,
                },
                slack_mm: l.slack.as_ref().map_or(0.0, |s| s.si() * 1e3),
                hole_mm: l.hole.as_ref().map(|h| h.si() * 1e3),
                share: Some(0.5),
                litres: 1.0,
                kilograms: 0.1,
                pad: true,
                dimples: l.dimples,
            })
            .collect(),
        seal: seal.map(|s| (s.condition, s.gap.si() * 1e3)),
        seal_assumed: false,
        excess_mm: 0.0,
    };
    let build = &filter.builds[build];
    Section {
        way: filter.way,
        tube_mm: filter.body.down_tube.as_ref().map(|t| t.bore.si() * 1e3),
        tube_assumed: false,
        floor: filter.body.floor.as_ref().map(|f| space(f.height.si() * 1e3, &build.floor, None)),
        trays: filter
            .trays
            .iter()
            .zip(&build.trays)
            .map(|(t, layers)| space(t.height.si() * 1e3, layers, t.seal.as_ref()))
            .collect(),
        head_mm: Some(40.0),
        head_assumed: false,
        uv: false,
    }
}

/// A judgement with these first figures.
pub fn judgement(filter: &Filter, build: usize, worked: f64, bypass: f64, service: f64) -> Assessment {
    let flow = worked / (1.0 - bypass);
    let mut j = Assessment::empty(section(filter, build), Missing::NoTank);
    for (m, x) in [
        (Measure::Clearing, worked / 300.0),
        (Measure::ClearingDirty, worked / 400.0),
        (Measure::FilteredFlow, worked),
        (Measure::Flow, flow),
        (Measure::FilteredFlowDirty, worked * 0.75),
        (Measure::Bypass, bypass),
        (Measure::BypassDirty, (bypass * 1.2).min(1.0)),
        (Measure::OpeningInterval, service),
        (Measure::TraySpace, 7.1),
        (Measure::Media, 3.4),
        (Measure::Power, 18.0),
    ] {
        j.set(m, Outcome::Value(x));
    }
    let part = |part: &str, m: f64| HeadPart { part: part.to_owned(), m, share: m / 0.79 };
    j.head_budget = vec![
        part("intake hose", 0.12),
        part("intake fittings", 0.17),
        part("tube", 0.03),
        part("media", 0.01),
        part("leaks", 0.0),
        part("return hose", 0.14),
        part("return fittings", 0.20),
        part("jet", 0.12),
    ];
    j.pump_head = Some(0.79);
    let curve = |f: &dyn Fn(f64) -> f64| -> Vec<(f64, f64)> {
        (0..=20).map(|i| f64::from(i) * 55.0).map(|q| (q, f(q))).collect()
    };
    j.curve = Some(CurvePicture {
        pump: curve(&|q| 1.7 * (1.0 - (q / 1100.0_f64).powf(1.5))),
        clean: curve(&|q| 0.79 * (q / flow).powi(2)),
        dirty: curve(&|q| 0.95 * (q / flow).powi(2)),
        works_at: (flow, 0.79),
        works_dirty_at: Some((flow * 0.94, 0.84)),
    });
    j.timeline = Some(Timeline {
        points: (0..=10)
            .map(|i| {
                let t = f64::from(i) / 10.0;
                TimePoint {
                    day: t * service.max(1.0) * 1.2,
                    flow: flow * (1.0 - 0.05 * t),
                    worked: worked * (1.0 - 0.28 * t * t),
                    bypass: bypass + 0.1 * t * t,
                    voids: 0.3 * t,
                }
            })
            .collect(),
        opens: Opens::On { day: service, why: OpenedBy::SlipsPast },
    });
    j.helps = vec![
        Help {
            what: Mend::Fittings {
                name: "connector",
                bore: 12.5,
                at: vec![Side::Intake, Side::Return],
                to: 16.0,
                takes: Takes::MoreThanTheHose,
            },
            worked: Some(worked * 1.07),
            flow: Some(flow * 1.07),
            service: None,
            bypass: None,
            cost: Some(12.0),
        },
        Help {
            what: Mend::Seals { trays: vec![2], missing: false, slips: Some(bypass) },
            worked: Some(worked * 1.05),
            flow: None,
            service: Some(service),
            bypass: Some(bypass * 0.8),
            cost: Some(9.0),
        },
    ];
    j.notes = vec![cansift::assess::findings::Note::NoTank];
    j
}

/// The two builds of Tamsin, Orrin's one, Dunlow's one: judged.
pub fn judgements(loaded: &Loaded) -> Vec<Assessment> {
    let mut out = Vec::new();
    for sound in &loaded.filters {
        for build in 0..sound.filter.builds.len() {
            let f = &sound.filter;
            let mut j = match (f.id.as_str(), build) {
                ("tamsin-1100", 0) => judgement(f, 0, 339.0, 0.49, 2.0),
                ("tamsin-1100", _) => judgement(f, 1, 638.0, 0.05, 133.0),
                ("orrin-900", _) => judgement(f, 0, 552.0, 0.02, 182.0),
                _ => judgement(f, 0, 37.0, 0.51, 0.4),
            };
            if (f.id.as_str(), build) == ("tamsin-1100", 0) {
                j.stages = vec![Role::Medium, Role::Polishing];
                j.faults = vec![
                    Fault {
                        rule: Rule::EmptyTray,
                        at: "tray 2".to_owned(),
                        says: "an empty tray between layers: water mixes there and nothing is gained"
                            .to_owned(),
                        costs: Costs::Untold,
                    },
                    Fault {
                        rule: Rule::LoneFine,
                        at: "tray 3, layer 1".to_owned(),
                        says: "nothing catches coarse dirt before the floss".to_owned(),
                        costs: Costs::Figures {
                            service: Some((2.0, 9.0)),
                            filtered: None,
                            ammonia: None,
                            shorter: None,
                            shield: None,
                            left: Vec::new(),
                        },
                    },
                ];
                j.set(Measure::OrderFaults, Outcome::Value(2.0));
                let leak = |at: &str, place, share, late| Leak {
                    at: at.to_owned(),
                    place,
                    share,
                    share_at_service: Some(late),
                };
                j.leaks = vec![
                    leak("tray 3 seal", LeakPlace::Seal { tray: 2 }, 0.09, 0.11),
                    leak("tray 2 seal", LeakPlace::Seal { tray: 1 }, 0.04, 0.04),
                    leak(
                        "slack of tray 1, layer 1",
                        LeakPlace::Slack { tray: Some(0), layer: 0 },
                        0.24,
                        0.30,
                    ),
                    leak("hole in tray 3, layer 1", LeakPlace::Hole { tray: Some(2), layer: 0 }, 0.12, 0.15),
                    leak("joint above tray 1", LeakPlace::Joint { tray: 0 }, 0.002, 0.002),
                ];
            } else {
                j.stages = vec![Role::Settlement, Role::Coarse, Role::Medium, Role::Fine, Role::Biological];
                j.set(Measure::OrderFaults, Outcome::Value(0.0));
            }
            out.push(j);
        }
    }
    out
}

/// How the builds of a question stand, by the program's own ranking.
pub fn stood(ask: &RankAsk) -> Box<Stood> {
    let builds: Vec<&Assessment> = ask.builds.iter().map(|b| &*b.judged).collect();
    let mut standing = Standing::new(&builds, &ask.tank, 1);
    standing.reweigh(&ask.weights);
    let entries = ask.builds.iter().map(|b| b.entry).collect();
    let next = vec![Next { what: "a week's food".into(), how: "kitchen scales".into(), changes: Some(0.14) }];
    Box::new(Stood { standing, entries, next, tops: Vec::new(), settled: ask.settled })
}

pub fn broken() -> Broken {
    Broken {
        path: PathBuf::from("demo/wherry.ron"),
        problems: vec![
            Problem {
                line: 3,
                column: 12,
                message: "a bare number has no unit".to_owned(),
                help: Some("write for example mm(16)".to_owned()),
                rendered: "error: a bare number has no unit\n --> demo/wherry.ron:3:12\n  |\n3 |     bore: 16,\n  |           ^^\n  |\n  = help: write for example mm(16)".to_owned(),
            },
            Problem {
                line: 9,
                column: 5,
                message: "unknown field `flwo`".to_owned(),
                help: None,
                rendered: "error: unknown field `flwo`\n --> demo/wherry.ron:9:5\n  |\n9 |     flwo: l_h(900),\n  |     ^^^^".to_owned(),
            },
        ],
    }
}

pub fn loaded() -> Loaded {
    let floss = medium("floss", "floss", Role::Polishing);
    let foam = medium("foam-20", "medium foam, 20 PPI", Role::Medium);
    let sound = |f: Filter| Sound {
        path: PathBuf::from(format!("demo/{}.ron", f.id)),
        filter: Arc::new(f),
        hints: Vec::new(),
    };
    let one = |name: &str, trays| Build::packed(name, Vec::new(), trays);
    let mut orrin = filter(
        "orrin-900",
        "Orrin 900",
        900.0,
        vec![one(
            "as sold",
            vec![vec![layer(&foam, 60.0, 0.2, 0.0)], vec![layer(&floss, 20.0, 0.0, 0.0)], vec![]],
        )],
    );
    orrin.way = Way::Falling;
    let dunlow = filter(
        "dunlow-300",
        "Dunlow 300",
        300.0,
        vec![one("floss only", vec![vec![layer(&floss, 75.0, 2.0, 0.0)], vec![], vec![]])],
    );
    Loaded {
        filters: vec![sound(tamsin()), sound(orrin), sound(dunlow)],
        broken: vec![broken()],
        ..Loaded::default()
    }
}

/// A state in which everything is loaded and judged.
pub fn state(size: (u16, u16)) -> State {
    let mut state = State::new("demo", None);
    state.look.mono = true;
    let loaded = loaded();
    let judged = judgements(&loaded);
    update(&mut state, Message::Size(size.0, size.1));
    assert_eq!(update(&mut state, Message::Loaded(loaded)), [Effect::Judge]);
    let done = judged.into_iter().map(Arc::new).enumerate().collect();
    let round = state.round;
    update(&mut state, Message::Judged { round, done });
    state
}

/// Presses keys, written as `/tam<enter>s`; gives what they asked for.
pub fn press(state: &mut State, keys: &str) -> Vec<Effect> {
    crate::typed::list(keys).into_iter().flat_map(|k| update(state, Message::Key(k))).collect()
}

/// The name of the build under the cursor, or of the broken file.
pub fn here(state: &State) -> String {
    match (state.here(), state.broken_here()) {
        (Some(e), _) => e.name.clone(),
        (_, Some(b)) => b.path.display().to_string(),
        _ => "-".to_owned(),
    }
}

/// The names of the rows, in order.
pub fn listed(state: &State) -> Vec<String> {
    let mut state = state.clone();
    state
        .rows
        .clone()
        .into_iter()
        .map(|id| {
            state.cursor = Some(id);
            here(&state)
        })
        .collect()
}
