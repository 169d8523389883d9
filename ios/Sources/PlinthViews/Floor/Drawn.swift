#if canImport(SwiftUI) && canImport(UIKit)
    import PlinthKit
    import PlinthScreens
    import SwiftUI

    /// The session as one ruled line: its pieces by their minutes, the part done inked, a tick for now.
    struct SessionLine: View {
        let line: LineScreen
        let head: String
        @Environment(\.look) private var look

        var body: some View {
            VStack(alignment: .trailing, spacing: 0) {
                Canvas { context, size in draw(&context, size) }.frame(height: 30)
                Text(verbatim: line.ends).letters(15).foregroundStyle(look.soft)
            }
            .accessibilityElement(children: .ignore)
            .accessibilityLabel(
                Text(verbatim: "\(head): \(line.pieces.map(\.label).joined(separator: ", ")). \(line.ends)"))
        }

        private func draw(_ context: inout GraphicsContext, _ size: CGSize) {
            let unit = size.width / 1_000
            let (top, high) = (size.height / 2 - 5, CGFloat(10))
            var from = CGFloat(0)
            for piece in line.pieces {
                let left = from * unit
                from += CGFloat(piece.perMille)
                let right = max(from * unit - 4, left + 1)
                let box = CGRect(x: left, y: top, width: right - left, height: high)
                context.stroke(
                    Path(box.insetBy(dx: Look.line / 2, dy: Look.line / 2)), with: .color(look.ink),
                    lineWidth: Look.line)
                let done = min(left + CGFloat(piece.donePerMille) * unit, right) - left
                if done > 0 {
                    context.fill(Path(CGRect(x: left, y: top, width: done, height: high)), with: .color(look.ink))
                }
            }
            let x = min(max(CGFloat(line.nowPerMille) * unit, 1.5), size.width - 1.5)
            context.fill(
                Path(CGRect(x: x - 1.5, y: 2, width: 3, height: size.height - 4)), with: .color(look.ink))
        }
    }

    /// One end of the bar: the discs as outlines to scale, innermost first, the mass printed inside. The words beside it
    /// say the same.
    struct Sleeve: View {
        let discs: [DiscScreen]
        @Environment(\.look) private var look

        private static let shaft: CGFloat = 40
        private static let end: CGFloat = 60
        private static let height: CGFloat = 92

        var body: some View {
            Canvas { context, size in draw(&context, size) }
                .frame(height: Sleeve.height)
                .accessibilityHidden(true)
        }

        private func draw(_ context: inout GraphicsContext, _ size: CGSize) {
            let middle = size.height / 2
            func ink(_ x: CGFloat, _ width: CGFloat, _ height: CGFloat) {
                let box = CGRect(x: x, y: middle - height / 2, width: width, height: height)
                context.fill(Path(box), with: .color(look.ink))
            }
            let prints = discs.map { disc in
                context.resolve(
                    Text(verbatim: disc.label).font(.system(size: 15).monospacedDigit()).foregroundStyle(look.ink))
            }
            let widths = prints.map { max($0.measure(in: size).width + 8, 20) }
            let natural = widths.reduce(0) { $0 + $1 + 3 }
            let room = size.width - Sleeve.shaft - 10 - Sleeve.end
            let shrink = min(1, room / max(natural, 1))
            ink(0, Sleeve.shaft, 4)
            ink(Sleeve.shaft, 7, 24)
            var x = Sleeve.shaft + 10
            for (n, disc) in discs.enumerated() {
                let (wide, tall) = (widths[n] * shrink, (size.height - 4) * CGFloat(disc.heightPerMille) / 1_000)
                let box = CGRect(x: x, y: middle - tall / 2, width: wide, height: tall)
                context.stroke(Path(box), with: .color(look.ink), lineWidth: 2)
                if wide >= prints[n].measure(in: size).width {
                    context.draw(prints[n], at: CGPoint(x: x + wide / 2, y: middle), anchor: .center)
                }
                x += wide + 3 * shrink
            }
            ink(x, min(Sleeve.end, size.width - x), 8)
        }
    }
#endif
