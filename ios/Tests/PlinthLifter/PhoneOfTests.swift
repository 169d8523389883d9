import Foundation
import PlinthKit

/// A clock that a test moves.
public final class TestClock: PlinthClock, @unchecked Sendable {
    private let lock = NSLock()
    private var moment: Moment

    public init(_ moment: Moment) { self.moment = moment }

    public func now() -> Moment { lock.withLock { moment } }

    public func set(_ moment: Moment) { lock.withLock { self.moment = moment } }

    /// Time passes, as it does on every clock.
    public func passes(_ time: Duration) {
        let ms = time.components.seconds * 1_000 + time.components.attoseconds / 1_000_000_000_000_000
        lock.withLock {
            moment = Moment(
                wallMs: moment.wallMs + ms, offsetMin: moment.offsetMin,
                monotonicMs: moment.monotonicMs + UInt64(ms), boot: moment.boot)
        }
    }

    /// The lifter, or a network, sets the wall clock: no time passes.
    public func isSet(by ms: Int64, boot: String? = nil) {
        lock.withLock {
            moment = Moment(
                wallMs: moment.wallMs + ms, offsetMin: moment.offsetMin,
                monotonicMs: boot == nil ? moment.monotonicMs : 1,
                boot: boot ?? moment.boot)
        }
    }
}

/// A device that notes what it is asked to do.
@MainActor
public final class PhoneOfTests: RestNotices, Haptics, Voice, Display, Dialler, BackgroundTime {
    /// What was done, in order.
    public private(set) var log: [String] = []
    /// The notice that waits.
    public private(set) var waiting: (left: Duration, text: String)?
    /// The time that was asked for in the background.
    public private(set) var background: Duration?
    public private(set) var awake = false
    public var permission = NoticesAllowed.allowed
    public var hasDialler = true
    public let vault = VaultOfTests()
    public let folders = FoldersOfTests()
    public let servers: ServersOfTests
    private let reached: (any Servers)?

    /// `reached`: what is sent goes there, and not to `servers`.
    public init(
        servers: ServersOfTests = ServersOfTests { _ in throw URLError(.cannotConnectToHost) },
        reached: (any Servers)? = nil
    ) {
        self.servers = servers
        self.reached = reached
    }

    /// It as the shell sees it.
    public func phone(_ clock: any PlinthClock) -> Phone {
        Phone(
            clock: clock, rest: self, haptics: self, voice: self, display: self, dialler: self, vault: vault,
            background: self, folders: folders, servers: reached ?? servers)
    }

    public func forget() { log = [] }

    public func set(after left: Duration, text: String) async {
        waiting = (left, text)
        log.append("rest in \(left): \(text)")
    }
    public func cancel() async {
        waiting = nil
        log.append("no rest")
    }
    public func allowed() async -> NoticesAllowed { permission }
    public func ask() async {
        permission = .allowed
        log.append("asked")
    }
    public func touch() { log.append("touch") }
    public func restOver() { log.append("bell") }
    public func say(_ line: String, in language: Language) { log.append("say \(language): \(line)") }
    public func announce(_ line: String) { log.append("announce \(line)") }
    public func keepAwake(_ on: Bool) {
        awake = on
        log.append("awake \(on)")
    }
    public func open(_ number: String) async -> Bool {
        log.append("dial \(number)")
        return hasDialler
    }
    public func ask(after wait: Duration) { background = wait }
    // The protocol of the notices has one that waits; the compiler tells them apart by that.
    public func cancel() { background = nil }
}

/// Keeps a pairing in memory.
public final class VaultOfTests: Vault, @unchecked Sendable {
    private let lock = NSLock()
    private var kept = KeptPairing.nothing
    /// Whether the platform's store serves.
    public var serves = true

    public func read() -> KeptPairing { lock.withLock { kept } }
    public func keep(_ pairing: Pairing) -> Bool {
        guard serves else { return false }
        lock.withLock { kept = .here(pairing) }
        return true
    }
    public func forget() { lock.withLock { kept = .nothing } }
    /// As on a restored phone.
    public func lose() { lock.withLock { kept = .lost } }
}

/// Folders of this machine, without a system that guards them. What leads back to one is its path.
public final class FoldersOfTests: Folders, @unchecked Sendable {
    /// What their keeper fails with.
    public var fault: (any Error)?
    public func bookmark(_ folder: URL) throws -> Data { Data(folder.path.utf8) }
    public func folder(_ bookmark: Data) throws -> (folder: URL, renewed: Data?) {
        let folder = URL(fileURLWithPath: String(decoding: bookmark, as: UTF8.self))
        guard FileManager.default.fileExists(atPath: folder.path) else { throw CocoaError(.fileNoSuchFile) }
        return (folder, nil)
    }
    public func within<Value>(_ picked: URL, _ work: (URL) throws -> Value) throws -> Value {
        if let fault { throw fault }
        return try work(picked)
    }
}

/// A server that answers as a test says.
public final class ServersOfTests: Servers, TroubledTransport, @unchecked Sendable {
    private let lock = NSLock()
    private var count = 0
    public var trouble: Trouble?
    private let answer: @Sendable (SyncRequest) async throws -> SyncAnswer

    public init(_ answer: @escaping @Sendable (SyncRequest) async throws -> SyncAnswer) { self.answer = answer }

    public var sent: Int { lock.withLock { count } }
    /// Whether the last transport may cost by the byte.
    public private(set) var metered: Bool?
    public func transport(_ pairing: Pairing, metered: Bool) -> any TroubledTransport {
        lock.withLock { self.metered = metered }
        return self
    }
    public func send(_ request: SyncRequest) async throws -> SyncAnswer {
        lock.withLock { count += 1 }
        return try await answer(request)
    }
}
