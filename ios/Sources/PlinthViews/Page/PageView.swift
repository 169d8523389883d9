#if canImport(SwiftUI) && canImport(UIKit)
    import PlinthKit
    import PlinthScreens
    import SwiftUI
    import UIKit

    /// A page of a place: its blocks in the order of reading.
    struct PageView: View {
        let page: PageScreen
        let told: [String]
        let notices: [Notice]
        let wall: Wall

        var body: some View {
            ScrollView {
                VStack(alignment: .leading, spacing: 0) {
                    Line(text: page.title, size: 26, weight: .semibold).accessibilityAddTraits(.isHeader)
                        .padding(.top, Look.gap)
                    ForEach(Array(told.enumerated()), id: \.offset) { Told(text: $0.element) }
                    ForEach(Array(notices.enumerated()), id: \.offset) {
                        NoticeView(notice: $0.element, wall: wall, least: Look.target)
                    }
                    ForEach(Array(page.blocks.enumerated()), id: \.offset) { block in
                        BlockView(block: block.element, wall: wall)
                    }
                }
                .padding(.horizontal, Look.margin)
                .padding(.bottom, Look.margin)
            }
            .scrollIndicators(.hidden)
            .scrollDismissesKeyboard(.interactively)
            .id(page.title)
        }
    }

    /// What the lifter is told, between two rules.
    private struct Told: View {
        let text: String

        var body: some View {
            VStack(spacing: Look.gap) {
                Ruled(strong: true)
                Line(text: text, size: 18, weight: .semibold)
                Ruled(strong: true)
            }
            .padding(.top, 10)
        }
    }

    /// One block of a page.
    private struct BlockView: View {
        let block: Block
        let wall: Wall

        var body: some View {
            switch block {
            case .heading(let text):
                Ruled(strong: true).padding(.top, 18)
                Line(text: text, size: 20, weight: .semibold).accessibilityAddTraits(.isHeader)
                    .padding(.top, Look.gap)
            case .sentence(let text): Line(text: text).padding(.top, Look.gap)
            case .caution(let head, let lines): Band(head: head, lines: lines).padding(.top, 10)
            case .line(let button):
                TouchView(touch: touch(button), weight: .opener, size: 18)
            case .action(let button, let wide):
                TouchView(
                    touch: touch(button), least: wide ? Look.floor : Look.target, weight: wide ? .act : .outlined,
                    size: wide ? 20 : 17
                ).padding(.top, 12)
            case .question(let label, let notes, let buttons):
                Line(text: label, size: 18, weight: .semibold).accessibilityAddTraits(.isHeader).padding(.top, 16)
                Notes(notes: notes)
                Columns(touches: buttons.map(touch), most: 4, oneLine: true, least: Look.target)
                    .padding(.top, Look.gap)
            case .entry(let field, let label, let notes, _, let keys, let save):
                EntryView(field: field, label: label, notes: notes, keys: keys, save: save, model: wall.page)
                    .padding(.top, 16)
            case .tallies(let notes, let tallies):
                Notes(notes: notes)
                let most = TallyView.most(tallies)
                ForEach(Array(tallies.enumerated()), id: \.offset) { TallyView(tally: $0.element, most: most) }
            case .drawn(let chart): ChartView(chart: chart)
            case .table(let caption, let heads, let rows):
                Line(text: caption, size: 18, weight: .semibold).accessibilityAddTraits(.isHeader).padding(.top, 14)
                TableView(heads: heads, rows: rows).padding(.top, 6)
            case .words(let label, let words): WordsView(label: label, words: words)
            }
        }

        private func touch(_ button: PageButton) -> Touch { Touch(button) { wall.press(button) } }
    }

    /// Why something is asked.
    struct Notes: View {
        let notes: [String]

        var body: some View {
            ForEach(Array(notes.enumerated()), id: \.offset) {
                Line(text: $0.element, size: 16, soft: true).padding(.top, 4)
            }
        }
    }

    /// Words to copy down, two to a line, numbered.
    private struct WordsView: View {
        let label: String
        let words: [String]
        private let column = GridItem(.flexible(), alignment: .leading)

        var body: some View {
            Line(text: label).padding(.top, 10)
            LazyVGrid(
                columns: [column, column],
                alignment: .leading, spacing: Look.gap
            ) {
                ForEach(Array(words.enumerated()), id: \.offset) { word in
                    Line(text: "\(word.offset + 1)  \(word.element)", size: 19, weight: .semibold)
                }
            }
            .padding(.top, Look.gap)
            .privacySensitive()
        }
    }

    /// A line to write in, with its button.
    private struct EntryView: View {
        let field: String
        let label: String
        let notes: [String]
        let keys: Keys
        let save: String
        @Bindable var model: PageModel
        @Environment(\.look) private var look

        var body: some View {
            VStack(alignment: .leading, spacing: Look.gap) {
                Line(text: label, size: 18, weight: .semibold).accessibilityAddTraits(.isHeader)
                Notes(notes: notes)
                TextField(text: $model[field]) { EmptyView() }
                    .letters(18)
                    .foregroundStyle(look.ink)
                    .keyboardType(keyboard)
                    .autocorrectionDisabled(keys != .words)
                    .submitLabel(.done)
                    .onSubmit { model.save(field) }
                    .padding(10)
                    .frame(minHeight: Look.target)
                    .overlay { Rectangle().strokeBorder(look.ink, lineWidth: Look.line) }
                    .accessibilityLabel(Text(verbatim: label))
                TouchView(
                    touch: Touch(save, spoken: "\(save): \(label)", chosen: false, more: []) { model.save(field) },
                    weight: .outlined)
            }
        }

        private var keyboard: UIKeyboardType {
            switch keys {
            case .words: .default
            case .whole: .phonePad
            case .decimal: .decimalPad
            case .date: .numbersAndPunctuation
            }
        }
    }
#endif
