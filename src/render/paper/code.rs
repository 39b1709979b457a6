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

    /// Stretches of dark modules in a row: one shape each, so that no hairline shows between two.
    pub(crate) fn dark_runs(&self, row: usize) -> Vec<(usize, usize)> {
        let mut runs: Vec<(usize, usize)> = Vec::new();
        for column in (0..self.modules).filter(|column| self.dark[row * self.modules + column]) {
            match runs.last_mut() {
                Some((start, len)) if *start + *len == column => *len += 1,
                _ => runs.push((column, 1)),
            }
        }
        runs
    }

    /// A picture of it, a unit to the module, with its quiet zone.
    pub(crate) fn svg(&self) -> String {
        let side = self.modules + 2 * QUIET;
        let mut path = String::new();
        for row in 0..self.modules {
            for (start, len) in self.dark_runs(row) {
                path.push_str(&format!("M{} {}h{len}v1h-{len}z", start + QUIET, row + QUIET));
            }
        }
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {side} {side}\" shape-rendering=\"crispEdges\">\
             <path fill=\"#fff\" d=\"M0 0h{side}v{side}H0z\"/><path d=\"{path}\"/></svg>"
        )
    }

    /// Width and height in points, the quiet zone included.
    pub(crate) fn size(&self) -> f32 {
        ((self.modules + 2 * QUIET) as f32 * MODULE).max(LEAST)
    }
}
