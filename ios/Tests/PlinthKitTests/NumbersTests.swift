import Foundation
import Testing

extension Everything {
    /// There is nothing to compute with: whatever a view could add, compare or convert is text by the time it gets here.
    /// Reads the generated Swift and the layer, so that a new field has to be looked at once.
    @Test func noPublicTypeHoldsALoadARepetitionOrADateAsANumber() throws {
        var found = Set<String>()
        for folder in ["PlinthBoundary", "PlinthKit", "PlinthScreens", "PlinthPhone", "PlinthViews"] {
            let sources = URL(fileURLWithPath: #filePath).appendingPathComponent("../../../Sources/\(folder)")
                .standardized
            let files = FileManager.default.enumerator(at: sources, includingPropertiesForKeys: nil)
            for case let file as URL in try #require(files) where file.pathExtension == "swift" {
                let text = try String(contentsOf: file, encoding: .utf8)
                found.formUnion(try Numbers.inSource(text))
                let repetitions = try Regex(Numbers.repetitions)
                let names = folder != "PlinthBoundary" && text.contains(repetitions)
                #expect(!names, "\(file.lastPathComponent) names a number of repetitions")
            }
        }
        let allowed = Set(Numbers.allowed.flatMap(\.numbers))
        #expect(found.subtracting(allowed) == [], "numbers that no reason is given for")
        #expect(allowed.subtracting(found) == [], "reasons for what is not there")
    }

    @Test func theReadingOfNumbersFindsThem() throws {
        let source = """
            public struct Some: Equatable, Hashable {
                /**
                 * At what: UInt32
                 */
                public let load: Double?
                public let text: String
                public let many: [Int32]
            }
            public enum Other: Equatable {
                case none
                case carrying(
                    /** Which */set: Position, on: Date,
                    words: String
                )
                case bare(UInt8
                )
            }
            public final class Third {
                public var wait: Duration? { nil }
                let hidden: Int
                public func go(far: Double, _ name: String) -> [UInt16] { [] }
            }
            """
        let expected: Set = [
            "Some.load", "Some.many", "Other.carrying.set", "Other.carrying.on", "Other.bare.0", "Third.wait",
            "Third.go()",
        ]
        #expect(try Numbers.inSource(source) == expected)
    }
}

private enum Numbers {
    /// Numbers that are none of the three, each with why it is one.
    static let allowed: [(why: String, numbers: [String])] = [
        (
            "what the platform's clocks say, handed in",
            ["Moment.wallMs", "Moment.offsetMin", "Moment.monotonicMs"]
        ),
        (
            "when the rest ends, for a timer or an alarm of the platform",
            [
                "ClockScreen.endsMonotonicMs", "ClockScreen.endsWallMs", "Effect.raiseAlarm.atMonotonicMs",
                "Effect.raiseAlarm.atWallMs",
            ]
        ),
        (
            "lengths to draw; what they mean is said in words beside them",
            [
                "LineScreen.nowPerMille", "PieceScreen.perMille", "PieceScreen.donePerMille",
                "DiscScreen.heightPerMille", "Tally.directHalfSets", "Tally.sharedHalfSets", "Tally.lowHalfSets",
                "Tally.highHalfSets", "ChartPoint.across", "ChartPoint.up", "ChartRule.place", "ChartEnd.up",
            ]
        ),
        (
            "which of the things on the screen, counted from nothing; handed back as the button carries it",
            [
                "FloorEvent.chooseDay.day", "FloorEvent.place.place", "FloorEvent.correct.set", "FloorEvent.remove.set",
                "FloorEvent.late.line", "FloorEvent.standIns.line", "FloorEvent.standIn.offer", "FloorEvent.goTo.line",
                "FloorEvent.extraSet.line", "FloorEvent.lighter.way", "Spot.line.day", "Spot.line.line",
                "Spot.surgery.position",
            ]
        ),
        (
            "how long until a rest or a wait is over, for a timer of the platform",
            ["Moment.left()", "Syncing.run()"]
        ),
        (
            "where to draw what the core gave as lengths, and what has room",
            ["ChartPlaces.across()", "ChartPlaces.up()", "ChartPlaces.apart()", "GivingWay.lineStays()"]
        ),
        (
            "how many entries a file held, to be told",
            ["Restored.entries"]
        ),
        (
            "minutes that a button offers, handed back as it carries them",
            ["FloorEvent.minutesAtHand.minutes", "FloorEvent.minutes.minutes", "FloorEvent.endedAgo.minutes"]
        ),
        (
            "repetitions that a button offers; the layer neither makes nor reads one, which the test looks for",
            [
                "FloorEvent.amount.amount", "FloorEvent.amountThen.amount", "FloorEvent.reserve.reserve",
                "FloorEvent.doneWith.reserve",
            ]
        ),
        (
            "counts of entries, lines and requests, and how far work is",
            [
                "WorkProgress.done", "WorkProgress.of", "Imported.taken", "Imported.changed", "NotTaken.line",
                "Opening.recovered", "Opening.lost", "LogLine.opened.recovered", "LogLine.opened.lost", "SyncTold.sent",
                "SyncTold.received", "SyncTold.setAside", "SyncTold.unread", "SyncTold.stampedAnew", "SyncTold.healed",
                "SyncTold.rounds", "export()", "Plinth.export()",
            ]
        ),
        (
            "what a transport answers and when to try again",
            [
                "SyncAnswer.status", "SyncAnswer.retryAfterS", "answer()", "paired()", "SyncStep.stopped.waitMs",
                "SyncEnd.stopped.wait",
            ]
        ),
        ("for tests alone", ["Rehearsal.seed", "Rehearsal.defectAfter", "livingObjects()"]),
    ]

