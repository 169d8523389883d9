#if os(Linux) || os(macOS)
    import Foundation
    import PlinthEvening
    import PlinthKit
    import PlinthLifter
    import Testing

    @testable import PlinthScreens

    #if canImport(FoundationNetworking)
        import FoundationNetworking
    #endif

    /// The program `plinth`, where the tests were told of it: `tests/run` does.
    private let program = ProcessInfo.processInfo.environment["PLINTH_PROGRAM"].map(URL.init(fileURLWithPath:))

    extension Everything {
        /// Two devices and the real host: paired by its invitations, brought together, through its end by a kill and a
        /// new beginning, until one of them is revoked.
        @Test(.enabled(if: program != nil, "PLINTH_PROGRAM names no program")) @MainActor
        func twoDevicesComeTogetherThroughTheRealHost() async throws {
            let host = try HostOfTests(plain: true)
            defer { host.end() }
            let (first, clock) = try await lifterOf(host)
            // A code that was never given out is refused by the host, in the lifter's language.
            let line = try host.invitation("anna")
            try await first.isInvited(line.replacing(/code=.*/, with: "code=0000000000"))
            #expect(first.phone.vault.read() == .nothing)
            #expect(first.wall.syncing.told?.isEmpty == false)

            try await first.isInvited(line)
            guard case .here(let pairing) = first.phone.vault.read() else { throw Failed.notPaired }
            #expect(pairing.address == host.address && pairing.token.count >= 43)
            await first.does(.place(place: .floor))
            try await first.toARest(clock)
            await first.wall.syncing.run()
            #expect(first.isTogether, "\(first.wall.syncing.told ?? "nothing")")

            let (second, _) = try await lifterOf(host)
            try await second.isInvited(try host.invitation("anna"))
            await second.wall.syncing.run()
            #expect(second.isTogether)
            await first.wall.syncing.run()
            await second.wall.syncing.run()
            let digest = try await first.digest()
            #expect(try await second.digest() == digest)
            #expect(try await second.exported().contains("\"set\""))

            // The host is killed; what is written meanwhile waits, and goes once it is back.
            host.kill()
            await first.does(.place(place: .floor))
            _ = await first.touches(.ready)
            clock.passes(.seconds(30))
            if let wide = first.floor?.wide { await first.touches(wide) }
            await first.wall.syncing.run()
            #expect(!first.isTogether)
            try host.begin()
            await first.wall.syncing.run()
            await second.wall.syncing.run()
            #expect(first.isTogether && second.isTogether)
            #expect(try await first.digest() != digest)
            #expect(try await second.digest() == first.digest())

            // Revoked by the host's keeper: it is told to pair anew, and nothing of the record is gone.
            let held = try await second.digest()
            for device in try host.devices("anna") { try host.run(["host", "revoke", host.store, "anna", device]) }
            await second.wall.syncing.run()
            #expect(!second.isTogether)
            #expect(try await second.digest() == held)
            try first.end()
            try second.end()
        }

        /// The way is sealed by the host's own certificate. The platform here asks nobody about a certificate, and so takes
        /// none that nobody vouches for: no code and no token goes to such a host.
        @Test(.enabled(if: program != nil, "PLINTH_PROGRAM names no program")) @MainActor
        func aHostWithACertificateOfItsOwnIsNotTakenByAPlatformThatCannotJudgeIt() async throws {
            let host = try HostOfTests(plain: false)
            defer { host.end() }
            let (lifter, _) = try await lifterOf(host)
            let line = try host.invitation("anna")
            #expect(line.contains("at=https://127.0.0.1:") && line.contains("certificate="))
            try await lifter.isInvited(line)
            #expect(lifter.phone.vault.read() == .nothing)
            #expect(lifter.wall.syncing.told == Words(.english)(.notReached))
            #expect(try host.devices("anna").isEmpty)
            try lifter.end()
        }
    }

    private enum Failed: Error {
        case notPaired
        case program([String], String)
    }

    /// The platform's own HTTP to any host. No certificate is judged here: the platform of these tests shows none.
    private struct Net: Servers {
        struct NoJudge: ChallengeJudge {
            func judge(_ challenge: URLAuthenticationChallenge) -> Judgement { .leave }
        }
        func transport(_ pairing: Pairing, metered: Bool) -> any TroubledTransport {
            HTTPTransport(pairing, metered: metered, judge: NoJudge())
        }
    }

    @MainActor
    private func lifterOf(_ host: HostOfTests) async throws -> (Lifter, TestClock) {
        let (lifter, clock) = try await eveningLifter(phone: PhoneOfTests(reached: Net()))
        lifter.house.comesToFront()
        return (lifter, clock)
    }

    extension Lifter {
        fileprivate var isTogether: Bool {
            wall.syncing.told?.hasPrefix("The record and the server's were brought together") == true
        }

        fileprivate func digest() async throws -> String { try await house.ask { try await $0.digest() } }

        fileprivate func exported() async throws -> String {
            let file = folder.appendingPathComponent("exported.json")
            _ = try await house.ask { try await $0.export(to: file.path) }
            return try String(contentsOf: file, encoding: .utf8)
        }

        /// An invitation is opened with the app, and its page's button touched.
        fileprivate func isInvited(_ line: String) async throws {
            wall.open(try #require(URL(string: line)))
            try await until {
                wall.follow()
                return pairs != nil
            }
            let before = wall.syncing.told
            await touches(try #require(pairs))
            // The core's request for it comes by a way of its own.
            try await until { wall.syncing.told != before || phone.vault.read() != .nothing }
            await wall.syncing.settled()
        }

        private var pairs: PageButton? {
            for case .action(let button, _) in page?.blocks ?? [] where button.event == .do(deed: .pair) {
                return button
            }
            return nil
        }
    }

    /// The real program on a store of its own, on a port that the system gave.
    private final class HostOfTests {
        let store: String
        private(set) var address = ""
        private let folder: URL
        private let plain: Bool
        private var process: Process?

        init(plain: Bool) throws {
            folder = try scratchFolder()
            store = folder.appendingPathComponent("club.plinth").path
            self.plain = plain
            try begin()
        }

        /// On the port that it had before, where it had one.
        func begin() throws {
            let port = URL(string: address)?.port ?? 0
            let process = Process()
            process.executableURL = program
            process.arguments = ["serve", store, "--listen", "127.0.0.1:\(port)"] + (plain ? ["--plain"] : [])
            process.environment = ["LANG": "C"]
            let told = Pipe()
            process.standardOutput = told
            process.standardError = FileHandle.nullDevice
            try process.run()
            self.process = process
            var text = ""
            while !text.contains("127.0.0.1:") || !text.hasSuffix("\n") {
                let more = told.fileHandleForReading.availableData  // waits for some, and is empty at the end
                guard !more.isEmpty else { throw Failed.program(process.arguments ?? [], text) }
                text += String(decoding: more, as: UTF8.self)
            }
            guard let at = text.firstMatch(of: /127\.0\.0\.1:\d+/) else { throw Failed.program([], text) }
            address = "\(plain ? "http" : "https")://\(at.output)"
        }

        /// An invitation for an account, as its keeper would read it out.
        func invitation(_ account: String) throws -> String {
            let told = try run(["host", "pair", store, account, "--json"])
            return try #require(try object(told)["invitation"] as? String)
        }

        func devices(_ account: String) throws -> [String] {
            let told = try run(["host", "devices", store, account, "--json"])
            let all = try JSONSerialization.jsonObject(with: Data(told.utf8)) as? [[String: Any]]
            return try #require(all).compactMap { $0["key"] as? String }
        }

        private func object(_ text: String) throws -> [String: Any] {
            try #require(try JSONSerialization.jsonObject(with: Data(text.utf8)) as? [String: Any])
        }

        @discardableResult
        func run(_ arguments: [String]) throws -> String {
            let process = Process()
            process.executableURL = program
            process.arguments = arguments
            let told = Pipe()
            process.standardOutput = told
            try process.run()
            let text = String(decoding: told.fileHandleForReading.readDataToEndOfFile(), as: UTF8.self)
            process.waitUntilExit()
            guard process.terminationStatus == 0 else { throw Failed.program(arguments, text) }
            return text
        }

        /// Without a word to it.
        func kill() {
            guard let process else { return }
            #if canImport(Glibc)
                _ = Glibc.kill(process.processIdentifier, SIGKILL)
            #else
                _ = Darwin.kill(process.processIdentifier, SIGKILL)
            #endif
            process.waitUntilExit()
            self.process = nil
        }

        func end() {
            kill()
            try? FileManager.default.removeItem(at: folder)
        }
    }
#endif
