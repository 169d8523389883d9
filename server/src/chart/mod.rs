//! Charts as SVG: ink on paper, hatching, labels beside what they name, and the same said in words for a screen
//! reader. Text is at least 7:1 on its ground. A file bears its colours; on a page of the desk the page's style gives
//! them, so that a chart is as dark as the page.

mod field;
mod week;

pub(crate) use field::field;
pub(crate) use week::week;

use std::fmt::Write;

/// What a chart is drawn on.
#[derive(Debug, Clone, Copy)]
pub(crate) enum On<'a> {
    /// A file of its own.
    File,
    /// A page that holds other charts too; the name is the chart's own there.
    Page(&'a str),
}

/// A colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Colour {
    /// The ground.
    Paper,
    /// Text, figures and strokes: 15.3:1.
    Ink,
    /// Second text: 7.4:1.
    Soft,
    /// Lines and hatching, never text.
    Rule,
    /// A fill under ink, 7.4:1: where the lifter stands now.
    Ochre,
    /// Ink on ochre, which is as light on a dark page.
    OnOchre,
}

impl Colour {
    /// In a file.
    const fn hex(self) -> &'static str {
        match self {
            Self::Paper => "#F4F0E6",
            Self::Ink | Self::OnOchre => "#1B1A17",
            Self::Soft => "#524D43",
            Self::Rule => "#8A8373",
            Self::Ochre => "#DE9C36",
        }
    }

    /// On a page: what its style sheet calls it.
    const fn name(self) -> &'static str {
        match self {
            Self::Paper => "paper",
            Self::Ink => "ink",
            Self::Soft => "soft",
            Self::Rule => "rule",
            Self::Ochre => "ochre",
            Self::OnOchre => "on-ochre",
        }
    }
}

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
struct Svg<'a> {
    on: On<'a>,
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

impl<'a> Svg<'a> {
    fn new(on: On<'a>, width: f64, height: f64) -> Self {
        Self { on, width, height, body: String::new() }
    }

    /// The attributes that fill and stroke.
    fn paint(&self, fill: Option<Colour>, stroke: Option<Colour>) -> String {
        match (self.on, fill, stroke) {
            (On::File, Some(fill), None) => format!("fill=\"{}\"", fill.hex()),
            (On::File, fill, stroke) => {
                let [fill, stroke] = [fill, stroke].map(|c| c.map_or("none", Colour::hex));
                format!("fill=\"{fill}\" stroke=\"{stroke}\"")
            }
            (On::Page(_), fill, stroke) => {
                let [fill, stroke] = [fill, stroke].map(|c| c.map_or("none", Colour::name));
                format!("class=\"fill-{fill} stroke-{stroke}\"")
            }
        }
    }

    /// An identity that is the chart's own where it stands.
    fn id(&self, what: &str) -> String {
        match self.on {
            On::File => what.to_owned(),
            On::Page(name) => format!("{name}-{what}"),
        }
    }

    fn text(&mut self, at: (f64, f64), size: f64, anchor: Anchor, colour: Colour, text: &str) {
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let _ = writeln!(
            self.body,
            "<text x=\"{:.1}\" y=\"{:.1}\" font-size=\"{size}\" text-anchor=\"{anchor}\" {}>{}</text>",
            at.0,
            at.1,
            self.paint(Some(colour), None),
            escaped(text)
        );
    }

