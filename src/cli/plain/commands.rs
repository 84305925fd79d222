//! The words of the dialogue, as a table: help is drawn from it.

use super::super::{Failure, suggest};
use super::Dialogue;
use crate::app::effect::Choice;
use crate::app::panes::Pane;
use crate::app::screen::NOTHING_LISTED;
use crate::app::screens::builds;
use crate::app::{By, Column, Id, Message, Over, SortKey, Tab};
use crate::measures::Measure;
use crate::report::figures::Units;
use crate::report::reasons;
use crate::ui::{self, spoken};

/// What a command does, given what stands behind its word.
type Act = fn(&mut Dialogue<'_, '_>, &str) -> Result<(), Failure>;

pub struct Command {
    pub words: &'static [&'static str],
    pub takes: &'static str,
    pub says: &'static str,
    pub act: Act,
}

macro_rules! table {
    ($([$($word:literal),+] $takes:literal $says:literal $act:expr;)+) => {
        /// The table, in the order of help.
        pub const COMMANDS: &[Command] =
            &[$(Command { words: &[$($word),+], takes: $takes, says: $says, act: $act }),+];
    };
}

table! {
    ["help", "?"] "[WORD]" "the commands, or those that hold a word" help;
    ["list", "builds"] "" "every build with its chosen figures, one a line" |d, _| list(d);
    ["next"] "" "the next build of the list" |d, _| step(d, "down");
    ["previous", "before"] "" "the build before" |d, _| step(d, "up");
    ["show"] "[N]" "every figure of build N of the list, with low and high or why it cannot be told" show;
    ["explain"] "[N] MEASURE" "how a figure came about, or why it cannot be told" explain;
    ["inside", "section"] "[N]" "trays and layers from the bottom up, and where water slips past" |d, n| pane(d, n, Pane::Inside);
    ["order", "staging"] "[N]" "the order of the media and the rules it breaks" |d, n| pane(d, n, Pane::Order);
    ["slows", "head"] "[N]" "what uses up the pump's lift, and what would gain most" |d, n| pane(d, n, Pane::Slows);
    ["curve"] "[N]" "where pump and hoses meet, clean and dirty" |d, n| pane(d, n, Pane::Curve);
    ["weeks"] "[N]" "flow and bypass over the weeks, and what says: open it" |d, n| pane(d, n, Pane::Opening);
    ["suits"] "[N]" "the largest tank it suits, by stocking and by limit" |d, n| pane(d, n, Pane::Suits);
    ["notes"] "[N]" "what to know about a build; the problems of a broken file" |d, n| pane(d, n, Pane::Notes);
    ["sort"] "[-]MEASURE" "sort the list; with a dash the greatest first; `name` sorts by name" sort;
    ["search", "narrow"] "[TEXT]" "keep only builds that hold the text; without one keep all" narrow;
    ["columns"] "MEASURE,…" "the figures of the list" figures;
    ["mark"] "N…" "mark builds for comparing, or unmark them" mark;
    ["compare", "diff"] "[N N…]" "is one better: two to four builds side by side, what differs; without numbers the marked ones" diff;
    ["all"] "" "in compare also what is the same; again only what differs" |d, _| { screen(d, Tab::Compare); act(d, "all"); lines(d) };
    ["why"] "MEASURE" "why the first two of compare differ in a measure" why;
    ["rank", "ranking"] "" "how the builds stand for the tank, and what to measure next" |d, _| { screen(d, Tab::Ranking); lines(d) };
    ["weigh"] "MEASURE NUMBER" "let a priority count more or less, 0 to 5, and the places with it" weigh;
    ["restack"] "[N]" "the trays of build N to work in, each layer a line; what can be done there help lists" |d, n| open(d, n, Tab::Restack);
    ["filter"] "[N]" "the file of build N's filter as a form, each field a line" |d, n| open(d, n, Tab::Filter);
    ["tank"] "" "the tank as a form, each field a line" |d, n| open(d, n, Tab::Tank);
    ["sources"] "" "everything behind the figures, one a line" |d, n| open(d, n, Tab::Sources);
    ["screen"] "" "all of the screen in view again; `on` stands before the line under the cursor" |d, _| whole(d);
    ["units"] "metric|us|uk" "what units are read" units;
    ["again"] "" "read the files again" again;
    ["where"] "" "what is loaded, which tank, which screen" |d, _| place(d);
    ["quit", "leave", "exit", "q"] "" "leave" |d, _| { d.left = true; Ok(()) };
}

fn help(d: &mut Dialogue<'_, '_>, wanted: &str) -> Result<(), Failure> {
    let wanted = wanted.to_lowercase();
    let mut any = false;
    for c in COMMANDS {
        let word = c.words.first().copied().unwrap_or_default();
        let gap = if c.takes.is_empty() { "" } else { " " };
        let line = format!("{word}{gap}{}: {}", c.takes, c.says);
        if line.to_lowercase().contains(&wanted) {
            any = true;
            d.say(Some(&line))?;
        }
    }
    let place = crate::app::actions::behind(&d.state);
    if wanted.is_empty() {
        d.say(Some(
            "on the screens restack, tank and sources, and anywhere else, an action by its own name:",
        ))?;
    }
    for row in crate::app::actions::of_place(place) {
        let line = format!("{}: {}", row.name, row.says);
        let is_command = COMMANDS.iter().any(|c| c.words.contains(&row.name));
        if !is_command && line.to_lowercase().contains(&wanted) {
            any = true;
            d.say(Some(&line))?;
        }
    }
    if any { Ok(()) } else { d.say(Some("no command does that")) }
}

