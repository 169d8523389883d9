import Foundation
import PlinthEvening
import PlinthKit
import Testing

/// A clock that stands still until it is set.
final class HandClock: PlinthClock, @unchecked Sendable {
    private let lock = NSLock()
    private var moment: Moment

    init(_ moment: Moment) { self.moment = moment }

    func now() -> Moment { lock.withLock { moment } }
    func set(_ moment: Moment) { lock.withLock { self.moment = moment } }
}

/// A companion through the layer, with the evening's brief and programme.
struct Layer {
    let evening: Evening
    let folder: URL
    let clock: HandClock
    let plinth: Plinth

    init(prepared: Bool = true) async throws {
        evening = try Evening()
        folder = try scratchFolder()
        clock = HandClock(evening.start)
        plinth = try await Plinth.open(
            path: folder.appendingPathComponent("record.plinth").path, language: .english, clock: clock)
        guard prepared else { return }
        try await plinth.tellBrief(evening.brief)
        try await plinth.takeOn(evening.programme)
    }

    func end() throws {
        plinth.shutDown()
        try FileManager.default.removeItem(at: folder)
    }
}

extension Everything {
    @Test @MainActor func theModelFollowsTheRecordAndEffectsComeOnceAndInOrder() async throws {
        let layer = try await Layer()
        let model = PlinthModel(layer.plinth)
        let reference = try Record(layer.evening, prepared: true)
        let reader = Task {
            var read: [Effect] = []
            for await effect in layer.plinth.effects { read.append(effect) }
            return read
        }
        var expected: [Effect] = []
        for (event, at) in layer.evening.events {
            layer.clock.set(at)
            await model.send(event)
            let update = try reference.companion.dispatch(event: event, moment: at)
            expected += update.effects
            #expect(model.screen == update.screen)
            #expect(model.refused == update.refused)
        }
        #expect(expected.count > 20)
        layer.plinth.shutDown()
        #expect(await reader.value == expected)
        try layer.end()
    }

    @Test @MainActor func theModelShowsWhatWentWrongAndWhatAnImportChanged() async throws {
        let layer = try await Layer(prepared: false)
        let model = PlinthModel(layer.plinth)
        await model.refresh()
        let before = try #require(model.screen)
        let told: Void? = await model.perform { try await $0.tellBrief("{") }
        #expect(told == nil)
        #expect(model.refused?.hasPrefix("brief: ") == true && model.refused?.hasSuffix(".") == true)
        #expect(model.screen == before)
        let evening = layer.evening
        await model.perform {
            try await $0.tellBrief(evening.brief)
            try await $0.takeOn(evening.programme)
        }
        #expect(model.refused == nil)
        #expect(model.screen != before, "the days of the programme are offered")
        layer.plinth.shutDown()
        await model.refresh()
        #expect(model.refused == "it was shut down; open it again.")
        try layer.end()
    }

    @Test func pausedItOpensWithTheNextCallAndShutDownItDoesNot() async throws {
        let layer = try await Layer()
        let before = try await layer.plinth.look().screen
        layer.plinth.pause()
        layer.plinth.pause()
        #expect(try await layer.plinth.look().screen == before)
        layer.plinth.shutDown()
        layer.plinth.shutDown()
        await #expect(throws: PlinthError.self) { try await layer.plinth.send(.floor(.tick)) }
        var lines: [LogLine] = []
        for await line in layer.plinth.log { lines.append(line) }
        let opened = LogLine.opened(recovered: 0, lost: 0)
        #expect(lines == [opened, .paused, opened, .shutDown])
        try layer.end()
    }

    @Test func letGoItReleasesTheFileAndEndsItsReaders() async throws {
        let before = livingObjects()
        let folder = try scratchFolder()
        let path = folder.appendingPathComponent("record.plinth").path
        let clock = HandClock(try Evening().start)
        var effects: Mailbox<Effect>?
        do {
            let plinth = try await Plinth.open(path: path, language: .english, clock: clock)
            effects = plinth.effects
            _ = try await plinth.look()
        }
        if let effects { for await _ in effects {} }  // ends, since the companion did
        #expect(livingObjectsComeBack(to: before))
        let again = try await Plinth.open(path: path, language: .english, clock: clock)
        _ = try await again.look()
        again.shutDown()
        try FileManager.default.removeItem(at: folder)
    }

