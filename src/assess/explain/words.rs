//! Figures as a person writes them, for the steps of a derivation.

use crate::units::{litres_an_hour, trimmed};

/// So many significant digits, no exponent, no idle zeros.
fn significant(x: f64, digits: i32) -> String {
    if !x.is_finite() {
        return "–".to_owned();
    }
    // What is smaller than a millionth is nothing to a person.
    if x.abs() < 1e-9 {
        return "0".to_owned();
    }
    let places = (digits - 1 - x.abs().log10().floor() as i32).clamp(0, 9);
    let text = format!("{x:.*}", places as usize);
    trimmed(&text).replace('-', "−")
}

/// A worked-out figure: three significant digits.
pub fn number(x: f64) -> String {
    significant(x, 3)
}

/// A figure as it was given: up to six digits.
pub fn as_given(x: f64) -> String {
    significant(x, 6)
}

/// A share as per cent.
pub fn percent(x: f64) -> String {
    let percent = x * 100.0;
    if percent > 0.0 && percent < 0.05 {
        return "under 0.1 %".to_owned();
    }
    if percent.abs() < 10.0 || (percent > 99.0 && percent < 99.95) {
        format!("{} %", significant((percent * 10.0).round() / 10.0, 2 + i32::from(percent > 99.0)))
    } else {
        format!("{percent:.0} %")
    }
}

/// m3/s as l/h.
pub fn flow(q: f64) -> String {
    let lh = litres_an_hour(q);
    if lh.abs() < 10.0 { format!("{} l/h", significant(lh, 2)) } else { format!("{lh:.0} l/h") }
}

/// m of water.
pub fn head(m: f64) -> String {
    if m.abs() < 0.01 { format!("{} mm of water", significant(m * 1e3, 2)) } else { format!("{m:.3} m") }
}

/// m3 as l.
pub fn litres(v: f64) -> String {
    format!("{} l", number(v * 1e3))
}

/// m as mm.
pub fn mm(x: f64) -> String {
    format!("{} mm", number(x * 1e3))
}

/// m2 as cm2.
pub fn square_cm(x: f64) -> String {
    format!("{} cm2", number(x * 1e4))
}

/// kg.
pub fn kilograms(x: f64) -> String {
    format!("{} kg", number(x))
}

/// Grams.
pub fn grams(x: f64) -> String {
    format!("{} g", number(x))
}

/// mg/l.
pub fn mg(x: f64) -> String {
    format!("{} mg/l", number(x))
}

/// Days.
pub fn days(x: f64) -> String {
    format!("{} days", if x < 10.0 { significant(x, 2) } else { format!("{x:.0}") })
}

/// Money of a tank.
pub fn money(x: f64, currency: &str) -> String {
    format!("{x:.2} {currency}").trim_end().replace('-', "−")
}

/// Terms of a sum: `a + b + c`; a negative one as `a − b`.
pub fn sum(terms: &[String]) -> String {
    if terms.is_empty() { "nothing".to_owned() } else { terms.join(" + ").replace("+ −", "− ") }
}

/// A noun with its count: `1 layer`, `3 layers`.
pub fn count(n: usize, one: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_read_as_a_person_writes_them() {
        assert_eq!(number(0.0123456), "0.0123");
        assert_eq!(number(640.4), "640");
        assert_eq!(number(123_456.0), "123456");
        assert_eq!(number(0.5), "0.5");
        assert_eq!(number(-2.25), "−2.25");
        assert_eq!(number(0.0), "0");
        assert_eq!(number(f64::NAN), "–");
        assert_eq!(as_given(12.5), "12.5");
        assert_eq!(as_given(0.05 / 1e-3 * 1e-3), "0.05");
        assert_eq!(percent(0.25), "25 %");
        assert_eq!(percent(0.0514), "5.1 %");
        assert_eq!(percent(0.0), "0 %");
        assert_eq!(percent(0.0001), "under 0.1 %");
        assert_eq!(percent(0.9983), "99.8 %");
        assert_eq!(percent(1.0), "100 %");
        assert_eq!(head(0.0042), "4.2 mm of water");
        assert_eq!(sum(&["1".to_owned(), "−2".to_owned()]), "1 − 2");
        assert_eq!(money(9.0, ""), "9.00");
    }
}
