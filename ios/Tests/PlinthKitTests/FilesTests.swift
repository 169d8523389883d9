import Foundation
import PlinthEvening
import PlinthKit
import PlinthLifter
import Testing

@testable import PlinthScreens

extension Lifter {
    /// What the shell itself has to say on the wall.
    var noticed: [String] {
        switch wall.standing {
        case .floor(let scene): scene.stays.compactMap { if case .notice(let notice) = $0 { notice.text } else { nil } }
        case .page(_, _, let notices): notices.map(\.text)
        default: []
        }
    }

    /// Makes the key of the sealed copies.
    func makesKey() async throws -> String { try await house.ask { try await $0.makeBackupKey() } }

    /// Picks a folder for the sealed copies.
    func choosesFolder(_ folder: URL) async {
        await does(.open(spot: .backup))
        wall.files.perform(.chooseFolder)
        wall.files.picked(folder)
        await wall.files.settled()
    }
}

extension Everything {
    @Test @MainActor func whatGoesOutComesInElsewhere() async throws {
        let (lifter, clock) = try await eveningLifter()
        try await lifter.toARest(clock)
        clock.passes(.seconds(30))
        try await lifter.closes()
        await lifter.does(.open(spot: .record))
        await lifter.does(.do(deed: .giveFile(kind: .record)))
        try await until { lifter.wall.files.place != nil }
        let out = lifter.folder.appendingPathComponent("out.json")
        try FileManager.default.copyItem(at: try #require(lifter.wall.files.place), to: out)
        lifter.wall.files.picked(out)
        await lifter.wall.files.settled()
        #expect(lifter.noticed == ["Written to out.json."])

        let other = Lifter(try scratchFolder(), clock: clock)
        await other.opens()
        await other.does(.open(spot: .record))
        other.wall.files.perform(.takeFile(kind: .record))
        other.wall.files.picked(out)
        await other.wall.files.settled()
        #expect(other.noticed.count == 2 && other.noticed[0].hasSuffix("of the file are good."), "\(other.noticed)")
        // A file that is none changes nothing and is told.
        let bad = lifter.folder.appendingPathComponent("bad.json")
        try Data("{".utf8).write(to: bad)
        let before = try await other.house.ask { try await $0.digest() }
        other.wall.files.perform(.takeFile(kind: .record))
        other.wall.files.picked(bad)
        await other.wall.files.settled()
        #expect(!other.noticed.isEmpty && other.noticed != ["One moment"], "\(other.noticed)")
        #expect(try await other.house.ask { try await $0.digest() } == before)
        // One that is gone is told too.
        other.wall.files.perform(.takeFile(kind: .sets))
        other.wall.files.picked(lifter.folder.appendingPathComponent("nowhere.csv"))
        await other.wall.files.settled()
        #expect(other.noticed.first?.hasPrefix("The file could not be taken in:") == true)
        try other.end()
        try lifter.end()
    }

    @Test @MainActor func aProgrammeThatIsOpenedWithTheAppIsAskedAboutOutsideASession() async throws {
        let evening = try Evening()
        let (lifter, clock) = try await eveningLifter()
        let file = lifter.folder.appendingPathComponent("coach.json")
        try Data(evening.programme.utf8).write(to: file)
        try await lifter.toARest(clock)
        lifter.wall.open(file)
        await lifter.wall.files.settled()
        #expect(lifter.scene != nil, "nothing stands over the rest clock")
        clock.passes(.seconds(30))
        try await lifter.closes()
        guard case .asked(let asked) = lifter.wall.standing else {
            Issue.record("\(lifter.wall.standing)")
            return
        }
        #expect(asked.what == .programme && asked.name == "coach.json" && !lifter.wall.hasHead)
        lifter.wall.files.takeIn()
        await lifter.wall.files.settled()
        #expect(lifter.wall.files.asked == nil)
        guard case .page(let page, _, _) = lifter.wall.standing else {
            Issue.record("\(lifter.wall.standing)")
            return
        }
        #expect(page.title == "An invented lifter: three evenings, small gym", "its page says what it would become")
        try lifter.end()
    }

    @Test @MainActor func sealedCopiesGoToTheFolderAndTheNewestSevenStay() async throws {
        let (lifter, clock) = try await eveningLifter()
        let folder = lifter.folder.appendingPathComponent("copies")
        try FileManager.default.createDirectory(at: folder, withIntermediateDirectories: true)
        try Data("theirs".utf8).write(to: folder.appendingPathComponent("plinth-sealed-other-2020-01-01-000000.age"))
        #expect(lifter.noticed.contains { $0.hasPrefix("Keep a sealed copy") })
        _ = try await lifter.makesKey()
        await lifter.choosesFolder(folder)
        func ours() throws -> [String] {
            try FileManager.default.contentsOfDirectory(atPath: folder.path).filter { !$0.contains("other") }.sorted()
        }
        #expect(try ours().count == 1)
        #expect(
            try Data(contentsOf: folder.appendingPathComponent(try ours()[0])).starts(
                with: Data("age-encryption.org/".utf8)))
        #expect(lifter.noticed.contains { $0.hasPrefix("Sealed copies go to copies. The last is of") })
        // One on the first opening of each day.
        for _ in 0..<9 {
            clock.passes(.seconds(86_400))
            lifter.wall.files.copyWhereDue()
            lifter.wall.files.copyWhereDue()
            await lifter.wall.files.settled()
        }
        #expect(try ours().count == SealedCopies.kept)
        #expect(
            FileManager.default.fileExists(
                atPath: folder.appendingPathComponent("plinth-sealed-other-2020-01-01-000000.age").path))
        // Its keeper has no room: it is told, and the copy that was sealed already is made again on the same day.
        clock.passes(.seconds(86_400))
        let before = try ours()
        lifter.phone.folders.fault = CocoaError(.fileWriteOutOfSpace)
        lifter.wall.files.copyWhereDue()
        await lifter.wall.files.settled()
        #expect(lifter.wall.files.standing == .full && lifter.noticed.contains { $0.contains("has no room left") })
        lifter.phone.folders.fault = nil
        lifter.wall.files.copyWhereDue()
        await lifter.wall.files.settled()
        #expect(try ours().last != before.last && ours().count == SealedCopies.kept)
        // The folder goes: it is told, and found again.
        let away = lifter.folder.appendingPathComponent("away")
        try FileManager.default.moveItem(at: folder, to: away)
        clock.passes(.seconds(86_400))
        lifter.wall.files.copyWhereDue()
        await lifter.wall.files.settled()
        #expect(lifter.wall.files.standing == .lost)
        try FileManager.default.moveItem(at: away, to: folder)
        lifter.wall.files.copyWhereDue()
        await lifter.wall.files.settled()
        #expect(lifter.noticed.contains { $0.hasPrefix("Sealed copies go to copies.") })
        #expect(try ours().count == SealedCopies.kept)
        try lifter.end()
    }

    @Test @MainActor func aSealedCopyIsRestoredWithItsWordsAndWithNoOthers() async throws {
        let (lifter, clock) = try await eveningLifter()
        let folder = lifter.folder.appendingPathComponent("copies")
        try FileManager.default.createDirectory(at: folder, withIntermediateDirectories: true)
        let words = try await lifter.makesKey()
        await lifter.choosesFolder(folder)
        let copy = folder.appendingPathComponent(
            try #require(try FileManager.default.contentsOfDirectory(atPath: folder.path).first))

        let other = Lifter(try scratchFolder(), clock: clock)
        await other.opens()
        other.wall.files.perform(.restore)
        other.wall.files.picked(copy)
        await other.wall.files.settled()
        let before = try await other.house.ask { try await $0.digest() }
        other.wall.files.typed = "no such words"
        other.wall.files.restore()
        await other.wall.files.settled()
        guard case .asked(let asked) = other.wall.standing, case .words(let wrong?, false) = asked.what else {
            Issue.record("\(other.wall.standing)")
            return
        }
        #expect(wrong.hasPrefix("Nothing was changed:"))
        #expect(try await other.house.ask { try await $0.digest() } == before)
        other.wall.files.typed = words
        other.wall.files.restore()
        await other.wall.files.settled()
        other.wall.follow()
        #expect(other.wall.files.asked == nil && other.wall.files.typed.isEmpty)
        #expect(try await other.house.ask { try await $0.digest() } != before)
        #expect(other.noticed.contains { $0.hasPrefix("The sealed copy is the record now") }, "\(other.noticed)")
        try other.end()
        try lifter.end()
    }
}
