//! A sheet to draw on: shapes and lines of text by class, the look of each class in one place, and the one door
//! through which strings get into a picture.

use super::super::escape;
use super::text_metrics;
use crate::model::Role;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Embedding<'a> {
    /// A file of its own, with its look inside.
    Alone,
    /// Inside a page that holds [`style`] once; the id leads every id of the picture.
    Within(&'a str),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TextAnchor {
    Left,
    Middle,
    Right,
}

/// Looks of text: class and font size in px.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Type {
    class: &'static str,
    pub size: f64,
    pub bold: bool,
}

pub const TITLE: Type = Type { class: "t", size: 18.0, bold: true };
pub const STRONG: Type = Type { class: "t", size: 12.5, bold: true };
pub const PLAIN: Type = Type { class: "t", size: 12.0, bold: false };
pub const QUIET: Type = Type { class: "q", size: 11.5, bold: false };
pub const WATER: Type = Type { class: "w", size: 12.0, bold: true };
pub const SLIPS: Type = Type { class: "l", size: 12.5, bold: true };

impl Type {
    pub fn width(self, text: &str) -> f64 {
        text_metrics::width(text, self.size, self.bold)
    }
    pub fn fit(self, text: &str, room: f64) -> String {
        text_metrics::fit(text, room, self.size, self.bold)
    }
    /// Height of a line with the air it needs, px.
    pub fn line(self) -> f64 {
        (self.size * 1.3).ceil()
    }
}

#[derive(Debug, Default)]
pub struct Canvas {
    body: String,
    lead: String,
    roles: Vec<Role>,
}

impl Canvas {
    pub fn new(embedding: Embedding<'_>) -> Self {
        let lead = match embedding {
            Embedding::Alone => "p",
            Embedding::Within(id) => id,
        };
        Self { body: String::new(), lead: lead.to_owned(), roles: Vec::new() }
    }

    pub fn rect(&mut self, class: &str, at: (f64, f64), size: (f64, f64), round: f64) {
        let round = if round > 0.0 { format!(" rx=\"{}\"", n(round)) } else { String::new() };
        self.body.push_str(&format!("<rect class=\"{class}\"{}{round}/>\n", area(at, size)));
    }
    pub fn hatched(&mut self, role: Role, at: (f64, f64), size: (f64, f64)) {
        if !self.roles.contains(&role) {
            self.roles.push(role);
        }
        let (lead, name, area) = (&self.lead, name(role), area(at, size));
        self.body.push_str(&format!("<rect class=\"slab\" fill=\"url(#{lead}-{name})\"{area}/>\n"));
    }
    pub fn line(&mut self, class: &str, from: (f64, f64), to: (f64, f64)) {
        self.polyline(class, &[from, to], false);
    }
    pub fn polyline(&mut self, class: &str, points: &[(f64, f64)], closed: bool) {
        let mut d = String::new();
        for (i, (x, y)) in points.iter().enumerate() {
            d.push_str(&format!("{}{} {}", if i == 0 { 'M' } else { 'L' }, n(*x), n(*y)));
        }
        if !d.is_empty() {
            self.path(class, &format!("{d}{}", if closed { "Z" } else { "" }));
        }
    }
    /// A path of our own making: `d` never holds a foreign string.
    pub fn path(&mut self, class: &str, d: &str) {
        self.body.push_str(&format!("<path class=\"{class}\" d=\"{d}\"/>\n"));
    }
    pub fn thick(&mut self, class: &str, d: &str, width: f64) {
        self.body.push_str(&format!("<path class=\"{class}\" stroke-width=\"{}\" d=\"{d}\"/>\n", n(width)));
    }
    pub fn circle(&mut self, class: &str, (x, y): (f64, f64), r: f64) {
        self.body.push_str(&format!(
            "<circle class=\"{class}\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>\n",
            n(x),
            n(y),
            n(r)
        ));
    }
    /// An arrow from one point to another, with a head at its end.
    pub fn arrow(&mut self, kind: &str, from: (f64, f64), to: (f64, f64), width: f64) {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let length = dx.hypot(dy).max(0.1);
        let (ux, uy) = (dx / length, dy / length);
        let head = (3.5 + width * 1.6).min(length * 0.7);
        let wide = head * 0.62;
        let (bx, by) = (to.0 - ux * head, to.1 - uy * head);
        self.thick(&format!("a-{kind}"), &format!("M{} {}L{} {}", n(from.0), n(from.1), n(bx), n(by)), width);
        self.polyline(
            &format!("h-{kind}"),
            &[to, (bx - uy * wide, by + ux * wide), (bx + uy * wide, by - ux * wide)],
            true,
        );
    }
    /// A line of text, its baseline at `y`.
    pub fn text(&mut self, look: Type, (x, y): (f64, f64), anchor: TextAnchor, text: &str) {
        let held = match anchor {
            TextAnchor::Left => "start",
            TextAnchor::Middle => "middle",
            TextAnchor::Right => "end",
        };
        let bold = if look.bold { " font-weight=\"600\"" } else { "" };
        self.body.push_str(&format!(
            "<text class=\"{}\" x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{held}\"{bold}>{}</text>\n",
            look.class,
            n(x),
            n(y),
            n(look.size),
            escape::markup(text)
        ));
    }
    /// A group that a reader can point at: `says` is shown for it.
    pub fn open(&mut self, says: &str) {
        self.body.push_str(&format!("<g><title>{}</title>\n", escape::markup(says)));
    }
    pub fn close(&mut self) {
        self.body.push_str("</g>\n");
    }

