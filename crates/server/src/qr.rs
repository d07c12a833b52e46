//! An address as a QR code, for a screen and for a terminal.

use qrcode::QrCode;
use qrcode::render::{svg, unicode};
use qrcode::types::QrError;

/// Returns the code as SVG, dark on light with its quiet border.
///
/// # Errors
/// The text is too long.
pub fn svg(text: &str) -> Result<String, QrError> {
    let code = QrCode::new(text.as_bytes())?;
    Ok(code.render::<svg::Color<'_>>().min_dimensions(240, 240).build())
}

/// Returns the code as lines of blocks, light on dark, as terminals are.
///
/// # Errors
/// The text is too long.
pub fn terminal(text: &str) -> Result<String, QrError> {
    let code = QrCode::new(text.as_bytes())?;
    let image = code
        .render::<unicode::Dense1x2>()
        .dark_color(unicode::Dense1x2::Light)
        .light_color(unicode::Dense1x2::Dark)
        .build();
    Ok(image)
}
