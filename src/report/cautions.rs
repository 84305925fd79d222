//! The cautions, worded once: help, `sources`, the reports and the README all show these.

/// What everyone who opens a filter should know, the most dangerous first.
pub const CAUTIONS: [&str; 9] = [
    "Unplug the filter, and everything else in the water, before you open it or put a hand in.",
    "Give every cable a drip loop, and run the tank from a socket with a residual current device. Repairs to mains parts are for a qualified electrician; local electrical rules come first.",
    "Never look at a lit UV-C lamp: it burns eyes and skin. Unplug it before the chamber is opened.",
    "A UV lamp holds mercury. Air the room if one breaks, do not vacuum, and hand it in as hazardous waste.",
    "A full canister is heavy: see its full weight before you lift it, and carry it level.",
    "A leak empties a tank onto a floor: close the taps first, check the seals, and watch it for an hour after every opening.",
    "Do not clean or replace all biological media at once: the livestock depends on what lives in it.",
    "Every figure is an estimate, and no licence to overstock. Test the water.",
    "The maker's instructions come before anything said here.",
];

/// Stands above what is left out.
pub const LEFT_OUT_HEAD: &str = "What the model leaves out";
/// What the model leaves out, so that nobody reads a figure for more than it is.
pub const LEFT_OUT: [&str; 12] = [
    "Cabinet height does not load the pump: both hose ends are under the same water, so the static head is zero. Only an outlet held above the surface costs head.",
    "Water spreads evenly over each layer; channels inside a bed, and media that settle or collapse with age, are not told.",
    "How dirt makes media resist was measured elsewhere, on other dirt: times between openings are known to a factor of two, until your own log says more.",
    "Dirt in the impeller's well and on the impeller: the pump is as the file says. Clean it before you believe a flow.",
    "Air in the vessel, priming, noise and vibration.",
    "Leaks to the outside, and whether the unit is electrically safe.",
    "Bacteria are taken as settled in: a new or freshly cleaned filter carries far less for its first weeks.",
    "Gravel, glass and wood nitrify too: they count only where a figure says that it is with the tank. Plants count for nitrate alone.",
    "What chemical media bind: only their place, volume, mass and price are.",
    "Sea water is computed as fresh water, and says so.",
    "Medicines, pH swings, the toxicity of what is left, and the needs of any one animal.",
    "The rule of thumb of tank size by kilograms of porous media is common practice, no source; the physics here confirms such media as nitrifiers, not that they remove all nitrate.",
];
