//! Things to know about a build, each in one sentence.

use super::values;
use crate::assess::findings::Note;
use crate::assumptions::A;
use crate::measures::Missing;
use crate::message::{Amount, Message, message};
use crate::model::tank::Stock;
use crate::report::figures::{self, Units};

pub fn lines(notes: &[Note], units: Units) -> Vec<String> {
    notes.iter().map(|one| figures::said(&note(one), units)).collect()
}

pub fn note(note: &Note) -> Message {
    let words = match note {
        Note::NoTank => {
            return message!(
                "No tank is given, so ",
                Amount::Run(A::RunLength.entry().value),
                format!(
                    " of hose and {} bends each way and water of {} °C are assumed.",
                    values::as_given(A::RunBends.entry().value),
                    values::as_given(A::NoTankTemperature.entry().value)
                )
            );
        }
        Note::SaltAsFresh => "The tank is salt water, but density, oxygen and ammonia are computed as for \
                fresh water; sea water holds about a fifth less oxygen."
            .to_owned(),
        Note::FreshwaterOnly { medium } => {
            format!("{medium}: for fresh water only, and this tank is salt water; take it out.")
        }
        Note::MainsDiffer { printed, here } => {
            let k = here / printed;
            format!(
                "The pump's figures are for {} Hz and the mains here are {} Hz: flow × {}, head × {}, power up \
                     to × {} by the affinity laws; ask the maker whether it may run on these mains.",
                values::as_given(*printed),
                values::as_given(*here),
                values::number(k),
                values::number(k.powi(2)),
                values::number(k.powi(3))
            )
        }
        Note::FeedFromStock { stock, grams } => format!(
            "Food is taken from \"{}\", {} g a day, which is common practice and may be half or twice that; \
                 weigh what you feed for a week.",
            match stock {
                Stock::Light => "lightly stocked",
                Stock::Normal => "normally stocked",
                Stock::Heavy => "heavily stocked",
            },
            values::number(*grams)
        ),
        Note::EndsOnly => format!(
            "The pump is known only by its two ends, so what it gives between them is an estimate with n = {}; \
                 a bucket test settles it.",
            values::as_given(A::PumpExponent.entry().value)
        ),
        Note::LabelAbove { printed, delivered } => {
            return message!(
                "The box says ",
                Amount::Flow(*printed),
                "; ",
                Amount::Flow(*delivered),
                " arrive."
            );
        }
        Note::LittleTurnover { turnover, aim } => format!(
            "It turns the tank over {} times an hour; the aim is {}.",
            values::number(*turnover),
            values::as_given(*aim)
        ),
        Note::MostPasses { bypass } => format!(
            "Most water passes the finest stage from the first day ({}), so the time between openings says little.",
            values::percent(*bypass)
        ),
        Note::ByTheCalendar => {
            format!("Nothing says open it in {}: open it by the calendar.", figures::horizon())
        }
        Note::SpentBeforeService { medium, lasts, service } => format!(
            "{medium}: spent after {}, before it needs opening ({}).",
            values::days(*lasts),
            values::days(*service)
        ),
        Note::Floats { medium, at } => {
            format!("{medium} in {at}: may float, so hold it down with a pad or a grid.")
        }
        Note::FloorLast { holds: true } => {
            "The water falls, so it meets the floor last, and what lies there \
                works only on water that has passed the trays."
                .to_owned()
        }
        Note::FloorLast { holds: false } => {
            "The water falls, so dirt reaches the trays before it can settle on the floor.".to_owned()
        }
        Note::ThinMargin { margin } => format!(
            "Ripe media take {} of the ammonia that feeding makes: test the water, and do not add fish.",
            values::percent(*margin)
        ),
        Note::NeverAllAtOnce { litres } => {
            return message!(
                "Never clean all ",
                Amount::Volume(*litres),
                " of biological media at once: rinse a part, in tank water."
            );
        }
        Note::PumpStops { hours } => format!(
            "If the pump stops, oxygen in the shut vessel is scarce after {}; what then stands in it must not \
                 be pumped into the tank.",
            if *hours < 2.0 { format!("{:.0} minutes", hours * 60.0) } else { format!("{hours:.0} hours") }
        ),
        Note::DeadLamp => {
            "The dead UV lamp is mercury-bearing waste: unplug the filter before you take it out, \
                and bring it to a collection point."
                .to_owned()
        }
        Note::Heavy { mass } => {
            return message!(
                "It weighs ",
                Amount::Mass(*mass),
                " full: unplug it, shut the taps, and lift it with care or with help."
            );
        }
    };
    words.into()
}

/// What a person can do about it, one sentence.
pub fn remedy(why: Missing) -> &'static str {
    match why {
        Missing::NoPumpCurve => {
            "Give the pump a `curve`: `ends(flow: …, head: …)` from the box, or `points([…])` from a bucket, a \
             watch and an outlet lifted step by step."
        }
        Missing::NoMechanicalMedia => {
            "Put a layer in it whose role is coarse, medium, fine or polishing, such as foam or floss."
        }
        Missing::NothingToClean => "Put a layer of media in it.",
        Missing::NoTank => "Name a tank with `--tank`, or choose one on screen.",
        Missing::NoTankVolume => "Give the tank its `volume`.",
        Missing::NoFeed => {
            "Give the tank `feed: Feed(daily: g_day(…))`, weighed over a week, or `stock: light`, `normal` or \
             `heavy`."
        }
        Missing::NothingToNitrify => "Give the tank a feed above zero, if it is fed.",
        Missing::NoWaterChange => "Give the tank `water_change: (share: …, every: day(…))`.",
        Missing::NoUv => "Nothing to add: there is no chamber. With one, give it as `uv: Uv(…)`.",
        Missing::LampBurntOut => {
            "With a new lamp, write `lamp: working` in the unit block; its price belongs in `to_fix`. Unplug it \
             before you change the lamp."
        }
        Missing::LampAbsent => {
            "With a lamp fitted, write `lamp: working` in the unit block; its price belongs in `to_fix`."
        }
        Missing::NoUnit => {
            "Give the profile a `unit: Unit(…)` block: asking price, what is to be fixed, what comes with it."
        }
        Missing::NoAskingPrice => "Give the unit block `asking`, 0 for a gift.",
        Missing::NoPrice => {
            "Give a `price` to every medium that must be bought or wears out, and to the lamp if it works."
        }
        Missing::NoPowerPrice => "Give the tank `power_price`, in its money a kilowatt hour.",
        Missing::NoPower => "Give the pump its `power`, from the plate or a plug-in meter.",
        Missing::NoOutside => {
            "Measure the vessel and give `body: Body(outside: (width: …, depth: …, height: …))`."
        }
        Missing::NoDryMass => "Weigh the empty vessel and give `dry_mass` in `body`.",
        Missing::NoCabinet => "Measure the cabinet's inside and give the tank `cabinet`.",
        Missing::NoSamples => {
            "Run with `--samples` above 0 (512 unless told otherwise): simulated cases are counted."
        }
        Missing::NotSolved => {
            "Look at the outlet's height, the pump's head and flow, and the impeller: a height that the pump \
             cannot lift, or figures that do not belong together, have no flow."
        }
        Missing::NoVessel => "Give the profile its `trays`, with shape and height.",
    }
}