pub fn list(d: &mut Dialogue<'_, '_>) -> Result<(), Failure> {
    to(d, Tab::Builds);
    if d.state.rows.is_empty() {
        return d.say(Some(NOTHING_LISTED));
    }
    lines(d)
}

/// All that the screen in view holds.
fn lines(d: &mut Dialogue<'_, '_>) -> Result<(), Failure> {
    let page = ui::plain::page(&d.state);
    d.lines(&page.lines)?;
    d.lines(&page.more)
}

fn whole(d: &mut Dialogue<'_, '_>) -> Result<(), Failure> {
    let page = ui::plain::page(&d.state);
    d.lines(&page.whole())
}

/// A screen to work in, of a build by its number; without one, of that under the cursor.
fn open(d: &mut Dialogue<'_, '_>, number: &str, tab: Tab) -> Result<(), Failure> {
    // A list that lies over the stack would keep it.
    for _ in 0..3 {
        if !number.is_empty() && d.state.restack.over() != Over::Nothing {
            screen(d, Tab::Restack);
            act(d, "back");
        }
    }
    if matches!(tab, Tab::Restack | Tab::Filter) {
        if !choose_row(d, number)? {
            return Ok(());
        }
        if matches!(d.state.cursor, Some(Id::Broken(_))) {
            return d.say(Some("a broken file has no trays and no form: notes tells its problems"));
        }
    }
    screen(d, tab);
    whole(d)
}

fn here(d: &mut Dialogue<'_, '_>) -> Result<(), Failure> {
    let Some(id) = d.state.cursor else { return d.say(Some(NOTHING_LISTED)) };
    let line = spoken::line(&d.state, Some(d.state.row_here() + 1), id);
    d.say(Some(&line))
}

fn to(d: &mut Dialogue<'_, '_>, screen: Tab) {
    choose(d, Choice::Close);
    if d.state.screen != screen || d.state.pane != Pane::Table {
        choose(d, Choice::Screen(screen));
    }
}

fn screen(d: &mut Dialogue<'_, '_>, screen: Tab) {
    to(d, screen);
    d.wait(super::settled, super::ANSWER);
}

fn choose(d: &mut Dialogue<'_, '_>, choice: Choice) {
    d.take(Message::Choose(choice));
}

fn act(d: &mut Dialogue<'_, '_>, name: &str) {
    d.ask(Message::Act(name.to_owned()));
}

fn step(d: &mut Dialogue<'_, '_>, name: &str) -> Result<(), Failure> {
    to(d, Tab::Builds);
    let was = d.state.cursor;
    act(d, name);
    if d.state.cursor == was {
        d.say(Some("the list ends here"))?;
    }
    here(d)
}

/// Puts the cursor on a build by its number; whether it is there.
fn choose_row(d: &mut Dialogue<'_, '_>, number: &str) -> Result<bool, Failure> {
    to(d, Tab::Builds);
    let Some(id) = d.number(number)? else { return Ok(false) };
    choose(d, Choice::Row(id));
    Ok(true)
}

fn show(d: &mut Dialogue<'_, '_>, number: &str) -> Result<(), Failure> {
    if choose_row(d, number)? {
        here(d)?;
        let lines = ui::screens::builds::all_of(&d.state);
        d.lines(&lines)?;
    }
    Ok(())
}

fn pane(d: &mut Dialogue<'_, '_>, number: &str, pane: Pane) -> Result<(), Failure> {
    if choose_row(d, number)? {
        let name = d.state.here().map(|e| e.name.clone());
        d.say(name.map(|name| format!("{} of {name}", pane.name())).as_deref())?;
        let lines = ui::screens::builds::in_words(&d.state, pane);
        d.lines(&lines)?;
    }
    Ok(())
}

fn measure(d: &mut Dialogue<'_, '_>, word: &str) -> Result<Option<Measure>, Failure> {
    let found = suggest::measure(&word.replace('-', "_"));
    if let Err(why) = &found {
        d.lines(&why.lines().map(str::to_owned).collect::<Vec<_>>())?;
    }
    Ok(found.ok())
}

fn column(d: &mut Dialogue<'_, '_>, word: &str) -> Result<Option<Column>, Failure> {
    match Column::from_key(word) {
        Some(column) => Ok(Some(column)),
        None => Ok(measure(d, word)?.map(Column::from)),
    }
}

