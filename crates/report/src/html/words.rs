//! Words as HTML, and bytes as text.

use crate::draw::escaped;

/// Returns words as HTML: escaped, with the 2 of CO2 below the line (the typeface has no small 2 of its own).
pub fn marked_up(words: &str) -> String {
    escaped(words).replace("CO2", "CO<sub>2</sub>")
}

/// Returns words as a string of CSS that can stand in a style element.
pub fn css_string(words: &str) -> String {
    let mut out = String::from("\"");
    for c in words.chars() {
        match c {
            '"' | '\\' | '<' | '>' | '&' | '\n' => out.push_str(&format!("\\{:x} ", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// Returns bytes in base64 (RFC 4648, section 4).
pub fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for group in bytes.chunks(3) {
        let number =
            group.iter().fold(0_u32, |sum, byte| (sum << 8) | u32::from(*byte)) << (8 * (3 - group.len()));
        for at in 0..4 {
            let letter = LETTERS[((number >> (18 - 6 * at)) & 63) as usize];
            out.push(if at <= group.len() { char::from(letter) } else { '=' });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4648, section 10.
    #[test]
    fn base64_of_the_standard() {
        let pairs = [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("foobar", "Zm9vYmFy"),
        ];
        for (bytes, text) in pairs {
            assert_eq!(base64(bytes.as_bytes()), text);
        }
    }

    #[test]
    fn words_cannot_leave_their_place() {
        assert_eq!(marked_up("<b> & \"CO2e\" '"), "&lt;b&gt; &amp; &quot;CO<sub>2</sub>e&quot; &#39;");
        assert_eq!(css_string("a\"</style>\\"), "\"a\\22 \\3c /style\\3e \\5c \"");
    }
}
