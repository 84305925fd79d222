//! The lines of the form, where they stand, and what is told of the field under the cursor.

use super::lists;
use crate::app::layout::Area;
use crate::app::line::Goal;
use crate::app::list::keep_row_in_window;
use crate::app::state::State;
use crate::app::state::tank::CHOICES;
use crate::assumptions::A;
use crate::biology::load::stocking;
use crate::library::Library;
use crate::model::tank::{Feed, Tank};
use crate::profile::{Entry, TANK_FIELDS, TankField, read_tank_texts};
use crate::report::sources;
use crate::uncertainty::field::Printed;
use crate::uncertainty::uncertain::Nominal;

/// From this width on, what the builds come to stands beside the form.
const BESIDE: u16 = 100;

/// Most columns that the form takes then.
const FORM: u16 = 90;

#[derive(Clone, Debug, PartialEq)]
pub enum FormLine {
    Head(&'static str),
    Field(usize),
    /// What is wrong with the field above.
    Problem(String),
}

/// The lines of the form, from the top.
pub fn lines(state: &State) -> Vec<FormLine> {
    let mut out = Vec::new();
    for (i, field) in TANK_FIELDS.iter().enumerate() {
        out.extend(field.head().map(FormLine::Head));
        out.push(FormLine::Field(i));
        if let Some(said) = problem_now(state, i) {
            out.push(FormLine::Problem(said));
        }
    }
    out
}

/// What is wrong with a field, as it stands or as it is being typed.
pub fn problem_now(state: &State, field: usize) -> Option<String> {
    let said = |p: &crate::profile::FieldProblem| match &p.problem.help {
        Some(help) => format!("{}: {help}", p.problem.message),
        None => p.problem.message.clone(),
    };
    match &state.line {
        Some(line) if line.goal == Goal::Field(field) => {
            let mut texts = state.tank_form.texts.clone();
            *texts.get_mut(field)? = line.text();
            let problems = read_tank_texts(&texts, Library::shipped()).err()?;
            problems.iter().find(|p| p.field == field).map(said)
        }
        _ => state.tank_form.problem(field).map(said),
    }
}

/// What a field comes to where that is not what stands there: food out of stocking, and what is taken where it is
/// left out.
pub fn reads_as(state: &State, field: usize) -> Option<String> {
    let row = TANK_FIELDS.get(field)?;
    let text = state.tank_form.texts.get(field)?;
    if text.trim().is_empty() && row.row.name == "stock" && has_food(state) {
        return Some("left out: food a day tells it".to_owned());
    }
    if text.trim().is_empty() {
        return Some(format!("left out: {}", row.without()));
    }
    let tank =
        state.tank.as_deref().filter(|_| row.row.name == "stock" && state.tank_form.problems.is_empty())?;
    Some(match &tank.feed() {
        Feed::Daily(_) => "not used: food a day wins".to_owned(),
        Feed::Unknown => return None,
        Feed::Stock(stock) => {
            let row = stocking(*stock).entry();
            // What one eats is as doubtful as another: one factor for all stocking.
            let spread = sources::spread(A::StockFactor.entry().spread);
            let volume = tank.volume.as_ref().map(|v| v.value.get());
            match crate::biology::load::fed(&tank.feed(), volume, &Nominal) {
                Ok(grams) => {
                    format!(
                        "= {} g a day, {spread}: assumed ({})",
                        sources::plain(rounded(grams)),
                        row.kind.word()
                    )
                }
                Err(_) => format!(
                    "{} {}, {spread}: assumed; the volume is missing",
                    sources::plain(row.value),
                    row.unit
                ),
            }
        }
    })
}

fn has_food(state: &State) -> bool {
    matches!(state.tank.as_deref().map(Tank::feed), Some(Feed::Daily(_)))
}

/// To two digits behind the point: more would say more than is known.
fn rounded(x: f64) -> f64 {
    (x * 100.0).round() / 100.0
}

/// What is told of the field under the cursor.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FieldHelp {
    pub says: String,
    pub write: String,
    /// What happens when it is left out.
    pub without: String,
    pub fits: String,
}

