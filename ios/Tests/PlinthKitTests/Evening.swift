import Foundation
import PlinthKit

/// The recorded evening of the vectors: an invented lifter's record, brief and programme, and the events of a session.
struct Evening {
    /// When the record was made.
    let start: Moment
    /// An export of what the lifter did before.
    let before: String
    let brief: String
    let programme: String
    /// The events of the session, each with its moment, up to the first call of another kind.
    let events: [(event: Event, at: Moment)]

    init() throws {
        let text = try String(contentsOf: vectorsFolder.appendingPathComponent("evening.jsonl"), encoding: .utf8)
        let calls = try text.split(separator: "\n").map { line in
            let read = try JSONSerialization.jsonObject(with: Data(line.utf8)) as? [String: Any]
            return read?["do"] as? [String: Any] ?? [:]
        }
        func document(_ name: String) throws -> String {
            guard let call = calls.first(where: { $0["call"] as? String == name }),
                let document = call["document"] as? String
            else { throw Unreadable.line(name) }
            return document
        }
        start = try Moment(read: calls.first?["at"])
        before = try document("import")
        brief = try document("tell_brief")
        programme = try document("take_on")
        let session = calls.drop { $0["call"] as? String != "dispatch" }.prefix { $0["call"] as? String == "dispatch" }
        events = try session.map { call in
            let written = try JSONSerialization.data(withJSONObject: call["event"] ?? [:])
            return (try readEvent(text: String(decoding: written, as: UTF8.self)), try Moment(read: call["at"]))
        }
    }
}

/// A record in a folder of its own.
final class Record: @unchecked Sendable {
    let evening: Evening
    let folder: URL
    let companion: PlinthCompanion
    let heard: Heard

    var path: String { folder.appendingPathComponent("record.plinth").path }
    var start: Moment { evening.start }

    /// With `prepared`, it holds the evening's brief and programme.
    init(
        _ evening: Evening, prepared: Bool = false, hears heard: Heard = Heard(), rehearsal: Rehearsal? = nil
    ) throws {
        self.evening = evening
        self.heard = heard
        folder = try scratchFolder()
        companion = try PlinthCompanion.open(
            path: folder.appendingPathComponent("record.plinth").path, language: .english, moment: evening.start,
            listener: heard, rehearsal: rehearsal)
        if prepared { try prepare() }
    }

    deinit { try? FileManager.default.removeItem(at: folder) }

    /// Takes on the evening's brief and programme.
    func prepare() throws {
        try companion.tellBrief(document: evening.brief, moment: start)
        try companion.takeOn(document: evening.programme, from: "own", moment: start)
    }

    /// A file beside the record.
    func file(_ name: String) -> String { folder.appendingPathComponent(name).path }

    /// Writes a CSV of so many sets of an invented lifter, five minutes apart.
    func writeSets(_ count: Int) throws -> String {
        let path = file("sets.csv")
        let form = ISO8601DateFormatter()
        var text = "movement,load,amount,ended_at\n"
        for n in 0..<count {
            let ended = form.string(from: Date(timeIntervalSince1970: 1_735_700_000 + Double(n) * 300))
            text += "barbell_back_squat,bar \(60 + n % 40) kg,5,\(ended)\n"
        }
        try text.write(toFile: path, atomically: false, encoding: .utf8)
        return path
    }

    /// Imports a CSV and waits for its end.
    func importSets(_ count: Int) throws -> Outcome {
        let task = try companion.`import`(from: writeSets(count), form: .csv, moment: start, listener: heard)
        return withExtendedLifetime(task) { heard.waitForEnd() }
    }
}
