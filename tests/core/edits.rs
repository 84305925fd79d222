//! Edits: applied and undone in any order they leave exactly what was there; what is refused changes nothing.

use std::sync::Arc;

use crate::filters::{self, Chance};
use cansift::library::{Library, demo, demo_tanks};
use cansift::model::edit::{Edit, EditError, MOST_LAYERS, Side, Workpiece, figure};
use cansift::model::filter::{Impeller, Lamp};
use cansift::model::medium::Medium;
use cansift::model::ranges;
use cansift::model::tray::{Amount, Dimples, Layer, Seal, SealCondition};
use cansift::place::Space;
use cansift::uncertainty::key::Spot;
use cansift::uncertainty::uncertain::Provenance;
use cansift::units::Quantity;

fn fig<Q: Quantity>(
    c: &mut Chance,
    what: &'static str,
    low: f64,
    high: f64,
) -> cansift::uncertainty::uncertain::Uncertain<Q> {
    figure("test", what, &ranges::SLACK, c.between(low, high), Provenance::Measured).unwrap()
}

fn some_layer(c: &mut Chance, media: &[Arc<Medium>]) -> Layer {
    let medium = media[c.below(media.len())].clone();
    let pad = medium.is_pad();
    Layer {
        amount: match c.below(4) {
            0 => Amount::Rest,
            1 => Amount::Volume(fig(c, "volume", 0.05e-3, 2e-3)),
            2 => Amount::Mass(fig(c, "mass", 0.01, 1.0)),
            _ => Amount::Depth(fig(c, "depth", 0.005, 0.06)),
        },
        slack: (pad && c.chance(0.3)).then(|| fig(c, "slack", 0.0, 3e-3)),
        hole: c.chance(0.1).then(|| fig(c, "hole", 1e-3, 30e-3)),
        squeezed: (pad && c.chance(0.2)).then(|| fig(c, "squeezed", 0.0, 0.5)),
        dimples: (pad && c.chance(0.2)).then_some(Dimples::Down),
        medium,
    }
}

/// Any edit at all, many of them illegal.
fn any_edit(c: &mut Chance, piece: &Workpiece, media: &[Arc<Medium>]) -> Edit {
    let trays = piece.filter.trays.len();
    let space = |c: &mut Chance| if c.chance(0.2) { None } else { Some(c.below(trays + 1)) };
    let place = |c: &mut Chance| (space(c), c.below(4));
    let at = place(c);
    match c.below(19) {
        0 | 1 => Edit::AddLayer { at, layer: Box::new(some_layer(c, media)) },
        2 => Edit::RemoveLayer { at },
        3 | 4 => Edit::MoveLayer { from: at, to: place(c) },
        5 => Edit::ReplaceLayer { at, layer: Box::new(some_layer(c, media)) },
        6 => Edit::SetMedium { at, medium: media[c.below(media.len())].clone() },
        7 => Edit::SetAmount { at, amount: some_layer(c, media).amount },
        8 => Edit::SetSlack { at, slack: c.chance(0.7).then(|| fig(c, "slack", -1e-3, 60e-3)) },
        9 => Edit::SetHole { at, hole: c.chance(0.7).then(|| fig(c, "hole", -1e-3, 300e-3)) },
        10 => Edit::SetSqueezed { at, squeezed: c.chance(0.7).then(|| fig(c, "squeezed", -0.1, 1.0)) },
        11 => Edit::SetDimples { at, dimples: c.chance(0.7).then_some(Dimples::Up) },
        12 => Edit::SetSeal {
            tray: c.below(trays + 1),
            seal: c
                .chance(0.8)
                .then(|| Seal { condition: SealCondition::Worn, gap: fig(c, "seal", -1e-3, 25e-3) }),
        },
        13 => Edit::SetHoseBore { bore: fig(c, "bore", -1e-3, 25e-3) },
        14 => Edit::SetFittingBore {
            side: if c.chance(0.5) { Side::Intake } else { Side::Return },
            index: c.below(5),
            bore: fig(c, "fitting", 1e-3, 25e-3),
        },
        15 => Edit::SetOutletHeight { height: fig(c, "height", -0.1, 0.5) },
        16 => match c.below(2) {
            0 => Edit::SetImpeller { impeller: Impeller::Share(fig(c, "impeller", -0.1, 1.2)) },
            _ => Edit::SetLamp {
                lamp: if c.chance(0.5) { Lamp::Absent } else { Lamp::Working },
                hours: c.chance(0.5).then(|| fig(c, "hours", -1.0, 1e7)),
            },
        },
        17 => Edit::Rename { name: format!("build {}", c.below(100)) },
        _ => Edit::All(vec![
            Edit::SetHoseBore { bore: fig(c, "bore", 5e-3, 25e-3) },
            Edit::MoveLayer { from: at, to: place(c) },
        ]),
    }
}

