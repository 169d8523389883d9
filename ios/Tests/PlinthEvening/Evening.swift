import Foundation
import PlinthKit

/// The recorded evening of the vectors: an invented lifter's record, brief and programme, and the events of a session.
public struct Evening: Sendable {
    /// When the record was made.
    public let start: Moment
    /// An export of what the lifter did before.
    public let before: String
    public let brief: String
    public let programme: String
    /// The events of the session, each with its moment, up to the first call of another kind.
    public let events: [(event: Event, at: Moment)]

    /// `name` is that of its file: there is one in German too.
    public init(_ name: String = "evening") throws {
        let text = try String(contentsOf: vectorsFolder.appendingPathComponent("\(name).jsonl"), encoding: .utf8)
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

extension Moment {
    /// As a vector writes it.
    public init(read value: Any?) throws {
        guard let o = value as? [String: Any], let wall = o["wall_ms"] as? NSNumber,
            let offset = o["offset_min"] as? NSNumber, let monotonic = o["monotonic_ms"] as? NSNumber,
            let boot = o["boot"] as? String
        else { throw Unreadable.line("at") }
        self.init(
            wallMs: wall.int64Value, offsetMin: offset.int32Value, monotonicMs: monotonic.uint64Value, boot: boot)
    }
}

/// Where the conformance vectors are.
public let vectorsFolder =
    ProcessInfo.processInfo.environment["PLINTH_VECTORS"].map { URL(fileURLWithPath: $0) }
    ?? URL(fileURLWithPath: #filePath).appendingPathComponent("../../../../tests/vectors").standardized

/// A folder of its own for one test.
public func scratchFolder() throws -> URL {
    let folder = FileManager.default.temporaryDirectory.appendingPathComponent("plinth-\(UUID().uuidString)")
    try FileManager.default.createDirectory(at: folder, withIntermediateDirectories: true)
    return folder
}

/// What was read is not what a vector is.
public enum Unreadable: Error { case line(String) }

/// Writes a CSV of so many sets of an invented lifter, five minutes apart.
public func writeSets(_ count: Int, to path: String) throws {
    let form = ISO8601DateFormatter()
    var text = "movement,load,amount,ended_at\n"
    for n in 0..<count {
        let ended = form.string(from: Date(timeIntervalSince1970: 1_735_700_000 + Double(n) * 300))
        text += "barbell_back_squat,bar \(60 + n % 40) kg,5,\(ended)\n"
    }
    try text.write(toFile: path, atomically: false, encoding: .utf8)
}
