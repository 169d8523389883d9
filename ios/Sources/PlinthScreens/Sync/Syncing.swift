import Foundation
import Observation
import PlinthKit

/// When the record is brought together with the server's, and what is told of it. While nothing is paired it does
/// nothing.
@MainActor
@Observable
public final class Syncing {
    /// What there is to say: that it is under way, when it was last done, or why it stopped and what to do.
    public private(set) var told: String?
    @ObservationIgnored private let house: House
    @ObservationIgnored private var under: Task<Duration?, Never>?
    @ObservationIgnored private var waiting: Task<Void, Never>?
    @ObservationIgnored private var pairing: Task<Void, Never>?

    /// How often a device asks when nothing makes it: six hours [A].
    static let regular = Duration.seconds(6 * 60 * 60)
    /// The longest wait, whatever a server says and however the clock was set: a day [A].
    static let longest = Duration.seconds(24 * 60 * 60)
    private static let notBefore = "sync_not_before"
    private static let metered = "sync_metered"

    public init(_ house: House) { self.house = house }

    /// The record has something to send, or the app was opened: as soon as there is a connection, and not before the
    /// server's wait is over.
    public func ask() {
        guard house.phone.vault.read() != .nothing else { return }
        wait(owed())
    }

    /// The system gave the app time for it. Ends with the next time set.
    public func background() async {
        guard house.phone.vault.read() != .nothing else { return }
        let left = owed()
        if left > .zero { wait(left) } else { await run() }
        await house.letGo()
    }

    /// What is left of the server's wait.
    private func owed() -> Duration {
        let until = house.memory[Syncing.notBefore].flatMap { Int64($0) } ?? 0
        return min(max(.zero, .milliseconds(until - house.phone.clock.now().wallMs)), Syncing.longest)
    }

    /// Runs once the wait is over: by this process while it lives, and by the system's leave otherwise.
    private func wait(_ wait: Duration) {
        house.phone.background.ask(after: wait)
        waiting?.cancel()
        waiting = Task { [weak self] in
            if wait > .zero { do { try await Task.sleep(for: wait) } catch { return } }
            guard !Task.isCancelled else { return }
            _ = await self?.run()
        }
    }

    /// Does what the core asks, where it is about the pairing.
    func perform(_ effect: Effect) {
        switch effect {
        case .allowMetered(let on):
            house.memory[Syncing.metered] = on ? "yes" : nil
            ask()
        case .pair(let address, let certificate, let path, let body):
            pairing = Task {
                await pair(Pairing(address: address, fingerprint: certificate, token: ""), path, body)
                await house.tick().value
            }
        case .unpair: unpair()
        default: break
        }
    }

    /// What was begun about a pairing is over.
    func settled() async { await pairing?.value }

    /// Hands in a code at a server. The token goes into the platform's store and nowhere else.
    private func pair(_ server: Pairing, _ path: String, _ body: String) async {
        told = house.words(.opening)
        let transport = house.phone.servers.transport(server, metered: true)
        do {
            let request = SyncRequest(
                path: path, headers: [SyncHeader(name: "Content-Type", value: "application/json")],
                body: Data(body.utf8))
            let answer = try await transport.send(request)
            let token = try await house.ask { try await $0.paired(address: server.address, answer: answer) }
            let paired = Pairing(address: server.address, fingerprint: server.fingerprint, token: token)
            guard house.phone.vault.keep(paired) else {
                try await house.ask { try await $0.unpair() }
                told = house.words(.notKept)
                return
            }
            forgetWait()
            told = nil
            ask()
        } catch let fault as PlinthError {
            told = fault.sentence
        } catch {
            told = transport.trouble.map { house.words.told($0) } ?? house.words(.notReached)
        }
    }

    /// The next asking does not wait.
    func forgetWait() { house.memory[Syncing.notBefore] = nil }

    /// This device is not paired any more, and nothing is sent.
    private func unpair() {
        waiting?.cancel()
        under?.cancel()
        house.phone.background.cancel()
        house.phone.vault.forget()
        forgetWait()
        house.memory[Syncing.metered] = nil
        told = nil
    }

    /// Syncs now, unless one is under way, which sends what was written meanwhile. Gives the wait until the next time;
    /// nothing where only the lifter can help.
    @discardableResult
    public func run() async -> Duration? {
        if let under { return await under.value }
        let task = Task { await exchange() }
        under = task
        let next = await withTaskCancellationHandler {
            await task.value
        } onCancel: {
            task.cancel()
        }
        under = nil
        if let next { wait(next) } else { house.phone.background.cancel() }
        return next
    }

    private func exchange() async -> Duration? {
        switch house.phone.vault.read() {
        case .nothing: return nil
        case .lost:
            // Told, and from now on as if there had been none: the core's page offers to pair.
            house.phone.vault.forget()
            try? await house.ask { try await $0.unpair() }
            told = house.words(.pairingLost)
            await house.tick().value
            return nil
        case .here(let pairing):
            let before = told
            told = house.words(.syncing)
            let transport = house.phone.servers.transport(
                pairing, metered: house.memory[Syncing.metered] != nil)
            do {
                let end = try await house.ask { try await $0.sync(token: pairing.token, transport: transport) }
                let next = ended(end, transport.trouble)
                await house.tick().value
                await house.letGo()
                return next
            } catch is CancellationError {
                told = before  // what is not over is not told as over
                return Syncing.regular
            } catch {
                told = (error as? PlinthError)?.sentence
                return nil
            }
        }
    }

    private func ended(_ end: SyncEnd, _ trouble: Trouble?) -> Duration? {
        let now = house.phone.clock.now().wallMs
        switch end {
        case .told(let done):
            let hour = house.words.hour(Date(timeIntervalSince1970: Double(now) / 1_000))
            told = done.setAside > 0 ? house.words.counted(.setAside, done.setAside) : house.words(.synced, hour)
            forgetWait()
            return Syncing.regular
        case .stopped(_, _, let problem, let remedy, let wait):
            told = trouble.map { house.words.told($0) } ?? Words.sentences(problem, remedy)
            let wait = wait.map { min($0, Syncing.longest) }
            house.memory[Syncing.notBefore] = wait.map { "\(now + $0.components.seconds * 1_000)" }
            return wait
        }
    }
}

extension Words {
    /// What is wrong and what to do.
    func told(_ trouble: Trouble) -> String {
        let (problem, remedy): (Word, Word) =
            switch trouble {
            case .expired: (.expired, .expiredRemedy)
            case .clockWrong: (.early, .earlyRemedy)
            case .otherHost: (.otherHost, .checkAddress)
            case .notThePaired: (.notThePaired, .notThePairedRemedy)
            case .untrusted: (.untrusted, .untrustedRemedy)
            case .address: (.addressRefused, .addressRefusedRemedy)
            case .tooLong: (.tooLong, .tooLongRemedy)
            }
        return "\(self(problem)) \(self(remedy))"
    }
}
