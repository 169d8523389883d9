#if canImport(SwiftUI) && canImport(UIKit)
    import SwiftUI

    /// The grounds, the ink and the measures that everything is drawn with. Ochre is a fill under ink, never a letter.
    struct Look: Sendable {
        let dark: Bool
        /// Whether what is touched stands for the left hand.
        var mirrored = false

        var ground: Color { dark ? Color(hex: 0x14181C) : Color(hex: 0xF4F0E6) }
        var panel: Color { dark ? Color(hex: 0x1C2227) : Color(hex: 0xECE6D8) }
        var ink: Color { dark ? Color(hex: 0xF2EEE3) : Color(hex: 0x1B1A17) }
        var soft: Color { dark ? Color(hex: 0xB9B4A6) : Color(hex: 0x524D43) }
        var rule: Color { dark ? Color(hex: 0x6F7680) : Color(hex: 0x8A8373) }
        var act: Color { Color(hex: 0xDE9C36) }
        var onAct: Color { Color(hex: 0x1B1A17) }

        static let line: CGFloat = 1.5
        /// The least height and width of what is touched on the floor.
        static let floor: CGFloat = 64
        /// The same elsewhere.
        static let target: CGFloat = 44
        static let wide: CGFloat = 76
        static let gap: CGFloat = 8
        static let margin: CGFloat = 16
        /// About seventy letters (common practice, no source).
        static let widest: CGFloat = 560

        /// Points to a millimetre, at the 163 to the inch of the phones with the finest points: on the others all is
        /// larger.
        static let millimetre: CGFloat = 163 / 25.4
        /// Height of a figure or a capital in parts of the size of type.
        static let capital: CGFloat = 0.705

        // Heights by ISO 9241-303: 22 minutes of arc at two metres and at one, 16 minutes at one.
        static let clockMm: CGFloat = 14.6
        static let loadMm: CGFloat = 13.6
        static let amountMm: CGFloat = 7
        static let nameMm: CGFloat = 4.9
        static let unitMm: CGFloat = 5
        static let wordMm: CGFloat = 3.6

        /// The size of type at which a figure is so high.
        static func size(_ mm: CGFloat) -> CGFloat { mm * millimetre / capital }
    }

    extension Color {
        nonisolated init(hex: UInt32) {
            self.init(
                red: Double(hex >> 16 & 0xFF) / 255, green: Double(hex >> 8 & 0xFF) / 255,
                blue: Double(hex & 0xFF) / 255)
        }
    }

    private struct LookKey: EnvironmentKey {
        static let defaultValue = Look(dark: false)
    }

    extension EnvironmentValues {
        var look: Look {
            get { self[LookKey.self] }
            set { self[LookKey.self] = newValue }
        }
    }

    /// Letters of a size that grows with the lifter's text; figures are of one width.
    private struct Lettering: ViewModifier {
        let size: CGFloat
        let weight: Font.Weight
        /// The least size, whatever the lifter's text.
        let least: CGFloat
        @ScaledMetric(relativeTo: .body) private var scale: CGFloat = 1
        @Environment(\.dynamicTypeSize) private var typeSize

        func body(content: Content) -> some View {
            content
                .font(.system(size: max(size * scale, least), weight: weight).monospacedDigit())
                // Long words of the largest sizes are drawn narrower, and break less.
                .fontWidth(typeSize.isAccessibilitySize ? .condensed : .standard)
        }
    }

    extension View {
        func letters(_ size: CGFloat, _ weight: Font.Weight = .regular, least: CGFloat = 0) -> some View {
            modifier(Lettering(size: size, weight: weight, least: least))
        }
    }
#endif
