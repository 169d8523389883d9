#if canImport(SwiftUI) && canImport(UIKit)
    import PlinthKit
    import SwiftUI

    /// A table with ruled rows. Where its columns do not fit, each row stands as lines that name their column.
    struct TableView: View {
        let heads: [String]
        let rows: [TableRow]
        @Environment(\.look) private var look

        var body: some View {
            ViewThatFits(in: .horizontal) {
                grid
                stacked
            }
        }

        private var grid: some View {
            Grid(alignment: .topLeading, horizontalSpacing: Look.gap, verticalSpacing: 6) {
                GridRow {
                    ForEach(Array(heads.enumerated()), id: \.offset) { head in
                        Text(verbatim: head.element).letters(14).foregroundStyle(look.soft)
                    }
                }
                .accessibilityHidden(true)
                ForEach(Array(rows.enumerated()), id: \.offset) { row in
                    Ruled()
                    GridRow {
                        ForEach(Array(row.element.cells.enumerated()), id: \.offset) { cell in
                            Text(verbatim: cell.element).letters(14).foregroundStyle(look.ink)
                                // The first cell of a row says the row; the heads are said with each.
                                .accessibilityLabel(Text(verbatim: named(row.element).joined(separator: ". ")))
                                .accessibilityHidden(cell.offset > 0)
                        }
                    }
                }
            }
        }

        private var stacked: some View {
            VStack(alignment: .leading, spacing: 6) {
                ForEach(Array(rows.enumerated()), id: \.offset) { row in
                    Ruled()
                    Line(text: named(row.element).joined(separator: "\n"), size: 15)
                }
            }
        }

        private func named(_ row: TableRow) -> [String] {
            row.cells.enumerated().map { n, cell in
                [n < heads.count ? heads[n] : "", cell].filter { !$0.isEmpty }.joined(separator: ": ")
            }
        }
    }
#endif
