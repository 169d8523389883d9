import Foundation
import PlinthEvening
import PlinthKit
import PlinthLifter
import Testing

@testable import PlinthScreens

extension Everything {
    @Test @MainActor func theNoticeIsSetToTheClocksEndAndReadyNowTakesItBack() async throws {
        let (lifter, clock) = try await eveningLifter()
        try await lifter.toARest(clock)
        let rest = try #require(lifter.floor?.clock)
        try await until { lifter.phone.waiting != nil }
        #expect(lifter.phone.waiting?.left == clock.now().left(of: rest))
        #expect(lifter.phone.waiting?.text == rest.over)
        #expect(await lifter.touches(.longer))
        let longer = try #require(lifter.floor?.clock)
        #expect(longer.endsMonotonicMs > rest.endsMonotonicMs)
        try await until { lifter.phone.waiting?.left == clock.now().left(of: longer) }
        clock.passes(.seconds(2))
        #expect(await lifter.touches(.ready))
        try await until { lifter.phone.waiting == nil }
        #expect(lifter.stage == "lifting")
        try lifter.end()
    }

    @Test @MainActor func aChangedClockDoesNotMoveTheRestAndAnotherStartOfTheDeviceGoesByTheWall() async throws {
        let (lifter, clock) = try await eveningLifter()
        try await lifter.toARest(clock)
        let rest = try #require(lifter.floor?.clock)
        let left = clock.now().left(of: rest)
        clock.isSet(by: 3_600_000)
        lifter.phone.forget()
        await lifter.house.clockChanged().value
        #expect(clock.now().left(of: rest) == left)
        try await until { lifter.phone.log.contains { $0.hasPrefix("rest in") } }
        #expect(lifter.phone.waiting?.left == left)
        lifter.house.shutDown()

        // The device was started again, and its wall clock is right once more; ten seconds have passed.
        clock.isSet(by: -3_600_000 + 10_000, boot: "another start")
        let again = Lifter(lifter.folder, clock: clock)
        await again.opens()
        #expect(again.stage == "resting")
        try await until { again.phone.waiting != nil }
        #expect(again.phone.waiting?.left == left - .seconds(10))
        again.house.shutDown()

        // Started again long after the end: nothing rings in the pocket, and what stands there is taken away.
        clock.isSet(by: 3_600_000, boot: "a third start")
        let late = Lifter(lifter.folder, clock: clock, phone: again.phone)
        await late.opens()
        #expect(late.phone.waiting == nil)
        try late.end()
    }

    @Test @MainActor func theClockCountsDownSaysItsMarksOnceAndEndsByItself() async throws {
        let (lifter, clock) = try await eveningLifter()
        try await lifter.toARest(clock)
        let rest = lifter.wall.rest
        // Longer than a minute, so that all marks are passed.
        while clock.now().left(of: try #require(lifter.floor?.clock)) <= .seconds(60) {
            #expect(await lifter.touches(.longer))
            clock.passes(.seconds(2))
        }
        lifter.phone.forget()
        var faces: [String] = []
        for _ in 0..<2_000 {
            guard let pause = rest.beat() else { break }
            if faces.last != rest.face { faces.append(rest.face ?? "") }
            _ = rest.beat()  // a view may ask twice within a second
            clock.passes(pause)
        }
        #expect(faces.count > 60 && faces.last == "0:01" && rest.face == "0:00")
        for (face, next) in zip(faces, faces.dropFirst()) { #expect(face != next) }
        let said = lifter.phone.log.filter { $0.hasPrefix("announce") }
        #expect(said == ["announce 1 minute left", "announce 30 seconds left", "announce 10 seconds left"])
        #expect(!lifter.phone.log.contains("bell"), "the notice sounds")
        await lifter.house.tick().value
        #expect(lifter.stage == "lifting", "the next set comes up without a touch")
        try lifter.end()
    }

    @Test @MainActor func whereNoticesAreRefusedTheOpenScreenRingsAndSaysSoBeforeASession() async throws {
        let evening = try Evening()
        let clock = TestClock(evening.start)
        let phone = PhoneOfTests()
        phone.permission = .refused
        let lifter = Lifter(try scratchFolder(), clock: clock, phone: phone)
        try await lifter.opens(brief: evening.brief, programme: evening.programme)
        let told = lifter.scene?.stays.contains { piece in
            if case .notice(let notice) = piece { notice.choices.contains { $0.deed == .settings } } else { false }
        }
        #expect(told == true)
        try await lifter.toARest(clock)
        #expect(lifter.scene?.stays.contains { if case .notice = $0 { true } else { false } } == false)
        clock.passes(clock.now().left(of: try #require(lifter.floor?.clock)))
        #expect(lifter.wall.rest.beat() == nil)
        #expect(lifter.wall.rest.beat() == nil)
        #expect(phone.log.filter { $0 == "bell" }.count == 1)
        try lifter.end()
    }

    @Test @MainActor func theLifterIsAskedForNoticesOnceAndTheRestIsSetThen() async throws {
        let evening = try Evening()
        let clock = TestClock(evening.start)
        let phone = PhoneOfTests()
        phone.permission = .notAsked
        let lifter = Lifter(try scratchFolder(), clock: clock, phone: phone)
        try await lifter.opens(brief: evening.brief, programme: evening.programme)
        #expect(!phone.log.contains("asked"))
        try await lifter.toARest(clock)
        try await until { lifter.house.notices == .allowed }
        #expect(phone.log.filter { $0 == "asked" }.count == 1)
        try lifter.end()
    }

    @Test @MainActor func theDisplayIsLetGoAfterASession() async throws {
        let (lifter, clock) = try await eveningLifter()
        try await lifter.toARest(clock)
        try await until { lifter.phone.awake }
        clock.passes(.seconds(30))
        try await lifter.closes()
        try await until { !lifter.phone.awake }
        try lifter.end()
    }

    @Test func theDevicesClockGoesForwardAndNamesItsStart() {
        let (one, two) = (DeviceClock(), DeviceClock())
        let (first, then) = (one.now(), two.now())
        #expect(first.boot == then.boot && !first.boot.isEmpty)
        #expect(then.monotonicMs >= first.monotonicMs && first.monotonicMs > 0)
        #expect(abs(Double(first.wallMs) / 1_000 - Date().timeIntervalSince1970) < 60)
    }

    @Test func theChimeIsAWaveFile() {
        let wave = Chime.wave()
        #expect(wave.prefix(4) == Data("RIFF".utf8) && wave[8..<16] == Data("WAVEfmt ".utf8))
        let size = wave[4..<8].reversed().reduce(0) { $0 << 8 | Int($1) }
        #expect(size == wave.count - 8)
        let data = wave[40..<44].reversed().reduce(0) { $0 << 8 | Int($1) }
        #expect(data == wave.count - 44)
        #expect(wave[44...].contains { $0 > 100 })
    }
}
