//! Ruled tables and JSON on standard output.

use crate::failure::Failure;
use comfy_table::presets::NOTHING;
use comfy_table::{Cell, CellAlignment, ColumnConstraint, ContentArrangement, Table, TableComponent, Width};
use plinth_core::words::Speech;
use serde::Serialize;
use std::io::Write;

/// Columns that the tables keep within.
pub(crate) const WIDTH: u16 = 100;

/// A table whose head says these messages; an empty key leaves a head empty.
pub(crate) fn table_of(speech: &Speech, keys: &[&str], numbers: &[usize]) -> Table {
    let head: Vec<String> =
        keys.iter().map(|k| if k.is_empty() { String::new() } else { speech.say(k, &[]) }).collect();
    table(&head.iter().map(String::as_str).collect::<Vec<_>>(), numbers)
}

/// A table ruled under its head and between its rows' groups, with no side borders.
pub(crate) fn table(head: &[&str], numbers: &[usize]) -> Table {
    let mut table = Table::new();
    // Ruled under the head and at the foot; the rest is space.
    table.set_content_arrangement(ContentArrangement::Dynamic).set_width(WIDTH).load_preset(NOTHING);
    for component in [
        TableComponent::HeaderLines,
        TableComponent::MiddleHeaderIntersections,
        TableComponent::BottomBorder,
        TableComponent::BottomBorderIntersections,
    ] {
        table.set_style(component, '─');
    }
    let cells = head.iter().enumerate().map(|(k, h)| {
        let cell = Cell::new(h);
        if numbers.contains(&k) { cell.set_alignment(CellAlignment::Right) } else { cell }
    });
    table.set_header(cells.collect::<Vec<_>>());
    for &k in numbers {
        if let Some(column) = table.column_mut(k) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    table
}

/// Keeps a column at least so wide.
pub(crate) fn at_least(table: &mut Table, column: usize, width: u16) {
    if let Some(column) = table.column_mut(column) {
        column.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(width)));
    }
}

/// Prints a table without trailing space.
pub(crate) fn print_table(out: &mut impl Write, table: &Table) -> Result<(), Failure> {
    for line in table.lines() {
        writeln!(out, "{}", line.trim_end())?;
    }
    Ok(())
}

/// Prints a document as JSON.
pub(crate) fn json(out: &mut impl Write, document: &impl Serialize) -> Result<(), Failure> {
    serde_json::to_writer_pretty(&mut *out, document).map_err(|e| Failure::Output(e.into()))?;
    writeln!(out)?;
    Ok(())
}

/// A sentence, broken at the width, its later lines indented.
pub(crate) fn sentence(out: &mut impl Write, indent: &str, text: &str) -> Result<(), Failure> {
    let mut line = String::from(indent);
    let mut empty = true;
    for word in text.split_whitespace() {
        if !empty && line.chars().count() + 1 + word.chars().count() > usize::from(WIDTH) {
            writeln!(out, "{line}")?;
            line = " ".repeat(indent.chars().count());
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    writeln!(out, "{line}")?;
    Ok(())
}
