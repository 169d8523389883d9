#if canImport(SwiftUI) && canImport(UIKit)
    import PlinthKit
    import PlinthScreens
    import SwiftUI

    /// The rest clock. A reader hears the time left when it asks, and else at the marks alone.
    struct ClockView: View {
        let clock: ClockScreen
        let rest: RestModel
        @Environment(\.look) private var look

        var body: some View {
            VStack(alignment: .leading, spacing: 2) {
                Text(verbatim: clock.label).letters(18).foregroundStyle(look.soft)
                Figures(
                    text: rest.face ?? "", figures: Look.clockMm, words: Look.clockMm / 2, weight: .semibold)
            }
            .accessibilityElement(children: .ignore)
            .accessibilityLabel(Text(verbatim: clock.label))
            .accessibilityValue(Text(verbatim: rest.spoken))
        }
    }
#endif
