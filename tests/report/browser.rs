//! The report in a real browser, narrow and wide: it renders, its console is clean, no label lies over another in
//! the fonts of this machine, and nothing has to be scrolled sideways but what says so. Skipped, with a plain
//! message, where no browser is found.

use std::fs;
use std::path::Path;

use crate::chromium::{browser, run};
use crate::pictures::{hostile, renamed, sheet, tank};
use cansift::report::figures::Units;
use cansift::report::overview::{Report, Words, document as page};

/// Width and height told in a PNG's first chunk (PNG specification, section 11.2.1, IHDR).
fn png_size(path: &Path) -> (u32, u32) {
    let bytes = fs::read(path).unwrap();
    let number = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().unwrap());
    assert_eq!(&bytes[1..4], b"PNG");
    (number(16), number(20))
}

/// Looks at the page from inside, in the test alone: the page itself runs nothing.
const LOOK: &str = r#"<script>
const said = [];
const wide = document.documentElement.scrollWidth, room = innerWidth;
if (wide > room + 1) said.push(`the page is ${wide} wide in ${room}`);
for (const svg of document.querySelectorAll('svg')) {
  const frame = svg.getBoundingClientRect(), name = svg.querySelector('title').textContent;
  const boxes = [...svg.querySelectorAll('text')].filter(t => t.textContent).map(t => [t.textContent, t.getBoundingClientRect()]);
  boxes.forEach(([text, a], i) => {
    const trim = a.height * 0.14;
    if (a.left < frame.left - 1 || a.right > frame.right + 1 || a.top < frame.top - 1 || a.bottom > frame.bottom + 1)
      said.push(`${name}: "${text}" leaves the picture`);
    for (const [other, b] of boxes.slice(i + 1))
      if (a.left < b.right && b.left < a.right && a.top + trim < b.bottom - trim && b.top + trim < a.bottom - trim)
        said.push(`${name}: "${text}" over "${other}"`);
  });
}
parent.postMessage(said.length + ' in ' + innerWidth + ': ' + said.slice(0, 12).join(' | '), '*');
</script>"#;

/// Holds the page that is looked at in a frame: a window of its own may not be as narrow as a phone.
const FRAME: &str = "<!DOCTYPE html><body style=\"margin:0\"><script>
addEventListener('message', m => document.body.setAttribute('data-looked', m.data));
</script><iframe src=\"looked.html\" style=\"border:0\" width=\"WIDTH\" height=\"900\"></iframe>";

#[test]
fn the_page_opens_narrow_and_wide() {
    let Some(name) = browser() else { return };
    let folder = tempfile::tempdir().unwrap();
    let mut sheet = sheet();
    // What would do harm stands among the others.
    let harm: Vec<_> = hostile().iter().map(|name| renamed(&sheet.rows[0], name)).collect();
    sheet.rows.extend(harm);
    let tank = tank();
    let page = page(&Report {
        sheet: &sheet,
        tank: Some(&tank),
        units: Units::Metric,
        ranking: None,
        top_two: None,
        verdict: "",
        order: &[],
        words: &Words { top: 200, ..Words::default() },
    });
    let path = folder.path().join("report.html");
    fs::write(&path, &page).unwrap();
    let looked = folder.path().join("looked.html");
    let policy = page.find("<meta http-equiv").unwrap();
    let end = page[policy..].find('>').unwrap() + policy + 1;
    // Our own policy forbids every script, so the copy that is looked at goes without it.
    fs::write(&looked, format!("{}{}{LOOK}", &page[..policy], &page[end..])).unwrap();

    for width in [360, 1280] {
        let window = format!("--window-size={width},900");
        let shot = folder.path().join(format!("{width}.png"));
        let url = format!("file://{}", path.display());
        let (_, err) = run(
            name,
            folder.path(),
            &[window.clone(), format!("--screenshot={}", shot.display()), url.clone()],
        );
        assert!(!err.contains("CONSOLE"), "{err}");
        let (wide, high) = png_size(&shot);
        assert!(
            wide >= width && high >= 900 && fs::metadata(&shot).unwrap().len() > 10_000,
            "{wide} × {high}"
        );

        let (dom, err) = run(name, folder.path(), &[window.clone(), "--dump-dom".to_owned(), url]);
        assert!(!err.contains("CONSOLE"), "{err}");
        for tag in ["<article", "<svg", "<table"] {
            assert_eq!(dom.matches(tag).count(), page.matches(tag).count(), "{tag}");
        }
        assert!(!dom.contains("<script") && !dom.contains("<svg onload"));

        let frame = folder.path().join("frame.html");
        fs::write(&frame, FRAME.replace("WIDTH", &width.to_string())).unwrap();
        let url = format!("file://{}", frame.display());
        let patient = "--virtual-time-budget=20000".to_owned();
        let (dom, _) = run(name, folder.path(), &[window, patient, "--dump-dom".to_owned(), url]);
        let at = dom.find("data-looked=\"").expect("it was looked at") + 13;
        let said = dom[at..].split('"').next().unwrap();
        assert_eq!(said, format!("0 in {width}: "));
    }
}
