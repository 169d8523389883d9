#if canImport(SwiftUI) && canImport(UIKit)
    import PlinthScreens
    import SwiftUI

    /// A line whose figures stand so high and whose words are smaller: made narrower where the width asks for it, and
    /// broken before a number or a word where even that is not enough. The height of its figures never gives way.
    struct Figures: View {
        let text: String
        let figures: CGFloat
        let words: CGFloat
        var weight = Font.Weight.regular
        @Environment(\.look) private var look

        var body: some View {
            ViewThatFits(in: .horizontal) {
                row(.standard)
                row(.condensed)
                row(.compressed)
                VStack(alignment: .leading, spacing: 0) {
                    ForEach(Array(FigureRun.runs(text).enumerated()), id: \.offset) { run in
                        one(run.element, .compressed).lineLimit(1)
                    }
                }
            }
            .frame(maxWidth: .infinity, alignment: .leading)
            .accessibilityElement(children: .ignore)
            .accessibilityLabel(Text(verbatim: text))
        }

        private func row(_ width: Font.Width) -> some View {
            FigureRun.runs(text).reduce(Text(verbatim: "")) { $0 + one($1, width) }.lineLimit(1).fixedSize()
        }

        private func one(_ run: FigureRun, _ width: Font.Width) -> Text {
            let size = Look.size(run.isFigure ? figures : min(words, figures))
            return Text(verbatim: run.text)
                .font(.system(size: size, weight: run.isFigure ? weight : .regular).monospacedDigit())
                .fontWidth(width)
                .foregroundStyle(look.ink)
        }
    }
#endif
