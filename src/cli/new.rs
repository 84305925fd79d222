//! `cansift new`: a commented profile to fill in.

use super::args::New;
use super::console::{Failure, Status};
use super::context::Context;
use crate::model::filter::Way;

pub(super) fn run(context: &mut Context<'_, '_>, args: &New) -> Result<Status, Failure> {
    let text = template(usize::from(args.trays), args.way);
    if args.file.as_os_str() == "-" {
        context.console.result(&text)?;
        return Ok(Status::Fine);
    }
    context.save_new(&args.file, &text)?;
    context
        .console
        .remark(&format!("cansift: wrote `{}`; fill it in, then `cansift check` it", args.file.display()));
    if args.file.extension().is_none_or(|end| end != "ron") {
        context
            .console
            .remark("cansift: its name does not end in .ron, so it is not found when a folder is read");
    }
    Ok(Status::Fine)
}

/// A whole profile with invented figures and a note beside each.
pub fn template(trays: usize, way: Way) -> String {
    let (word, says) = match way {
        Way::Rising => ("rising", "up through the trays; `falling` for downward"),
        Way::Falling => ("falling", "down through the trays; `rising` for upward"),
    };
    let tray = "        Tray(shape: rect(width: guessed(mm(180)), depth: guessed(mm(160))), height: guessed(mm(80)), grid: guessed(0.45), seal: lip(gap: guessed(mm(0.05)))),\n";
    let floor =
        if way == Way::Rising { "[Layer(media: \"ceramic-ring-12\", depth: guessed(mm(20)))]" } else { "[]" };
    let mut text = HEAD.replace("@WAY", word).replace("@SAYS", says);
    for _ in 0..trays {
        text.push_str(tray);
    }
    text.push_str(&MIDDLE.replace("@FLOOR", floor));
    for i in 0..trays {
        // Counted along the water: the first tray it meets takes the pads.
        let met = if way == Way::Rising { i } else { trays - 1 - i };
        text.push_str(&packing(met, trays == 1, way));
    }
    text.push_str(TAIL);
    text
}

fn packing(met: usize, alone: bool, way: Way) -> String {
    let pad = |id: &str, depth: u8| {
        format!(
            "                    Layer(media: \"{id}\", depth: guessed(mm({depth})), slack: guessed(mm(0.5))),\n"
        )
    };
    let mut layers = if alone {
        vec![
            pad("foam-20", 20),
            pad("foam-30", 20),
            "                    Layer(media: \"sintered-lump-20\", depth: guessed(mm(35))),\n".to_owned(),
        ]
    } else if met == 0 {
        vec![pad("foam-10", 25), pad("foam-20", 25), pad("foam-30", 25)]
    } else {
        return "                [Layer(media: \"sintered-lump-20\", fill: rest)],\n".to_owned();
    };
    if way == Way::Falling {
        layers.reverse();
    }
    format!("                [\n{}                ],\n", layers.concat())
}

const HEAD: &str = r#"// One physical filter, and the ways it has been packed. Every figure below is
// invented and marked guessed(...): put in your own, and say how you know it.
// Unplug the filter before you open it.
//
// A number says its unit:    mm(16)  inch(0.63)  l_h(1100)  gal_us_h(290)  kg(4.2)  m(1.7)
// and how far to trust it:   measured(mm(16))            read off a ruler, a bucket, a meter
//                            mm(16) or stated(mm(16))    printed on the box
//                            guessed(mm(16))             from memory or a photo
//                            between(mm(15), mm(17))     anywhere from one to the other
// What you do not know, leave out: the figures that need it then show a dash and say why.
Filter(
    format: 1,
    name: "my filter",
    notes: "",
    label: Label(flow: guessed(l_h(1000)), tank: guessed(l(250))),        // what the box promises
    pump: Pump(
        taken: at_ports,                                                  // or at_impeller: where the figures below were taken
        curve: ends(flow: guessed(l_h(1000)), head: guessed(m(1.6))),     // or points([(l_h(0), m(1.6)), (measured(l_h(600)), m(0.8))])
        power: guessed(w(16)),
        // hz: 50,                                                        // mains the figures were taken on
    ),
    way: @WAY,                                                            // the water goes @SAYS
    hose: Hose(bore: guessed(mm(16)), wall: smooth),                      // or ribbed(pitch: mm(4))
    intake: [strainer(), connector(bore: guessed(mm(12.5))), tap(bore: guessed(mm(12.5)))],  // as the water meets them; also elbow(1)
    return: [tap(bore: guessed(mm(12.5))), connector(bore: guessed(mm(12.5))), outlet(open)],  // or outlet(jet(bore: mm(13)))
                                                                          // or outlet(spray_bar(bore: mm(13), holes: 20, hole: mm(3), pitch: mm(20)))
    body: Body(
        outside: (width: guessed(mm(230)), depth: guessed(mm(210)), height: guessed(mm(400))),
        dry_mass: guessed(kg(4.0)),                                       // empty and dry: kitchen or luggage scales
        floor: Floor(shape: rect(width: guessed(mm(185)), depth: guessed(mm(165))), height: guessed(mm(25))),  // space under the lowest tray
        down_tube: (bore: guessed(mm(22)), length: guessed(mm(300))),     // add joint: mm(0.05) where the trays themselves form the tube
        head_space: guessed(l(1.0)),                                      // water above the top tray
    ),
    // Trays, bottom to top. Shapes: rect(width:, depth:, corner:), round(diameter:), oval(width:, depth:),
    // dee(width:, depth:), sector(radius:, angle:), outline(points: [(0, 0), (180, 0), (90, 160)]) in mm,
    // measured_fill(volume:, perimeter:). Any may carry less: [round(diameter: mm(26))] for a tube through it.
    // Seals: lip, worn or missing, each with the gap a feeler gauge finds. grid: open share of the tray's floor.
    trays: [
"#;

const MIDDLE: &str = r#"    ],
    // handling: Handling(priming: push, release: block, clasps: 4),
    // uv: Uv(lamp: w(7), hours: h(2000), sleeve: mm(24), shell: mm(44), length: mm(150), price: 18.0),
    // unit: Unit(asking: 40.0, spares: scarce, age: year(5), impeller: 0.95, lamp: absent,
    //     to_fix: [("tray seal set", 9.0)], includes: ["foam-20"]),   // this very unit, when it is second-hand
    // Packings, as many as you like: `cansift media` lists what a layer may hold. A layer says exactly one of
    // depth, volume, mass, or fill: rest. slack is the clear width round its edge; hole: mm(25) is a hole in it.
    builds: [
        Build(
            name: "first packing",
            floor: @FLOOR,
            trays: [                                     // bottom to top, and bottom to top within each
"#;

const TAIL: &str = "            ],\n        ),\n    ],\n)\n";
