//! One whole vessel solved by EPANET (through a Python package; `tests/reference/epanet_vessel.py` made the
//! data) and by our own solver, within 0.1 %. It checks solver and topology, not the physics.

use crate::vessel::{Vessel, number};

#[test]
fn our_solver_agrees_with_epanet() {
    let mut vessel = Vessel::new();
    let data = vessel.data.clone();
    let mut worst = 0.0f64;
    for case in data["cases"].as_object().unwrap().values() {
        let times = number(&case["media_times"]);
        let mut net = vessel.laid(times);
        vessel.solve(&mut net);
        let flows = &case["flows"];
        for (p, passage) in vessel.passages().iter().enumerate() {
            let name = passage["name"].as_str().unwrap();
            let theirs = number(&flows[name]);
            let off = (net.flow(p) / theirs - 1.0).abs();
            worst = worst.max(off);
            assert!(off < 1e-3, "{name} at {times} times: ours {} EPANET {theirs}", net.flow(p));
        }
    }
    assert!(worst > 0.0, "agreement to the last digit would be our own figures read back");
    println!("largest difference {worst:e}");
}
