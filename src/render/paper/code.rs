//! QR codes: the modules of an address, to be drawn as squares.

use qrcode::{Color, EcLevel, QrCode};
use std::rc::Rc;

/// Half a millimetre: prints and scans well on office printers (common practice).
const MODULE: f32 = 0.5 * 72.0 / 25.4;
/// The usual smallest print is 2 cm wide (a published code guide).
const LEAST: f32 = 20.0 * 72.0 / 25.4;
/// White on every side, in modules (the inventor's site).
pub(crate) const QUIET: usize = 4;

/// An address as a code.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Code {
    /// The address.
    pub address: String,
    /// What it leads to, for those who cannot see it.
    pub means: String,
    /// Modules in a row, without the quiet zone.
    pub modules: usize,
    dark: Rc<[bool]>,
}

impl Code {
    /// The code of an address. `None` where it is longer than a code can hold.
    pub(crate) fn new(address: &str, means: String) -> Option<Code> {
        let code = QrCode::with_error_correction_level(address, EcLevel::M).ok()?;
        let dark = code.to_colors().into_iter().map(|colour| colour == Color::Dark).collect();
        Some(Code { address: address.to_owned(), means, modules: code.width(), dark })
    }

    /// Whether a module is dark.
    pub(crate) fn is_dark(&self, column: usize, row: usize) -> bool {
        self.dark[row * self.modules + column]
    }

    /// Width and height in points, the quiet zone included.
    pub(crate) fn size(&self) -> f32 {
        ((self.modules + 2 * QUIET) as f32 * MODULE).max(LEAST)
    }
}
