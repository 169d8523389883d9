//! QR codes (ISO/IEC 18004) with error correction M, as SVG and as lines of block characters.

use crate::chart::escaped;
use qrcode::bits::Bits;
use qrcode::types::QrError;
use qrcode::{Color, EcLevel, QrCode, Version};
use std::fmt::Write;
use thiserror::Error;

/// The light margin on each side, in modules (ISO/IEC 18004, the quiet zone; memory).
const QUIET: usize = 4;
/// The largest version of a symbol (ISO/IEC 18004; memory).
const LARGEST: i16 = 40;
/// Says that bytes are UTF-8: the number of it among the extended channel interpretations (AIM; memory).
const UTF_8: u32 = 26;
/// The side of a module where nothing else gives the picture its size, pixels.
const SIDE: usize = 4;

/// A text that no QR code holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("a QR code does not hold a text of {0} bytes; 2,331 are the most")]
pub(crate) struct TooMuch(usize);

/// A QR code: a square of modules, without its margin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Qr {
    width: usize,
    /// Row by row from the top left.
    dark: Vec<bool>,
}

impl Qr {
    /// The smallest one of a text.
    ///
    /// # Errors
    /// [`TooMuch`] where the largest does not hold it.
    pub(crate) fn of(text: &str) -> Result<Self, TooMuch> {
        let code = (1..=LARGEST).find_map(|version| drawn(text, Version::Normal(version)).ok());
        let code = code.ok_or(TooMuch(text.len()))?;
        let width = code.width();
        let dark = code.into_colors().into_iter().map(|c| c == Color::Dark).collect();
        Ok(Self { width, dark })
    }

    /// A picture with its margin, black on white, which may stand in a page or be a file by itself. A screen reader
    /// says `title`, which should tell what the code is for.
    pub(crate) fn svg(&self, title: &str) -> String {
        let across = self.width + 2 * QUIET;
        let side = across * SIDE;
        let mut path = String::new();
        for y in 0..self.width {
            let mut x = 0;
            while x < self.width {
                // Neighbours are one stroke, so that no seam shows between them.
                let run = (x..self.width).take_while(|x| self.is_dark(*x, y)).count();
                if run > 0 {
                    let _ = write!(path, "M{} {}h{run}v1h-{run}z", x + QUIET, y + QUIET);
                }
                x += run.max(1);
            }
        }
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{side}\" height=\"{side}\" viewBox=\"0 0 {across} \
             {across}\" role=\"img\" shape-rendering=\"crispEdges\"><title>{}</title><rect width=\"{across}\" \
             height=\"{across}\" fill=\"#FFFFFF\"/><path d=\"{path}\" fill=\"#000000\"/></svg>\n",
            escaped(title)
        )
    }

    /// Lines of block characters with the margin, two rows of modules in each; what is dark is the character, what is
    /// light its ground.
    pub(crate) fn lines(&self) -> Vec<String> {
        let across = self.width + 2 * QUIET;
        let dark = |x: usize, y: usize| {
            let inside = |at: usize| at.checked_sub(QUIET).filter(|at| *at < self.width);
            inside(x).zip(inside(y)).is_some_and(|(x, y)| self.is_dark(x, y))
        };
        let cell = |x, y| match (dark(x, y), dark(x, y + 1)) {
            (true, true) => '█',
            (true, false) => '▀',
            (false, true) => '▄',
            (false, false) => ' ',
        };
        (0..across).step_by(2).map(|y| (0..across).map(|x| cell(x, y)).collect()).collect()
    }

    fn is_dark(&self, x: usize, y: usize) -> bool {
        self.dark.get(y * self.width + x).copied().unwrap_or_default()
    }
}

fn drawn(text: &str, version: Version) -> Result<QrCode, QrError> {
    let mut bits = Bits::new(version);
    if text.is_ascii() {
        bits.push_optimal_data(text.as_bytes())?;
    } else {
        // Else bytes of UTF-8 could be taken for those of another set of characters.
        bits.push_eci_designator(UTF_8)?;
        bits.push_byte_data(text.as_bytes())?;
    }
    bits.push_terminator(EcLevel::M)?;
    QrCode::with_bits(bits, EcLevel::M)
}

