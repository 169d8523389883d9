import Foundation
import PlinthEvening
import PlinthKit
import PlinthLifter
import Testing

@testable import PlinthScreens

extension Everything {
    /// Every screen of the evening: nothing that the core shows is left out, and the order is that of reading.
    @Test @MainActor func theSceneHasAllThatTheScreenHas() async throws {
        var kinds = Set<String>()
        let records = try ["evening", "abend"].map { try Record(Evening($0)) }
        for record in records {
            // With what the lifter did before, so that there are loads.
            try record.evening.before.write(toFile: record.file("before"), atomically: false, encoding: .utf8)
            let task = try record.companion.`import`(
                from: record.file("before"), form: .json, moment: record.start, listener: record.heard)
            withExtendedLifetime(task) { _ = record.heard.waitForEnd() }
            try record.prepare()
        }
        for (record, event, at) in records.flatMap({ record in record.evening.events.map { (record, $0.event, $0.at) } }
        ) {
            guard case .floor(let screen) = try record.companion.dispatch(event: event, moment: at).screen else {
                continue
            }
            let scene = FloorScene(screen, refused: "why", notices: [Notice("told by the shell")])
            let pieces = scene.stays + scene.follows
            let text = "\(pieces)"
            for piece in pieces { kinds.insert("\(piece)".prefix { $0 != "(" }.description) }
            #expect(text.contains("why"))
            #expect(text.contains("told by the shell") == (!screen.contents.isEmpty && screen.form == nil))
            for told in screen.told { #expect(pieces.contains(.text(told, .plain))) }
            if let form = screen.form {
                #expect(pieces.contains(.name(form.title, spoken: form.title)))
                for row in form.rows { #expect(scene.stays.contains(.row(row))) }
            } else if let set = screen.set {
                for said in [set.load, set.amount, set.reserve, set.made, set.because, set.cue, set.bailOut] {
                    if let said { #expect(text.contains(said), "\(said)") }
                }
                for caution in set.cautions { #expect("\(scene.stays)".contains(caution), "a caution never gives way") }
            }
            if screen.clock != nil, screen.form == nil { #expect("\(scene.stays[0])".hasPrefix("clock")) }
            #expect(scene.wide == screen.wide && scene.undo == screen.undo)
            let undo = [screen.undo].compactMap { $0 }
            #expect(scene.custom == screen.actions + (screen.more?.buttons ?? []) + undo)
        }
        #expect(
            kinds.isSuperset(of: ["clock", "name", "text", "load", "reps", "rule", "row", "caution", "notice"]),
            "\(kinds)")
    }

    @Test @MainActor func discsAreSaidInTheirPlaceAndDrawnAfterWhatStays() {
        let drawn = [DiscScreen(label: "20", heightPerMille: 1_000), DiscScreen(label: "1.25", heightPerMille: 360)]
        let discs = DiscsScreen(
            bar: "The 20 kg bar", words: "20 and 1.25 on each side", drawn: drawn, moves: ["Add 1.25."],
            notes: ["Collars on."])
        let set = SetScreen(
            movement: "Squat", count: "Set 1 of 3", load: "62.5 kg", amount: "5 reps", reserve: "leave 2",
            sentence: "all of it", made: nil, because: "as last time", notes: [], cautions: ["Set the safeties."],
            bailOut: "Sit down.", discs: discs, cue: "Brace.", hold: nil)
        let screen = FloorScreen(
            stage: "lifting", title: "Squat", line: nil, told: [], before: [], set: set, then: nil, clock: nil,
            wide: nil, actions: [], more: nil, rows: [], form: nil, undo: nil, cautionHead: "Caution", contents: [],
            mirrored: false, spoken: "", stable: "")
        let scene = FloorScene(screen)
        #expect(
            scene.stays == [
                .name("Squat", spoken: "Squat"), .text("Set 1 of 3", .soft), .load("62.5 kg"),
                .reps("5 reps", leave: "leave 2"), .rule, .text("The 20 kg bar. 20 and 1.25 on each side", .large),
                .caution(head: "Caution", lines: ["Set the safeties.", "Sit down."]), .text("Collars on.", .plain),
            ])
        #expect(
            scene.follows == [
                .sleeve(drawn), .text("Add 1.25.", .plain), .text("as last time", .soft), .text("Brace.", .plain),
            ])
    }

    @Test @MainActor func whatWasWrittenStaysUntilItIsKeptOrThePageIsLeft() async throws {
        let (lifter, _) = try await eveningLifter()
        await lifter.does(.open(spot: .profile))
        let entries =
            lifter.page?.blocks.compactMap { block -> (String, Keys)? in
                if case .entry(let field, _, _, _, let keys, _) = block { (field, keys) } else { nil }
            } ?? []
        let (name, _) = try #require(entries.first { $0.1 == .words })
        lifter.wall.page[name] = "Mara"
        await lifter.house.tick().value
        lifter.wall.follow()
        #expect(lifter.wall.page[name] == "Mara")
        await lifter.wall.page.save(name).value
        lifter.wall.follow()
        #expect(lifter.wall.page[name] == "Mara" && lifter.refused == nil)
        lifter.wall.page[name] = "Other"
        await lifter.does(.place(place: .week))
        await lifter.does(.open(spot: .profile))
        #expect(lifter.wall.page[name] == "Mara")
        // A line takes only its own letters.
        if let (field, _) = entries.first(where: { $0.1 == .decimal }) {
            lifter.wall.page[field] = "8a0,5 kg"
            #expect(lifter.wall.page[field] == "80,5")
        }
        try lifter.end()
    }

    @Test @MainActor func theFivePlacesAreReachedAndHiddenInASession() async throws {
        let (lifter, _) = try await eveningLifter()
        #expect(lifter.wall.places.count == 5 && lifter.wall.hasHead && lifter.wall.back == nil)
        lifter.wall.flipContents()
        guard case .contents(let places) = lifter.wall.standing else {
            Issue.record("\(lifter.wall.standing)")
            return
        }
        for place in places {
            await lifter.touches(place)
            #expect(!lifter.wall.contentsOpen && lifter.wall.places.first { $0.chosen }?.label == place.label)
        }
        await lifter.does(.open(spot: .settings))
        await lifter.touches(try #require(lifter.wall.back))
        await lifter.does(.place(place: .floor))
        lifter.wall.flipContents()
        try await lifter.begins()
        #expect(!lifter.wall.hasHead && !lifter.wall.contentsOpen && lifter.scene != nil)
        lifter.wall.flipMore()
        #expect(lifter.wall.moreOpen)
        await lifter.touches(try #require(lifter.floor?.wide))
        #expect(!lifter.wall.moreOpen)
        try lifter.end()
    }

    @Test @MainActor func languageAndHandFollowTheRecord() async throws {
        let (lifter, _) = try await eveningLifter()
        #expect(lifter.house.language == .english && !lifter.wall.mirrored)
        await lifter.does(.open(spot: .settings))
        func choice(_ field: String, _ value: String) throws -> PageButton {
            let all = lifter.page?.blocks.flatMap { block -> [PageButton] in
                if case .question(_, _, let buttons) = block { buttons } else { [] }
            }
            return try #require(all?.first { $0.event == .choose(field: field, value: value) }, "\(field) \(value)")
        }
        await lifter.touches(try choice("hand", "left"))
        #expect(lifter.wall.mirrored)
        await lifter.touches(try choice("language", "de"))
        #expect(lifter.house.language == .german && lifter.wall.words(.contents) == "Inhalt")
        await lifter.does(.place(place: .floor))
        #expect(lifter.wall.mirrored)
        try lifter.end()
    }

    @Test func labelsAreMovedApartAndKeepTheirOrder() {
        #expect(ChartPlaces.apart([], gap: 10) == [])
        #expect(ChartPlaces.apart([10, 50], gap: 20) == [10, 50])
        #expect(ChartPlaces.apart([50, 50, 50], gap: 10) == [40, 50, 60])
        let places = ChartPlaces.apart([0, 3, 4, 100, 101], gap: 8)
        for (one, next) in zip(places, places.dropFirst()) { #expect(next - one >= 8 - 1e-9) }
        let field = ChartPlaces(left: 40, right: 240, top: 20, foot: 120)
        #expect(field.across(0) == 40 && field.across(10_000) == 240 && field.up(0) == 120 && field.up(5_000) == 70)
    }
}
