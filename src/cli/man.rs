//! `cansift man`: the manual page, all commands on it.

use clap::CommandFactory;
use clap_mangen::Man;
use clap_mangen::roff::{Roff, bold, roman};

use super::args::Args;
use super::console::{Failure, Status};
use super::context::Context;
use super::help;

pub(super) fn run(context: &mut Context<'_, '_>) -> Result<Status, Failure> {
    let text = page()?;
    context.console.result(&text)?;
    Ok(Status::Fine)
}

pub fn page() -> Result<String, std::io::Error> {
    let mut bytes = Vec::new();
    let command = Args::command();
    // No date: the same program prints the same page.
    let man = Man::new(command.clone()).manual("Cansift manual");
    man.render_title(&mut bytes)?;
    man.render_name_section(&mut bytes)?;
    man.render_synopsis_section(&mut bytes)?;
    man.render_description_section(&mut bytes)?;
    man.render_options_section(&mut bytes)?;
    let mut roff = Roff::new();
    roff.control("SH", ["NOTES"]);
    as_it_stands(&mut roff, &help::overview());
    roff.control("SH", ["KEYS"]);
    as_it_stands(&mut roff, "As they ship; `cansift keys` prints those in force.");
    as_it_stands(&mut roff, &super::keys::shipped());
    for sub in command.get_subcommands().filter(|sub| sub.get_name() != "help") {
        roff.control("SH", [format!("cansift {}", sub.get_name()).to_uppercase().as_str()]);
        roff.text([bold(sub.get_about().map(ToString::to_string).unwrap_or_default())]);
        // The help as the program prints it, less its first line.
        let mut sub = sub.clone().bin_name(format!("cansift {}", sub.get_name())).term_width(90);
        as_it_stands(
            &mut roff,
            sub.render_long_help().to_string().split_once("\n\n").map_or("", |(_, rest)| rest),
        );
    }
    roff.to_writer(&mut bytes)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn as_it_stands(roff: &mut Roff, text: &str) {
    roff.control("PP", []).control("nf", []);
    for line in text.lines() {
        roff.text([roman(line.to_owned())]);
    }
    roff.control("fi", []);
}
