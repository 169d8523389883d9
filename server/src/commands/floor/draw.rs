//! A screen of the floor as lines of text, and the keys of its buttons.

use plinth_core::floor::Event;
use plinth_core::moment::Moment;
use plinth_core::words::Speech;
use plinth_core::words::floor::{Button, ButtonRow, FloorScreen};

/// Keys for buttons other than the wide action, in order. `q` leaves, `z` takes back.
const KEYS: &str = "123456789abcdefghijklmnoprstuvwxyABCDEFGHIJKLMNOPRSTUVWXY";

/// What a screen looks like, and what its keys do.
pub(super) struct Drawn {
    pub(super) lines: Vec<String>,
    pub(super) keys: Vec<(char, Event)>,
    pub(super) wide: Option<Event>,
    pub(super) undo: Option<Event>,
}

struct Pen<'a> {
    width: usize,
    lines: Vec<String>,
    keys: Vec<(char, Event)>,
    free: std::str::Chars<'a>,
}

impl Pen<'_> {
    /// Writes text, wrapped between words.
    fn write(&mut self, indent: &str, text: &str) {
        let mut line = String::from(indent);
        let mut empty = true;
        for word in text.split_whitespace() {
            if !empty && line.chars().count() + 1 + word.chars().count() > self.width {
                self.lines.push(std::mem::replace(&mut line, " ".repeat(indent.chars().count())));
                empty = true;
            }
            if !empty {
                line.push(' ');
            }
            line.push_str(word);
            empty = false;
        }
        self.lines.push(line.trim_end().to_owned());
    }

    fn space(&mut self) {
        if self.lines.last().is_some_and(|l| !l.is_empty()) {
            self.lines.push(String::new());
        }
    }

    fn button(&mut self, button: &Button) {
        let key = self.free.next();
        let mark = if button.chosen { "•" } else { " " };
        let shown = key.map_or_else(|| "   ".to_owned(), |k| format!("{k} {mark}"));
        self.write(&format!("  {shown} "), &button.label);
        for more in &button.more {
            self.write("        ", more);
        }
        if let Some(key) = key {
            self.keys.push((key, button.event.clone()));
        }
    }

    fn row(&mut self, row: &ButtonRow) {
        if !row.label.is_empty() {
            self.write("  ", &row.label);
        }
        for button in &row.buttons {
            self.button(button);
        }
    }
}

/// Draws a screen for a terminal of `width` columns.
pub(super) fn draw(speech: &Speech, screen: &FloorScreen, now: &Moment, width: usize) -> Drawn {
    let width = width.clamp(40, 100);
    let mut pen = Pen { width, lines: Vec::new(), keys: Vec::new(), free: KEYS.chars() };
    if let Some(line) = &screen.line {
        let cells = width.saturating_sub(line.ends.chars().count() + 3).max(10);
        pen.lines.push(format!("{}  {}", session_line(line, cells), line.ends));
        pen.space();
    }
    pen.write("", &screen.title);
    pen.lines.push("─".repeat(width));
    for told in &screen.told {
        pen.write("  ", told);
    }
    if let Some(clock) = &screen.clock {
        let left = left_s(clock.ends_monotonic_ms, clock.ends_wall_ms, &clock.boot, now);
        pen.space();
        let clock_said = speech.clock(left);
        // While it rests, the title says already what the clock is.
        let said =
            if clock.label == screen.title { clock_said } else { format!("{}  {clock_said}", clock.label) };
        pen.write("  ", &said);
        pen.space();
    }
    if let Some(set) = &screen.set {
        pen.space();
        if !set.cautions.is_empty() {
            pen.write("  ▒▒ ", &screen.caution_head);
            for caution in &set.cautions {
                pen.write("  ▒  ", caution);
            }
        }
        if let Some(out) = &set.bail_out {
            pen.write("  ▒  ", out);
        }
        pen.write("  ", &format!("{}: {}", set.movement, set.sentence));
        for text in [&set.made, &set.because].into_iter().flatten() {
            pen.write("  ", text);
        }
        for note in &set.notes {
            pen.write("  ", note);
        }
        if let Some(discs) = &set.discs {
            pen.write("  ", &format!("{}: {}", discs.bar, discs.words));
            pen.write("  ", &drawn_side(&discs.drawn.iter().map(|d| d.label.as_str()).collect::<Vec<_>>()));
            for text in discs.moves.iter().chain(&discs.notes) {
                pen.write("    ", text);
            }
        }
        if let Some(cue) = &set.cue {
            pen.space();
            pen.write("  ", cue);
        }
    }
    if let Some(then) = &screen.then {
        pen.space();
        pen.write("  ", then);
    }
    for row in &screen.before {
        pen.space();
        pen.row(row);
    }
    if let Some(form) = &screen.form {
        pen.space();
        if form.title != screen.title {
            pen.write("  ", &form.title);
        }
        for text in &form.lines {
            pen.write("  ", text);
        }
        for row in &form.rows {
            pen.space();
            pen.row(row);
        }
    }
    for row in &screen.rows {
        pen.space();
        pen.row(row);
    }
    pen.space();
    if let Some(wide) = &screen.wide {
        pen.write("  ", &speech.say("floor-cli-wide", &[("label", (&wide.label).into())]));
        for more in &wide.more {
            pen.write("        ", more);
        }
    }
    for action in screen.actions.iter().chain(screen.more.iter().flat_map(|m| &m.buttons)) {
        pen.button(action);
    }
    if let Some(undo) = &screen.undo {
        pen.write("  z   ", &undo.label);
    }
    pen.write("  q   ", &speech.say("floor-cli-leave", &[]));
    Drawn {
        lines: pen.lines,
        keys: pen.keys,
        wide: screen.wide.as_ref().map(|w| w.event.clone()),
        undo: screen.undo.as_ref().map(|u| u.event.clone()),
    }
}

/// Seconds left, rounded up: by the monotonic clock of its boot, else by the wall clock.
fn left_s(ends_monotonic_ms: u64, ends_wall_ms: i64, boot: &str, now: &Moment) -> i64 {
    let ms = if boot == now.boot {
        i64::try_from(ends_monotonic_ms).unwrap_or(i64::MAX) - i64::try_from(now.monotonic_ms).unwrap_or(0)
    } else {
        ends_wall_ms - now.wall_ms
    };
    (ms.max(0) + 999) / 1000
}

/// The session line: done inked, to come ruled, a tick for now.
fn session_line(line: &plinth_core::words::floor::LineScreen, cells: usize) -> String {
    let at = |per_mille: i32| (per_mille.clamp(0, 1000) as usize * cells / 1000).min(cells);
    let mut out = vec!['─'; cells];
    let mut from = 0;
    for piece in &line.pieces {
        let (begin, inked, end) = (at(from), at(from + piece.done_per_mille), at(from + piece.per_mille));
        for cell in out.iter_mut().take(inked).skip(begin) {
            *cell = '━';
        }
        if end > begin && end < cells {
            out[end] = '┬';
        }
        from += piece.per_mille;
    }
    let tick = at(line.now_per_mille).min(cells.saturating_sub(1));
    if let Some(cell) = out.get_mut(tick) {
        *cell = '╋';
    }
    out.into_iter().collect()
}

/// One side of the bar, from the collar outward.
fn drawn_side(labels: &[&str]) -> String {
    let discs: Vec<String> = labels.iter().map(|l| format!("│{l}│")).collect();
    if discs.is_empty() { String::new() } else { format!("──┤{}──", discs.concat()) }
}
