import Foundation
import PlinthEvening
import PlinthKit
import Testing

extension Everything {
    /// Every sync of the vectors, through the layer: the requests are those of the vectors, byte for byte, and so is the
    /// end.
    @Test func everySyncOfTheVectorsGoesThroughTheLayer() async throws {
        let text = try String(contentsOf: vectorsFolder.appendingPathComponent("sync.jsonl"), encoding: .utf8)
        var recorded = try text.split(separator: "\n").map { try Recorded(line: String($0)) }[...]
        let clock = HandClock(try Evening().start)
        let folder = try scratchFolder()
        var plinth: Plinth?
        var stops = Set<String>()
        var syncs = 0
        while let call = recorded.popFirst(), call.name != "shut_down" {
            clock.set(call.at)
            switch call.name {
            case "open":
                plinth = nil
                let path = folder.appendingPathComponent("record-\(recorded.count)").path
                let german = call.text("language") == "de"
                plinth = try await Plinth.open(
                    path: path, language: german ? .german : .english, clock: clock,
                    rehearsal: Rehearsal(seed: call.number("seed"), defectAfter: nil))
            case "import":
                let from = folder.appendingPathComponent("import")
                try call.text("document").write(to: from, atomically: false, encoding: .utf8)
                _ = try await plinth?.importFile(from.path)
            case "digest":
                #expect(call.gives("{\"digest\":\"\(try #require(try await plinth?.digest()))\"}"))
            case "sync":
                var exchange = [call]
                while exchange.last?.isToBeSent == true, let next = recorded.popFirst() {
                    if next.name != "sync_next" { exchange.append(next) }
                }
                let server = RecordedServer(exchange, clock)
                let end = try await #require(plinth).sync(token: call.text("token"), transport: server)
                #expect(exchange.last?.gives("{\"sync\":\(SyncTests.json(end))}") == true, "\(end)")
                #expect(server.wrong.isEmpty)
                if case .stopped(let stop, _, _, _, _) = end { stops.insert("\(stop)") }
                syncs += 1
            default: break  // what has nothing to do with the layer's sync
            }
        }
        plinth?.shutDown()
        try FileManager.default.removeItem(at: folder)
        #expect(syncs >= 12)
        #expect(stops == ["later", "pairAgain", "update", "tellHost"])
    }

    @Test func aSyncIsCancelledBetweenTwoRequests() async throws {
        // Cancelled while the request is under way: the answer counts, and nothing more is sent.
        let more = """
            {"protocol":1,"epoch":"0123456789abcdef","server_ms":1772470800000,"can":[],"limits":{"body_bytes":4194304,\
            "entries":40,"ranges":8,"drift_ms":300000},"differs":null,"took":[],"refused":[],"pull":[],"cursor":0,\
            "more":true,"sums":[],"ranges":[]}
            """
        for (throwing, cancelled) in [(false, true), (true, true), (false, false)] {
            let layer = try await Layer(prepared: false)
            let plinth = layer.plinth
            let server = OwnServer { sent in
                if cancelled { withUnsafeCurrentTask { $0?.cancel() } }
                if throwing { throw URLError(.cancelled) }
                return SyncAnswer(status: sent < 3 ? 200 : 503, body: Data(more.utf8))
            }
            let sync = Task { try await plinth.sync(token: "token", transport: server) }
            if cancelled {
                await #expect(throws: CancellationError.self) { try await sync.value }
                #expect(server.sent == 1)
            } else {
                // The same answer leads to another request: the test above is about the cancelling.
                _ = try await sync.value
                #expect(server.sent > 1)
            }
            try layer.end()
        }
        // Cancelled before it begins, nothing is sent.
        let layer = try await Layer()
        let plinth = layer.plinth
        let idle = OwnServer { _ in SyncAnswer(status: 500, body: Data()) }
        let sync = Task {
            while !Task.isCancelled { await Task.yield() }
            return try await plinth.sync(token: "token", transport: idle)
        }
        sync.cancel()
        await #expect(throws: CancellationError.self) { try await sync.value }
        #expect(idle.sent == 0)
        try layer.end()
    }

    @Test func otherCallsGoOnWhileARequestIsUnderWay() async throws {
        let layer = try await Layer()
        let plinth = layer.plinth
        let before = try await plinth.look().screen
        let server = OwnServer { _ in
            let during = try await plinth.send(.floor(.tick)).screen
            return SyncAnswer(status: during == before ? 401 : 500, body: Data())
        }
        guard case .stopped(.pairAgain, _, _, _, nil) = try await plinth.sync(token: "token", transport: server) else {
            throw Unreadable.line("it was not answered with 401")
        }
        try layer.end()
    }

