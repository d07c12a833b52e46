//! The compressed twin of a file.

use brotli::enc::BrotliEncoderParams;

/// What is compressed already.
const SMALL_ALREADY: &[&str] = &["woff2", "png"];

/// Returns the file compressed as far as brotli goes, where that is smaller.
///
/// # Errors
/// A sentence, where the file cannot be compressed.
pub fn twin(name: &str, bytes: &[u8]) -> Result<Option<Vec<u8>>, String> {
    let ending = name.rsplit_once('.').map_or("", |(_, ending)| ending);
    if SMALL_ALREADY.contains(&ending) {
        return Ok(None);
    }
    let params = BrotliEncoderParams {
        quality: 11,
        lgwin: 22,
        size_hint: bytes.len(),
        ..BrotliEncoderParams::default()
    };
    let mut small = Vec::new();
    brotli::BrotliCompress(&mut &*bytes, &mut small, &params).map_err(|e| format!("{name}: {e}"))?;
    Ok((small.len() < bytes.len()).then_some(small))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_twin_is_the_file_again() {
        let bytes = b"so much of the same ".repeat(50);
        let small = twin("a.js", &bytes).unwrap().unwrap();
        let mut back = Vec::new();
        brotli::BrotliDecompress(&mut small.as_slice(), &mut back).unwrap();
        assert_eq!(back, bytes);
        assert!(small.len() < bytes.len() / 5);
    }

    #[test]
    fn what_gains_nothing_has_none() {
        assert_eq!(twin("a.png", &[1; 1000]).unwrap(), None);
        assert_eq!(twin("a.js", b"x").unwrap(), None);
    }
}