    /// Text broken at the width of the picture; returns where the next line would stand.
    fn wrapped(&mut self, at: (f64, f64), size: f64, colour: Colour, text: &str) -> f64 {
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

    fn line(&mut self, from: (f64, f64), to: (f64, f64), width: f64, colour: Colour) {
        self.path(&[from, to], width, colour);
    }

    fn path(&mut self, points: &[(f64, f64)], width: f64, colour: Colour) {
        let _ = writeln!(
            self.body,
            "<path d=\"{}\" {} stroke-width=\"{width}\"/>",
            steps(points),
            self.paint(None, Some(colour))
        );
    }

    fn hatched(&mut self, points: &[(f64, f64)]) {
        let hatch = self.id("hatch");
        let _ = writeln!(self.body, "<path d=\"{}Z\" fill=\"url(#{hatch})\"/>", steps(points));
    }

    /// A square mark, filled or open.
    fn mark(&mut self, at: (f64, f64), half: f64, filled: bool) {
        let paint = self.paint(Some(if filled { Colour::Ink } else { Colour::Paper }), Some(Colour::Ink));
        let _ = writeln!(
            self.body,
            "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{2}\" height=\"{2}\" {paint} stroke-width=\"1.5\"/>",
            at.0 - half,
            at.1 - half,
            half * 2.0
        );
    }

    /// A label on ochre: where the lifter stands now.
    fn now(&mut self, at: (f64, f64), text: &str) {
        let width = text.chars().count() as f64 * TEXT * WIDE + 12.0;
        let paint = self.paint(Some(Colour::Ochre), Some(Colour::OnOchre));
        let _ = writeln!(
            self.body,
            "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{width:.1}\" height=\"24\" {paint} stroke-width=\"1.5\"/>",
            at.0,
            at.1 - 12.0
        );
        self.text((at.0 + 6.0, at.1 + 5.0), TEXT, Anchor::Start, Colour::OnOchre, text);
    }

    /// The picture, named and described: a document, or an element of a page.
    fn finish(self, title: &str, told: &str) -> String {
        let (w, h) = (self.width, self.height);
        let (title, told) = (escaped(title), escaped(told));
        let [named, described, hatch] = ["title", "desc", "hatch"].map(|what| self.id(what));
        let paper = self.paint(Some(Colour::Paper), None);
        // A page says these itself: no prologue, and no style that its policy would refuse.
        let (prologue, style, rule) = match self.on {
            On::File => (
                "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n",
                " style=\"font-variant-numeric: tabular-nums\"",
                format!("stroke=\"{}\"", Colour::Rule.hex()),
            ),
            On::Page(_) => ("", "", "class=\"stroke-rule\"".to_owned()),
        };
        format!(
            "{prologue}<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w:.0}\" height=\"{h:.0}\" \
             viewBox=\"0 0 {w:.0} {h:.0}\" role=\"img\" aria-labelledby=\"{named} {described}\" \
             font-family=\"system-ui, 'DejaVu Sans', sans-serif\"{style}>\n\
             <title id=\"{named}\">{title}</title>\n<desc id=\"{described}\">{told}</desc>\n\
             <defs><pattern id=\"{hatch}\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" \
             patternTransform=\"rotate(45)\"><path d=\"M0 0V6\" {rule} stroke-width=\"1.6\"/></pattern></defs>\n\
             <rect width=\"{w:.0}\" height=\"{h:.0}\" {paper}/>\n{}</svg>\n",
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
        let pairs =
            [(Colour::Ink, Colour::Paper), (Colour::Soft, Colour::Paper), (Colour::OnOchre, Colour::Ochre)];
        for (text, ground) in pairs {
            let found = contrast(text.hex(), ground.hex());
            assert!(found >= 7.0, "{text:?} on {ground:?}: {found}");
        }
    }

    #[test]
    fn on_a_page_the_style_gives_the_colours_and_no_identity_is_there_twice() {
        let style = include_str!("../../data/desk/desk.css");
        let drawn = |on| {
            let mut svg = Svg::new(on, 100.0, 50.0);
            svg.hatched(&[(0.0, 0.0), (5.0, 0.0), (5.0, 5.0)]);
            svg.mark((1.0, 1.0), 2.0, true);
            svg.now((5.0, 5.0), "now");
            svg.text((1.0, 1.0), TEXT, Anchor::Start, Colour::Soft, "soft");
            svg.finish("t", "d")
        };
        let file = drawn(On::File);
        assert!(
            file.starts_with("<?xml") && file.contains("url(#hatch)") && file.contains("fill=\"#DE9C36\"")
        );
        let page = drawn(On::Page("squat"));
        assert!(page.starts_with("<svg") && !page.contains("style=") && !page.contains("\"#"), "{page}");
        assert!(page.contains("id=\"squat-hatch\"") && page.contains("url(#squat-hatch)"));
        for class in page.split("class=\"").skip(1).filter_map(|rest| rest.split('"').next()) {
            for name in class.split(' ') {
                assert!(style.contains(&format!(".{name} ")), "the style knows no {name}");
            }
        }
    }
}
