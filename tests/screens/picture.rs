//! The README's picture of the screens is a frame of the program as it is now.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::time::Duration;

use cansift::app::effect::Message;
use cansift::ui::view;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::buffer::{Buffer, Cell};
use ratatui::style::{Color, Modifier};

use super::program::Program;

/// Columns and lines of the picture.
const SIZE: (u16, u16) = (100, 32);
/// Pixels of a cell.
const CELL: (u16, u16) = (9, 19);

fn paint(colour: Color, otherwise: &'static str) -> &'static str {
    match colour {
        Color::Reset => otherwise,
        Color::White => "#ffffff",
        Color::Black => "#000000",
        Color::Blue => "#1f4fbf",
        Color::Yellow => "#d8b000",
        Color::LightRed => "#ff6b5e",
        other => panic!("the picture knows no colour for {other:?}"),
    }
}

/// Paper and ink of a cell.
fn colours(cell: &Cell) -> (&'static str, &'static str) {
    let (paper, ink) = (paint(cell.bg, "#101418"), paint(cell.fg, "#dfe5ea"));
    let dim = cell.modifier.contains(Modifier::DIM) && cell.fg == Color::Reset;
    let (paper, ink) = (paper, if dim { "#8b98a5" } else { ink });
    if cell.modifier.contains(Modifier::REVERSED) { (ink, paper) } else { (paper, ink) }
}

fn svg(frame: &Buffer) -> String {
    let (width, height) = (SIZE.0 * CELL.0, SIZE.1 * CELL.1);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" \
         font-family=\"DejaVu Sans Mono,Menlo,Consolas,monospace\" font-size=\"15\" style=\"white-space:pre\">\n\
         <title>Cansift's screen Builds on the demo</title>\n\
         <rect width=\"{width}\" height=\"{height}\" fill=\"#101418\"/>\n"
    );
    for y in 0..SIZE.1 {
        let mut x = 0;
        while x < SIZE.0 {
            let look = |x: u16| (colours(&frame[(x, y)]), frame[(x, y)].modifier.contains(Modifier::BOLD));
            let (begin, ((paper, ink), bold)) = (x, look(x));
            let mut text = String::new();
            while x < SIZE.0 && look(x) == ((paper, ink), bold) {
                text.push_str(frame[(x, y)].symbol());
                x += 1;
            }
            let (left, top, wide) = (begin * CELL.0, y * CELL.1, (x - begin) * CELL.0);
            if paper != "#101418" {
                writeln!(
                    out,
                    "<rect x=\"{left}\" y=\"{top}\" width=\"{wide}\" height=\"{}\" fill=\"{paper}\"/>",
                    CELL.1
                )
                .unwrap();
            }
            if text.trim().is_empty() {
                continue;
            }
            let text = text.replace('&', "&amp;").replace('<', "&lt;");
            let weight = if bold { " font-weight=\"bold\"" } else { "" };
            let base = top + 15;
            writeln!(
                out,
                "<text x=\"{left}\" y=\"{base}\" fill=\"{ink}\"{weight} textLength=\"{wide}\">{text}</text>"
            )
            .unwrap();
        }
    }
    out + "</svg>\n"
}

/// Written anew with `INSTA_UPDATE=always`.
#[test]
fn the_picture_of_the_screens_is_a_frame_of_them() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut program = Program::new(vec![root.join("demo-data")], 512);
    program.state.source = "demo-data".to_owned();
    program.take(Message::Size(SIZE.0, SIZE.1));
    program.until("512 cases");
    let all = |text: &str| text.lines().nth(1).is_some_and(|basis| !basis.contains('%'));
    assert!(program.comes(Duration::from_secs(300), all), "the cases come to an end");
    program.still();
    program.press("jjj");
    program.still();
    let mut terminal = Terminal::new(TestBackend::new(SIZE.0, SIZE.1)).unwrap();
    terminal.draw(|frame| program.state.drawn = view::draw(&program.state, frame)).unwrap();
    let now = svg(terminal.backend().buffer());
    let kept = root.join("docs/screens.svg");
    if std::env::var("INSTA_UPDATE").is_ok_and(|how| how == "always") {
        fs::write(&kept, &now).unwrap();
    }
    let kept = fs::read_to_string(kept).unwrap();
    assert!(
        now == kept,
        "docs/screens.svg is no longer what the program shows: look at it, then INSTA_UPDATE=always"
    );
}
