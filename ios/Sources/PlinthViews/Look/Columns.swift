#if canImport(SwiftUI) && canImport(UIKit)
    import SwiftUI

    /// Buttons in columns of one width, as many as fit without breaking a word; rows of one height.
    struct Columns: View {
        let touches: [Touch]
        let most: Int
        /// Whether a label has one line, or breaks between words.
        let oneLine: Bool
        let least: CGFloat
        @Environment(\.look) private var look

        var body: some View {
            ColumnsLayout(most: most, gap: Look.gap, mirrored: look.mirrored) {
                ForEach(Array(touches.enumerated()), id: \.offset) { touch in
                    TouchView(touch: touch.element, least: least)
                    // Measured and not seen: what may not break, on a button's own margins.
                    Text(verbatim: whole(touch.element.label)).letters(16, .semibold).fixedSize()
                        .padding(.horizontal, Look.gap + 1).hidden().accessibilityHidden(true)
                }
            }
        }

        private func whole(_ label: String) -> String {
            oneLine ? label : label.components(separatedBy: " ").max { $0.count < $1.count } ?? ""
        }
    }

    /// Places pairs of a button and its measure.
    private struct ColumnsLayout: Layout {
        let most: Int
        let gap: CGFloat
        let mirrored: Bool

        func sizeThatFits(proposal: ProposedViewSize, subviews: Subviews, cache: inout ()) -> CGSize {
            let width = proposal.width ?? 320
            let heights = rows(width, subviews)
            return CGSize(width: width, height: heights.reduce(0, +) + gap * CGFloat(max(heights.count - 1, 0)))
        }

        func placeSubviews(in bounds: CGRect, proposal: ProposedViewSize, subviews: Subviews, cache: inout ()) {
            let (columns, each) = columns(bounds.width, subviews)
            let heights = rows(bounds.width, subviews)
            var top = bounds.minY
            for n in 0..<subviews.count / 2 {
                let (row, column) = (n / columns, n % columns)
                if column == 0, row > 0 { top += heights[row - 1] + gap }
                let at = mirrored ? columns - 1 - column : column
                let left = bounds.minX + CGFloat(at) * (each + gap)
                subviews[2 * n].place(
                    at: CGPoint(x: left, y: top), anchor: .topLeading,
                    proposal: ProposedViewSize(width: each, height: heights[row]))
                subviews[2 * n + 1].place(at: CGPoint(x: left, y: top), anchor: .topLeading, proposal: .zero)
            }
        }

        private func columns(_ width: CGFloat, _ subviews: Subviews) -> (Int, CGFloat) {
            let count = max(subviews.count / 2, 1)
            let widest =
                (0..<subviews.count / 2).map { subviews[2 * $0 + 1].sizeThatFits(.unspecified).width }.max() ?? 0
            func each(_ n: Int) -> CGFloat { (width - gap * CGFloat(n - 1)) / CGFloat(n) }
            let fitting = (1...most).last { each($0) >= widest } ?? 1
            // The last row is filled as well as the others, where fewer columns do not cost a row.
            let rows = (count + fitting - 1) / fitting
            let columns = (count + rows - 1) / rows
            return (columns, each(columns))
        }

        private func rows(_ width: CGFloat, _ subviews: Subviews) -> [CGFloat] {
            let (columns, each) = columns(width, subviews)
            var heights: [CGFloat] = []
            for n in 0..<subviews.count / 2 {
                let height = subviews[2 * n].sizeThatFits(ProposedViewSize(width: each, height: nil)).height
                if n % columns == 0 {
                    heights.append(height)
                } else {
                    heights[n / columns] = max(heights[n / columns], height)
                }
            }
            return heights
        }
    }
#endif
