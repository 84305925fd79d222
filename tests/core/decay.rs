//! Decay in a closed form.

use cansift::biology::decay::*;

#[test]
fn series_and_closed_form_meet() {
    for x in [0.0_f64, 1e-12, 1e-6, 0.01, 0.0499, 0.0501, 0.3, 2.0, 50.0, 1e30] {
        // `exp_m1` of the standard library is the other way to the same number.
        let left = if x == 0.0 { 1.0 } else { -(-x).exp_m1() / x };
        assert!((mean_left(x) - left).abs() <= 2e-14 * left, "{x}: {} {left}", mean_left(x));
        if x > 1e-3 {
            let added = (x + (-x).exp_m1()) / (x * x);
            assert!((mean_added(x) - added).abs() <= 1e-9 * added, "{x}");
        }
    }
    assert_eq!(mean_added(0.0), 0.5);
    assert!(left_over(1e300_f64) < 1e-300);
}