    @Test func aRecordThatCannotBeOpenedThrows() async throws {
        let clock = HandClock(try Evening().start)
        await #expect(throws: PlinthError.self) {
            _ = try await Plinth.open(path: "/nowhere/at/all/record.plinth", language: .german, clock: clock)
        }
    }

    @Test func cancellingTheTaskCallsTheWorkOff() async throws {
        let layer = try await Layer()
        let failures = Failures()
        let record = try Record(layer.evening)
        let file = try record.writeSets(50_000)
        let plinth = layer.plinth
        let before = try await plinth.digest()

        let imported = try await cancelledAtFirstProgress {
            try await plinth.importFile(file, form: .csv, progress: $0)
        }
        failures.check(imported == .calledOff, "import: \(imported)")
        failures.check(try await plinth.digest() == before, "import changed the record")

        let drafted = try await cancelledAtFirstProgress { try await plinth.draft(thorough: true, progress: $0) }
        if case .drafted(let programme, true) = drafted {
            failures.check(!programme.isEmpty, "no programme")
        } else {
            failures.add("draft: \(drafted)")
        }

        // A copy of so little tells no progress; cancelled before it begins, it ends as cancelled in the middle.
        let copy = layer.folder.appendingPathComponent("copy").path
        _ = try await plinth.importFile(file, form: .csv)
        let full = try await plinth.digest()
        let task = Task {
            while !Task.isCancelled { await Task.yield() }
            return try await plinth.backup(to: copy)
        }
        task.cancel()
        let backedUp = try await task.value
        failures.check(backedUp == .calledOff, "backup: \(backedUp)")
        failures.check(!FileManager.default.fileExists(atPath: copy), "a part of a copy is there")
        failures.check(try await plinth.digest() == full, "backup changed the record")
        failures.tell("3 kinds of work called off by cancelling the task")
        try layer.end()
    }

    private func cancelledAtFirstProgress(
        _ work: @escaping @Sendable (@escaping @Sendable (WorkProgress) -> Void) async throws -> Outcome
    ) async throws -> Outcome {
        let (signs, sign) = AsyncStream.makeStream(of: Void.self)
        let task = Task {
            defer { sign.finish() }
            return try await work { _ in sign.yield() }
        }
        for await _ in signs { break }
        task.cancel()
        return try await task.value
    }

    @Test func waitsForTheDiskHoldUpNoOtherTask() async throws {
        // As many companions as the shared pool has threads, and more, all of them waiting.
        let count = 2 * ProcessInfo.processInfo.activeProcessorCount + 2
        let gate = Gate(try Evening().start)
        let folder = try scratchFolder()
        var companions: [Plinth] = []
        for n in 0..<count {
            companions.append(
                try await Plinth.open(
                    path: folder.appendingPathComponent("record-\(n)").path, language: .english, clock: gate))
        }
        gate.close()
        let waiting = companions.map { plinth in Task { try await plinth.look() } }
        while gate.isClosed, gate.waiting < count { try await Task.sleep(for: .milliseconds(1)) }
        let passed = await Task.detached { gate.isClosed }.value
        #expect(passed, "a task that has nothing to do with the disk waited for it")
        gate.open()
        for task in waiting { _ = try await task.value }
        for plinth in companions { plinth.shutDown() }
        try FileManager.default.removeItem(at: folder)
    }
}

/// A clock that makes whoever asks wait as a slow disk would. It opens by itself after a while, so that a pool that it
/// starves fails the test and does not hang it.
private final class Gate: PlinthClock, @unchecked Sendable {
    private let condition = NSCondition()
    private let moment: Moment
    private var closed = false
    private var held = 0

    init(_ moment: Moment) { self.moment = moment }

    var isClosed: Bool { condition.withLock { closed } }
    var waiting: Int { condition.withLock { held } }

    func close() {
        condition.withLock { closed = true }
        Thread.detachNewThread {
            Thread.sleep(forTimeInterval: 30)
            self.open()
        }
    }

    func open() {
        condition.withLock {
            closed = false
            condition.broadcast()
        }
    }

    func now() -> Moment {
        condition.withLock {
            held += 1
            while closed { condition.wait() }
            held -= 1
        }
        return moment
    }
}
