import Foundation
import PlinthEvening
import PlinthKit
import PlinthLifter
import Testing

@testable import PlinthScreens

extension Everything {
    /// Eight weeks of an invented lifter, three sessions a week, from the first opening to the findings, all of it by what
    /// stands on the wall: a week made of the brief in the locker, warm-ups, sets as written and not, rests to their end
    /// and cut short, forms opened and left, with the app ended and opened again each week.
    @Test @MainActor func eightWeeksOfALifterThroughTheWall() async throws {
        let start = try Evening().start
        let clock = TestClock(start)
        let folder = try scratchFolder()
        var lifter = Lifter(folder, clock: clock)
        await lifter.opens()
        // The first run begins with what the week is made from: answers stand there, and the week is one touch away.
        let questions = lifter.page?.blocks.compactMap { block -> [PageButton]? in
            if case .question(_, _, let buttons) = block { buttons } else { nil }
        }
        #expect(questions?.contains { $0.contains { $0.chosen } } == true)
        let actions = lifter.page?.blocks.compactMap { block -> PageButton? in
            if case .action(let button, true) = block { button } else { nil }
        }
        let make = try #require(actions?.first)
        await lifter.touches(make)
        #expect(lifter.refused == nil)
        var walk = Walked()
        for week in 0..<8 {
            for day in [0, 2, 4] {
                let days = Int64(week * 7 + day)
                clock.set(
                    Moment(
                        wallMs: start.wallMs + days * 86_400_000, offsetMin: start.offsetMin,
                        monotonicMs: start.monotonicMs + UInt64(days) * 86_400_000, boot: start.boot))
                try await walk.session(lifter, clock, odd: (week + day) % 2 == 1)
            }
            lifter.house.shutDown()
            lifter = Lifter(folder, clock: clock)
            await lifter.opens()
        }
        #expect(walk.sessions == 24)
        #expect(walk.sets > 24 * 6, "\(walk.sets) sets")
        #expect(walk.rests > 24 * 4, "\(walk.rests) rests")
        #expect(
            walk.forms.isSuperset(of: [
                "not as written", "stand-ins", "minutes left", "something is wrong", "sets done",
            ]))
        #expect(walk.pieces > 1_000)

        // What the log adds up to: every session was heard of, and the findings say so.
        await lifter.does(.place(place: .findings))
        let page = try #require(lifter.page)
        #expect(page.place == .findings && page.blocks.count > 3, "\(page.blocks)")
        let findings = try await lifter.house.ask { try await $0.findings() }
        #expect(!findings.movements.isEmpty)
        let drawn = page.blocks + (await opened(lifter, page))
        #expect(drawn.contains { if case .drawn = $0 { true } else { false } }, "a chart is drawn")
        print("eight weeks (Swift): \(walk.sessions) sessions, \(walk.sets) sets, \(walk.rests) rests")
        try lifter.end()
    }

    /// The blocks behind the first lines of a page.
    @MainActor
    private func opened(_ lifter: Lifter, _ page: PageScreen) async -> [Block] {
        var blocks: [Block] = []
        for case .line(let button) in page.blocks.prefix(12) {
            await lifter.touches(button)
            blocks += lifter.page?.blocks ?? []
            await lifter.does(.back)
        }
        return blocks
    }
}

/// What was done on the way.
private struct Walked {
    var sessions = 0
    var sets = 0
    var rests = 0
    var forms = Set<String>()
    var pieces = 0

    /// A session from the floor's first question to its close.
    @MainActor
    mutating func session(_ lifter: Lifter, _ clock: TestClock, odd: Bool) async throws {
        await lifter.house.tick().value
        await lifter.does(.place(place: .floor))
        try #require(lifter.stage == "before", "\(lifter.stage)")
        try await lifter.begins()
        var steps = 0
        while lifter.stage != "finished", steps < 400 {
            steps += 1
            pieces += lifter.scene.map { $0.stays.count + $0.follows.count } ?? 0
            if lifter.stage == "resting" {
                rests += 1
                if odd, rests % 3 == 0 {
                    clock.passes(.seconds(3))
                    _ = await lifter.touches(.ready)
                } else {
                    clock.passes(clock.now().left(of: try #require(lifter.floor?.clock)))
                    #expect(lifter.wall.rest.beat() == nil)
                    await lifter.house.tick().value
                    lifter.wall.follow()
                }
                clock.passes(.seconds(2))
                continue
            }
            clock.passes(.seconds(40))
            if lifter.stage == "lifting" {
                sets += 1
                if sets % 17 == 0 { try await forms(lifter, clock) }
                if sets % 11 == 0, await notAsWritten(lifter, clock) { continue }
            }
            let wide = try #require(lifter.floor?.wide, "\(lifter.stage) \(lifter.floor?.title ?? "")")
            await lifter.touches(wide)
            #expect(lifter.refused == nil, "\(lifter.refused ?? "") after \(wide.label)")
        }
        try #require(lifter.stage == "finished", "\(lifter.stage)")
        try await lifter.closes()
        sessions += 1
    }

    /// A set with other repetitions than written; false where the form records none at one touch.
    @MainActor
    private mutating func notAsWritten(_ lifter: Lifter, _ clock: TestClock) async -> Bool {
        guard await lifter.touches(.notAsWritten), lifter.floor?.form != nil else { return false }
        forms.insert("not as written")
        clock.passes(.seconds(2))
        let offered = lifter.floor?.form?.rows.flatMap(\.buttons).first {
            if case .amount = $0.event { true } else { false }
        }
        guard let offered else {
            _ = await lifter.touches(.back)
            return false
        }
        await lifter.touches(offered)
        return lifter.floor?.form == nil
    }

    /// The other forms, opened and left again: nothing changes by that.
    @MainActor
    private mutating func forms(_ lifter: Lifter, _ clock: TestClock) async throws {
        let before = lifter.floor?.set?.sentence
        for (name, matches) in [
            ("stand-ins", { if case .standIns = $0 { true } else { false } }), ("minutes left", { $0 == .minutesLeft }),
            ("something is wrong", { $0 == .wrong }), ("sets done", { $0 == .setsDone }),
            ("lines", { $0 == .lines }),
        ] as [(String, (FloorEvent) -> Bool)] {
            guard let choice = lifter.choices.first(where: { matches($0.event) }) else { continue }
            clock.passes(.seconds(2))
            await lifter.touches(choice)
            guard lifter.floor?.form != nil else { continue }
            forms.insert(name)
            pieces += lifter.scene?.stays.count ?? 0
            clock.passes(.seconds(2))
            #expect(await lifter.touches(.back), "\(name) has a way back")
        }
        #expect(lifter.floor?.set?.sentence == before)
    }
}