fn explain(d: &mut Dialogue<'_, '_>, rest: &str) -> Result<(), Failure> {
    let (number, word) = match rest.split_once(char::is_whitespace) {
        Some((number, word)) => (number, word.trim()),
        None => ("", rest),
    };
    let Some(measure) = measure(d, word)? else { return Ok(()) };
    if !choose_row(d, number)? {
        return Ok(());
    }
    let Some(Id::Build(entry)) = d.state.cursor else {
        return d.say(Some("a broken file has no figures: notes tells its problems"));
    };
    d.ask(Message::Choose(Choice::Explain(entry, measure)));
    lines(d)?;
    choose(d, Choice::Close);
    Ok(())
}

fn sort(d: &mut Dialogue<'_, '_>, word: &str) -> Result<(), Failure> {
    let (down, word) = word.strip_prefix('-').map_or((false, word), |w| (true, w));
    let by = if word == "name" {
        By::Name
    } else {
        let Some(column) = column(d, word)? else { return Ok(()) };
        By::from(column)
    };
    choose(d, Choice::Sort(SortKey { by, falling: down }));
    list(d)
}

fn narrow(d: &mut Dialogue<'_, '_>, wanted: &str) -> Result<(), Failure> {
    choose(d, Choice::Narrow(wanted.to_owned()));
    list(d)
}

fn figures(d: &mut Dialogue<'_, '_>, words: &str) -> Result<(), Failure> {
    let mut chosen = Vec::new();
    for word in words.split([',', ' ']).filter(|w| !w.is_empty()) {
        match column(d, word)? {
            Some(m) if !chosen.contains(&m) => chosen.push(m),
            Some(_) => {}
            None => return Ok(()),
        }
    }
    choose(d, Choice::Columns(chosen));
    list(d)
}

fn mark(d: &mut Dialogue<'_, '_>, numbers: &str) -> Result<(), Failure> {
    to(d, Tab::Builds);
    for number in if numbers.is_empty() { vec![""] } else { numbers.split_whitespace().collect() } {
        let Some(id) = d.number(number)? else { return Ok(()) };
        match id {
            Id::Build(_) => choose(d, Choice::Mark(id)),
            Id::Broken(_) => d.say(Some(builds::NO_BUILD))?,
        }
    }
    let count = d.state.marks.len();
    d.say(Some(&format!("{count} marked")))
}

fn diff(d: &mut Dialogue<'_, '_>, numbers: &str) -> Result<(), Failure> {
    if !numbers.is_empty() {
        let mut marks = Vec::new();
        for number in numbers.split_whitespace() {
            match d.number(number)? {
                Some(id @ Id::Build(_)) if !marks.contains(&id) => marks.push(id),
                Some(_) => {}
                None => return Ok(()),
            }
        }
        choose(d, Choice::Marks(marks));
    }
    screen(d, Tab::Compare);
    lines(d)
}

fn why(d: &mut Dialogue<'_, '_>, word: &str) -> Result<(), Failure> {
    let Some(wanted) = measure(d, word)? else { return Ok(()) };
    screen(d, Tab::Compare);
    let lines = crate::app::screens::compare::lines(&d.state);
    let at = lines
        .iter()
        .position(|l| matches!(l, crate::app::screens::compare::Compared::Measure(m) if *m == wanted));
    let Some(at) = at else { return d.say(Some("they do not differ in it, or nothing is compared")) };
    d.ask(Message::Choose(Choice::Why(at)));
    let pair = crate::app::screens::compare::pair_here(&d.state);
    let because = pair.and_then(|pair| d.state.whys.get(&pair).cloned().flatten());
    let said = match because {
        Some(Ok(why)) => reasons::why(&why, wanted, d.state.units),
        Some(Err(none)) => format!("why it differs cannot be told: {none}"),
        None => "why it differs is not known yet".to_owned(),
    };
    d.say(Some(&said))
}

fn weigh(d: &mut Dialogue<'_, '_>, rest: &str) -> Result<(), Failure> {
    let (word, number) = rest.split_once(char::is_whitespace).unwrap_or((rest, ""));
    let Some(wanted) = measure(d, word)? else { return Ok(()) };
    let Some(number) = number.trim().parse::<f64>().ok().filter(|x| (0.0..=5.0).contains(x)) else {
        return d.say(Some("a priority counts from 0 to 5"));
    };
    screen(d, Tab::Ranking);
    if !d.state.ranking.weights.iter().any(|(m, _)| *m == wanted) {
        return d.say(Some("that measure is none of the tank's priorities"));
    }
    d.ask(Message::Choose(Choice::Weight(wanted, number)));
    lines(d)
}

fn units(d: &mut Dialogue<'_, '_>, word: &str) -> Result<(), Failure> {
    let Some(units) = Units::from_word(&word.to_lowercase()) else {
        return d.say(Some("units are metric, us or uk"));
    };
    choose(d, Choice::Units(units));
    list(d)
}

fn again(d: &mut Dialogue<'_, '_>, _rest: &str) -> Result<(), Failure> {
    act(d, "read_again");
    place(d)?;
    list(d)
}

fn place(d: &mut Dialogue<'_, '_>) -> Result<(), Failure> {
    let said = format!("{}; screen {}", d.head(), d.state.screen.name());
    d.say(Some(&said))
}
