import Foundation
import PlinthEvening
import PlinthKit

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
        do {
            companion = try PlinthCompanion.open(
                path: folder.appendingPathComponent("record.plinth").path, language: .english, moment: evening.start,
                listener: heard, rehearsal: rehearsal)
        } catch {
            try? FileManager.default.removeItem(at: folder)  // what was not made is not deinitialised
            throw error
        }
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

    /// Writes a CSV of so many sets beside the record.
    func writeSets(_ count: Int) throws -> String {
        let path = file("sets.csv")
        try PlinthEvening.writeSets(count, to: path)
        return path
    }

    /// Imports a CSV and waits for its end.
    func importSets(_ count: Int) throws -> Outcome {
        let task = try companion.`import`(from: writeSets(count), form: .csv, moment: start, listener: heard)
        return withExtendedLifetime(task) { heard.waitForEnd() }
    }
}
