import Foundation
import PlinthEvening
import PlinthKit
import Testing

extension Everything {
    @Test func eightThreadsGetWhatOneGets() throws {
        let record = try Record(Evening(), prepared: true)
        let (companion, now) = (record.companion, record.start)
        let expected = try companion.screen(moment: now)
        let entries = try companion.export(to: record.file("before"), form: .json, moment: now)
        let failures = Failures()
        let (threads, calls) = (8, 10_000)
        // Quick: of a hundred calls ten leave the lock alone, eighty-six only take it, four do what a shell does.
        let mixed = deep ? 5 : 100
        let told = Counter()
        onThreads(threads) { thread in
            for n in 0..<calls {
                do {
                    switch n % mixed {
                    case 0: failures.check(try companion.screen(moment: now) == expected, "another screen")
                    case 1:
                        let update = try companion.dispatch(event: .floor(.tick), moment: now)
                        failures.check(update.screen == expected && update.refused == nil, "another update")
                    case 2: failures.check(try companion.digest(moment: now).count == 64, "no digest")
                    case 3:
                        guard case .send = try companion.beginSync(token: "token", moment: now).next(moment: now) else {
                            failures.add("nothing to send")
                            break
                        }
                    default:
                        if n % 1_000 == 50 + thread + 5 * (n / 1_000 % 8) || (deep && n % 100 == 4) {
                            try companion.tellBrief(document: record.evening.brief, moment: now)
                            told.add()
                        } else if n % 10 == 9 {
                            failures.check(livingObjects() > 0, "nothing lives")
                        } else {
                            failures.check(try companion.language(moment: now) == .english, "another language")
                        }
                    }
                } catch {
                    failures.add("thread \(thread), call \(n): \(error)")
                }
            }
        }
        let after = try companion.export(to: record.file("after"), form: .json, moment: now)
        failures.check(told.count > 0 && after == entries + told.count, "\(entries) and \(told.count) made \(after)")
        let digest = try companion.digest(moment: now)
        companion.pause()
        failures.check(try companion.digest(moment: now) == digest, "another digest once opened again")
        failures.tell("\(threads) threads x \(calls) calls, \(told.count) of them recorded")
    }

    @Test func aHundredThousandObjectsAreLetGo() throws {
        let evening = try Evening()
        let failures = Failures()
        let before = livingObjects()
        let (records, perRecord, syncs) = (100, 20, 97_800)
        do {
            let record = try Record(evening)
            for n in 0..<syncs {
                let session = try autoreleased { try record.companion.beginSync(token: "token", moment: record.start) }
                // Every tenth goes a step, and so holds a request.
                if n % 10 == 0 { _ = try session.next(moment: record.start) }
            }
            failures.check(livingObjectsComeBack(to: before + 1), "\(livingObjects()) live after the syncs")
        }
        for _ in 0..<records {
            let record = try Record(evening)
            for _ in 0..<perRecord + 1 {
                let task = try record.companion.`import`(
                    from: record.file("missing"), form: .json, moment: record.start, listener: record.heard)
                let outcome = withExtendedLifetime(task) { record.heard.waitForEnd() }
                guard case .failed = outcome else {
                    failures.add("no file, and \(outcome)")
                    break
                }
            }
        }
        failures.check(livingObjectsComeBack(to: before), "\(livingObjects()) live, \(before) before")
        failures.tell("\(syncs + records * (perRecord + 2)) objects made and let go")
    }
}

/// Counts from any thread.
final class Counter: @unchecked Sendable {
    private let lock = NSLock()
    private var sum: UInt64 = 0

    var count: UInt64 { lock.withLock { sum } }
    func add() { lock.withLock { sum += 1 } }
}
