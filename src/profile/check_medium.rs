//! Lists: media and named fittings.

use super::check::{Check, Owner};
use super::check_hoses::Piece;
use super::schema;
use super::spanned::{At, Form, List};
use crate::assumptions::Kind;
use crate::library::{NamedFitting, Part};
use crate::model::medium::{Bed, Medium, Role};
use crate::model::ranges as r;
use crate::uncertainty::key::Spot;

/// Most entries of a list.
pub const MAX_ENTRIES: usize = 1000;

impl Check<'_, '_, '_> {
    /// Media of a list, each with keys of its own under `prefix`; ids must differ.
    pub fn media(&mut self, list: &List<schema::Medium>) -> Vec<Medium> {
        self.of_own_ids(list, "medium", Self::one_medium, |form| form.id.as_ref(), |medium| &medium.id)
    }

    /// What stands in a list, one after the other; a second of an id is told and left out.
    fn of_own_ids<F: Form, T>(
        &mut self,
        list: &List<F>,
        noun: &str,
        one: impl Fn(&mut Self, &F, &Owner) -> Option<T>,
        id_at: impl Fn(&F) -> Option<&At<String>>,
        id: impl Fn(&T) -> &str,
    ) -> Vec<T> {
        let mut all: Vec<T> = Vec::new();
        for at in list {
            if self.reader.full() {
                break;
            }
            let Some((form, owner)) = self.form(at) else { continue };
            let Some(new) = one(self, &form, &owner) else { continue };
            if all.iter().any(|other| id(other) == id(&new)) {
                let place = id_at(&form).map_or(owner.head, |at| self.reader.place(at));
                self.reader.fault(
                    place,
                    format!("a second {noun} is called `{}`", id(&new)),
                    Some(format!("give each {noun} an id of its own")),
                );
                continue;
            }
            all.push(new);
        }
        all
    }

    fn one_medium(&mut self, form: &schema::Medium, owner: &Owner) -> Option<Medium> {
        let id =
            self.required(form.id.as_ref(), owner, "id").and_then(|at| self.id(at, "the id of a medium"));
        let here = Spot::from("media").id(id.as_deref().unwrap_or("?"));
        let key = |field| here.part(field);
        let name = self
            .required(form.name.as_ref(), owner, "name")
            .and_then(|at| self.name(at, "the medium's name"));
        let role = self
            .required(form.role.as_ref(), owner, "role")
            .and_then(|at| self.reader.get(at))
            .map(|form| role(&form));
        let bed = self.required(form.bed.as_ref(), owner, "bed").and_then(|at| self.bed(at, &key));
        let dry = self.needed(form.dry.as_ref(), owner, "dry", &r::DRY, &key("dry"));
        let surface = self.figure(form.surface.as_ref(), &r::SURFACE, &key("surface"));
        let inner = match &form.inner {
            Some(_) => self.figure(form.inner.as_ref(), &r::INNER, &key("inner")),
            None => Some(self.assumed(crate::units::Plain::of(0.0), &key("inner"), &r::INNER)),
        };
        let capture = self.needed(form.capture.as_ref(), owner, "capture", &r::CAPTURE, &key("capture"));
        let life = self.figure(form.life.as_ref(), &r::LIFE, &key("life"));
        let price = self.figure(form.price.as_ref(), &r::PRICE, &key("price"));
        let freshwater_only = self.optional(form.freshwater_only.as_ref()).unwrap_or(false);
        let floats = self.optional(form.floats.as_ref()).unwrap_or(false);
        let source =
            self.required(form.source.as_ref(), owner, "source").map(|at| self.notes(Some(at), "the source"));
        let kind = self
            .required(form.kind.as_ref(), owner, "kind")
            .and_then(|at| self.reader.get(at))
            .map(|form| kind(&form));
        Some(Medium {
            id: id.clone()?,
            name: name?,
            role: role?,
            bed: bed?,
            dry: dry?,
            surface,
            inner: inner?,
            capture: capture?,
            life,
            price,
            freshwater_only,
            floats,
            source: source?,
            kind: kind?,
        })
    }

    fn bed(&mut self, at: &At<schema::Bed>, key: &dyn Fn(&'static str) -> Spot) -> Option<Bed> {
        let (form, owner) = self.form(at)?;
        match &form {
            schema::Bed::Foam { ppi, void } => {
                let ppi = self.needed(ppi.as_ref(), &owner, "ppi", &r::PPI, &key("ppi"));
                let void = self.needed(void.as_ref(), &owner, "void", &r::VOID, &key("void"));
                Some(Bed::Foam { ppi: ppi?, void: void? })
            }
            schema::Bed::Fibre { diameter, solidity } => {
                let diameter =
                    self.needed(diameter.as_ref(), &owner, "diameter", &r::FIBRE, &key("diameter"));
                let solidity =
                    self.needed(solidity.as_ref(), &owner, "solidity", &r::SOLIDITY, &key("solidity"));
                Some(Bed::Fibre { diameter: diameter?, solidity: solidity? })
            }
            schema::Bed::Pieces { size, void, sphericity } => {
                let size = self.needed(size.as_ref(), &owner, "size", &r::PIECE, &key("size"));
                let void = self.needed(void.as_ref(), &owner, "void", &r::VOID, &key("void"));
                let sphericity = self.needed(
                    sphericity.as_ref(),
                    &owner,
                    "sphericity",
                    &r::SPHERICITY,
                    &key("sphericity"),
                );
                Some(Bed::Pieces { size: size?, void: void?, sphericity: sphericity? })
            }
            schema::Bed::Rings { outer, inner, length, void } => {
                let bore_at = inner.as_ref();
                let outer = self.needed(outer.as_ref(), &owner, "outer", &r::RING, &key("outer"));
                let inner = self.needed(inner.as_ref(), &owner, "inner", &r::RING_BORE, &key("bore"));
                let length = self.needed(length.as_ref(), &owner, "length", &r::RING, &key("length"));
                let void = self.needed(void.as_ref(), &owner, "void", &r::VOID, &key("void"));
                let (outer, inner) = (outer?, inner?);
                if inner.si() >= outer.si() {
                    self.fault(
                        bore_at?,
                        "the bore of this ring is not smaller than its outside",
                        "swap `outer` and `inner`?",
                    );
                    return None;
                }
                Some(Bed::Rings { outer, inner, length: length?, void: void? })
            }
        }
    }

    /// Named fittings of a list; ids must differ.
    pub fn fittings(&mut self, list: &List<schema::Fitting>) -> Vec<NamedFitting> {
        self.of_own_ids(list, "fitting", Self::one_fitting, |form| form.id.as_ref(), |fitting| &fitting.id)
    }

    fn one_fitting(&mut self, form: &schema::Fitting, owner: &Owner) -> Option<NamedFitting> {
        let id =
            self.required(form.id.as_ref(), owner, "id").and_then(|at| self.id(at, "the id of a fitting"));
        let name = self
            .required(form.name.as_ref(), owner, "name")
            .and_then(|at| self.name(at, "the fitting's name"));
        let key = Spot::from("fittings").id(id.as_deref().unwrap_or("?"));
        let part = self.required(form.is.as_ref(), owner, "is").and_then(|at| self.piece(at, &key, &key));
        let source =
            self.required(form.source.as_ref(), owner, "source").map(|at| self.notes(Some(at), "the source"));
        let kind = self
            .required(form.kind.as_ref(), owner, "kind")
            .and_then(|at| self.reader.get(at))
            .map(|form| kind(&form));
        let part = match part? {
            Piece::Fitting(fitting) => Part::Fitting(fitting),
            Piece::Outlet(outlet) => Part::Outlet(outlet),
        };
        Some(NamedFitting { id: id?, name: name?, part, source: source?, kind: kind? })
    }
}

fn role(form: &schema::Role) -> Role {
    match form {
        schema::Role::Settlement => Role::Settlement,
        schema::Role::Coarse => Role::Coarse,
        schema::Role::Medium => Role::Medium,
        schema::Role::Fine => Role::Fine,
        schema::Role::Polishing => Role::Polishing,
        schema::Role::Biological => Role::Biological,
        schema::Role::Chemical => Role::Chemical,
    }
}

fn kind(form: &schema::Kind) -> Kind {
    match form {
        schema::Kind::Published => Kind::Published,
        schema::Kind::Practice => Kind::Practice,
        schema::Kind::Ours => Kind::Ours,
    }
}
