@_exported import PlinthBoundary

/// What a platform knows of now: the wall clock, the zone, a clock that counts sleep, and the boot.
public protocol PlinthClock: Sendable {
    func now() -> Moment
}

/// What an event led to. What the platform is to do after it comes through `Plinth.effects`, each once.
public struct Shown: Sendable, Equatable {
    /// The screen after it, complete.
    public let screen: Screen
    /// Why nothing happened, where nothing did.
    public let refused: String?
    /// Of two, the higher is the newer.
    let turn: UInt64
}

/// The companion of one record. Every call throws `PlinthError`; calls wait for each other, and none waits on the pool
/// that tasks share. Cancelling a task ends its long work and its sync, and nothing else: an event that was sent counts.
public actor Plinth {
    /// What the platform is to do, in order, each once. It has one reader at a time.
    public nonisolated let effects: Mailbox<Effect>
    /// Lines for a log, without anything that the record holds; the oldest of 64 are dropped when nobody reads.
    public nonisolated let log: Mailbox<LogLine>
    /// What opening had to do.
    public nonisolated let opening: Opening

    nonisolated let companion: PlinthCompanion
    nonisolated let clock: any PlinthClock
    private nonisolated let ears: Ears
    private nonisolated let disk: DiskExecutor
    private var turn: UInt64 = 0

    public nonisolated var unownedExecutor: UnownedSerialExecutor { disk.asUnownedSerialExecutor() }

    /// Opens the record at `path`, or makes one. `language` counts until the record has a setting of its own.
    /// `rehearsal` is for replays and tests.
    public static func open(
        path: String, language: Language, clock: any PlinthClock, rehearsal: Rehearsal? = nil
    ) async throws -> Plinth {
        let (disk, ears) = (DiskExecutor(), Ears())
        let companion = try await disk.run {
            try PlinthCompanion.open(
                path: path, language: language, moment: clock.now(), listener: ears, rehearsal: rehearsal)
        }
        return Plinth(companion, clock, ears, disk)
    }

    private init(_ companion: PlinthCompanion, _ clock: any PlinthClock, _ ears: Ears, _ disk: DiskExecutor) {
        self.companion = companion
        self.clock = clock
        self.ears = ears
        self.disk = disk
        effects = ears.effects
        log = ears.lines
        opening = companion.opening()
    }

    /// Lets go of the file and ends both mailboxes; their readers hold no `Plinth`.
    deinit { shutDown() }

    /// Takes in an event; what it records is durable when this returns.
    @discardableResult
    public func send(_ event: Event) throws -> Shown {
        let update = try companion.dispatch(event: event, moment: clock.now())
        for effect in update.effects { ears.effects.put(effect) }
        return shown(update.screen, update.refused)
    }

    /// The screen of now.
    public func look() throws -> Shown { shown(try companion.screen(moment: clock.now()), nil) }

    private func shown(_ screen: Screen, _ refused: String?) -> Shown {
        turn += 1
        return Shown(screen: screen, refused: refused, turn: turn)
    }

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

    /// Takes in a programme that came as a file. It waits in the record, and its page says what it would become.
    public func receive(_ document: String) throws -> Shown {
        let update = try companion.receive(document: document, moment: clock.now())
        return shown(update.screen, update.refused)
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

    /// Writes the programme that runs to a file that `receive` reads; `false` where none runs.
    public func exportProgramme(to path: String) throws -> Bool {
        try companion.exportProgramme(to: path, moment: clock.now())
    }

    /// Whether a key for sealed backups was made.
    public func hasBackupKey() throws -> Bool { try companion.hasBackupKey(moment: clock.now()) }

    /// Writes the sealed backup where one is due, or `now` in any case; `false` where none was written.
    public func sealBackup(to path: String, now: Bool = false) throws -> Bool {
        try companion.sealBackup(to: path, now: now, moment: clock.now())
    }

    /// Opens a sealed backup with its 24 words and puts it in the record's place; where that fails, all is as it was.
    /// `look` shows the restored record.
    public func restore(from path: String, words: String) throws -> Restored {
        try companion.restore(from: path, words: words, moment: clock.now())
    }

    /// Erases the record for good; a new and empty one is begun. `look` shows it.
    public func erase() throws { try companion.erase(moment: clock.now()) }

    /// SHA-256 of the record in hexadecimal digits.
    public func digest() throws -> String { try companion.digest(moment: clock.now()) }

    /// Reads the server's answer to what the effect `pair` had the platform send, and remembers the pairing. Gives the
    /// token: it goes into the platform's key store and nowhere else; where that fails, call `unpair`.
    public func paired(address: String, answer: SyncAnswer) throws -> String {
        try companion.paired(address: address, status: answer.status, body: answer.body, moment: clock.now())
    }

    /// This device is paired with no server any more: the platform lost the token, or let it go.
    public func unpair() throws { try companion.unpair(moment: clock.now()) }

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

    /// Copies the record to a file that is whole or not there. Cancelling the Swift task calls it off.
    public nonisolated func backup(
        to path: String, progress: @escaping @Sendable (WorkProgress) -> Void = { _ in }
    ) async throws -> Outcome {
        try await longWork(ears, progress) { [companion, clock] in
            try companion.backup(to: path, moment: clock.now(), listener: $0)
        }
    }

    /// Calls off long work, waits for the call that runs, and lets go of the file, all before it returns: the system may
    /// suspend the app after that. The next call opens it.
    public nonisolated func pause() { companion.pause() }

    /// As `pause`, for good: later calls throw. Once more does nothing.
    public nonisolated func shutDown() {
        companion.shutDown()
        ears.effects.close()
        ears.lines.close()
    }
}