    /// What stands before a number of repetitions in an event.
    static let repetitions = #"\.(amount|amountThen|reserve|doneWith)\("#

    /// Every public field, value of a case, or part of a public function that is a number or holds one.
    static func inSource(_ text: String) throws -> Set<String> {
        let number = try Regex(
            #"\b(U?Int(8|16|32|64)?|Float|Double|Decimal|CGFloat|Date|DateComponents|Duration|TimeInterval|Measurement|Position)\b"#
        )
        let plain = text.replacing(try Regex(#"/\*[\s\S]*?\*/"#), with: "").replacing(try Regex("//.*"), with: "")
        let opening = try Regex<(Substring, Substring, Substring)>(
            #"^(?:public |open |fileprivate |private )?(?:final )?(?:indirect )?(struct|enum|class|actor|protocol|extension) (\w+)"#
        )
        let field = try Regex<(Substring, Substring, Substring)>(
            #"^    (?:public|open) (?:private\(set\) |nonisolated |static )*(?:let|var) `?(\w+)`?: ([^={]+)"#)
        // Methods of generated classes stand at the margin as free functions do; these go by their name alone.
        let function = try Regex<(Substring, Substring?, Substring, Substring)>(
            #"^(    )?(?:public|open) (?:nonisolated |static |mutating )*func `?(\w+)`?(.*)"#)
        var found = Set<String>()
        var type = ""
        var lines = plain.split(separator: "\n", omittingEmptySubsequences: true)[...]
        while let line = lines.popFirst() {
            if let match = line.firstMatch(of: opening) {
                type = String(match.output.2)
            }
            // What the generator converts with is no part of what a view sees.
            if line.hasPrefix("    "), type.contains("FfiConverter") { continue }
            if line.contains("FfiConverter") || line.contains("uniffi") { continue }
            if let match = line.firstMatch(of: field), match.output.2.contains(number) {
                found.insert("\(type).\(match.output.1)")
            } else if line.hasPrefix("    case "), !type.isEmpty {
                var whole = String(line)
                while whole.filter({ $0 == "(" }).count > whole.filter({ $0 == ")" }).count, let next = lines.popFirst()
                {
                    whole += " " + next
                }
                found.formUnion(try values(whole, number).map { "\(type).\($0)" })
            } else if let match = line.firstMatch(of: function) {
                var signature = String(match.output.3)
                while !signature.contains("{"), let next = lines.popFirst() { signature += " " + next }
                let owner = match.output.1 == nil ? "" : "\(type)."
                if signature.prefix(while: { $0 != "{" }).contains(number) {
                    found.insert("\(owner)\(match.output.2)()")
                }
            }
        }
        return found
    }

    /// The numbers that a case carries, by name or position.
    private static func values(_ text: String, _ number: Regex<AnyRegexOutput>) throws -> [String] {
        let whole = try Regex<(Substring, Substring, Substring)>(#"case `?(\w+)`?\((.*)\)"#)
        guard let match = text.firstMatch(of: whole) else { return [] }
        return match.output.2.split(separator: ",").enumerated().compactMap { place, value in
            guard value.contains(number) else { return nil }
            let parts = value.split(separator: ":")
            let label = parts.count > 1 ? parts[0].trimmingCharacters(in: .whitespaces) : "\(place)"
            return "\(match.output.1).\(label)"
        }
    }
}
