import Foundation
import Observation
import PlinthKit

/// What the lifter is asked before a file is taken in.
public struct Asked: Sendable, Equatable {
    public enum What: Sendable, Equatable {
        /// Whether a programme is taken on.
        case programme
        /// The words of a sealed copy. `wrong`: why those that were written did not open it.
        case words(wrong: String?, working: Bool)
    }
    public let what: What
    /// What its keeper calls it.
    public let name: String
    /// A copy of it, which goes away with the question.
    let file: URL
}

/// Which of the platform's windows is to be open.
public enum Picking: Sendable, Equatable {
    case file(FileKind)
    case folder
    case sealed
    /// Where a file that was written is to go.
    case place(URL)
}

/// Files that go out and come in. The core reads and writes them in the app's own folder; between that and where the
/// lifter has them they are copied away from the main thread, one after another. What came of it is told in words.
@MainActor
@Observable
public final class Files {
    /// The lines that are told of the last file.
    public private(set) var told: [String] = []
    /// What is asked; never over a session.
    public private(set) var asked: Asked?
    /// Which of the platform's windows is to be open.
    public private(set) var picking: Picking?
    /// The words that are being written: in memory alone.
    public var typed = ""

    let copies: SealedCopies
    @ObservationIgnored private let house: House
    @ObservationIgnored private let folder: URL
    @ObservationIgnored private var last: Task<Void, Never>?

    public init(_ house: House, temporary: URL = FileManager.default.temporaryDirectory) {
        self.house = house
        copies = SealedCopies(house)
        folder = temporary.appendingPathComponent("files")
        // What a killed process left: plain copies of the record among it.
        try? FileManager.default.removeItem(at: folder)
    }

    /// How the sealed copies stand.
    public var standing: Copies { copies.copies }

    /// Does what the core asks, where it is about files.
    func perform(_ effect: Effect) {
        switch effect {
        case .giveFile(let kind, let name): give(kind, name)
        case .takeFile(let kind): picking = .file(kind)
        case .chooseFolder: picking = .folder
        case .restore: picking = .sealed
        default: break
        }
    }

    /// The lifter has gone on.
    func forget() { told = [] }

    /// The file that waits for its place.
    public var place: URL? { if case .place(let file) = picking { file } else { nil } }

    /// Whether the window for a place is open. Whoever closes it says so here.
    public var placing: Bool {
        get { place != nil }
        set { if !newValue { closed(placing: true) } }
    }

    /// Whether the window for a file or folder is open. Whoever closes it says so here.
    public var choosing: Bool {
        get { picking != nil && place == nil }
        set { if !newValue { closed(placing: false) } }
    }

    /// A window was closed. Where something was picked, that is told in the same turn of the main thread.
    private func closed(placing: Bool) {
        Task { if picking != nil, placing == self.placing { picked(nil) } }
    }

    /// What one of the platform's windows gave; nothing where it was left.
    public func picked(_ file: URL?) {
        let was = picking
        picking = nil
        switch (was, file) {
        case (.place(let written), nil): Files.remove(written)
        case (.place(let written), let to?):
            Files.remove(written)
            tell(house.words(.written, to.lastPathComponent))
        case (.file(.record), let file?): take(file, .json)
        case (.file(.sets), let file?): take(file, .csv)
        case (.file(.programme), let file?): meet(file)
        case (.folder, let folder?): choose(folder)
        case (.sealed, let file?): open(file)
        case (nil, _), (_, nil): break
        }
    }

    /// One of the platform's windows could not do it.
    public func failed(_ error: any Error) {
        if case .place(let written) = picking { Files.remove(written) }
        picking = nil
        tell(house.words(.noFile, reason(error)))
    }

    private func give(_ kind: FileKind, _ name: String) {
        work(.noFile) {
            let file = try self.place(name)
            let made = try await self.house.ask { plinth in
                switch kind {
                case .record: try await plinth.export(to: file.path, form: .json) >= 0
                case .sets: try await plinth.export(to: file.path, form: .csv) >= 0
                case .programme: try await plinth.exportProgramme(to: file.path)
                }
            }
            self.forget()
            if made { self.picking = .place(file) } else { self.tell(self.house.words(.noProgramme)) }
        }
    }

    private func take(_ from: URL, _ form: FileForm) {
        work(.notRead) {
            let file = try await self.fetched(from)
            defer { Files.remove(file) }
            let outcome = try await self.house.ask { try await $0.importFile(file.path, form: form) }
            self.told = self.house.words.told(outcome)
            self.house.tick()
        }
    }

