//! `cansift sources`: constants, assumptions, cautions, and what the model leaves out.

use super::console::{Failure, Status};
use super::context::Context;
use crate::report::sources;

pub(super) fn run(context: &mut Context<'_, '_>) -> Result<Status, Failure> {
    context.text(&sources::page())?;
    Ok(Status::Fine)
}
