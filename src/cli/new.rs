//! `cansift new`: a profile from three numbers, or a tank; on a terminal what is not said is asked for.

use std::io::BufRead;
use std::path::{Path, PathBuf};

use super::args::New;
use super::{Console, Context, Failure, Status};
use crate::library::Library;
use crate::model::Way;
use crate::profile::starter::{self, Asked};
use crate::profile::{plain, read_tank};
use crate::units::Units;

pub(super) fn run(context: &mut Context<'_, '_>, args: &New) -> Result<Status, Failure> {
    let asks = context.console.terminal;
    let mut input = std::io::stdin().lock();
    let units = context.units;
    let mut asker = Asker { console: context.console, input: &mut input, units, asks, invented: Vec::new() };
    let (file, text) = asker.file(args)?;
    let invented = asker.invented.join(", ");
    if file.as_os_str() == "-" {
        context.console.result(&text)?;
        return Ok(Status::Fine);
    }
    context.save_new(&file, &text)?;
    if !invented.is_empty() {
        context.console.remark(&format!("cansift: invented, to be typed over: {invented}"));
    }
    let name = file.display();
    let then = if args.tank {
        format!("cansift: wrote `{name}`; `--tank {name}` judges for it")
    } else {
        format!(
            "cansift: wrote `{name}`; `cansift {name}` shows it, `cansift next {name}` says what to measure first"
        )
    };
    context.console.remark(&then);
    if file.extension().is_none_or(|end| end != "ron") {
        context
            .console
            .remark("cansift: its name does not end in .ron, so it is not found when a folder is read");
    }
    Ok(Status::Fine)
}

/// Asks for what the command line does not say.
struct Asker<'a, 'c> {
    console: &'a mut Console<'c>,
    input: &'a mut dyn BufRead,
    units: Units,
    asks: bool,
    invented: Vec<&'static str>,
}

impl Asker<'_, '_> {
    fn file(&mut self, args: &New) -> Result<(PathBuf, String), Failure> {
        let said: [Option<&str>; 3] = if args.tank {
            [args.volume.as_deref(), args.stocking.as_deref(), None]
        } else {
            [args.flow.as_deref(), args.trays.as_deref(), args.outside.as_deref()]
        };
        let asked: &[Asked] = if args.tank { &starter::TANK } else { &starter::FILTER };
        // Whoever says a number or a file that is taken is told at once, before anything is asked.
        let told: Vec<Option<String>> = asked
            .iter()
            .zip(said)
            .map(|(asked, said)| said.map(|said| self.read(asked, said)).transpose())
            .collect::<Result<_, _>>()?;
        let file = match &args.file {
            Some(file) => file.clone(),
            None if self.asks => PathBuf::from(self.line("file to write")?),
            None => {
                return Err(Failure::Usage(
                    "say which file to write: `cansift new my-filter.ron`".to_owned(),
                ));
            }
        };
        if file.as_os_str() != "-" && file.symlink_metadata().is_ok() {
            return Err(Failure::Usage(format!(
                "there is a file called {} already: nothing was written",
                file.display()
            )));
        }
        let mut values = Vec::new();
        for (asked, told) in asked.iter().zip(told) {
            values.push(match told {
                Some(told) => told,
                None if self.asks => self.ask(asked)?,
                None => {
                    self.invented.push(asked.words);
                    asked.guess()
                }
            });
        }
        let name = args.name.clone().unwrap_or_else(|| named(&file, args.tank));
        let text = match values.as_slice() {
            [flow, trays, outside] => {
                starter::filter(&name, [flow, trays, outside], args.way.unwrap_or(Way::Rising))
                    .map_err(|broken| Failure::Usage(starter::unfit(&broken)))?
            }
            [volume, stocking] => {
                let text = starter::tank(&name, volume, Some(stocking));
                read_tank(Path::new("new.ron"), &text, Library::shipped()).map_err(|broken| {
                    let why = broken.problems.first().map_or_else(String::new, |p| p.message.clone());
                    Failure::Usage(format!("this makes no tank: {why}"))
                })?;
                text
            }
            _ => String::new(),
        };
        Ok((file, text))
    }

    fn read(&self, asked: &Asked, said: &str) -> Result<String, Failure> {
        asked
            .read(said, self.units)
            .map(|read| read.ron)
            .map_err(|unclear| Failure::Usage(format!("{}: {}", asked.words, unclear.said)))
    }

    fn ask(&mut self, asked: &Asked) -> Result<String, Failure> {
        loop {
            let said = self.line(&format!("{} ({})", asked.words, plain::example(asked.row, self.units)))?;
            match asked.read(&said, self.units) {
                Ok(read) => {
                    self.console.remark(&format!("  read as {}", read.echo));
                    return Ok(read.ron);
                }
                Err(unclear) => self.console.remark(&format!("  {}", unclear.said)),
            }
        }
    }

    fn line(&mut self, what: &str) -> Result<String, Failure> {
        self.console.remark(&format!("{what}?"));
        let mut line = String::new();
        match self.input.read_line(&mut line) {
            Ok(0) | Err(_) => Err(Failure::Usage("nothing more was typed: nothing was written".to_owned())),
            Ok(_) => Ok(line.trim().to_owned()),
        }
    }
}

/// A name for people out of the file's.
fn named(file: &Path, tank: bool) -> String {
    let stem =
        file.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().replace(['-', '_'], " "));
    let stem = stem.trim().to_owned();
    match (stem.is_empty(), tank) {
        (true, true) => "my tank".to_owned(),
        (true, false) => "my filter".to_owned(),
        _ => crate::hidden::visible(&stem),
    }
}
