import Foundation
import PlinthEvening
import PlinthKit
import Testing

extension Everything {
    @Test func aPanicInsideACallIsADefectAndTheNextCallWorks() throws {
        let evening = try Evening()
        let failures = Failures()
        let wanted = deep ? 1_000 : 100
        var panics = 0
        var places = Set<String>()
        // Each draw of random bytes of the evening, in turn, ends in a panic.
        var draw: UInt32 = 0
        while panics < wanted {
            guard let place = try panic(evening, atDraw: draw, seed: UInt64(panics), failures) else {
                try #require(draw > 0, "no draw ends in a panic")
                draw = 0
                continue
            }
            places.insert(place)
            panics += 1
            draw += 1
        }
        failures.check(places.contains("dispatch") && places.contains("tell_brief"), "only \(places)")
        failures.tell("\(panics) panics inside a call, in \(places.sorted().joined(separator: ", "))")
    }

    /// Goes through the evening until a call ends in a panic, and says which; nothing where none did.
    private func panic(_ evening: Evening, atDraw draw: UInt32, seed: UInt64, _ failures: Failures) throws -> String? {
        let rehearsal = Rehearsal(seed: seed, defectAfter: draw)
        let record: Record
        do {
            record = try Record(evening, rehearsal: rehearsal)
        } catch PlinthError.Defect {
            return "open"
        }
        let companion = record.companion
        typealias Call = (name: String, at: Moment, make: () throws -> Void)
        let calls: [Call] =
            [
                (
                    "tell_brief", record.start,
                    { try companion.tellBrief(document: evening.brief, moment: record.start) }
                ),
                (
                    "take_on", record.start,
                    { try companion.takeOn(document: evening.programme, from: "own", moment: record.start) }
                ),
            ]
            + evening.events.prefix(26).map { step in
                ("dispatch", step.at, { _ = try companion.dispatch(event: step.event, moment: step.at) })
            }
        for call in calls {
            let before = try companion.digest(moment: call.at)
            do {
                try call.make()
                continue
            } catch PlinthError.Defect(let code, _, let problem, let remedy) {
                failures.check(code == "defect" && !problem.isEmpty && !remedy.isEmpty, "\(code): \(problem)")
            }
            let lines = record.heard.takeLines()
            failures.check(lines.contains(.defect(call: call.name)), "\(call.name): the log says \(lines)")
            let after = try companion.digest(moment: call.at)
            failures.check(after == before, "\(call.name): the record changed")
            try call.make()
            return call.name
        }
        return nil
    }

    @Test func afterTheShutDownEveryCallSaysSo() throws {
        let evening = try Evening()
        let failures = Failures()
        let rounds = deep ? 1_000 : 100
        var refused = 0
        for _ in 0..<rounds {
            let record = try Record(evening)
            let (companion, now) = (record.companion, record.start)
            let session = try companion.beginSync(token: "token", moment: now)
            companion.shutDown()
            companion.shutDown()
            let calls: [(String, () throws -> Void)] = [
                ("dispatch", { _ = try companion.dispatch(event: .floor(.tick), moment: now) }),
                ("screen", { _ = try companion.screen(moment: now) }),
                ("findings", { _ = try companion.findings(moment: now) }),
                ("digest", { _ = try companion.digest(moment: now) }),
                ("language", { _ = try companion.language(moment: now) }),
                ("leave_ended", { try companion.leaveEnded(moment: now) }),
                ("tell_brief", { try companion.tellBrief(document: evening.brief, moment: now) }),
                ("take_on", { try companion.takeOn(document: evening.programme, from: "own", moment: now) }),
                ("make_backup_key", { _ = try companion.makeBackupKey(moment: now) }),
                ("export", { _ = try companion.export(to: record.file("export"), form: .json, moment: now) }),
                ("begin_sync", { _ = try companion.beginSync(token: "token", moment: now) }),
                ("next", { _ = try session.next(moment: now) }),
                ("answer", { _ = try session.answer(status: 200, retryAfterS: nil, body: Data(), moment: now) }),
                ("cut", { _ = try session.cut(moment: now) }),
                (
                    "backup",
                    {
                        let task = try companion.backup(
                            to: record.file("backup"), moment: now, listener: record.heard)
                        let outcome = withExtendedLifetime(task) { record.heard.waitForEnd() }
                        if case .failed(let error) = outcome { throw error }
                    }
                ),
            ]
            for (name, call) in calls {
                do {
                    try call()
                    failures.add("\(name) worked after the shut-down")
                } catch PlinthError.Input(let code, _, _, _) where code == "shut_down" {
                    refused += 1
                } catch {
                    failures.add("\(name): \(error)")
                }
            }
            failures.check(!FileManager.default.fileExists(atPath: record.file("export")), "an export was begun")
        }
        failures.tell("\(refused) calls after the shut-down")
    }

    @Test func closingAndLettingGoWhileCallsRun() throws {
        let evening = try Evening()
        let failures = Failures()
        let before = livingObjects()
        let races = deep ? 1_000 : 100
        for race in 0..<races {
            try autoreleased { try close(evening, race, failures) }
        }
        failures.check(livingObjectsComeBack(to: before), "\(livingObjects()) objects live, \(before) before")
        failures.tell("\(races) races of calls with shutting down and letting go")
    }

    private func close(_ evening: Evening, _ race: Int, _ failures: Failures) throws {
        let folder = try scratchFolder()
        defer { try? FileManager.default.removeItem(at: folder) }
        let path = folder.appendingPathComponent("record.plinth").path
        func open() throws -> PlinthCompanion {
            try PlinthCompanion.open(
                path: path, language: .german, moment: evening.start, listener: Heard(), rehearsal: nil)
        }
        // Odd races shut down; even ones only let go, and the last thread to end frees the object.
        let shutsDown = race % 2 == 1
        let held = Held(try open())
        onThreads(4) { thread in
            guard let companion = held.take() else { return }
            if thread == 0 {
                for _ in 0..<(race % 23) { _ = livingObjects() }
                if shutsDown { companion.shutDown() }
                return
            }
            do {
                let session = try companion.beginSync(token: "token", moment: evening.start)
                for _ in 0..<20 {
                    failures.check(try companion.language(moment: evening.start) == .german, "another language")
                    _ = try session.next(moment: evening.start)
                    _ = try companion.dispatch(event: .floor(.tick), moment: evening.start)
                }
            } catch PlinthError.Input(let code, _, _, _) where code == "shut_down" && shutsDown {
                return
            } catch {
                failures.add("race \(race): \(error)")
            }
        }
        // The file is free once all have let go, and it is whole.
        do {
            _ = try open().screen(moment: evening.start)
        } catch {
            failures.add("race \(race), opened again: \(error)")
        }
    }
}

/// Hands one object to several threads, and keeps none once the last has it.
private final class Held: @unchecked Sendable {
    private let lock = NSLock()
    private var companion: PlinthCompanion?
    private var takers = 4

    init(_ companion: PlinthCompanion) { self.companion = companion }

    func take() -> PlinthCompanion? {
        lock.withLock {
            takers -= 1
            defer { if takers == 0 { companion = nil } }
            return companion
        }
    }
}

/// Apple's Foundation keeps some objects until a pool is drained; on Linux there is none.
func autoreleased<Value>(_ body: () throws -> Value) rethrows -> Value {
    #if canImport(ObjectiveC)
        try autoreleasepool(invoking: body)
    #else
        try body()
    #endif
}
