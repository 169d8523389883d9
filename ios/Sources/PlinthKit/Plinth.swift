@_exported import PlinthBoundary

/// What a platform knows of now: the wall clock, the zone, a clock that counts sleep, and the boot.
public protocol PlinthClock: Sendable {
    func now() -> Moment
}

/// The companion of one record. Every call throws `PlinthError`; calls wait for each other.
public actor Plinth {
    /// What the platform is to do, in order, each once. It has one reader.
    public nonisolated let effects: AsyncStream<Effect>
    /// Lines for a log, without anything that the record holds; the oldest are dropped when nobody reads.
    public nonisolated let log: AsyncStream<LogLine>
    /// What opening had to do.
    public nonisolated let opening: Opening

    private nonisolated let companion: PlinthCompanion
    private nonisolated let clock: any PlinthClock
    private nonisolated let ears: Ears

    /// Opens the record at `path`, or makes one. `rehearsal` is for replays and tests.
    public init(path: String, language: Language, clock: any PlinthClock, rehearsal: Rehearsal? = nil) throws {
        let (effects, sendEffect) = AsyncStream.makeStream(of: Effect.self)
        let (log, sendLine) = AsyncStream.makeStream(of: LogLine.self, bufferingPolicy: .bufferingNewest(64))
        let ears = Ears(effects: sendEffect, lines: sendLine)
        self.effects = effects
        self.log = log
        self.ears = ears
        self.clock = clock
        companion = try PlinthCompanion.open(
            path: path, language: language, moment: clock.now(), listener: ears, rehearsal: rehearsal)
        opening = companion.opening()
    }

    /// Takes in an event; what it records is durable when this returns.
    @discardableResult
    public func send(_ event: Event) throws -> Update {
        let update = try companion.dispatch(event: event, moment: clock.now())
        for effect in update.effects { ears.effects.yield(effect) }
        return update
    }

    /// The screen of now.
    public func screen() throws -> Screen { try companion.screen(moment: clock.now()) }

    /// What the log adds up to.
    public func findings() throws -> FindingsPage { try companion.findings(moment: clock.now()) }

    /// Keeps a brief.
    public func tellBrief(_ document: String) throws {
        try companion.tellBrief(document: document, moment: clock.now())
    }

    /// Takes on a programme from today.
    public func takeOn(_ document: String, from: String = "own") throws {
        try companion.takeOn(document: document, from: from, moment: clock.now())
    }

    /// Leaves an ended session for the screen before the next.
    public func leaveEnded() throws { try companion.leaveEnded(moment: clock.now()) }

    /// The language that is spoken.
    public func language() throws -> Language { try companion.language(moment: clock.now()) }

    /// Makes the key of the automatic backups: 24 words, shown once.
    public func makeBackupKey() throws -> String { try companion.makeBackupKey(moment: clock.now()) }

    /// Writes the record to a file and says how many entries.
    @discardableResult
    public func export(to path: String, form: FileForm = .json) throws -> UInt64 {
        try companion.export(to: path, form: form, moment: clock.now())
    }

    /// SHA-256 of the record in hexadecimal digits.
    public func digest() throws -> String { try companion.digest(moment: clock.now()) }

    /// Imports a file. Cancelling the Swift task calls it off, and nothing is changed.
    public nonisolated func importFile(
        _ path: String, form: FileForm = .json, progress: @escaping @Sendable (WorkProgress) -> Void = { _ in }
    ) async throws -> Outcome {
        try await longWork(ears, progress) { [companion, clock] in
            try companion.`import`(from: path, form: form, moment: clock.now(), listener: $0)
        }
    }

    /// Drafts the next block. Cancelling the Swift task calls it off with the best programme so far.
    public nonisolated func draft(
        thorough: Bool = false, progress: @escaping @Sendable (WorkProgress) -> Void = { _ in }
    ) async throws -> Outcome {
        try await longWork(ears, progress) { [companion, clock] in
            try companion.draft(thorough: thorough, moment: clock.now(), listener: $0)
        }
    }

    /// Copies the record to a file that is whole or not there.
    public nonisolated func backup(
        to path: String, progress: @escaping @Sendable (WorkProgress) -> Void = { _ in }
    ) async throws -> Outcome {
        try await longWork(ears, progress) { [companion, clock] in
            try companion.backup(to: path, moment: clock.now(), listener: $0)
        }
    }

    /// Calls off long work and lets go of the file, before the system suspends the app. The next call opens it.
    public nonisolated func pause() { companion.pause() }

    /// Ends it: later calls throw. Once more does nothing.
    public nonisolated func shutDown() {
        companion.shutDown()
        ears.effects.finish()
        ears.lines.finish()
    }
}
