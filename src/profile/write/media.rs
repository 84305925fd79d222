//! A medium that travels with its profile.

use super::figures::{figure, kept, text};
use super::{form, lines, word};
use crate::assumptions::Kind;
use crate::model::medium::{Bed, Medium};
use crate::model::ranges as r;

pub fn medium(medium: &Medium) -> String {
    let bed = match &medium.bed {
        Bed::Foam { ppi, void } => {
            form("foam", [figure("ppi", Some(ppi), &r::PPI), figure("void", Some(void), &r::VOID)])
        }
        Bed::Fibre { diameter, solidity } => form(
            "fibre",
            [figure("diameter", Some(diameter), &r::FIBRE), figure("solidity", Some(solidity), &r::SOLIDITY)],
        ),
        Bed::Pieces { size, void, sphericity } => form(
            "pieces",
            [
                figure("size", Some(size), &r::PIECE),
                figure("void", Some(void), &r::VOID),
                figure("sphericity", Some(sphericity), &r::SPHERICITY),
            ],
        ),
        Bed::Rings { outer, inner, length, void } => form(
            "rings",
            [
                figure("outer", Some(outer), &r::RING),
                figure("inner", Some(inner), &r::RING),
                figure("length", Some(length), &r::RING),
                figure("void", Some(void), &r::VOID),
            ],
        ),
    };
    let kind = match medium.kind {
        Kind::Published => "published",
        Kind::Practice => "practice",
        Kind::Ours => "ours",
    };
    let fields = [
        word("id", &text(&medium.id)),
        word("name", &text(&medium.name)),
        word("role", medium.role.word()),
        word("bed", &bed),
        figure("dry", Some(&medium.dry), &r::DRY),
        figure("surface", medium.surface.as_ref(), &r::SURFACE),
        kept("inner", &medium.inner, &r::INNER),
        figure("capture", Some(&medium.capture), &r::CAPTURE),
        figure("life", medium.life.as_ref(), &r::LIFE),
        figure("price", medium.price.as_ref(), &r::PRICE),
        medium.freshwater_only.then(|| "freshwater_only: true".to_owned()),
        medium.floats.then(|| "floats: true".to_owned()),
        word("source", &text(&medium.source)),
        word("kind", kind),
    ];
    format!("        Medium(\n{}        ),\n", lines(fields, 12))
}
