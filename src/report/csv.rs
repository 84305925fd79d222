//! CSV for spreadsheets and programs (RFC 4180, lines ended by a line feed), always in base units.
//!
//! A spreadsheet takes a cell that starts with `= + - @` for a formula. The three columns of names come from
//! files of strangers, so such a name gets an apostrophe in front, which spreadsheets show as plain text;
//! figures never do. A figure that cannot be told is an empty field: JSON says why.

use csv::{Terminator, WriterBuilder};

use super::{Sheet, escape, six_digits};
use crate::measures::{Measure, Outcome};

/// The table with these measures; `key_low` and `key_high` follow each where the doubt was worked out.
pub fn table(sheet: &Sheet, measures: &[Measure]) -> Result<String, csv::Error> {
    let doubt = sheet.samples() > 0;
    let mut writer = WriterBuilder::new().terminator(Terminator::Any(b'\n')).from_writer(Vec::new());
    let mut head: Vec<String> = ["file", "filter", "build"].map(str::to_owned).to_vec();
    for measure in measures {
        head.push(measure.key().to_owned());
        if doubt {
            head.push(format!("{}_low", measure.key()));
            head.push(format!("{}_high", measure.key()));
        }
    }
    writer.write_record(&head)?;
    for row in &sheet.rows {
        let mut fields = vec![name(&row.file), name(&row.filter), name(&row.build)];
        for &measure in measures {
            fields.push(match row.outcome(measure) {
                Outcome::Value(x) => number(Some(x)),
                Outcome::Flag(yes) => yes.to_string(),
                Outcome::Missing(_) => String::new(),
            });
            if doubt {
                let band = row.band(measure);
                fields.push(number(band.map(|b| b.low)));
                fields.push(number(band.map(|b| b.high)));
            }
        }
        writer.write_record(&fields)?;
    }
    let bytes = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
    // What went in was text, so this changes nothing.
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

pub(super) fn name(text: &str) -> String {
    let text = escape::one_line(text);
    let formula = text.trim_start().starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']);
    if formula { format!("'{text}") } else { text.into_owned() }
}

fn number(x: Option<f64>) -> String {
    x.and_then(six_digits).map(|x| x.to_string()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::super::samples;
    use super::*;

    #[test]
    fn a_name_is_never_a_formula_and_a_figure_stays_one() {
        let mut sheet = Sheet::default();
        sheet.rows.push(samples::row("=HYPERLINK(\"x\")", "@a,b\u{1b}", Some(-1.5)));
        sheet.rows.push(samples::row("plain", "b", None));
        let text = table(&sheet, &[Measure::Flow, Measure::FitsCabinet]).unwrap();
        assert_eq!(
            text,
            "file,filter,build,flow,fits_cabinet\n\
             \"'=HYPERLINK(\"\"x\"\").ron\",\"'=HYPERLINK(\"\"x\"\")\",\"'@a,b\\u{1b}\",-1.5,true\n\
             plain.ron,plain,b,,true\n"
        );
    }

    #[test]
    fn bands_get_columns_only_when_there_are_some() {
        let mut sheet = Sheet::default();
        sheet.rows.push(samples::row("a", "b", Some(612.4)));
        sheet.rows[0].simulated = Some(samples::simulated(&[(Measure::Flow, 563.0, 660.9)]).into());
        let text = table(&sheet, &[Measure::Flow]).unwrap();
        assert_eq!(text, "file,filter,build,flow,flow_low,flow_high\na.ron,a,b,612.4,563,660.9\n");
    }
}
