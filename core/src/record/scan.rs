//! Takes a document apart without judging its parts, so that one bad entry spoils only itself.

use std::ops::Range;

/// The elements of an array, or the members of an object, as ranges of the text; each is then read strictly.
///
/// A text that is no JSON, such as `NaN`, stays within its part. The depth is counted, not recursed into.
#[derive(Debug)]
pub(super) struct Parts<'a> {
    bytes: &'a [u8],
    at: usize,
    end: usize,
    over: bool,
}

/// A part, or what is left where a part should end and does not.
pub(super) enum Part {
    Whole(Range<usize>),
    Unended(Range<usize>),
}

impl<'a> Parts<'a> {
    /// The parts between the brackets of `range`, which must begin with `open`.
    pub(super) fn of(bytes: &'a [u8], range: &Range<usize>, open: u8) -> Option<Self> {
        let start = skip(bytes, range.start);
        (bytes.get(start) == Some(&open)).then_some(Self {
            bytes,
            at: start + 1,
            end: range.end,
            over: false,
        })
    }

    /// Gives no more parts.
    pub(super) fn stop(&mut self) {
        self.over = true;
    }
}

impl Iterator for Parts<'_> {
    type Item = Part;

    fn next(&mut self) -> Option<Part> {
        if self.over {
            return None;
        }
        let start = skip(self.bytes, self.at);
        let (mut depth, mut k, mut quoted) = (0usize, start, false);
        while let Some(&byte) = self.bytes.get(..self.end).and_then(|b| b.get(k)) {
            match byte {
                b'\\' if quoted => k += 1,
                b'"' => quoted = !quoted,
                _ if quoted => {}
                b'{' | b'[' => depth += 1,
                b'}' | b']' if depth == 0 => {
                    // The bracket that closes the whole: what stands before it is the last part, if anything does.
                    self.over = true;
                    let part = trim(self.bytes, start..k);
                    return (!part.is_empty()).then_some(Part::Whole(part));
                }
                b'}' | b']' => depth -= 1,
                b',' if depth == 0 => {
                    self.at = k + 1;
                    return Some(Part::Whole(trim(self.bytes, start..k)));
                }
                _ => {}
            }
            k += 1;
        }
        self.over = true;
        Some(Part::Unended(start.min(self.end)..self.end))
    }
}

/// A member's name (with its quotes) and value.
pub(super) fn member(bytes: &[u8], part: &Range<usize>) -> Option<(Range<usize>, Range<usize>)> {
    let text = bytes.get(part.clone())?;
    if text.first() != Some(&b'"') {
        return None;
    }
    let mut k = 1;
    while *text.get(k)? != b'"' {
        k += if text.get(k) == Some(&b'\\') { 2 } else { 1 };
    }
    let name = part.start..part.start + k + 1;
    let colon = skip(bytes, name.end);
    if bytes.get(colon) != Some(&b':') || colon >= part.end {
        return None;
    }
    Some((name, skip(bytes, colon + 1)..part.end))
}

/// How deep brackets nest in a text.
pub(super) fn depth(text: &[u8]) -> usize {
    let (mut depth, mut most, mut k, mut quoted) = (0usize, 0usize, 0usize, false);
    while let Some(&byte) = text.get(k) {
        match byte {
            b'\\' if quoted => k += 1,
            b'"' => quoted = !quoted,
            b'{' | b'[' if !quoted => {
                depth += 1;
                most = most.max(depth);
            }
            b'}' | b']' if !quoted => depth = depth.saturating_sub(1),
            _ => {}
        }
        k += 1;
    }
    most
}

/// The first place from `at` that is no white space.
pub(super) fn skip(bytes: &[u8], at: usize) -> usize {
    let rest = bytes.get(at..).unwrap_or_default();
    at + rest.iter().take_while(|b| matches!(b, b' ' | b'\t' | b'\n' | b'\r')).count()
}

fn trim(bytes: &[u8], range: Range<usize>) -> Range<usize> {
    let part = bytes.get(range.clone()).unwrap_or_default();
    let tail = part.iter().rev().take_while(|b| matches!(b, b' ' | b'\t' | b'\n' | b'\r')).count();
    range.start..range.end - tail
}
