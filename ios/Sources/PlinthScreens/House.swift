import Foundation
import Observation
import PlinthKit

/// What the shell shows.
public enum Shown: Sendable, Equatable {
    /// The record is being opened.
    case opening
    /// It cannot be opened.
    case failed(problem: String, remedy: String)
    /// The core's screen, and why the last event did nothing.
    case here(Screen, refused: String?)

    var screen: Screen? { if case .here(let screen, _) = self { screen } else { nil } }

    /// No place can be reached while a session is open.
    var sessionOpen: Bool { if case .floor(let floor) = screen { floor.contents.isEmpty } else { false } }
}

/// The record is not open.
struct NotOpen: Error {}

/// The open record, for as long as the process lives. Events are taken in one after another, away from the main thread,
/// and what the core asks of the platform is done here or, where it needs a window, handed to the files.
@MainActor
@Observable
public final class House {
    /// Where the shell keeps what is its own: the record, and what it remembers.
    public let folder: URL
    /// What opening had to do, once it is open.
    public private(set) var opening: Opening?
    /// The language of the record, once that is known; that of the device before.
    public private(set) var language: Language
    /// Whether the platform shows the notice that a rest is over.
    public private(set) var notices = NoticesAllowed.notAsked
    /// What could not be done for the lifter, until they go on.
    public private(set) var said: Word?

    private var model: PlinthModel?
    private var failure: (problem: String, remedy: String)?
    private var inFront = false

    @ObservationIgnored let phone: Phone
    @ObservationIgnored let memory: Memory
    @ObservationIgnored private var plinth: Plinth?
    @ObservationIgnored private var last: Task<Void, Never>?
    @ObservationIgnored private var reading: Task<Void, Never>?
    @ObservationIgnored private var heart: Task<Void, Never>?
    @ObservationIgnored private var sessionOpen = false
    /// What is to be done with files and folders, which wants a window.
    @ObservationIgnored var forFiles: (Effect) -> Void = { _ in }
    /// What is done between sessions: when the record was opened, and after each session.
    @ObservationIgnored var betweenSessions: () -> Void = {}
    @ObservationIgnored var askForSync: () -> Void = {}
    /// What is done with the pairing: `allowMetered`, `pair`, `unpair`.
    @ObservationIgnored var forPairing: (Effect) -> Void = { _ in }

    public init(folder: URL, phone: Phone, language: Language = Words.ofTheDevice) {
        self.folder = folder
        self.phone = phone
        self.language = language
        memory = Memory(folder.appendingPathComponent("shell.json"))
    }

    /// Where the record lies.
    public var record: URL { folder.appendingPathComponent("record.db") }

    public var words: Words { Words(language) }

    /// What to show.
    public var shown: Shown {
        if let failure { return .failed(problem: failure.problem, remedy: failure.remedy) }
        guard let model, let screen = model.screen else { return .opening }
        return .here(screen, refused: model.refused)
    }

    /// Opens the record; what was sent meanwhile waits. Once it is open it does nothing.
    @discardableResult
    public func open() -> Task<Void, Never> { inTurn { await self.opened() } }

    private func opened() async {
        guard plinth == nil else { return }
        failure = nil
        let first = !FileManager.default.fileExists(atPath: record.path)
        do {
            let new = try await Plinth.open(path: record.path, language: language, clock: phone.clock)
            plinth = new
            opening = new.opening
            language = try await new.language()
            model = PlinthModel(new)
            reading = Task { [weak self, effects = new.effects] in
                for await effect in effects { await self?.perform(effect) }
            }
            notices = await phone.rest.allowed()
            await meet()
            // The first run begins with what a week is made from, where sensible answers stand already.
            if first { await take(.page(.open(spot: .brief))) }
            if !sessionOpen { betweenSessions() }
            askForSync()
        } catch {
            fail(error)
        }
    }

    private func fail(_ error: any Error) {
        switch error {
        case PlinthError.Input(_, _, let problem, let remedy), PlinthError.Store(_, _, let problem, let remedy),
            PlinthError.Defect(_, _, let problem, let remedy):
            failure = (problem, remedy)
        default: failure = ("\(error)", "")
        }
    }

    /// Sends an event that a screen offered.
    @discardableResult
    public func send(_ event: Event) -> Task<Void, Never> {
        if event != .floor(.tick) { said = nil }
        return inTurn { await self.take(event) }
    }

    /// Time has passed.
    @discardableResult
    public func tick() -> Task<Void, Never> { send(.floor(.tick)) }

    /// What the wide action does, by another way than a touch: a headset's button, a reader's gesture.
    @discardableResult
    public func wide() -> Bool {
        guard case .floor(let floor) = shown.screen, let wide = floor.wide else { return false }
        send(.floor(wide.event))
        return true
    }

