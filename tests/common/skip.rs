//! A test that cannot run here says so, and fails where its tool is meant to be.

use std::io::Write;

/// Tools that are meant to be here, with spaces between: `.ci/run` names those it sees to.
const MEANT: &str = "CANSIFT_TEST_TOOLS";

/// Says that the test that calls this is skipped, past the harness, which would keep it for tests that fail.
/// A test of several threads calls it from its own: the thread's name is the test's.
pub fn skipped(tool: &str, why: &str) {
    let meant = std::env::var(MEANT).unwrap_or_default();
    assert!(meant.split_whitespace().all(|name| name != tool), "{tool} is meant to be here: {why}");
    let thread = std::thread::current();
    let test = thread.name().unwrap_or("a test");
    let _ = writeln!(std::io::stderr(), "skipped: {test}: {why}");
}