#[cfg(test)]
mod tests {
    use super::*;

    const INVITATION: &str = "plinth:pair?at=https://192.168.1.20:8443&certificate=\
         9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08&code=7KQ2M-XW4TD";

    /// What another program reads where a point is dark by `dark`, four points to a module; with the level of error
    /// correction as the format information says it.
    fn read(across: usize, dark: impl Fn(usize, usize) -> bool) -> (String, u16) {
        let at = |x, y| if dark(x / 4, y / 4) { 0 } else { 255 };
        let mut picture = rqrr::PreparedImage::prepare_from_greyscale(across * 4, across * 4, at);
        let grids = picture.detect_grids();
        assert_eq!(grids.len(), 1, "one code is seen");
        let (about, text) = grids[0].decode().expect("it is read");
        (text, about.ecc_level)
    }

    fn read_svg(svg: &str) -> (String, u16) {
        let between = |from: &str, to: &str| svg.split_once(from).unwrap().1.split_once(to).unwrap().0;
        let across: usize = between("viewBox=\"0 0 ", " ").parse().unwrap();
        let mut dark = vec![false; across * across];
        for stroke in between("<path d=\"M", "z\"").split("zM") {
            let (x, rest) = stroke.split_once(' ').unwrap();
            let (y, rest) = rest.split_once('h').unwrap();
            let run: usize = rest.split_once('v').unwrap().0.parse().unwrap();
            let from = y.parse::<usize>().unwrap() * across + x.parse::<usize>().unwrap();
            dark[from..from + run].fill(true);
        }
        let margin = |at: usize| at < 4 || at >= across - 4;
        let edge = |k: &usize| margin(k % across) || margin(k / across);
        assert!((0..dark.len()).filter(edge).all(|k| !dark[k]), "the margin is light");
        assert!(dark[4 * across + 4] && dark[4 * across + across - 5], "and no wider than it must be");
        read(across, |x, y| dark[y * across + x])
    }

    fn read_lines(lines: &[String]) -> (String, u16) {
        let cells: Vec<Vec<char>> = lines.iter().map(|l| l.chars().collect()).collect();
        let across = cells[0].len();
        assert!(cells.iter().all(|row| row.len() == across));
        read(across, |x, y| match cells[y / 2][x] {
            '█' => true,
            '▀' => y % 2 == 0,
            '▄' => y % 2 == 1,
            other => {
                assert_eq!(other, ' ');
                false
            }
        })
    }

    /// Format information 00 is level M (ISO/IEC 18004, table of error correction levels; memory).
    const M: u16 = 0;

    #[test]
    fn another_program_reads_what_is_drawn() {
        let long = "12345678 Etwas für Größe, ½ + ⅓ 力 ".repeat(20);
        for text in [INVITATION, "1", "HTTPS://HOST.EXAMPLE:8443", "über 100 kg – ½ Satz", "力を", &long]
        {
            let qr = Qr::of(text).unwrap();
            assert_eq!(read_svg(&qr.svg("A code")), (text.to_owned(), M));
            assert_eq!(read_lines(&qr.lines()), (text.to_owned(), M));
        }
    }

    /// Version 40-M holds 2,331 bytes (ISO/IEC 18004, table of capacities; memory).
    #[test]
    fn the_longest_text_fits_and_a_longer_one_is_refused() {
        let most = "a".repeat(2331);
        assert_eq!(read_svg(&Qr::of(&most).unwrap().svg("")), (most, M));
        let fault = Qr::of(&"a".repeat(2332)).unwrap_err();
        assert_eq!(fault.to_string(), "a QR code does not hold a text of 2332 bytes; 2,331 are the most");
    }

    #[test]
    fn the_title_is_text_in_the_picture() {
        let svg = Qr::of("1").unwrap().svg("Pair \"a\" & <b>");
        assert!(svg.contains("<title>Pair &quot;a&quot; &amp; &lt;b&gt;</title>"), "{svg}");
        assert!(svg.contains("role=\"img\"") && !svg.contains("id="), "several may stand in one page: {svg}");
    }
}