    /// One thing after another.
    private func inTurn(_ work: @escaping @MainActor () async -> Void) -> Task<Void, Never> {
        let before = last
        let task = Task {
            await before?.value
            await work()
        }
        last = task
        return task
    }

    private func take(_ event: Event) async {
        guard let model else { return }
        await model.send(event)
        if case .page = event { await learnLanguage() }
        if model.screen == nil { failure = (model.refused ?? "", "") }
        await serve(shown.sessionOpen)
    }

    func learnLanguage() async {
        if let spoken = try? await plinth?.language(), spoken != language { language = spoken }
    }

    private func serve(_ open: Bool) async {
        guard open != sessionOpen else { return }
        sessionOpen = open
        if !open {
            betweenSessions()
        } else if notices == .notAsked {
            // Not in turn: the lifter may let the question stand, and the next touch counts all the same.
            Task {
                await phone.rest.ask()
                notices = await phone.rest.allowed()
                _ = inTurn { await self.meet() }
            }
        }
    }

    /// The open record, for what is asked of it besides events; it waits until it is open.
    func ask<Value: Sendable>(_ call: @Sendable (Plinth) async throws -> Value) async throws -> Value {
        if plinth == nil { await last?.value }
        guard let plinth else { throw NotOpen() }
        return try await call(plinth)
    }

    // What the core asks of the platform

    func perform(_ effect: Effect) async {
        switch effect {
        case .raiseAlarm(let monotonic, let wall, let boot, let text):
            let left = phone.clock.now().left(untilMonotonicMs: monotonic, wallMs: wall, boot: boot)
            if left > .zero { await phone.rest.set(after: left, text: text) }
        case .cancelAlarm: await phone.rest.cancel()
        case .vibrate: phone.haptics.touch()
        case .speak(let text): phone.voice.say(text, in: language)
        case .keepAwake(let on): phone.display.keepAwake(on)
        case .openDialler(nil): said = .noNumber
        case .openDialler(let number?): if !(await phone.dialler.open(number)) { said = .noDialler }
        case .askForSync: askForSync()
        case .eraseEverything: eraseEverything()
        case .allowMetered, .pair, .unpair: forPairing(effect)
        case .giveFile, .takeFile, .chooseFolder, .restore: forFiles(effect)
        }
    }

    /// The lifter confirmed it by a second touch. What they keep in a folder of their own is theirs, and stays.
    private func eraseEverything() {
        _ = inTurn {
            await self.phone.rest.cancel()
            // What comes back from a server would undo it.
            self.forPairing(.unpair)
            await self.model?.perform { try await $0.erase() }
            await self.learnLanguage()
        }
    }

    /// The app was ended, was away, or the clock was changed: the platform may have lost the notice of the rest or count by
    /// another clock, and the core sets it anew. Where no rest runs, what waits or stands there is taken back. In turn, so
    /// that the screen is that of the last event.
    private func meet() async {
        await take(.floor(.open))
        if case .floor(let floor) = shown.screen, floor.clock != nil { return }
        await phone.rest.cancel()
    }

    /// The clock on the screen has come to its end: the next set comes up without a touch.
    func restIsOver() {
        if notices != .allowed { phone.haptics.restOver() }
        tick()
    }

    // The app comes and goes

    /// The app is in front.
    public func comesToFront() {
        inFront = true
        _ = inTurn {
            self.notices = await self.phone.rest.allowed()
            await self.meet()
            if !self.sessionOpen { self.betweenSessions() }
            self.askForSync()
        }
        heart?.cancel()
        heart = Task { [weak self] in
            // The session line's tick moves also through a rest, and the display is let go in time.
            while true {
                do { try await Task.sleep(for: .seconds(20)) } catch { return }
                guard let self else { return }
                if self.sessionOpen { self.tick() }
            }
        }
    }

    /// The clock or the zone was changed.
    @discardableResult
    public func clockChanged() -> Task<Void, Never> { inTurn { await self.meet() } }

    /// The app is not in front any more. The file is let go before this returns: the system may suspend the app then.
    public func leaves() async {
        inFront = false
        heart?.cancel()
        heart = nil
        await last?.value
        await letGo()
    }

    /// Lets the file go where nobody looks at it.
    func letGo() async {
        guard !inFront, let plinth else { return }
        // It waits for the call that runs; the main thread does not.
        await Task.detached { plinth.pause() }.value
    }

    /// Lets go of the record for good.
    public func shutDown() {
        heart?.cancel()
        reading?.cancel()
        plinth?.shutDown()
    }
}
