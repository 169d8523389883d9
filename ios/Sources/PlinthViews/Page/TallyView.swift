#if canImport(SwiftUI) && canImport(UIKit)
    import PlinthKit
    import SwiftUI

    /// Weekly sets as strokes against a hatched range: long ones for direct sets, short ones after them for shared work,
    /// a half-set each, so that a place is as wide as what it counts. So many half-sets fill the width.
    struct TallyView: View {
        let tally: Tally
        let most: Int32
        @Environment(\.look) private var look

        /// Half-sets that the width must hold, so that all tallies of a page have one scale.
        static func most(_ tallies: [Tally]) -> Int32 {
            tallies.map { max($0.highHalfSets, $0.directHalfSets + $0.sharedHalfSets) }.max() ?? 1
        }

        var body: some View {
            VStack(alignment: .leading, spacing: 2) {
                Line(text: tally.sentence, size: 16)
                Canvas { context, size in draw(&context, size) }.frame(height: 24)
            }
            .padding(.top, Look.gap)
            .accessibilityElement(children: .ignore)
            .accessibilityLabel(Text(verbatim: tally.sentence))
        }

        private func draw(_ context: inout GraphicsContext, _ size: CGSize) {
            let half = size.width / CGFloat(max(most, 1))
            let (top, bottom) = (CGFloat(2), size.height - 2)
            let range = CGRect(
                x: CGFloat(tally.lowHalfSets) * half, y: top,
                width: CGFloat(tally.highHalfSets - tally.lowHalfSets) * half, height: bottom - top)
            var hatched = context
            hatched.clip(to: Path(range))
            hatched.stroke(Hatching(gap: 6).path(in: range), with: .color(look.rule), lineWidth: 1.2)
            func stroke(_ x: CGFloat, _ width: CGFloat, _ from: CGFloat) {
                let box = CGRect(x: x - width / 2, y: from, width: width, height: bottom - 1 - from)
                context.fill(Path(box), with: .color(look.ink))
            }
            // A direct set has two halves; an odd half stands as a short stroke of its own.
            let whole = tally.directHalfSets / 2
            for set in 0..<whole { stroke(CGFloat(2 * set + 1) * half, min(3.2, half), top + 1) }
            let all = tally.directHalfSets + tally.sharedHalfSets
            for set in stride(from: whole * 2, to: all, by: 1) {
                stroke((CGFloat(set) + 0.5) * half, min(1.8, half), (top + bottom) / 2)
            }
        }
    }
#endif
