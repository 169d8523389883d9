import Foundation
import PlinthKit
import Testing

@testable import PlinthScreens

extension Everything {
    @Test func theShellsWordsAreCompleteInBothLanguages() throws {
        let wanted = Set(Word.allCases.flatMap(\.keys))
        let english = Words.read("en")
        let german = Words.read("de")
        for (language, lines) in [("en", english), ("de", german)] {
            #expect(Set(lines.keys) == wanted, "\(language): \(Set(lines.keys).symmetricDifference(wanted))")
            for (key, line) in lines {
                #expect(!line.trimmingCharacters(in: .whitespaces).isEmpty, "\(language) \(key)")
            }
        }
        let holes = try Regex<Substring>(#"%\d\$@"#)
        for key in wanted {
            let (one, other) = (english[key] ?? "", german[key] ?? "")
            #expect(
                Set(one.matches(of: holes).map { String($0.output) })
                    == Set(other.matches(of: holes).map { String($0.output) }), "\(key)")
            if one.count > 12 { #expect(one != other, "\(key) is the same in both") }
        }
        // Du, not Sie: a Sie within a sentence would be the polite one.
        let polite = try Regex(#"[a-zäöüß,;:] (Sie|Ihnen|Ihr\w*)\b"#)
        for (key, line) in german { #expect(!line.contains(polite), "\(key)") }
    }

    @Test func whatTheSystemSaysOnTheAppsBehalfIsCompleteToo() throws {
        let app = URL(fileURLWithPath: #filePath).appendingPathComponent("../../../App").standardized
        func lines(_ language: String) throws -> [String: String] {
            let file = app.appendingPathComponent("\(language).lproj/InfoPlist.strings")
            let read = try PropertyListSerialization.propertyList(from: Data(contentsOf: file), format: nil)
            return read as? [String: String] ?? [:]
        }
        let (english, german) = (try lines("en"), try lines("de"))
        #expect(Set(english.keys) == Set(german.keys) && !english.isEmpty)
        let info =
            try PropertyListSerialization.propertyList(
                from: Data(contentsOf: app.appendingPathComponent("Info.plist")), format: nil) as? [String: Any]
        let asked = Set((info ?? [:]).keys.filter { $0.hasSuffix("UsageDescription") })
        #expect(asked == Set(english.keys))
    }

    @Test func wordsAreFilledAndCounted() {
        let (english, german) = (Words(.english), Words(.german))
        #expect(english(.written, "a.json") == "Written to a.json.")
        #expect(german.counted(.secondsLeft, 1) == "Noch 1 Sekunde")
        #expect(english.counted(.secondsLeft, 30) == "30 seconds left")
        #expect(Words.sentences("the server is away", "nothing is lost.") == "The server is away. Nothing is lost.")
        #expect(FigureRun.runs("137.5 kg").map(\.text) == ["137.5", " kg"])
        #expect(FigureRun.runs("137,5 kg").map(\.text) == ["137,5", " kg"])
        #expect(FigureRun.runs("1:29").map(\.text) == ["1:29"])
        #expect(FigureRun.runs("2 × 5 reps").map(\.isFigure) == [true, false, true, false])
        #expect(FigureRun.runs("").isEmpty)
    }

    @Test func theSessionLineGivesWayWhereRoomIsShort() {
        #expect(GivingWay.lineStays([:], room: 10))
        #expect(GivingWay.lineStays([GivingWay.line: 50, GivingWay.stays: 400], room: 450))
        #expect(!GivingWay.lineStays([GivingWay.line: 50, GivingWay.stays: 401], room: 450))
    }
}