    /// The whole picture, with what it is called and what it shows in words.
    pub fn finish(mut self, (w, h): (f64, f64), title: &str, says: &str, embedding: Embedding<'_>) -> String {
        let lead = &self.lead;
        self.roles.sort_unstable();
        let patterns: String = self.roles.iter().map(|r| pattern(*r, lead)).collect();
        let (w, h) = (n(w.ceil()), n(h.ceil()));
        let (size, look) = match embedding {
            Embedding::Alone => (
                format!("xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\""),
                format!("<style>{}</style>\n", style()),
            ),
            Embedding::Within(_) => (format!("width=\"{w}\" height=\"{h}\""), String::new()),
        };
        let defs = if patterns.is_empty() { String::new() } else { format!("<defs>{patterns}</defs>\n") };
        format!(
            "<svg class=\"cansift\" {size} viewBox=\"0 0 {w} {h}\" role=\"img\" \
             aria-labelledby=\"{lead}-title {lead}-desc\">\n\
             <title id=\"{lead}-title\">{}</title>\n<desc id=\"{lead}-desc\">{}</desc>\n{look}{defs}\
             <rect class=\"paper\" width=\"{w}\" height=\"{h}\" rx=\"10\"/>\n{}</svg>\n",
            escape::markup(title),
            escape::markup(says),
            self.body
        )
    }
}