    /// A programme came as a file: the lifter is asked first.
    public func meet(_ programme: URL) {
        work(.notRead) {
            let file = try await self.fetched(programme)
            self.put(Asked(what: .programme, name: programme.lastPathComponent, file: file))
            self.forget()
        }
    }

    /// Takes in the programme that was asked about; its page says what it would become.
    public func takeIn() {
        guard let asked, asked.what == .programme else { return }
        work(.notTakenIn) {
            defer { self.leave() }
            let document = try String(contentsOf: asked.file, encoding: .utf8)
            let shown = try await self.house.ask { try await $0.receive(document) }
            if let refused = shown.refused { self.tell(refused) }
            await self.house.tick().value
        }
    }

    private func open(_ sealed: URL) {
        work(.notRead) {
            let file = try await self.fetched(sealed)
            self.put(Asked(what: .words(wrong: nil, working: false), name: sealed.lastPathComponent, file: file))
            self.forget()
        }
    }

    /// Opens the sealed copy with the words that were written, and puts it in the record's place.
    public func restore() {
        guard let asked, case .words(_, false) = asked.what else { return }
        self.asked = Asked(what: .words(wrong: nil, working: true), name: asked.name, file: asked.file)
        let words = typed
        work(.notRead) {
            do {
                let restored = try await self.house.ask { try await $0.restore(from: asked.file.path, words: words) }
                self.leave()
                await self.house.send(.floor(.open)).value
                await self.house.learnLanguage()
                self.tell(self.house.words.counted(.restored, restored.entries))
            } catch let error as PlinthError {
                let wrong = self.house.words(.notRestored, error.sentence)
                self.asked = Asked(what: .words(wrong: wrong, working: false), name: asked.name, file: asked.file)
                self.forget()
            }
        }
    }

    /// Leaves what was asked.
    public func leave() {
        if let asked { Files.remove(asked.file) }
        asked = nil
        typed = ""
    }

    private func choose(_ folder: URL) {
        work(.noFolder) {
            try self.house.phone.folders.within(folder) { try self.copies.choose($0) }
            self.forget()
            await self.sealed()
        }
    }

    /// Puts a sealed copy into the lifter's folder where one is due: between sessions only.
    public func copyWhereDue() {
        guard copies.hasFolder, case .here = house.shown, !house.shown.sessionOpen else { return }
        inTurn { await self.sealed() }
    }

    private func sealed() async {
        do {
            let file = try place("copy")
            defer { Files.remove(file) }
            try await copies.copy(by: file)
        } catch let error as PlinthError {
            copies.failed(error.sentence)
        } catch {
            copies.failed(reason(error))
        }
    }

    private func put(_ new: Asked) {
        leave()
        asked = new
    }

    /// A copy of a file that was picked, among the app's own; the caller takes it away.
    private func fetched(_ from: URL) async throws -> URL {
        let (file, folders) = (try place(from.lastPathComponent), house.phone.folders)
        do {
            try await Task.detached { try folders.within(from) { try Documents.copy($0, to: file) } }.value
        } catch {
            Files.remove(file)
            throw error
        }
        return file
    }

    /// A place for a file of a name, in a folder of its own.
    private func place(_ name: String) throws -> URL {
        let own = folder.appendingPathComponent(UUID().uuidString)
        try FileManager.default.createDirectory(at: own, withIntermediateDirectories: true)
        return own.appendingPathComponent(name)
    }

    private static func remove(_ file: URL) {
        try? FileManager.default.removeItem(at: file.deletingLastPathComponent())
    }

    private func inTurn(_ call: @escaping @MainActor () async -> Void) {
        let before = last
        last = Task {
            await before?.value
            await call()
        }
    }

    /// Everything that was begun is over.
    func settled() async { await last?.value }

    /// Does one thing after another, and tells in words where it fails.
    private func work(_ failed: Word, _ call: @escaping @MainActor () async throws -> Void) {
        inTurn {
            self.tell(self.house.words(.opening))
            do {
                try await call()
            } catch let error as PlinthError {
                self.tell(self.house.words(failed, error.sentence))
            } catch {
                self.tell(self.house.words(failed, self.reason(error)))
            }
        }
    }

    private func reason(_ error: any Error) -> String {
        if error is NotOpen { return house.words(.cannotOpen) }
        if Documents.full(error) { return house.words(.noRoom) }
        if Documents.barred(error) { return house.words(.notAllowed) }
        return error.localizedDescription
    }

    private func tell(_ line: String) { told = [line] }
}
