//! Days by their date: `2026-03-01`. Counted from 1 January 1970, as everything here counts days.

use std::fmt;

/// A day of the Gregorian calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(pub i64);

/// Years that a log may speak of.
const YEARS: std::ops::RangeInclusive<i64> = 1990..=2200;

impl Day {
    /// Of a date as files have it; none where there is no such day.
    pub fn read(text: &str) -> Option<Self> {
        let mut parts = text.splitn(3, '-');
        let mut number = |digits: usize| {
            let part = parts.next().filter(|p| p.len() == digits && p.bytes().all(|b| b.is_ascii_digit()))?;
            part.parse::<i64>().ok()
        };
        let (year, month, day) = (number(4)?, number(2)?, number(2)?);
        let there = YEARS.contains(&year) && (1..=12).contains(&month) && (1..=31).contains(&day);
        let made = Self::of(year, month, day);
        // The 31st of a shorter month is another day.
        (there && made.date() == (year, month, day)).then_some(made)
    }

    /// Years begin in March, so that the day put in stands last; 400 of them are 146,097 days.
    fn of(year: i64, month: i64, day: i64) -> Self {
        let year = if month > 2 { year } else { year - 1 };
        let of_year = (153 * ((month + 9) % 12) + 2) / 5 + day - 1;
        Self(
            365 * year + year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400) + of_year - 719_468,
        )
    }

    /// As people say it: `22 March`, in the year that is spoken of.
    pub fn said(self) -> String {
        const MONTHS: [&str; 12] = [
            "January",
            "February",
            "March",
            "April",
            "May",
            "June",
            "July",
            "August",
            "September",
            "October",
            "November",
            "December",
        ];
        let (_, month, day) = self.date();
        let month = usize::try_from(month - 1).ok().and_then(|at| MONTHS.get(at));
        format!("{day} {}", month.unwrap_or(&""))
    }

    pub fn date(self) -> (i64, i64, i64) {
        let days = self.0 + 719_468;
        let (age, rest) = (days.div_euclid(146_097), days.rem_euclid(146_097));
        let years = (rest - rest / 1_460 + rest / 36_524 - rest / 146_096) / 365;
        let of_year = rest - (365 * years + years / 4 - years / 100);
        let from_march = (5 * of_year + 2) / 153;
        let month = (from_march + 2) % 12 + 1;
        (400 * age + years + i64::from(month <= 2), month, of_year - (153 * from_march + 2) / 5 + 1)
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (year, month, day) = self.date();
        write!(f, "{year:04}-{month:02}-{day:02}")
    }
}
