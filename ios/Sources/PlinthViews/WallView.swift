#if canImport(SwiftUI) && canImport(UIKit)
    import PlinthKit
    import PlinthScreens
    import SwiftUI
    import UniformTypeIdentifiers

    /// What stands in the window: the head, and the floor, a page, the contents, or why there is nothing. Nothing moves
    /// by itself, so that reduced motion has nothing to reduce.
    public struct WallView: View {
        private let wall: Wall
        @Environment(\.colorScheme) private var scheme

        public init(_ wall: Wall) { self.wall = wall }

        public var body: some View {
            let look = Look(dark: scheme == .dark, mirrored: wall.mirrored)
            VStack(spacing: 0) {
                if wall.hasHead { HeadView(wall: wall) }
                StandingView(standing: wall.standing, wall: wall)
                    .frame(maxWidth: .infinity, maxHeight: .infinity, alignment: .top)
            }
            .frame(maxWidth: .infinity, maxHeight: .infinity)
            .background(look.ground.ignoresSafeArea())
            .environment(\.look, look)
            .environment(\.locale, Locale(identifier: wall.house.language == .german ? "de" : "en"))
            .transaction { $0.animation = nil }
            .onChange(of: wall.house.shown, initial: true) { _, _ in wall.follow() }
            // The reader's primary gesture is Done; a headset's button is the system's own affair.
            .accessibilityAction(.magicTap) { wall.house.wide() }
            .accessibilityAction(.escape) { if let back = wall.back { wall.press(back) } }
            .modifier(Pickers(files: wall.files))
        }
    }

    private struct StandingView: View {
        let standing: Wall.Standing
        let wall: Wall

        var body: some View {
            switch standing {
            case .opening: Line(text: wall.words(.opening), size: 20, soft: true).padding(Look.margin)
            case .failed(let problem, let remedy): FailedView(problem: problem, remedy: remedy, wall: wall)
            case .asked(let asked): AskView(asked: asked, wall: wall).frame(maxWidth: Look.widest)
            case .contents(let places): ContentsView(places: places, wall: wall).frame(maxWidth: Look.widest)
            case .floor(let scene): FloorView(scene: scene, wall: wall).frame(maxWidth: Look.widest * 2)
            case .page(let page, let told, let notices):
                PageView(page: page, told: told, notices: notices, wall: wall).frame(maxWidth: Look.widest)
            }
        }
    }

    /// The platform's own windows for files and folders.
    private struct Pickers: ViewModifier {
        @Bindable var files: Files

        func body(content: Content) -> some View {
            content
                .fileImporter(isPresented: $files.choosing, allowedContentTypes: types) { result in
                    switch result {
                    case .success(let file): files.picked(file)
                    case .failure(let error): files.failed(error)
                    }
                }
                .fileMover(isPresented: $files.placing, file: files.place) { result in
                    switch result {
                    case .success(let file): files.picked(file)
                    case .failure(let error): files.failed(error)
                    }
                }
        }

        private var types: [UTType] {
            switch files.picking {
            case .folder: [.folder]
            case .file(.sets): [.commaSeparatedText, .plainText, .data]
            case .file: [.json, .plainText, .data]
            case .sealed, .place, nil: [.data]
            }
        }
    }
#endif
