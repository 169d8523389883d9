import Foundation
import PlinthEvening
import PlinthKit
import PlinthLifter
import Testing

@testable import PlinthScreens

/// A lifter with the evening's brief and programme, at its hour.
@MainActor
func eveningLifter(
    _ language: Language = .english, phone: PhoneOfTests = PhoneOfTests()
) async throws -> (lifter: Lifter, clock: TestClock) {
    let evening = try Evening()
    let clock = TestClock(evening.start)
    let lifter = Lifter(try scratchFolder(), clock: clock, phone: phone, language: language)
    try await lifter.opens(brief: evening.brief, programme: evening.programme)
    return (lifter, clock)
}

extension Lifter {
    /// The record is let go and everything of it removed.
    func end() throws {
        house.shutDown()
        try FileManager.default.removeItem(at: folder)
    }

    /// Does sets, and warm-ups before them, until a rest runs.
    func toARest(_ clock: TestClock) async throws {
        try await begins()
        for _ in 0..<60 where stage != "resting" {
            guard let wide = floor?.wide else { break }
            clock.passes(.seconds(20))
            await touches(wide)
        }
        #expect(stage == "resting")
    }
}

/// Waits for what another task does.
@MainActor
func until(_ holds: @MainActor () -> Bool, sourceLocation: SourceLocation = #_sourceLocation) async throws {
    for _ in 0..<4_000 {
        if holds() { return }
        try await Task.sleep(for: .milliseconds(5))
    }
    Issue.record("it did not come", sourceLocation: sourceLocation)
}

extension Everything {
    @Test @MainActor func theFirstFrameDoesNotWaitForTheLibrary() async throws {
        let lifter = Lifter(try scratchFolder(), clock: TestClock(try Evening().start))
        let opening = lifter.house.open()
        #expect(lifter.wall.standing == .opening)
        #expect(!lifter.wall.hasHead)
        // What is touched meanwhile waits for the record.
        let early = lifter.house.send(.page(.place(place: .week)))
        await opening.value
        await early.value
        #expect(lifter.page?.place == .week)
        try lifter.end()
    }

    @Test @MainActor func aRecordThatCannotBeOpenedIsToldWithItsRemedyAndTriedAgain() async throws {
        let lifter = Lifter(try scratchFolder(), clock: TestClock(try Evening().start))
        try FileManager.default.createDirectory(at: lifter.house.record, withIntermediateDirectories: true)
        await lifter.opens()
        guard case .failed(let problem, let remedy) = lifter.wall.standing else {
            Issue.record("\(lifter.wall.standing)")
            return
        }
        #expect(!problem.isEmpty && !remedy.isEmpty)
        try FileManager.default.removeItem(at: lifter.house.record)
        await lifter.opens()
        #expect(lifter.page != nil)
        try lifter.end()
    }

    /// The recorded evening through the house: each effect is done by the platform once, in order, and nothing else is.
    @Test @MainActor func everyEffectIsPerformedOnceAndInOrder() async throws {
        let evening = try Evening()
        let (lifter, clock) = try await eveningLifter()
        let reference = try Record(evening, prepared: true)
        _ = try reference.companion.dispatch(event: .floor(.open), moment: evening.start)
        var syncs = 0
        lifter.house.askForSync = { syncs += 1 }
        lifter.phone.forget()
        var expected: [String] = []
        var expectedSyncs = 0
        for (event, at) in evening.events {
            clock.set(at)
            await lifter.house.send(event).value
            let update = try reference.companion.dispatch(event: event, moment: at)
            for effect in update.effects {
                if effect == .askForSync { expectedSyncs += 1 }
                if let line = try await PerformTests.line(effect, at) { expected.append(line) }
            }
            // The device's clock stands for the moment at which an effect is done too.
            try await until { lifter.phone.log.count >= expected.count }
        }
        #expect(lifter.phone.log == expected)
        try await until { syncs >= expectedSyncs }
        #expect(syncs == expectedSyncs)
        #expect(expected.contains { $0.hasPrefix("rest in") } && expected.contains { $0.hasPrefix("awake") })
        try lifter.end()
    }

