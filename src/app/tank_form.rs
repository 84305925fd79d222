//! The Tank screen: the tank as a form of texts, each checked by the reader of files; what changes it, and back.

use std::path::Path;
use std::sync::Arc;

use super::effect::Effect;
use super::layout::{self, Area};
use super::line::{Done, Goal, Line as Typed};
use super::state::State;
use crate::filter::tank::Tank;
use crate::library::Library;
use crate::profile::{FieldProblem, TANK_FIELDS, read_tank_texts, tank_texts, write_tank_texts};

/// Most steps that can be undone.
const MOST_STEPS: usize = 500;
/// From this width on, what the builds come to stands beside the form.
const BESIDE: u16 = 100;

/// What a key does on the Tank screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Do {
    /// Type into the field under the cursor.
    Edit,
    /// Leave the field under the cursor out.
    Clear,
    /// Take the last change back.
    Undo,
    /// Make it again.
    Redo,
    /// Choose another tank.
    Choose,
    /// Start from the chosen one.
    Start,
    /// Save in a new file.
    Save,
}

/// Something the form asks of the world outside.
#[derive(Clone, Debug, PartialEq)]
pub enum Ask {
    /// Find tanks.
    List,
    /// Save a tank in a new file.
    Save {
        /// The file as it was typed.
        file: String,
        /// What it is to hold.
        text: String,
    },
}

/// What came of it.
#[derive(Clone, Debug)]
pub enum Answer {
    /// Tanks that were found.
    Listed(Vec<Choice>),
    /// A tank was saved in that file, or why not.
    Saved(Result<String, String>),
}

/// A tank to start from.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Where it lies, as people know it.
    pub from: String,
    /// The tank, or why it cannot be used.
    pub tank: Result<Arc<Tank>, String>,
}

/// The form.
#[derive(Clone, Debug, Default)]
pub struct TankForm {
    /// The text of each field, in the order of [`TANK_FIELDS`].
    pub texts: Vec<String>,
    /// What is wrong with them.
    pub problems: Vec<FieldProblem>,
    /// The field under the cursor.
    pub cursor: usize,
    /// First line in the window.
    pub top: usize,
    /// Tanks to start from, once they were looked for.
    pub choices: Option<Vec<Choice>>,
    /// The list of tanks is in view.
    pub choosing: bool,
    /// Which of it is chosen.
    pub chosen: usize,
    /// Where a new file goes.
    pub folder: String,
    /// The texts as last loaded or saved.
    kept: Vec<String>,
    past: Vec<Vec<String>>,
    future: Vec<Vec<String>>,
    /// The tank that the texts were read to, or came from.
    of: Option<Arc<Tank>>,
    /// Tanks were asked for.
    asked: bool,
}

/// A line of the form.
#[derive(Clone, Debug, PartialEq)]
pub enum Line {
    /// Begins a part.
    Head(&'static str),
    /// A field.
    Field(usize),
    /// What is wrong with the field above.
    Problem(String),
}

impl TankForm {
    /// Something differs from what was loaded or saved last.
    pub fn changed(&self) -> bool {
        self.texts != self.kept
    }
    /// There is something to take back.
    pub fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }
    /// There is something to make again.
    pub fn can_redo(&self) -> bool {
        !self.future.is_empty()
    }
    /// The problem of a field.
    pub fn problem(&self, field: usize) -> Option<&FieldProblem> {
        self.problems.iter().find(|p| p.field == field)
    }

    /// Takes texts as a new state that can be undone.
    fn step_to(&mut self, texts: Vec<String>) {
        let was = std::mem::replace(&mut self.texts, texts);
        if !was.is_empty() {
            self.past.push(was);
            if self.past.len() > MOST_STEPS {
                self.past.remove(0);
            }
        }
        self.future.clear();
    }
}

/// The parts of the form, by the field each begins with.
fn head(path: &str) -> Option<&'static str> {
    Some(match path {
        "name" => "Tank",
        "water/temperature" => "Water",
        "feed/daily" => "Feeding",
        "hoses/suction" => "Hoses",
        "water_change/share" => "Water changes",
        "aims/turnover" => "Aims",
        "budget" => "Money and mains",
        "cabinet/width" => "Cabinet",
        "on_hand" => "Choosing",
        _ => return None,
    })
}

/// The lines of the form, from the top.
pub fn lines(state: &State) -> Vec<Line> {
    let mut out = Vec::new();
    for (i, field) in TANK_FIELDS.iter().enumerate() {
        out.extend(head(&field.path()).map(Line::Head));
        out.push(Line::Field(i));
        if let Some(said) = problem_now(state, i) {
            out.push(Line::Problem(said));
        }
    }
    out
}

