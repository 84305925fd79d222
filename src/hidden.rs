//! The one list of characters that must never reach a reader raw, and text with them written out.

/// True for what could drive a terminal, turn the reading order round or stand in a name unseen: C0, DEL and C1
/// controls (Unicode category Cc), line and paragraph separators, bidirectional marks (Unicode Standard Annex 9,
/// table of explicit formatting characters), whatever has the property `Default_Ignorable_Code_Point`
/// (`DerivedCoreProperties.txt`, from memory), the blank pattern of Braille, interlinear marks, and the two that
/// XML 1.0 (section 2.2) does not allow.
pub fn is_hidden(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}'
            | '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{2800}' | '\u{3164}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{ffa0}'
            | '\u{fff0}'..='\u{fffb}' | '\u{fffe}' | '\u{ffff}' | '\u{1bca0}'..='\u{1bca3}'
            | '\u{1d173}'..='\u{1d17a}' | '\u{e0000}'..='\u{e0fff}')
}

/// Joiners and variants that scripts and pictures are written with: a name may hold them, and they are written out.
pub fn is_joiner(c: char) -> bool {
    matches!(c, '\u{200c}' | '\u{200d}' | '\u{fe00}'..='\u{fe0f}')
}

/// Text with every hidden character written out, such as `\u{1b}`.
pub fn visible(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for c in text.chars() {
        if is_hidden(c) { shown.extend(c.escape_unicode()) } else { shown.push(c) }
    }
    shown
}
