//! A hatch for each role of media. They differ in form, so they can be told apart without any colour: sparse
//! dashes, wide, crossed and close diagonals, waves, rings, crosses.

use crate::model::medium::Role;

/// The class that fills a shape with a role's hatch is its pattern's name.
pub fn name(role: Role) -> &'static str {
    role.word()
}

/// Where a role belongs in the colours: mechanical, housing bacteria, or other.
pub fn family(role: Role) -> &'static str {
    match role {
        Role::Coarse | Role::Medium => "m1",
        Role::Fine | Role::Polishing => "m2",
        Role::Biological => "bio",
        Role::Settlement | Role::Chemical => "other",
    }
}

/// The pattern, its id led by the picture's own so that two pictures in one page never meet.
pub fn pattern(role: Role, lead: &str) -> String {
    let (w, h, strokes) = match role {
        Role::Settlement => (18, 12, "<path d=\"M2 3h6M11 9h6\" STROKE stroke-width=\"1.6\"/>"),
        Role::Coarse => {
            (16, 16, "<path d=\"M-2 18L18 -2M-2 2L2 -2M14 18L18 14\" STROKE stroke-width=\"1.3\"/>")
        }
        Role::Medium => (
            10,
            10,
            "<path d=\"M-1 11L11 -1M-1 1L1 -1M9 11L11 9M-1 -1L11 11M-1 9L1 11M9 -1L11 1\" STROKE stroke-width=\"0.9\"/>",
        ),
        Role::Fine => (5, 5, "<path d=\"M-1 6L6 -1M-1 1L1 -1M4 6L6 4\" STROKE stroke-width=\"1.1\"/>"),
        Role::Polishing => (16, 7, "<path d=\"M0 3.5Q4 0 8 3.5T16 3.5\" STROKE stroke-width=\"1.2\"/>"),
        Role::Biological => (
            14,
            14,
            "<circle cx=\"4\" cy=\"4\" r=\"2.4\" STROKE stroke-width=\"1.2\"/>\
             <circle cx=\"11\" cy=\"11\" r=\"2.4\" STROKE stroke-width=\"1.2\"/>",
        ),
        Role::Chemical => (12, 12, "<path d=\"M3 1v4M1 3h4M9 7v4M7 9h4\" STROKE stroke-width=\"1.3\"/>"),
    };
    let family = family(role);
    let strokes = strokes.replace("STROKE", &format!("class=\"h-{family}\""));
    format!(
        "<pattern id=\"{lead}-{}\" width=\"{w}\" height=\"{h}\" patternUnits=\"userSpaceOnUse\">\
         <rect width=\"{w}\" height=\"{h}\" class=\"b-{family}\"/>{strokes}</pattern>",
        name(role)
    )
}
