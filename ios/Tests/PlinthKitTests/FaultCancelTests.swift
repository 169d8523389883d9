import Foundation
import PlinthEvening
import PlinthKit
import Testing

extension Everything {
    @Test func workThatIsCalledOffInTheMiddleChangesNothing() throws {
        let record = try Record(Evening(), prepared: true)
        let (companion, now, heard) = (record.companion, record.start, record.heard)
        let failures = Failures()
        let sets = deep ? 100_000 : 50_000  // a copy of these takes several steps
        let rounds = deep ? 10 : 2
        let file = try record.writeSets(sets)
        let before = try companion.digest(moment: now)

        for _ in 0..<rounds {
            let task = try companion.`import`(from: file, form: .csv, moment: now, listener: heard)
            let (done, outcome) = callOff(task, heard)
            failures.check(outcome == .calledOff, "import: \(outcome)")
            failures.check(done > 0 && done < sets, "import was called off at \(done) of \(sets)")
            failures.check(try companion.digest(moment: now) == before, "import changed the record")
        }
        // What was called off can be done after it.
        let task = try companion.`import`(from: file, form: .csv, moment: now, listener: heard)
        let outcome = withExtendedLifetime(task) { heard.waitForEnd() }
        guard case .imported(let imported) = outcome, imported.changed == sets else {
            throw Unreadable.line("import: \(outcome)")
        }
        var full = try companion.digest(moment: now)

        var calledOff = 0
        for _ in 0..<20 * rounds where calledOff < rounds {
            let copy = record.file("backup")
            let task = try companion.backup(to: copy, moment: now, listener: heard)
            let (done, outcome) = callOff(task, heard)
            if outcome == .backedUp {
                try FileManager.default.removeItem(atPath: copy)  // it was over before it was called off
                continue
            }
            calledOff += 1
            failures.check(outcome == .calledOff && done > 0, "backup: \(outcome) at \(done)")
            failures.check(!FileManager.default.fileExists(atPath: copy), "a part of a copy is there")
            failures.check(try companion.digest(moment: now) == full, "backup changed the record")
        }
        failures.check(calledOff == rounds, "\(calledOff) backups were called off")
        let left = try FileManager.default.contentsOfDirectory(atPath: record.folder.path)
        failures.check(!left.contains { $0.hasPrefix("backup") }, "left behind: \(left)")

        for _ in 0..<rounds {
            let task = try companion.draft(thorough: true, moment: now, listener: heard)
            let (done, outcome) = callOff(task, heard)
            guard case .drafted(let programme, let calledOff) = outcome else {
                failures.add("draft: \(outcome)")
                continue
            }
            let all = task.progress().of ?? 0
            failures.check(calledOff && done < all, "draft: called off \(calledOff), \(done) of \(all)")
            failures.check(try companion.digest(moment: now) == full, "a draft changed the record")
            // The best until then is a whole programme.
            do {
                try companion.takeOn(document: programme, from: "own", moment: now)
                full = try companion.digest(moment: now)
            } catch {
                failures.add("draft: \(error)")
            }
        }
        failures.tell("\(rounds) imports, backups and drafts called off in the middle")
    }

    /// Calls it off once it has begun, and says how far it was and how it ended.
    private func callOff(_ task: LongTask, _ heard: Heard) -> (done: UInt64, outcome: Outcome) {
        while task.progress().done == 0 && !task.isOver() { sched_yield() }
        let done = task.progress().done
        task.cancel()
        return (done, heard.waitForEnd())
    }

    @Test func pausingCallsLongWorkOff() throws {
        let record = try Record(Evening())
        let failures = Failures()
        let file = try record.writeSets(10_000)
        let before = try record.companion.digest(moment: record.start)
        let task = try record.companion.`import`(
            from: file, form: .csv, moment: record.start, listener: record.heard)
        while task.progress().done == 0 && !task.isOver() { sched_yield() }
        record.companion.pause()
        let outcome = record.heard.waitForEnd()
        failures.check(outcome == .calledOff, "\(outcome)")
        failures.check(try record.companion.digest(moment: record.start) == before, "the record changed")
        failures.tell("1 import called off by a pause")
    }
}
