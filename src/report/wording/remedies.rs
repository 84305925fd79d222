//! What to add so that a measure can be told.

use crate::measures::Missing;

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