fn area((x, y): (f64, f64), (w, h): (f64, f64)) -> String {
    format!(" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"", n(x), n(y), n(w.max(0.0)), n(h.max(0.0)))
}

/// A number for a picture: a tenth of a pixel is finer than anyone sees. What is not finite would spoil the
/// file, so it becomes 0.
pub fn n(x: f64) -> String {
    if !x.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{x:.1}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// The look of every class, on light and dark. Blue for water and mechanical media, orange for what slips past,
/// sand and grey for the rest: apart for every kind of colour blindness, and each has a form of its own besides.
pub fn style() -> String {
    let light = look(&LIGHT);
    let dark = look(&DARK);
    format!("{COMMON}{light}@media screen and (prefers-color-scheme:dark){{{dark}}}")
}

const COMMON: &str = "\
.cansift text{font-family:system-ui,sans-serif;direction:ltr;unicode-bidi:isolate}\
.cansift path,.cansift circle,.cansift polyline{fill:none}\
.cansift .hair{stroke-width:.8}.cansift .rule{stroke-width:1}.cansift .edge{stroke-width:1.2}\
.cansift .wall{stroke-width:4;stroke-linejoin:round}.cansift .wall2{stroke-width:2.4}\
.cansift .grid{stroke-width:2.6;stroke-dasharray:5 3.5}.cansift .dash{stroke-dasharray:4 3}\
.cansift .slab{stroke-width:1.1}.cansift .curve{stroke-width:2.4;stroke-linejoin:round;stroke-linecap:round}\
.cansift .late{stroke-dasharray:7 4}.cansift .dot{stroke-dasharray:1.5 4}\
.cansift .a-water,.cansift .a-slips{stroke-linecap:butt}";

pub struct Colours {
    pub paper: &'static str,
    pub ink: &'static str,
    pub quiet: &'static str,
    pub faint: &'static str,
    pub water: &'static str,
    pub pool: &'static str,
    pub slips: &'static str,
    pub part: &'static str,
    pub bases: [(&'static str, &'static str, &'static str); 4],
}

pub const LIGHT: Colours = Colours {
    paper: "#ffffff",
    ink: "#17222e",
    quiet: "#51606f",
    faint: "#c9d2db",
    water: "#1767a8",
    pool: "#e3f0fa",
    slips: "#b84a00",
    part: "#eef1f4",
    bases: [
        ("m1", "#cfe2f3", "#3f7fb8"),
        ("m2", "#a9cbe8", "#1d5c94"),
        ("bio", "#f7e7cf", "#a8703a"),
        ("other", "#e4e7ea", "#6b7680"),
    ],
};

pub const DARK: Colours = Colours {
    paper: "#12181f",
    ink: "#e8eef4",
    quiet: "#a6b4c2",
    faint: "#3a4754",
    water: "#74b8f2",
    pool: "#17293a",
    slips: "#ff9d4d",
    part: "#222c36",
    bases: [
        ("m1", "#1f3b55", "#6ea6d8"),
        ("m2", "#1b4a72", "#8fc4f2"),
        ("bio", "#45351f", "#d9a865"),
        ("other", "#333c45", "#98a4af"),
    ],
};

fn look(c: &Colours) -> String {
    let Colours { paper, ink, quiet, faint, water, pool, slips, part, bases } = c;
    let mut out = format!(
        ".cansift .paper,.cansift .plate{{fill:{paper}}}.cansift .plate{{fill-opacity:.86}}\
         .cansift .t{{fill:{ink}}}.cansift .q{{fill:{quiet}}}.cansift .w{{fill:{water}}}.cansift .l{{fill:{slips}}}\
         .cansift .hair,.cansift .dim{{stroke:{quiet}}}.cansift .rule{{stroke:{faint}}}\
         .cansift .edge,.cansift .wall,.cansift .wall2,.cansift .grid,.cansift .slab{{stroke:{ink}}}\
         .cansift .pool{{fill:{pool}}}.cansift .part{{fill:{part};stroke:{ink};stroke-width:1.4}}\
         .cansift .void{{fill:{paper}}}.cansift .hole{{fill:{pool};stroke:{slips};stroke-width:1.6}}\
         .cansift .seal{{fill:{ink}}}.cansift .seal-worn{{fill:{quiet}}}\
         .cansift .c-water{{stroke:{water}}}.cansift .c-slips{{stroke:{slips}}}.cansift .c-quiet{{stroke:{quiet}}}\
         .cansift .c-ink{{stroke:{ink}}}\
         .cansift .a-water{{stroke:{water}}}.cansift .h-water{{fill:{water}}}\
         .cansift .a-slips{{stroke:{slips}}}.cansift .h-slips{{fill:{slips}}}\
         .cansift .f-water{{fill:{water};fill-opacity:.14}}.cansift .f-slips{{fill:{slips};fill-opacity:.18}}\
         .cansift .s-water{{fill:{water}}}.cansift .s-slips{{fill:{slips}}}.cansift .s-quiet{{fill:{quiet}}}\
         .cansift .s-ink{{fill:{ink}}}.cansift .shape{{fill:{pool};stroke:{ink};stroke-width:1.4}}"
    );
    for (family, base, strokes) in bases {
        out.push_str(&format!(".cansift .b-{family}{{fill:{base}}}.cansift .h-{family}{{stroke:{strokes}}}"));
    }
    out
}

/// The class that fills a shape with a role's hatch is its pattern's name.
pub fn name(role: Role) -> &'static str {
    role.word()
}

/// Where a role belongs in the colours: mechanical, housing bacteria, or other.
pub fn family(role: Role) -> &'static str {
    match role {
        Role::Coarse | Role::Medium => "m1",
        Role::Fine | Role::Polishing => "m2",
        Role::Biological => "bio",
        Role::Settlement | Role::Chemical => "other",
    }
}

/// The pattern, its id led by the picture's own so that two pictures in one page never meet.
pub fn pattern(role: Role, lead: &str) -> String {
    let (w, h, strokes) = match role {
        Role::Settlement => (18, 12, "<path d=\"M2 3h6M11 9h6\" STROKE stroke-width=\"1.6\"/>"),
        Role::Coarse => {
            (16, 16, "<path d=\"M-2 18L18 -2M-2 2L2 -2M14 18L18 14\" STROKE stroke-width=\"1.3\"/>")
        }
        Role::Medium => (
            10,
            10,
            "<path d=\"M-1 11L11 -1M-1 1L1 -1M9 11L11 9M-1 -1L11 11M-1 9L1 11M9 -1L11 1\" STROKE stroke-width=\"0.9\"/>",
        ),
        Role::Fine => (5, 5, "<path d=\"M-1 6L6 -1M-1 1L1 -1M4 6L6 4\" STROKE stroke-width=\"1.1\"/>"),
        Role::Polishing => (16, 7, "<path d=\"M0 3.5Q4 0 8 3.5T16 3.5\" STROKE stroke-width=\"1.2\"/>"),
        Role::Biological => (
            14,
            14,
            "<circle cx=\"4\" cy=\"4\" r=\"2.4\" STROKE stroke-width=\"1.2\"/>\
             <circle cx=\"11\" cy=\"11\" r=\"2.4\" STROKE stroke-width=\"1.2\"/>",
        ),
        Role::Chemical => (12, 12, "<path d=\"M3 1v4M1 3h4M9 7v4M7 9h4\" STROKE stroke-width=\"1.3\"/>"),
    };
    let family = family(role);
    let strokes = strokes.replace("STROKE", &format!("class=\"h-{family}\""));
    format!(
        "<pattern id=\"{lead}-{}\" width=\"{w}\" height=\"{h}\" patternUnits=\"userSpaceOnUse\">\
         <rect width=\"{w}\" height=\"{h}\" class=\"b-{family}\"/>{strokes}</pattern>",
        name(role)
    )
}