#[test]
fn two_hundred_random_edits_undo_and_redo_exactly() {
    let media: Vec<Arc<Medium>> = Library::shipped().media().cloned().collect();
    let tank = demo_tanks().remove(0).tank;
    let mut c = Chance(7);
    let (mut taken, mut refused) = (0, 0);
    for filter in demo().filters.into_iter().map(|sound| sound.filter) {
        for build in &filter.builds {
            let first = Workpiece::new(filter.clone(), build.clone(), Some(tank.clone()));
            let mut piece = first.clone();
            let mut undos = Vec::new();
            for _ in 0..200 {
                let edit = any_edit(&mut c, &piece, &media);
                let before = piece.clone();
                match piece.apply(&edit) {
                    Ok(undo) => {
                        let mut back = piece.clone();
                        back.apply(&undo).unwrap_or_else(|why| panic!("{why}: {undo:?}"));
                        assert_eq!(back, before, "{edit:?}");
                        undos.push(undo);
                        taken += 1;
                    }
                    Err(why) => {
                        assert_eq!(piece, before, "{why}: {edit:?}");
                        assert!(why.to_string().len() > 10);
                        refused += 1;
                    }
                }
            }
            let last = piece.clone();
            let mut redos = Vec::new();
            for undo in undos.iter().rev() {
                redos.push(piece.apply(undo).unwrap());
            }
            assert_eq!(piece, first, "undo all");
            for redo in redos.iter().rev() {
                piece.apply(redo).unwrap();
            }
            assert_eq!(piece, last, "redo all");
        }
    }
    assert!(taken > 500 && refused > 500, "{taken} {refused}");
}

#[test]
fn what_is_refused_says_why() {
    let filter = Arc::new(filters::three_trays());
    let mut piece = Workpiece::new(filter.clone(), filter.builds[0].clone(), None);
    let pad = |mm: f64| Box::new(filters::layer(&filters::floss(), mm, 0.0, 0.0, "pad"));
    let lumps = filters::lumps();
    let before = piece.clone();
    let mut says = |edit: Edit| piece.apply(&edit).unwrap_err();
    let at = (Some(0), 3);
    assert!(
        matches!(says(Edit::AddLayer { at, layer: pad(10.0) }), EditError::Overfull(Some(0), over) if (over - 5e-3).abs() < 1e-9)
    );
    assert_eq!(says(Edit::AddLayer { at: (Some(1), 2), layer: pad(10.0) }), EditError::OnTopOfRest(Some(1)));
    assert_eq!(
        says(Edit::SetAmount { at: (Some(0), 1), amount: Amount::Rest }),
        EditError::OnTopOfRest(Some(0))
    );
    assert_eq!(
        says(Edit::SetAmount { at: (Some(1), 0), amount: pad(80.0).amount }),
        EditError::NothingLeft(Some(1))
    );
    assert_eq!(says(Edit::RemoveLayer { at: (Some(5), 0) }), EditError::NoTray(5));
    assert_eq!(says(Edit::RemoveLayer { at: (Some(2), 2) }), EditError::NoLayer((Some(2), 2)));
    let slack = Some(filters::mm(1.0, "slack"));
    assert_eq!(
        says(Edit::SetSlack { at: (Some(1), 0), slack }),
        EditError::OnlyPads("slack at its edge", lumps.id.clone())
    );
    let wide = Some(filters::mm(40.0, "slack"));
    assert_eq!(says(Edit::SetSlack { at: (Some(0), 0), slack: wide }), EditError::NoArea((Some(0), 0)));
    assert_eq!(says(Edit::SetOutletHeight { height: filters::mm(10.0, "h") }), EditError::NoTank);
    assert_eq!(says(Edit::SetImpeller { impeller: Impeller::New }), EditError::NoUnit);
    assert_eq!(says(Edit::SetLamp { lamp: Lamp::Working, hours: None }), EditError::NoUv);
    let strainer = Edit::SetFittingBore { side: Side::Intake, index: 0, bore: filters::mm(10.0, "b") };
    assert_eq!(says(strainer), EditError::NoFitting(Side::Intake, 0));
    assert_eq!(
        says(Edit::SetStack { floor: Vec::new(), trays: Vec::new() }),
        EditError::TrayCount { given: 0, has: 3 }
    );
    let many = vec![*pad(1.0); MOST_LAYERS + 1];
    let trays = vec![many, Vec::new(), Vec::new()];
    assert_eq!(says(Edit::SetStack { floor: Vec::new(), trays }), EditError::TooMany(Some(0)));
    // All or none: the first of the two is legal.
    let both =
        Edit::All(vec![Edit::RemoveLayer { at: (Some(0), 0) }, Edit::RemoveLayer { at: (Some(9), 0) }]);
    assert_eq!(says(both), EditError::NoTray(9));
    assert_eq!(piece, before);
    // Another medium: what only pads have goes, and comes back.
    let undo = piece.apply(&Edit::SetMedium { at: (Some(0), 0), medium: lumps }).unwrap();
    assert!(piece.layer((Some(0), 0)).unwrap().slack.is_none());
    piece.apply(&undo).unwrap();
    assert_eq!(piece, before);
    let made: cansift::uncertainty::uncertain::Uncertain<cansift::units::Length> = piece
        .figure(Spot::from(Space::Tray(2)).part("seal"), &ranges::GAP, 0.05e-3, Provenance::Assumed)
        .unwrap();
    assert_eq!(made.key.name(), "hand-made/edit/trays/3/seal");
    assert!(made.key.measured_by().unwrap().contains("feeler gauge"));
}
