//! Charts as SVG: ink on paper, hatching, labels beside what they name, and the same said in words for a screen
//! reader. Text is at least 7:1 on its ground.

mod field;
mod week;

pub(crate) use field::field;
pub(crate) use week::week;

use std::fmt::Write;

/// The ground.
const PAPER: &str = "#F4F0E6";
/// Text, figures and strokes: 15.3:1.
const INK: &str = "#1B1A17";
/// Second text: 7.4:1.
const SOFT: &str = "#524D43";
/// Lines and hatching, never text.
const RULE: &str = "#8A8373";
/// A fill under ink, 7.4:1: where the lifter stands now.
const OCHRE: &str = "#DE9C36";
/// The size of ordinary text.
const TEXT: f64 = 15.0;
/// About the width of a character at size one, with room to spare.
const WIDE: f64 = 0.62;

/// Where text begins or ends.
#[derive(Debug, Clone, Copy)]
enum Anchor {
    Start,
    Middle,
    End,
}

/// A picture being drawn.
struct Svg {
    width: f64,
    height: f64,
    body: String,
}

/// Text as XML may hold it.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // What XML 1.0 has no place for.
            c if c.is_control() || matches!(c, '\u{FFFE}' | '\u{FFFF}') => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

impl Svg {
    fn new(width: f64, height: f64) -> Self {
        Self { width, height, body: String::new() }
    }

    fn text(&mut self, at: (f64, f64), size: f64, anchor: Anchor, colour: &str, text: &str) {
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let _ = writeln!(
            self.body,
            "<text x=\"{:.1}\" y=\"{:.1}\" font-size=\"{size}\" text-anchor=\"{anchor}\" fill=\"{colour}\">{}</text>",
            at.0,
            at.1,
            escaped(text)
        );
    }

    /// Text broken at the width of the picture; returns where the next line would stand.
    fn wrapped(&mut self, at: (f64, f64), size: f64, colour: &str, text: &str) -> f64 {
        let most = ((self.width - 2.0 * at.0) / (size * WIDE)) as usize;
        let mut y = at.1;
        let mut line = String::new();
        for word in text.split_whitespace() {
            if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > most {
                self.text((at.0, y), size, Anchor::Start, colour, &line);
                y += size * 1.35;
                line.clear();
            }
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
        self.text((at.0, y), size, Anchor::Start, colour, &line);
        y + size * 1.35
    }

    fn line(&mut self, from: (f64, f64), to: (f64, f64), width: f64, colour: &str) {
        self.path(&[from, to], width, colour);
    }

    fn path(&mut self, points: &[(f64, f64)], width: f64, colour: &str) {
        let _ = writeln!(
            self.body,
            "<path d=\"{}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width}\"/>",
            steps(points)
        );
    }

    fn hatched(&mut self, points: &[(f64, f64)]) {
        let _ = writeln!(self.body, "<path d=\"{}Z\" fill=\"url(#hatch)\"/>", steps(points));
    }

    /// A square mark, filled or open.
    fn mark(&mut self, at: (f64, f64), half: f64, filled: bool) {
        let fill = if filled { INK } else { PAPER };
        let _ = writeln!(
            self.body,
            "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{2}\" height=\"{2}\" fill=\"{fill}\" stroke=\"{INK}\" stroke-width=\"1.5\"/>",
            at.0 - half,
            at.1 - half,
            half * 2.0
        );
    }

    /// A label on ochre: where the lifter stands now.
    fn now(&mut self, at: (f64, f64), text: &str) {
        let width = text.chars().count() as f64 * TEXT * WIDE + 12.0;
        let _ = writeln!(
            self.body,
            "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{width:.1}\" height=\"24\" fill=\"{OCHRE}\" stroke=\"{INK}\" stroke-width=\"1.5\"/>",
            at.0,
            at.1 - 12.0
        );
        self.text((at.0 + 6.0, at.1 + 5.0), TEXT, Anchor::Start, INK, text);
    }

    /// The document, named and described.
    fn finish(self, title: &str, told: &str) -> String {
        let (w, h) = (self.width, self.height);
        let (title, told) = (escaped(title), escaped(told));
        format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
             <svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w:.0}\" height=\"{h:.0}\" viewBox=\"0 0 {w:.0} {h:.0}\" \
             role=\"img\" aria-labelledby=\"title desc\" font-family=\"system-ui, 'DejaVu Sans', sans-serif\" \
             style=\"font-variant-numeric: tabular-nums\">\n\
             <title id=\"title\">{title}</title>\n<desc id=\"desc\">{told}</desc>\n\
             <defs><pattern id=\"hatch\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" \
             patternTransform=\"rotate(45)\"><path d=\"M0 0V6\" stroke=\"{RULE}\" stroke-width=\"1.6\"/></pattern></defs>\n\
             <rect width=\"{w:.0}\" height=\"{h:.0}\" fill=\"{PAPER}\"/>\n{}</svg>\n",
            self.body
        )
    }
}

fn steps(points: &[(f64, f64)]) -> String {
    let mut d = String::new();
    for (k, (x, y)) in points.iter().enumerate() {
        let _ = write!(d, "{}{x:.1} {y:.1}", if k == 0 { "M" } else { " L" });
    }
    d
}

/// Places for labels at these heights, at least `gap` apart, in their order.
fn apart(wanted: &[f64], gap: f64) -> Vec<f64> {
    let mut out: Vec<f64> = wanted.to_vec();
    for _ in 0..32 {
        for k in 1..out.len() {
            let short = gap - (out[k] - out[k - 1]);
            if short > 0.01 {
                out[k] += short / 2.0;
                out[k - 1] -= short / 2.0;
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_are_kept_apart_in_their_order() {
        let placed = apart(&[10.0, 11.0, 40.0], 16.0);
        assert!(placed.windows(2).all(|w| w[1] - w[0] > 15.9), "{placed:?}");
    }

    #[test]
    fn text_is_escaped() {
        assert_eq!(escaped("a<b> & \"c\"\u{0}"), "a&lt;b&gt; &amp; &quot;c&quot; ");
    }

    /// WCAG 2.2: the contrast of two colours.
    fn contrast(a: &str, b: &str) -> f64 {
        let light = |hex: &str| {
            let of = |at: usize| {
                let v = f64::from(u8::from_str_radix(&hex[at..at + 2], 16).expect("hex")) / 255.0;
                if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
            };
            0.2126 * of(1) + 0.7152 * of(3) + 0.0722 * of(5)
        };
        let (a, b) = (light(a), light(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn every_text_is_at_least_seven_to_one() {
        for (text, ground) in [(INK, PAPER), (SOFT, PAPER), (INK, OCHRE)] {
            assert!(contrast(text, ground) >= 7.0, "{text} on {ground}: {}", contrast(text, ground));
        }
    }
}