    @Test @MainActor func whatNeedsAWindowOrAsksForMoreIsPerformedToo() async throws {
        let (lifter, _) = try await eveningLifter()
        // A file that goes out waits for its place.
        await lifter.does(.open(spot: .record))
        await lifter.does(.do(deed: .giveFile(kind: .record)))
        await lifter.wall.files.settled()
        try await until { lifter.wall.files.place != nil }
        let written = try #require(lifter.wall.files.place)
        #expect(written.pathExtension == "json")
        #expect(try Data(contentsOf: written).count > 100)
        lifter.wall.files.picked(nil)
        #expect(!FileManager.default.fileExists(atPath: written.path), "a plain copy of the record stays")
        _ = try await lifter.makesKey()
        for (spot, deed, picking) in [
            (Spot.record, Deed.takeFile(kind: .sets), Picking.file(.sets)), (.backup, .chooseFolder, .folder),
            (.backup, .restore, .sealed),
        ] {
            await lifter.does(.open(spot: spot))
            await lifter.does(.do(deed: deed))
            try await until { lifter.wall.files.picking == picking }
            lifter.wall.files.picked(nil)
        }
        // Erasing takes the second touch, lets the pairing go, and begins anew.
        _ = lifter.phone.vault.keep(Pairing(address: "https://basement", fingerprint: nil, token: "token"))
        let before = try await lifter.house.ask { try await $0.digest() }
        await lifter.does(.open(spot: .record))
        func remove() throws -> PageButton {
            let actions = lifter.page?.blocks.compactMap { block -> PageButton? in
                if case .action(let button, _) = block { button } else { nil }
            }
            return try #require(actions?.first { $0.event == .do(deed: .remove) })
        }
        let first = try remove()
        await lifter.touches(first)
        #expect(try await lifter.house.ask { try await $0.digest() } == before)
        let second = try remove()
        #expect(second.label != first.label)
        await lifter.touches(second)
        try await until { lifter.phone.vault.read() == .nothing }
        await lifter.house.tick().value
        #expect(try await lifter.house.ask { try await $0.digest() } != before)
        try lifter.end()
    }

    @Test @MainActor func theDiallerIsOpenedWithTheNumberAndItsAbsenceIsSaid() async throws {
        let (lifter, _) = try await eveningLifter()
        await lifter.house.perform(.openDialler(number: "112"))
        #expect(lifter.phone.log.last == "dial 112" && lifter.house.said == nil)
        lifter.phone.hasDialler = false
        await lifter.house.perform(.openDialler(number: "112"))
        #expect(lifter.house.said == .noDialler)
        await lifter.house.perform(.openDialler(number: nil))
        #expect(lifter.house.said == .noNumber)
        try lifter.end()
    }

    @Test @MainActor func leavingLetsTheFileGoAndComingBackOpensIt() async throws {
        let (lifter, clock) = try await eveningLifter()
        try await lifter.toARest(clock)
        let before = try #require(lifter.floor)
        lifter.phone.forget()
        lifter.house.comesToFront()
        await lifter.house.leaves()
        try await until { lifter.phone.waiting != nil }
        #expect(lifter.phone.log.contains { $0.hasPrefix("rest in") }, "the notice is set anew in front")
        // The lock on the record is free: another may open it.
        let other = try await Plinth.open(path: lifter.house.record.path, language: .english, clock: clock)
        #expect(try await other.look().screen == .floor(before))
        other.shutDown()
        lifter.house.comesToFront()
        await lifter.house.tick().value
        #expect(lifter.floor == before)
        try lifter.end()
    }

    @Test @MainActor func theWideActionByAnotherWayThanATouch() async throws {
        let (lifter, clock) = try await eveningLifter()
        try await lifter.begins()
        clock.passes(.seconds(5))
        let before = lifter.floor?.stable
        #expect(lifter.house.wide())
        await lifter.house.tick().value
        #expect(lifter.floor?.stable != before)
        await lifter.does(.place(place: .week))
        try lifter.end()
    }
}

enum PerformTests {
    /// What a device notes of an effect; nothing for what is not the device's.
    @MainActor
    static func line(_ effect: Effect, _ at: Moment) async throws -> String? {
        let phone = PhoneOfTests()
        switch effect {
        case .raiseAlarm(let monotonic, let wall, let boot, let text):
            await phone.set(after: at.left(untilMonotonicMs: monotonic, wallMs: wall, boot: boot), text: text)
        case .cancelAlarm: await phone.cancel() as Void
        case .vibrate: phone.touch()
        case .speak(let text): phone.say(text, in: .english)
        case .keepAwake(let on): phone.keepAwake(on)
        case .openDialler(let number): if let number { _ = await phone.open(number) }
        default: break
        }
        return phone.log.last
    }
}