/// What is wrong with a field, as it stands or as it is being typed.
pub fn problem_now(state: &State, field: usize) -> Option<String> {
    let said = |p: &FieldProblem| match &p.problem.help {
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

/// Where the form stands.
pub fn area(state: &State) -> Area {
    let main = state.parts().main.unwrap_or_default();
    if main.w < BESIDE { main } else { Area { w: main.w * 6 / 11, ..main } }
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
        9..=15 => 2,
        _ => 4,
    }
}

/// Rows of the form's window.
fn window(state: &State) -> usize {
    let area = area(state);
    usize::from(area.inner().h.saturating_sub(told_rows(area)))
}

/// Moves the cursor by fields, or in the list of tanks.
pub fn step(state: &mut State, by: isize) {
    let form = &mut state.tank_form;
    if form.choosing {
        let len = form.choices.as_ref().map_or(0, Vec::len) + 1;
        form.chosen = form.chosen.saturating_add_signed(by).min(len - 1);
    } else {
        form.cursor = form.cursor.saturating_add_signed(by).min(TANK_FIELDS.len() - 1);
    }
    keep(state);
}

/// Moves by windows.
pub fn page(state: &mut State, by: isize) {
    let rows = isize::try_from(window(state).saturating_sub(1).max(1)).unwrap_or(1);
    step(state, by.saturating_mul(rows));
}

/// Puts the cursor on what stands at a cell, and types into it where it was there already.
pub fn press(state: &mut State, x: u16, y: u16) {
    let inner = area(state).inner();
    if !inner.holds(x, y) {
        return;
    }
    let at = usize::from(y - inner.y);
    if state.tank_form.choosing {
        let rows = state.tank_form.choices.as_ref().map_or(0, Vec::len) + 1;
        if let Some(row) = (state.tank_form.top + at).checked_sub(1).filter(|row| *row < rows) {
            state.tank_form.chosen = row;
        }
    } else if at < window(state)
        && let Some(Line::Field(field)) = lines(state).get(state.tank_form.top + at)
    {
        state.tank_form.cursor = *field;
    }
}

/// Keeps cursor and window within what there is.
pub fn keep(state: &mut State) {
    let rows = window(state);
    if state.tank_form.choosing {
        let form = &mut state.tank_form;
        let len = form.choices.as_ref().map_or(0, Vec::len) + 2;
        form.top = layout::keep_row_in_window(form.top, form.chosen + 1, rows, len);
        return;
    }
    let lines = lines(state);
    let cursor = state.tank_form.cursor;
    let at = lines.iter().position(|l| *l == Line::Field(cursor)).unwrap_or(0);
    // The problem under the field and the heading above it come along.
    let last = at + usize::from(matches!(lines.get(at + 1), Some(Line::Problem(_))));
    let form = &mut state.tank_form;
    form.top = layout::keep_row_in_window(form.top, last, rows, lines.len());
    let first = if at > 0 && matches!(lines.get(at - 1), Some(Line::Head(_))) { at - 1 } else { at };
    form.top = layout::keep_row_in_window(form.top, if rows > 2 { first } else { at }, rows, lines.len());
}

/// After anything happened while the screen is in view: follows a tank that came from elsewhere, and looks for
/// tanks the first time.
pub fn follow(state: &mut State) -> Vec<Effect> {
    let form = &mut state.tank_form;
    if let Some(tank) = &state.tank
        && form.of.as_ref().is_none_or(|of| !Arc::ptr_eq(of, tank))
    {
        form.of = Some(Arc::clone(tank));
        let texts = tank_texts(tank);
        form.kept.clone_from(&texts);
        form.step_to(texts);
        form.problems.clear();
        form.choosing = false;
    }
    if form.texts.is_empty() {
        form.texts = vec![String::new(); TANK_FIELDS.len()];
        form.kept.clone_from(&form.texts);
        form.choosing = state.tank.is_none();
    }
    let first = !std::mem::replace(&mut form.asked, true);
    keep(state);
    if first { vec![Effect::Form(Ask::List)] } else { Vec::new() }
}

/// Does what a key asks.
pub fn act(state: &mut State, what: Do) -> Vec<Effect> {
    let form = &mut state.tank_form;
    match what {
        Do::Edit => {
            let text = form.texts.get(form.cursor).map_or("", String::as_str);
            state.line = Some(Typed::new(Goal::Field(form.cursor), text));
        }
        Do::Clear => return set(state, String::new()),
        Do::Undo => {
            if let Some(was) = form.past.pop() {
                let now = std::mem::replace(&mut form.texts, was);
                form.future.push(now);
                return read(state);
            }
        }
        Do::Redo => {
            if let Some(next) = form.future.pop() {
                let now = std::mem::replace(&mut form.texts, next);
                form.past.push(now);
                return read(state);
            }
        }
        Do::Choose => {
            form.choosing = true;
            form.top = 0;
            keep(state);
            return vec![Effect::Form(Ask::List)];
        }
        Do::Start => return start(state),
        Do::Save => {
            let name = file_name(form.texts.first().map_or("", String::as_str));
            let path = Path::new(&form.folder).join(name);
            state.line = Some(Typed::new(Goal::SaveTank, &path.to_string_lossy()));
        }
    }
    Vec::new()
}

/// Starts from the chosen tank, or from an empty form.
fn start(state: &mut State) -> Vec<Effect> {
    let form = &mut state.tank_form;
    let texts = match form.chosen.checked_sub(1) {
        None => {
            let mut texts = vec![String::new(); TANK_FIELDS.len()];
            if let Some(name) = texts.first_mut() {
                "my tank".clone_into(name);
            }
            texts
        }
        Some(i) => match form.choices.as_ref().and_then(|all| all.get(i)).map(|c| &c.tank) {
            Some(Ok(tank)) => tank_texts(tank),
            Some(Err(why)) => {
                state.told = Some(format!("it cannot be used: {why}"));
                return Vec::new();
            }
            None => return Vec::new(),
        },
    };
    form.choosing = false;
    form.cursor = 0;
    form.top = 0;
    form.kept.clone_from(&texts);
    form.step_to(texts);
    read(state)
}

/// A line was typed for the form.
pub fn taken(state: &mut State, line: &Typed, done: Done) -> Vec<Effect> {
    let Done::Take(on) = done else { return Vec::new() };
    match line.goal {
        Goal::Field(field) => {
            state.tank_form.cursor = field;
            let effects = set(state, line.text().trim().to_owned());
            if state.tank_form.problem(field).is_none() {
                step(state, on);
            }
            effects
        }
        Goal::SaveTank => {
            let file = line.text().trim().to_owned();
            if file.is_empty() {
                state.told = Some("no file was named: nothing is saved".to_owned());
                return Vec::new();
            }
            let text = write_tank_texts(&state.tank_form.texts);
            vec![Effect::Form(Ask::Save { file, text })]
        }
        _ => Vec::new(),
    }
}

/// Sets the field under the cursor.
fn set(state: &mut State, text: String) -> Vec<Effect> {
    let form = &mut state.tank_form;
    let mut texts = form.texts.clone();
    let Some(field) = texts.get_mut(form.cursor) else { return Vec::new() };
    if *field == text {
        return Vec::new();
    }
    *field = text;
    form.step_to(texts);
    read(state)
}

/// Reads the form: a sound one is the tank from now on, and every build is judged for it.
fn read(state: &mut State) -> Vec<Effect> {
    let form = &mut state.tank_form;
    let result = read_tank_texts(&form.texts, Library::shipped());
    let mut effects = Vec::new();
    match result {
        Ok(tank) => {
            form.problems.clear();
            if state.tank.as_deref() != Some(&tank) {
                let tank = Arc::new(tank);
                form.of = Some(Arc::clone(&tank));
                state.take_tank(tank);
                effects.push(Effect::Judge);
            }
        }
        Err(problems) => {
            let count = problems.len();
            form.problems = problems;
            let things = if count == 1 { "one problem".to_owned() } else { format!("{count} problems") };
            let still = if state.tank.is_some() { "; figures are still for the tank as it was" } else { "" };
            state.told = Some(format!("the form has {things}{still}"));
        }
    }
    keep(state);
    effects
}

/// Takes in what came of an ask.
pub fn answer(state: &mut State, answer: Answer) {
    let form = &mut state.tank_form;
    match answer {
        Answer::Listed(choices) => {
            form.chosen = form.chosen.min(choices.len());
            // The first tank, rather than the empty form, is what most will want.
            if form.choices.is_none() && !choices.is_empty() {
                form.chosen = 1;
            }
            form.choices = Some(choices);
            keep(state);
        }
        Answer::Saved(Ok(file)) => {
            form.kept.clone_from(&form.texts);
            state.told = Some(format!("saved in {file}; start with it: --tank {file}"));
        }
        Answer::Saved(Err(why)) => state.told = Some(format!("not saved: {why}")),
    }
}

/// One step back on this screen; whether there was one.
pub fn back(state: &mut State) -> bool {
    let form = &mut state.tank_form;
    let was = form.choosing && state.tank.is_some();
    if was {
        form.choosing = false;
        form.top = 0;
        keep(state);
    }
    was
}

/// A file name for a tank's name: letters and digits of any script, the rest as dashes.
fn file_name(name: &str) -> String {
    let mut out = String::new();
    for c in name.trim().to_lowercase().chars().take(60) {
        if c.is_alphanumeric() {
            out.push(c);
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    let out = out.trim_end_matches('-');
    format!("{}.ron", if out.is_empty() { "tank" } else { out })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_becomes_a_file_name() {
        assert_eq!(file_name("Reading-room tank!"), "reading-room-tank.ron");
        assert_eq!(file_name("café / 窓"), "café-窓.ron");
        assert_eq!(file_name("../.."), "tank.ron");
    }

    #[test]
    fn every_head_is_that_of_a_field() {
        let heads = TANK_FIELDS.iter().filter_map(|f| head(&f.path())).count();
        assert_eq!(heads, 9);
    }
}
