#if canImport(SwiftUI) && canImport(UIKit)
    import PlinthKit
    import PlinthScreens
    import SwiftUI

    /// The session at hand. The middle scrolls where it must; undo and the wide action stay, and so do the others but
    /// where the lifter's text is so large that they would cover the clock: there they follow at the middle's end. On its
    /// side the window has the middle and the foot beside each other.
    struct FloorView: View {
        let scene: FloorScene
        let wall: Wall
        @Environment(\.look) private var look
        @Environment(\.dynamicTypeSize) private var typeSize

        /// From this height on there is room for everything (tried on pictures of the other shell; no source).
        private static let tall: CGFloat = 1_000

        var body: some View {
            GeometryReader { space in
                let side = space.size.width > space.size.height
                let follow = !side && typeSize > .xLarge && space.size.height < FloorView.tall
                if side {
                    HStack(spacing: Look.margin) {
                        if look.mirrored { foot(side, follow).frame(width: space.size.width * 0.42) }
                        middle(follow)
                        if !look.mirrored { foot(side, follow).frame(width: space.size.width * 0.42) }
                    }
                } else {
                    VStack(spacing: Look.gap) {
                        middle(follow)
                        foot(side, follow)
                    }
                }
            }
            .padding(.horizontal, Look.margin)
            .padding(.vertical, Look.gap)
            .task(id: scene.clock) {
                wall.rest.show(scene.clock)
                await wall.rest.run()
            }
        }

        private func middle(_ follow: Bool) -> some View {
            Middle(scene: scene, wall: wall) { if follow { actions(side: false) } }
                .id(scene.stable)
        }

        @ViewBuilder
        private func foot(_ side: Bool, _ follow: Bool) -> some View {
            let column = VStack(spacing: Look.gap) {
                // On its side a phone's foot may scroll, and the action stands first.
                if side { wide }
                seldom
                if !side { wide }
                if !follow { actions(side: side) }
            }
            if side { ScrollView { column } } else { column.fixedSize(horizontal: false, vertical: true) }
        }

        @ViewBuilder
        private var wide: some View {
            if let choice = scene.wide {
                TouchView(
                    touch: Touch(choice) { wall.press(choice) }, least: Look.wide,
                    weight: choice.outlined ? .outlined : .act, size: choice.label.count > 44 ? 17 : 21
                )
                // A button that the lifter wears or holds, and the keyboard of a tablet.
                .keyboardShortcut(.defaultAction)
                // A reader reaches everything from here, without leaving it.
                .accessibilityActions {
                    ForEach(Array(scene.custom.enumerated()), id: \.offset) { other in
                        Button(action: { wall.press(other.element) }) { Text(verbatim: other.element.spoken) }
                    }
                }
            }
        }

        /// Undo, and what opens the actions that are seldom wanted.
        @ViewBuilder
        private var seldom: some View {
            if scene.undo != nil || scene.more != nil {
                HStack(spacing: Look.gap) {
                    if look.mirrored { more }
                    if let undo = scene.undo {
                        TouchView(touch: Touch(undo) { wall.press(undo) }, least: Look.floor, size: 15)
                    }
                    if !look.mirrored { more }
                }
                .fixedSize(horizontal: false, vertical: true)
            }
        }

        @ViewBuilder
        private var more: some View {
            if let row = scene.more {
                TouchView(
                    touch: Touch(row.label, chosen: wall.moreOpen) { wall.flipMore() }, least: Look.floor, size: 15
                )
                .fixedSize(horizontal: scene.undo != nil, vertical: false)
            }
        }

        @ViewBuilder
        private func actions(side: Bool) -> some View {
            let shown = wall.moreOpen ? scene.more?.buttons ?? scene.actions : scene.actions
            if !shown.isEmpty {
                Columns(
                    touches: shown.map { choice in Touch(choice) { wall.press(choice) } }, most: side ? 4 : 3,
                    oneLine: false, least: Look.floor)
            }
        }
    }

    /// The middle: what stays, what gives way, and what follows past the edge.
    private struct Middle<End: View>: View {
        let scene: FloorScene
        let wall: Wall
        @ViewBuilder let end: () -> End
        @State private var heights: [String: CGFloat] = [:]

        var body: some View {
            GeometryReader { space in
                ScrollView {
                    VStack(alignment: .leading, spacing: 6) {
                        if let line = scene.line,
                            GivingWay.lineStays(heights.mapValues { Double($0) }, room: Double(space.size.height))
                        {
                            SessionLine(line: line, head: wall.words(.sessionLine))
                                .onGeometryChange(for: CGFloat.self) {
                                    $0.size.height
                                } action: {
                                    heights[GivingWay.line] = $0
                                }
                        }
                        VStack(alignment: .leading, spacing: 6) { pieces(scene.stays) }
                            .onGeometryChange(for: CGFloat.self) {
                                $0.size.height
                            } action: {
                                heights[GivingWay.stays] = $0
                            }
                        pieces(scene.follows)
                        end().padding(.top, 6)
                    }
                    .frame(maxWidth: .infinity, alignment: .leading)
                }
                .scrollIndicators(.hidden)
            }
        }

        private func pieces(_ pieces: [FloorScene.Piece]) -> some View {
            ForEach(Array(pieces.enumerated()), id: \.offset) { PieceView(piece: $0.element, wall: wall) }
        }
    }

    /// One piece of the middle.
    private struct PieceView: View {
        let piece: FloorScene.Piece
        let wall: Wall
        @Environment(\.look) private var look

        var body: some View {
            switch piece {
            case .clock(let clock): ClockView(clock: clock, rest: wall.rest)
            case .name(let name, let spoken):
                Text(verbatim: name).letters(20, .semibold, least: Look.size(Look.nameMm))
                    .foregroundStyle(look.ink)
                    .fixedSize(horizontal: false, vertical: true)
                    .accessibilityLabel(Text(verbatim: spoken))
                    .accessibilityAddTraits(.isHeader)
            case .text(let text, let tone):
                Line(
                    text: text, size: tone == .large || tone == .soft ? 18 : 17,
                    weight: tone == .strong ? .semibold : .regular, soft: tone == .soft)
            case .load(let load): Figures(text: load, figures: Look.loadMm, words: Look.unitMm, weight: .semibold)
            case .reps(let reps, let leave):
                HStack(alignment: .firstTextBaseline, spacing: Look.gap) {
                    Figures(text: reps, figures: Look.amountMm, words: Look.wordMm)
                    if let leave { Figures(text: leave, figures: Look.amountMm, words: Look.wordMm) }
                }
            case .rule: Ruled()
            case .sleeve(let discs): Sleeve(discs: discs)
            case .caution(let head, let lines): Band(head: head, lines: lines)
            case .row(let row): RowView(row: row, wall: wall)
            case .notice(let notice): NoticeView(notice: notice, wall: wall, least: Look.floor)
            }
        }
    }

    /// Buttons under what they ask.
    private struct RowView: View {
        let row: ChoiceRow
        let wall: Wall

        var body: some View {
            VStack(alignment: .leading, spacing: 6) {
                if !row.label.isEmpty {
                    Line(text: row.label, weight: .semibold).accessibilityAddTraits(.isHeader)
                }
                Columns(
                    touches: row.buttons.map { choice in Touch(choice) { wall.press(choice) } }, most: 4,
                    oneLine: true, least: Look.floor)
            }
            .padding(.top, 6)
        }
    }
#endif