    @Test func aSyncAfterTheShutDownThrows() async throws {
        let layer = try await Layer()
        let plinth = layer.plinth
        // Shut down while the request is under way.
        let server = OwnServer { _ in
            plinth.shutDown()
            return SyncAnswer(status: 200, body: Data())
        }
        for _ in 1...2 {
            do {
                _ = try await plinth.sync(token: "token", transport: server)
                throw Unreadable.line("it was shut down")
            } catch PlinthError.Input(let code, _, _, _) {
                #expect(code == "shut_down")
            }
        }
        #expect(server.sent == 1)
        try layer.end()
    }
}

private enum SyncTests {
    /// As the boundary's own step would be written.
    static func json(_ end: SyncEnd) -> String {
        var json = Json()
        switch end {
        case .told(let told): return json.write(SyncStep.done(told: told))
        case .stopped(let stop, let code, let problem, let remedy, let wait):
            let ms = wait.map {
                UInt64($0.components.seconds) * 1_000 + UInt64($0.components.attoseconds / 1_000_000_000_000_000)
            }
            return json.write(
                SyncStep.stopped(stop: stop, code: code, problem: problem, remedy: remedy, waitMs: ms))
        }
    }
}

/// One line of the vectors.
private struct Recorded: Sendable {
    let name: String
    let at: Moment
    private let line: String

    init(line: String) throws {
        self.line = line
        let call = Recorded.call(line)
        guard let name = call["call"] as? String else { throw Unreadable.line(line) }
        self.name = name
        at = try call["at"].map { try Moment(read: $0) } ?? Moment(wallMs: 0, offsetMin: 0, monotonicMs: 0, boot: "")
    }

    private static func call(_ line: String) -> [String: Any] {
        let read = try? JSONSerialization.jsonObject(with: Data(line.utf8)) as? [String: Any]
        return read?["do"] as? [String: Any] ?? [:]
    }

    func text(_ key: String) -> String { Recorded.call(line)[key] as? String ?? "" }
    func number(_ key: String) -> UInt64 { (Recorded.call(line)[key] as? NSNumber)?.uint64Value ?? 0 }
    func gives(_ json: String) -> Bool { line.hasSuffix(",\"gives\":\(json)}") }
    var isToBeSent: Bool { line.contains("\"gives\":{\"sync\":{\"step\":\"send\"") }

    /// What the server answered; nothing where the connection was cut.
    var answer: SyncAnswer? {
        guard name == "sync_answer" else { return nil }
        let later = Recorded.call(line)["retry_after_s"] as? NSNumber
        return SyncAnswer(
            status: UInt16(number("status")), retryAfterS: later?.uint32Value, body: Data(text("body").utf8))
    }
}

/// Answers as recorded, and checks that what is sent was recorded.
private final class RecordedServer: SyncTransport, @unchecked Sendable {
    struct Cut: Error {}
    private let lock = NSLock()
    private var exchange: ArraySlice<Recorded>
    private var unlike: [String] = []
    private let clock: HandClock

    init(_ exchange: [Recorded], _ clock: HandClock) {
        self.exchange = exchange[...]
        self.clock = clock
    }

    var wrong: [String] { lock.withLock { unlike } }

    func send(_ request: SyncRequest) async throws -> SyncAnswer {
        let (asked, next) = lock.withLock { (exchange.popFirst(), exchange.first) }
        var json = Json()
        let sent = "{\"sync\":\(json.write(SyncStep.send(request: request)))}"
        if asked?.gives(sent) != true { lock.withLock { unlike.append(sent) } }
        if let next { clock.set(next.at) }
        guard let answer = next?.answer else { throw Cut() }
        return answer
    }
}

/// Answers as the test says, and counts.
private final class OwnServer: SyncTransport, @unchecked Sendable {
    private let lock = NSLock()
    private var count = 0
    private let reply: @Sendable (_ sent: Int) async throws -> SyncAnswer

    init(_ reply: @escaping @Sendable (_ sent: Int) async throws -> SyncAnswer) { self.reply = reply }

    var sent: Int { lock.withLock { count } }

    func send(_ request: SyncRequest) async throws -> SyncAnswer {
        let sent = lock.withLock {
            count += 1
            return count
        }
        return try await reply(sent)
    }
}