/// What is told of the field under the cursor.
pub fn told(state: &State) -> Option<FieldHelp> {
    let typed = state.line.as_ref();
    let at = match typed.map(|l| l.goal) {
        Some(Goal::Field(field)) => field,
        _ => state.tank_form.cursor,
    };
    let field = TANK_FIELDS.get(at)?;
    let fits = typed.map(lists::fits_here).unwrap_or_default();
    Some(FieldHelp {
        says: format!("{}: {}", field.label(), field.row.says),
        write: write(field),
        without: format!("left out: {}", field.without()),
        fits: if fits.is_empty() {
            String::new()
        } else {
            format!("fits here (Tab completes): {}", fits.join(" "))
        },
    })
}

/// How a field is written, in which units, and from where to where.
fn write(field: &TankField) -> String {
    let like = field.row.like;
    match field.entry() {
        Entry::Words => format!("one of {}", field.words().join(", ")),
        Entry::Text | Entry::List(_) => format!("written like {like}"),
        Entry::Figure => {
            let of = field.row;
            let units: Vec<&str> = field.units().iter().map(|u| u.name).collect();
            let units = if units.is_empty() { String::new() } else { format!("; units {}", units.join(" ")) };
            let sign = field
                .units()
                .iter()
                .find(|u| u.name == of.unit)
                .map_or(String::new(), |u| format!(" {}", u.sign));
            let (low, high) = (sources::plain(of.low), sources::plain(of.high));
            let sure = match of.printed {
                Printed::Exact => String::new(),
                _ => format!(", or measured({like}), guessed({like})"),
            };
            format!("written like {like}{sure}; {low} to {high}{sign}{units}")
        }
    }
}

pub fn area(state: &State) -> Area {
    let main = state.parts().main.unwrap_or_default();
    if main.w < BESIDE { main } else { Area { w: (main.w / 2).min(FORM), ..main } }
}

/// Where the builds stand beside it.
pub fn beside(state: &State) -> Option<Area> {
    let (main, form) = (state.parts().main?, area(state));
    (form.w < main.w).then(|| Area::new(main.x + form.w, main.y, main.w - form.w, main.h))
}

/// Rows kept below the form for what is said of the field under the cursor.
pub fn told_rows(area: Area) -> u16 {
    match area.inner().h {
        0..=3 => 0,
        4..=8 => 1,
        9..=15 => 3,
        16..=29 => 6,
        _ => 8,
    }
}

pub fn window(state: &State) -> usize {
    let area = area(state);
    usize::from(area.inner().h.saturating_sub(told_rows(area)))
}

/// Keeps cursor and window within what there is.
pub fn keep(state: &mut State) {
    let rows = window(state);
    if state.tank_form.choosing {
        let form = &mut state.tank_form;
        let len = form.choices.as_ref().map_or(0, Vec::len) + CHOICES.len();
        form.chosen = form.chosen.min(len - 1);
        form.top = keep_row_in_window(form.top, form.chosen + 1, rows, len + 1);
        return;
    }
    let lines = lines(state);
    let cursor = state.tank_form.cursor;
    let at = lines.iter().position(|l| *l == FormLine::Field(cursor)).unwrap_or(0);
    // The problem under the field and the heading above it come along.
    let last = at + usize::from(matches!(lines.get(at + 1), Some(FormLine::Problem(_))));
    let form = &mut state.tank_form;
    form.top = keep_row_in_window(form.top, last, rows, lines.len());
    let first = if at > 0 && matches!(lines.get(at - 1), Some(FormLine::Head(_))) { at - 1 } else { at };
    form.top = keep_row_in_window(form.top, if rows > 2 { first } else { at }, rows, lines.len());
}
