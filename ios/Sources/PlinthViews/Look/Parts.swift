#if canImport(SwiftUI) && canImport(UIKit)
    import PlinthKit
    import SwiftUI

    /// A line across.
    struct Ruled: View {
        var strong = false
        @Environment(\.look) private var look

        var body: some View {
            Rectangle().fill(strong ? look.ink : look.rule).frame(height: Look.line).accessibilityHidden(true)
        }
    }

    /// A line of text, from the leading edge on, as long as it needs.
    struct Line: View {
        let text: String
        var size: CGFloat = 17
        var weight = Font.Weight.regular
        var soft = false
        @Environment(\.look) private var look

        var body: some View {
            Text(verbatim: text).letters(size, weight).foregroundStyle(soft ? look.soft : look.ink)
                .fixedSize(horizontal: false, vertical: true)
                .frame(maxWidth: .infinity, alignment: .leading)
        }
    }

    /// Slanting strokes within a box.
    struct Hatching: Shape {
        var gap: CGFloat = 7

        func path(in box: CGRect) -> Path {
            var path = Path()
            var x = box.minX - box.height
            while x < box.maxX {
                path.move(to: CGPoint(x: x, y: box.maxY))
                path.addLine(to: CGPoint(x: x + box.height, y: box.minY))
                x += gap
            }
            return path
        }
    }

    /// The hatched band that says what can hurt.
    struct Band: View {
        let head: String
        let lines: [String]
        @Environment(\.look) private var look

        var body: some View {
            VStack(spacing: 0) {
                Ruled(strong: true)
                HStack(alignment: .top, spacing: 10) {
                    Hatching().stroke(look.ink, lineWidth: 2).frame(width: 22).clipped()
                    VStack(alignment: .leading, spacing: 5) {
                        Line(text: head, size: 16, weight: .semibold)
                        ForEach(Array(lines.enumerated()), id: \.offset) { Line(text: $0.element, size: 16) }
                    }
                    .padding(.vertical, 8)
                }
                .fixedSize(horizontal: false, vertical: true)
                Ruled(strong: true)
            }
            .accessibilityElement(children: .ignore)
            .accessibilityLabel(Text(verbatim: ([head] + lines).joined(separator: ". ")))
        }
    }

    /// How a button stands out.
    enum Weight {
        /// Your turn: filled.
        case act
        /// The wide action when it is not your turn.
        case outlined
        /// One of several.
        case plain
        /// A line that opens something, ruled below.
        case opener
    }

    /// What a button shows and does, of the floor, of a page or of the shell.
    struct Touch {
        let label: String
        let spoken: String
        let chosen: Bool
        let more: [String]
        let press: @MainActor () -> Void

        init(_ label: String, chosen: Bool = false, press: @escaping @MainActor () -> Void) {
            self.init(label, spoken: label, chosen: chosen, more: [], press: press)
        }

        init(
            _ label: String, spoken: String, chosen: Bool, more: [String], press: @escaping @MainActor () -> Void
        ) {
            self.label = label
            self.spoken = ([spoken] + more.filter { !spoken.contains($0) }).joined(separator: ". ")
            self.chosen = chosen
            self.more = more
            self.press = press
        }

        init(_ choice: Choice, press: @escaping @MainActor () -> Void) {
            self.init(choice.label, spoken: choice.spoken, chosen: choice.chosen, more: choice.more, press: press)
        }

        init(_ button: PageButton, press: @escaping @MainActor () -> Void) {
            self.init(button.label, spoken: button.spoken, chosen: button.chosen, more: button.more, press: press)
        }
    }

    /// A square box, its fill and its edge.
    private struct BoxStyle: ButtonStyle {
        let weight: Weight
        let chosen: Bool
        let look: Look

        func makeBody(configuration: Configuration) -> some View {
            configuration.label
                .foregroundStyle(letters)
                .background(fill(configuration.isPressed))
                .overlay(alignment: .bottom) {
                    if weight == .opener, !chosen {
                        Rectangle().fill(look.rule).frame(height: Look.line)
                    } else {
                        Rectangle().strokeBorder(edge, lineWidth: weight == .plain ? Look.line : 2)
                    }
                }
                .contentShape(Rectangle())
        }

        private var inverted: Bool { chosen && weight != .act }
        private var letters: Color { weight == .act ? look.onAct : inverted ? look.ground : look.ink }
        private var edge: Color { weight == .plain && !chosen ? look.rule : look.ink }

        private func fill(_ pressed: Bool) -> Color {
            if weight == .act { return look.act }
            if inverted { return look.ink }
            return pressed ? look.panel : look.ground
        }
    }

    /// A button with words on it. `least` is the least of its height and width; it fills the height that its row has.
    struct TouchView: View {
        let touch: Touch
        var least = Look.target
        var weight = Weight.plain
        var size: CGFloat = 16
        @Environment(\.look) private var look

        var body: some View {
            Button(action: touch.press) {
                VStack(alignment: lies ? .leading : .center, spacing: 3) {
                    Text(verbatim: touch.label)
                        .letters(size, weight == .act || weight == .outlined || touch.chosen ? .semibold : .regular)
                    ForEach(Array(touch.more.enumerated()), id: \.offset) { line in
                        Text(verbatim: line.element).letters(size * 0.89)
                    }
                }
                .multilineTextAlignment(lies ? .leading : .center)
                .fixedSize(horizontal: false, vertical: true)
                .padding(.horizontal, weight == .opener && !touch.chosen ? 0 : Look.gap)
                .padding(.vertical, 6)
                .frame(
                    minWidth: least, maxWidth: .infinity, minHeight: least, maxHeight: .infinity,
                    alignment: lies ? .leading : .center)
            }
            .buttonStyle(BoxStyle(weight: weight, chosen: touch.chosen, look: look))
            .accessibilityLabel(Text(verbatim: touch.spoken))
            .accessibilityAddTraits(touch.chosen ? .isSelected : [])
        }

        private var lies: Bool { weight == .opener || (!touch.more.isEmpty && weight == .plain) }
    }
#endif
