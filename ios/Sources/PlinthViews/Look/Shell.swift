#if canImport(SwiftUI) && canImport(UIKit)
    import PlinthKit
    import PlinthScreens
    import SwiftUI

    /// What the shell has to say besides the screen, and what can be done about it.
    struct NoticeView: View {
        let notice: Notice
        let wall: Wall
        let least: CGFloat
        @Environment(\.openSettings) private var openSettings

        var body: some View {
            VStack(alignment: .leading, spacing: Look.gap) {
                Ruled(strong: true)
                Line(text: notice.text, weight: .semibold)
                ForEach(Array(notice.choices.enumerated()), id: \.offset) { choice in
                    TouchView(
                        touch: Touch(choice.element.label) {
                            if choice.element.deed == .settings { openSettings() } else { wall.do(choice.element.deed) }
                        }, least: least, weight: .outlined)
                }
                Ruled(strong: true)
            }
            .padding(.top, Look.gap)
        }
    }

    private struct OpenSettings: EnvironmentKey {
        static let defaultValue: @MainActor @Sendable () -> Void = {}
    }

    extension EnvironmentValues {
        /// Opens the device's settings of the app.
        public var openSettings: @MainActor @Sendable () -> Void {
            get { self[OpenSettings.self] }
            set { self[OpenSettings.self] = newValue }
        }
    }

    /// The head of a window: back, and the list of contents in words.
    struct HeadView: View {
        let wall: Wall

        var body: some View {
            HStack {
                if let back = wall.back {
                    TouchView(touch: Touch(back) { wall.press(back) }).fixedSize()
                        .keyboardShortcut(.escape, modifiers: [])
                }
                Spacer()
                TouchView(
                    touch: Touch(wall.words(wall.contentsOpen ? .closedContents : .contents)) { wall.flipContents() }
                ).fixedSize()
            }
            .padding(.horizontal, Look.margin)
            .padding(.top, Look.gap)
        }
    }

    /// The five places.
    struct ContentsView: View {
        let places: [PageButton]
        let wall: Wall

        var body: some View {
            ScrollView {
                VStack(spacing: 0) {
                    ForEach(Array(places.enumerated()), id: \.offset) { place in
                        TouchView(
                            touch: Touch(place.element) { wall.press(place.element) }, least: Look.floor,
                            weight: .opener, size: 24)
                    }
                }
                .padding(Look.margin)
            }
        }
    }

    /// Why there is nothing, and what can be done.
    struct FailedView: View {
        let problem: String
        let remedy: String
        let wall: Wall

        var body: some View {
            ScrollView {
                VStack(alignment: .leading, spacing: 12) {
                    Line(text: wall.words(.cannotOpen), size: 24, weight: .semibold).accessibilityAddTraits(.isHeader)
                    Line(text: problem, size: 18)
                    Line(text: remedy, size: 18)
                    TouchView(
                        touch: Touch(wall.words(.tryAgain)) { wall.house.open() }, least: Look.floor, weight: .act,
                        size: 20)
                }
                .padding(Look.margin)
            }
        }
    }

    /// What is asked before a file is taken in, in the whole window.
    struct AskView: View {
        let asked: Asked
        let wall: Wall
        @Environment(\.look) private var look

        var body: some View {
            ScrollView {
                VStack(alignment: .leading, spacing: 12) {
                    switch asked.what {
                    case .programme:
                        head(.askProgramme, .askProgrammeWhat)
                        act(.takeIn) { wall.files.takeIn() }
                        leave
                    case .words(let wrong, let working):
                        head(.askWords, .askWordsWhat)
                        if let wrong { Line(text: wrong, size: 18, weight: .semibold) }
                        SecretField(files: wall.files, hint: wall.words(.wordsHere)).disabled(working)
                        if working {
                            Line(text: wall.words(.opening), size: 18, soft: true)
                        } else {
                            act(.restore) { wall.files.restore() }
                            leave
                        }
                    }
                }
                .padding(Look.margin)
            }
        }

        @ViewBuilder
        private func head(_ title: Word, _ what: Word) -> some View {
            Line(text: wall.words(title), size: 24, weight: .semibold).accessibilityAddTraits(.isHeader)
            Line(text: asked.name, size: 18)
            Line(text: wall.words(what))
        }

        private func act(_ label: Word, press: @escaping @MainActor () -> Void) -> some View {
            TouchView(touch: Touch(wall.words(label), press: press), least: Look.floor, weight: .act, size: 20)
        }

        private var leave: some View {
            TouchView(touch: Touch(wall.words(.leaveIt)) { wall.files.leave() }, weight: .outlined)
        }
    }

    /// The words are a secret: no keyboard learns or corrects them, and nothing fills them in.
    private struct SecretField: View {
        @Bindable var files: Files
        let hint: String
        @Environment(\.look) private var look

        var body: some View {
            TextField(text: $files.typed, axis: .vertical) { Text(verbatim: hint).foregroundStyle(look.soft) }
                .letters(19)
                .foregroundStyle(look.ink)
                .lineLimit(6...12)
                .autocorrectionDisabled()
                .textInputAutocapitalization(.never)
                .privacySensitive()
                .padding(12)
                .overlay { Rectangle().strokeBorder(look.ink, lineWidth: 2) }
        }
    }
#endif
