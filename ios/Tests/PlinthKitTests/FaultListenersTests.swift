import Foundation
import PlinthEvening
import PlinthKit
import Testing

extension Everything {
    @Test func aListenerThatThrowsIsToldTheNextTimeAndTheCoreLives() throws {
        let evening = try Evening()
        let failures = Failures()
        let throwing = Throwing()
        let record = try Record(evening, hears: throwing)
        let rounds = deep ? 200 : 20
        for round in 0..<rounds {
            // Each import changes something, so that its effects are told; each pause and opening writes a line.
            let sets = record.file("sets.csv")
            let minute = String(format: "%02d", round % 60)
            let day = String(format: "%02d", 1 + round / 60)
            try "movement,load,amount,ended_at\nbarbell_back_squat,bar 60 kg,5,2026-01-\(day)T10:\(minute):00+01:00\n"
                .write(toFile: sets, atomically: false, encoding: .utf8)
            let task = try record.companion.`import`(
                from: sets, form: .csv, moment: record.start, listener: throwing)
            let outcome = withExtendedLifetime(task) { throwing.waitForEnd() }
            guard case .imported(let imported) = outcome, imported.changed == 1 else {
                failures.add("round \(round): \(outcome)")
                continue
            }
            record.companion.pause()
            _ = try record.companion.screen(moment: record.start)
        }
        let counts = throwing.counts
        failures.check(counts["effects"] == rounds && counts["finished"] == rounds, "told \(counts)")
        failures.check(counts["line"] == 2 * rounds + 1, "told \(counts)")
        // Work that takes a while also tells its progress.
        let task = try record.companion.`import`(
            from: record.writeSets(20_000), form: .csv, moment: record.start, listener: throwing)
        _ = withExtendedLifetime(task) { throwing.waitForEnd() }
        failures.check(throwing.counts["progress"] ?? 0 > 0, "no progress was told")
        failures.tell("\(throwing.counts.values.reduce(0, +)) calls of a listener that throws")
    }

    @Test func aListenerMayCallTheCompanion() throws {
        let failures = Failures()
        let calling = Calling(failures)
        let record = try Record(Evening(), hears: calling)
        calling.record = record
        let rounds = deep ? 100 : 10
        for _ in 0..<rounds {
            record.companion.pause()
            _ = try record.companion.screen(moment: record.start)
        }
        let outcome = try record.importSets(20_000)
        guard case .imported = outcome else { throw Unreadable.line("\(outcome)") }
        let counts = calling.counts
        for name in ["effects", "progress", "finished", "line"] {
            failures.check(counts[name] ?? 0 > 0, "\(name) was not told: \(counts)")
        }
        // The last one to be told ends it from within.
        calling.shutsDown = true
        record.companion.pause()
        do {
            _ = try record.companion.screen(moment: record.start)
            failures.add("it was not shut down")
        } catch PlinthError.Input(let code, _, _, _) {
            failures.check(code == "shut_down", code)
        }
        calling.record = nil
        failures.tell("\(counts.values.reduce(0, +)) calls of the companion from within a listener")
    }

    @Test func listenersAreLetGoWithWhatTheyListenTo() throws {
        let evening = try Evening()
        let failures = Failures()
        let living = Weakly()
        let rounds = deep ? 1_000 : 100
        for round in 0..<rounds {
            try autoreleased {
                let (own, works) = (Heard(), Throwing())
                living.add(own)
                living.add(works)
                let record = try Record(evening, hears: own)
                let task = try record.companion.backup(
                    to: record.file("copy"), moment: record.start, listener: works)
                if round % 2 == 0 { task.cancel() }
                _ = works.waitForEnd()
            }
        }
        for _ in 0..<2_000 where living.count > 0 { Thread.sleep(forTimeInterval: 0.005) }
        failures.check(living.count == 0, "\(living.count) of \(2 * rounds) are still held")
        failures.tell("\(2 * rounds) listeners let go")
    }
}

/// Knows which of its objects still live, and keeps none alive.
private final class Weakly {
    private struct One { weak var object: AnyObject? }
    private var all: [One] = []

    var count: Int { all.count { $0.object != nil } }
    func add(_ object: AnyObject) { all.append(One(object: object)) }
}

/// Throws in every method, and counts.
private final class Throwing: Heard, @unchecked Sendable {
    struct Own: Error {}
    private let lock = NSLock()
    private var told: [String: Int] = [:]

    var counts: [String: Int] { lock.withLock { told } }
    private func count(_ name: String) { lock.withLock { told[name, default: 0] += 1 } }

    override func effects(effects: [Effect]) throws {
        count("effects")
        throw Own()
    }
    override func progress(progress: WorkProgress) throws {
        count("progress")
        throw ListenerFault.Threw
    }
    override func finished(outcome: Outcome) throws {
        count("finished")
        try super.finished(outcome: outcome)
        throw Own()
    }
    override func line(line: LogLine) throws {
        count("line")
        throw ListenerFault.Threw
    }
}

/// Calls the companion whenever it is told something.
private final class Calling: Heard, @unchecked Sendable {
    private let failures: Failures
    private let lock = NSLock()
    private var told: [String: Int] = [:]
    private weak var its: Record?
    private var ends = false

    init(_ failures: Failures) { self.failures = failures }

    var record: Record? {
        get { lock.withLock { its } }
        set { lock.withLock { its = newValue } }
    }
    var shutsDown: Bool {
        get { lock.withLock { ends } }
        set { lock.withLock { ends = newValue } }
    }
    var counts: [String: Int] { lock.withLock { told } }

    private func call(_ name: String) {
        guard let record else { return }
        lock.withLock { told[name, default: 0] += 1 }
        if shutsDown { return record.companion.shutDown() }
        do {
            failures.check(try record.companion.language(moment: record.start) == .english, "\(name): language")
            let update = try record.companion.dispatch(event: .floor(.tick), moment: record.start)
            failures.check(update.refused == nil, "\(name): \(update.refused ?? "")")
        } catch {
            failures.add("\(name): \(error)")
        }
    }

    override func effects(effects: [Effect]) throws { call("effects") }
    override func progress(progress: WorkProgress) throws { call("progress") }
    override func finished(outcome: Outcome) throws {
        call("finished")
        try super.finished(outcome: outcome)
    }
    override func line(line: LogLine) throws { call("line") }
}
