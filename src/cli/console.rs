//! Where a command writes: results one way, remarks the other; and how it can fail.

use std::io::{self, Write};

use crate::report::{escape, page};

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    Fine,
    /// Some input was broken; the rest was shown.
    SomeBroken,
    WrongUsage,
    /// Nothing usable, or the result could not be written.
    NothingUsable,
    Signal(i32),
}

impl Status {
    /// The number that the shell gets; for a signal 128 and its number, as shells themselves tell it.
    pub fn code(self) -> u8 {
        match self {
            Self::Fine => 0,
            Self::SomeBroken => 1,
            Self::WrongUsage => 2,
            Self::NothingUsable => 3,
            Self::Signal(number) => u8::try_from(128 + number).unwrap_or(u8::MAX),
        }
    }
}

#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The command line asks for something that is not there.
    #[error("{0}")]
    Usage(String),
    #[error("{0}")]
    Nothing(String),
    #[error("the result could not be written: {0}")]
    Output(#[from] io::Error),
}

impl Failure {
    /// Its exit status. A closed pipe is not an error: the reader had enough.
    pub fn status(&self) -> Status {
        match self {
            Self::Usage(_) => Status::WrongUsage,
            Self::Output(error) if error.kind() == io::ErrorKind::BrokenPipe => Status::Fine,
            Self::Nothing(_) | Self::Output(_) => Status::NothingUsable,
        }
    }
}

#[expect(clippy::struct_excessive_bools, reason = "each is a yes or no of its own, set by name")]
pub struct Console<'a> {
    out: &'a mut dyn Write,
    err: &'a mut dyn Write,
    /// Nothing but ASCII in what people read.
    pub ascii: bool,
    /// Someone sits at a terminal that can place text, so the screens can open.
    pub terminal: bool,
    pub mono: bool,
    /// Someone watches standard error, so that long work tells how far it is.
    pub watched: bool,
    /// Columns of what is written: those of the terminal, else 100.
    pub width: usize,
}

impl<'a> Console<'a> {
    pub fn new(out: &'a mut dyn Write, err: &'a mut dyn Write, terminal: bool) -> Self {
        Self {
            out,
            err,
            ascii: false,
            terminal,
            mono: false,
            watched: false,
            width: page::Look::default().width,
        }
    }
    /// Writes a result, all of it, as it stands: `report` has escaped it.
    pub fn result(&mut self, text: &str) -> Result<(), Failure> {
        self.out.write_all(text.as_bytes())?;
        self.out.flush()?;
        Ok(())
    }
    /// Writes a remark, escaped. If even that cannot be written there is nobody to tell.
    pub fn remark(&mut self, text: &str) {
        let text = escape::lines(text);
        let text = if self.ascii { escape::ascii(&text) } else { text };
        let _ = writeln!(self.err, "{}", text.trim_end_matches('\n'));
        let _ = self.err.flush();
    }
    /// Tells why a command stopped, and gives the status.
    pub fn fail(&mut self, failure: &Failure) -> Status {
        let status = failure.status();
        if status != Status::Fine {
            self.remark(&format!("cansift: {failure}"));
        }
        status
    }
}
