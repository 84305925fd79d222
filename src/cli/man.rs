//! `man`: the manual page, all commands on it; `completions`: a script for the shell, and what it asks back, the builds of
//! a file.

use std::path::Path;

use clap::CommandFactory;
use clap_complete::Shell;
use clap_mangen::Man;
use clap_mangen::roff::{Roff, bold, roman};

use super::args::{Args, Completions};
use super::pick::pick_filter;
use super::{Context, Failure, Status, help};
use crate::report::escape;

pub(super) fn man(context: &mut Context<'_, '_>) -> Result<Status, Failure> {
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

/// What stands beside the words of the command line: behind the `#` of `FILE#BUILD` the builds of that file. Shells that
/// are not listed complete the file alone.
const BUILDS: [(Shell, &str); 3] = [
    (
        Shell::Bash,
        r#"
_cansift_builds() {
    local word="${2//\\/}" build
    if [[ "$word" != *.ron#* ]]; then
        _cansift "$@"
        return
    fi
    COMPREPLY=()
    compopt -o filenames 2>/dev/null
    while IFS= read -r build; do
        if [[ "$build" == "$word"* ]]; then COMPREPLY+=("$build"); fi
    done < <(cansift completions --builds "${word%%#*}" 2>/dev/null)
}
complete -F _cansift_builds -o bashdefault -o default cansift
"#,
    ),
    (
        Shell::Zsh,
        r#"    if [[ "${(Q)PREFIX}" == *.ron\#* ]]; then
        local -a builds
        builds=(${(f)"$(cansift completions --builds "${${(Q)PREFIX}%%\#*}" 2>/dev/null)"})
        compadd -a builds
        return
    fi
"#,
    ),
    (
        Shell::Fish,
        r#"complete -c cansift -n "string match -q -- '*.ron#*' (commandline -ct)" -f -a "(cansift completions --builds (string replace -r '#.*' '' -- (commandline -ct)) 2>/dev/null)"
"#,
    ),
];
/// Where zsh's function begins.
const ZSH: &str = "_cansift() {\n";

pub(super) fn completions(context: &mut Context<'_, '_>, args: &Completions) -> Result<Status, Failure> {
    if let Some(file) = &args.builds {
        return builds(context, file);
    }
    let shell = args.shell.ok_or_else(|| Failure::Usage("say for which shell".to_owned()))?;
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Args::command(), "cansift", &mut script);
    let script = String::from_utf8_lossy(&script);
    let more = BUILDS.iter().find(|(of, _)| *of == shell).map_or("", |(_, more)| more);
    let script = match (shell, script.split_once(ZSH)) {
        (Shell::Zsh, Some((before, behind))) => format!("{before}{ZSH}{more}{behind}"),
        _ => format!("{script}{more}"),
    };
    context.console.result(&script)?;
    Ok(Status::Fine)
}

fn builds(context: &mut Context<'_, '_>, file: &Path) -> Result<Status, Failure> {
    let filter = pick_filter(context, &file.as_os_str().to_owned())?.filter;
    let name = file.to_string_lossy();
    for build in &filter.builds {
        context.console.result(&format!("{}\n", escape::one_line(&format!("{name}#{}", build.name))))?;
    }
    Ok(Status::Fine)
}
