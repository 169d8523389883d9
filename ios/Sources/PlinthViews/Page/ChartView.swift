#if canImport(SwiftUI) && canImport(UIKit)
    import PlinthKit
    import PlinthScreens
    import SwiftUI

    /// A chart: ink, hatching, and labels beside what they name. A reader hears its sentence.
    struct ChartView: View {
        let chart: Chart
        @Environment(\.look) private var look
        @ScaledMetric(relativeTo: .body) private var scale: CGFloat = 1

        /// Past this the labels would leave no field; the sentence and the table grow further.
        private var size: CGFloat { min(13 * scale, 22) }

        var body: some View {
            VStack(alignment: .leading, spacing: 4) {
                Line(text: chart.title, size: 18, weight: .semibold)
                Canvas { context, size in draw(&context, size) }.frame(height: 200 + 5 * size)
                Line(text: chart.about, size: 15, soft: true)
            }
            .padding(.top, 14)
            .accessibilityElement(children: .ignore)
            .accessibilityLabel(Text(verbatim: "\(chart.title). \(chart.sentence)"))
        }

        private func draw(_ context: inout GraphicsContext, _ box: CGSize) {
            func print(_ text: String, _ colour: Color) -> GraphicsContext.ResolvedText {
                context.resolve(
                    Text(verbatim: text).font(.system(size: size).monospacedDigit()).foregroundStyle(colour))
            }
            func width(_ text: GraphicsContext.ResolvedText) -> CGFloat { text.measure(in: box).width }
            let rules = chart.rules.map { print($0.label, look.soft) }
            let unit = print(chart.unit, look.soft)
            let ends = chart.ends.map { print($0.label, look.ink) }
            let beside = min((ends.map(width).max() ?? 0) + (ends.isEmpty ? 8 : 30), box.width * 0.45)
            let left = (rules + [unit]).map(width).max().map { $0 + 8 } ?? 8
            // Marks at the edges stay off the ruled lines' labels.
            let inset: CGFloat = chart.marks.contains { !$0.label.isEmpty } ? 12 : 0
            let (right, top, foot) = (box.width - beside, size * 2, box.height - size * 2)
            let places = ChartPlaces(left: left + inset, right: right - inset, top: top, foot: foot)
            func at(_ point: ChartPoint) -> CGPoint {
                CGPoint(x: places.across(point.across), y: places.up(point.up))
            }
            func line(_ from: CGPoint, _ to: CGPoint, _ wide: CGFloat, _ colour: Color) {
                var path = Path()
                path.move(to: from)
                path.addLine(to: to)
                context.stroke(path, with: .color(colour), lineWidth: wide)
            }

            for area in chart.areas {
                var hatched = context
                hatched.clip(to: ChartView.path(area.points.map(at), closed: true))
                let field = CGRect(x: left, y: top, width: right - left, height: foot - top)
                hatched.stroke(Hatching(gap: 6).path(in: field), with: .color(look.rule), lineWidth: 1.2)
            }
            for (n, rule) in chart.rules.enumerated() {
                let y = places.up(rule.place)
                line(CGPoint(x: left, y: y), CGPoint(x: right, y: y), 0.75, look.rule)
                context.draw(rules[n], at: CGPoint(x: left - 6, y: y), anchor: .trailing)
            }
            context.draw(unit, at: CGPoint(x: left - 6, y: size / 2), anchor: .trailing)
            line(CGPoint(x: left, y: foot), CGPoint(x: right, y: foot), Look.line, look.ink)
            for tick in chart.ticks {
                let x = places.across(tick.place)
                line(CGPoint(x: x, y: foot), CGPoint(x: x, y: foot + 5), Look.line, look.ink)
                let label = print(tick.label, look.soft)
                let half = width(label) / 2
                let middle = min(max(x, left + half), max(right, left + half))
                context.draw(label, at: CGPoint(x: middle, y: foot + 7 + size / 2), anchor: .center)
            }
            context.draw(
                print(chart.counted, look.soft), at: CGPoint(x: right + 10, y: foot + 7 + size / 2), anchor: .leading)
            for one in chart.lines {
                context.stroke(
                    ChartView.path(one.points.map(at), closed: false), with: .color(look.ink),
                    lineWidth: one.strong ? 3 : 1)
            }
            var last = CGRect.zero
            for mark in chart.marks {
                let (point, half) = (at(mark.point), CGFloat(mark.filled ? 4 : 2.5))
                let square = Path(CGRect(x: point.x - half, y: point.y - half, width: 2 * half, height: 2 * half))
                context.fill(square, with: .color(mark.filled ? look.ink : look.ground))
                context.stroke(square, with: .color(look.ink), lineWidth: Look.line)
                let label = print(mark.label, look.ink)
                let taken = CGRect(x: point.x + 7, y: point.y - 7 - size, width: width(label), height: size * 1.2)
                // A label that would lie on the one before, or past the edge, is left to the sentence.
                if !mark.label.isEmpty, !taken.intersects(last), taken.maxX <= box.width {
                    context.draw(label, at: CGPoint(x: taken.minX, y: taken.midY), anchor: .leading)
                    last = taken
                }
            }
            let heights = ChartPlaces.apart(chart.ends.map { places.up($0.up) }, gap: Double(size * 1.7))
            for (n, end) in chart.ends.enumerated() {
                line(
                    CGPoint(x: right, y: places.up(end.up)), CGPoint(x: right + 12, y: heights[n]), 1, look.ink)
                let now = end.now ? print(end.label, look.onAct) : ends[n]
                if end.now {
                    let box = CGRect(
                        x: right + 14, y: heights[n] - Double(size * 0.8), width: width(now) + 10, height: size * 1.6)
                    context.fill(Path(box), with: .color(look.act))
                    context.stroke(Path(box), with: .color(look.ink), lineWidth: Look.line)
                }
                context.draw(now, at: CGPoint(x: right + 19, y: heights[n]), anchor: .leading)
            }
        }

        private static func path(_ points: [CGPoint], closed: Bool) -> Path {
            var path = Path()
            for (n, point) in points.enumerated() {
                if n == 0 { path.move(to: point) } else { path.addLine(to: point) }
            }
            if closed { path.closeSubpath() }
            return path
        }
    }
#endif
