import Foundation
import PlinthBoundaryFFI
import PlinthCoreFFI
import PlinthEvening
import PlinthKit

/// What crossing the boundary costs, as ratios to the empty call, in one run. Everything is warmed up first, medians are
/// told, and things that are compared take turns, so that a slower minute of the machine falls on both.
@main struct Bench {
    private static let warmUps = 20

    static func main() async throws {
        let evening = try Evening()
        let folder = try scratchFolder()
        defer { try? FileManager.default.removeItem(at: folder) }
        let path = folder.appendingPathComponent("record.plinth").path
        try fill(evening, folder, path)

        let floor = try onTheFloor(evening, path, folder)
        let layer = try await throughTheLayer(evening, path, floor.now)
        let opening = try openings(path, floor.now)

        print("empty call: \(Int(floor.empty.median)) ns; SQLite \(floor.sqlite) for the bare insert")
        print("")
        let rows: [(String, Times, String)] = [
            ("empty call", floor.empty, ""),
            ("smallest call that takes the lock and a moment", floor.small, ""),
            ("event that records nothing, with its screen", floor.tick, "bar 30"),
            ("  of it: in the library, without decoding", floor.raw, ""),
            ("  of it: decoding \(floor.bytes) bytes in Swift", floor.decode, ""),
            ("the same through the layer's actor", layer, ""),
            ("a form opened, a form closed, each with its screen", floor.form, ""),
            ("bare durable insert", floor.bare, ""),
            ("event that records a set, with its screen", floor.done, "bar bare insert + 30"),
            ("opening a record of a thousand sets", opening, ""),
        ]
        print("\(pad("", 52)) \(padLeft("empty calls", 12)) \(padLeft("samples", 8))")
        for (name, times, bar) in rows {
            let ratio = times.median / floor.empty.median
            print(
                "\(pad(name, 52)) \(padLeft(String(format: "%.1f", ratio), 12)) \(padLeft("\(times.count)", 8)) \(bar)")
        }
        let over = (floor.done.median - floor.bare.median) / floor.empty.median
        print("")
        print(
            "a recorded set beside the bare insert: \(String(format: "%.2f", floor.done.median / floor.bare.median)) times"
        )
        print("a recorded set less the bare insert: \(String(format: "%.1f", over)) empty calls")
    }

    /// A record of a thousand sets and more, with the evening's programme.
    private static func fill(_ evening: Evening, _ folder: URL, _ path: String) throws {
        let (companion, now) = (try open(path, evening.start), evening.start)
        let before = folder.appendingPathComponent("before.json").path
        try evening.before.write(toFile: before, atomically: false, encoding: .utf8)
        let sets = folder.appendingPathComponent("sets.csv").path
        try writeSets(1_000, to: sets)
        for (file, form) in [(before, FileForm.json), (sets, .csv)] {
            let end = End()
            let task = try companion.`import`(from: file, form: form, moment: now, listener: end)
            guard case .imported = withExtendedLifetime(task, { end.wait() }) else { throw Wrong.setUp(file) }
        }
        try companion.tellBrief(document: evening.brief, moment: now)
        try companion.takeOn(document: evening.programme, from: "own", moment: now)
        companion.shutDown()
    }

    fileprivate struct Floor {
        var empty = Times(), small = Times(), tick = Times(), raw = Times(), decode = Times(), form = Times()
        var bare = Times(), done = Times()
        var bytes = 0
        var sqlite = ""
        var now: Moment
    }

    private static func onTheFloor(_ evening: Evening, _ path: String, _ folder: URL) throws -> Floor {
        let companion = try open(path, evening.start)
        defer { companion.shutDown() }
        var floor = Floor(now: evening.start)
        // Up to the first set of the session.
        for step in evening.events {
            if step.event == .floor(.done) { break }
            _ = try companion.dispatch(event: step.event, moment: step.at)
            floor.now = step.at
        }
        let bare = try Sqlite(path: folder.appendingPathComponent("bare.sqlite").path)
        floor.sqlite = bare.version
        let row = [UInt8](repeating: 120, count: 400)  // about what a set is as an entry

        for round in 0..<warmUps + 400 {
            if round == warmUps { floor.forget() }
            floor.empty.take(of: 1_000) { for _ in 0..<1_000 { _ = livingObjects() } }
            try floor.small.take(of: 10) { for _ in 0..<10 { _ = try companion.language(moment: floor.now) } }
            let tick = try floor.tick.take { try companion.dispatch(event: .floor(.tick), moment: floor.now) }
            try check(tick, stage: "lifting")
            let buffer = try floor.raw.take { try raw(companion, .floor(.tick), floor.now) }
            floor.bytes = Int(buffer.len)
            try check(try floor.decode.take { try FfiConverterTypeUpdate_lift(buffer) }, stage: "lifting")

            let opened = try floor.form.take { try companion.dispatch(event: .floor(.lines), moment: floor.now) }
            try check(opened, stage: "lifting")
            let closed = try floor.form.take { try companion.dispatch(event: .floor(.back), moment: floor.now) }
            try check(closed, stage: "lifting")

            try floor.bare.take { try bare.insert(row) }
            floor.now = later(floor.now, seconds: 1)
            let done = try floor.done.take { try companion.dispatch(event: .floor(.done), moment: floor.now) }
            try check(done, stage: "resting")
            // Taken back, so that the next is the same set again.
            try check(try companion.dispatch(event: .floor(.undo), moment: floor.now), stage: "lifting")
        }
        return floor
    }

    /// The call as the generated code makes it, without making typed values of what comes back.
    private static func raw(_ companion: PlinthCompanion, _ event: Event, _ now: Moment) throws -> RustBuffer {
        var status = RustCallStatus()
        let buffer = uniffi_plinth_ffi_fn_method_plinthcompanion_dispatch(
            companion.uniffiCloneHandle(), FfiConverterTypeEvent_lower(event), FfiConverterTypeMoment_lower(now),
            &status)
        guard status.code == 0 else { throw Wrong.setUp("dispatch") }
        return buffer
    }

    private static func throughTheLayer(_ evening: Evening, _ path: String, _ now: Moment) async throws -> Times {
        let plinth = try await Plinth.open(path: path, language: .english, clock: Still(moment: now))
        defer { plinth.shutDown() }
        var times = Times()
        for round in 0..<warmUps + 400 {
            if round == warmUps { times.forget() }
            _ = try await times.takeAcross { try await plinth.send(.floor(.tick)) }
        }
        return times
    }

    private static func openings(_ path: String, _ now: Moment) throws -> Times {
        var times = Times()
        for round in 0..<3 + 25 {
            if round == 3 { times.forget() }
            try times.take { try open(path, now) }.shutDown()
        }
        return times
    }

    private static func open(_ path: String, _ now: Moment) throws -> PlinthCompanion {
        try PlinthCompanion.open(path: path, language: .english, moment: now, listener: nil, rehearsal: nil)
    }

    private static func check(_ update: Update, stage: String) throws {
        guard case .floor(let floor) = update.screen, floor.stage == stage, update.refused == nil else {
            throw Wrong.screen("\(update.refused ?? "") \(update.screen)")
        }
    }

    private static func later(_ now: Moment, seconds: Int64) -> Moment {
        Moment(
            wallMs: now.wallMs + seconds * 1_000, offsetMin: now.offsetMin,
            monotonicMs: now.monotonicMs + UInt64(seconds) * 1_000, boot: now.boot)
    }

    private static func pad(_ text: String, _ width: Int) -> String {
        text + String(repeating: " ", count: max(0, width - text.count))
    }

    private static func padLeft(_ text: String, _ width: Int) -> String {
        String(repeating: " ", count: max(0, width - text.count)) + text
    }
}

extension Bench.Floor {
    fileprivate mutating func forget() {
        for times in [\Self.empty, \.small, \.tick, \.raw, \.decode, \.form, \.bare, \.done] {
            self[keyPath: times].forget()
        }
    }
}

private enum Wrong: Error {
    case setUp(String)
    case screen(String)
}

private struct Still: PlinthClock {
    let moment: Moment
    func now() -> Moment { moment }
}

/// Waits for the end of long work.
private final class End: Listener, @unchecked Sendable {
    private let ended = DispatchSemaphore(value: 0)
    private var outcome = Outcome.calledOff

    func effects(effects: [Effect]) throws {}
    func progress(progress: WorkProgress) throws {}
    func line(line: LogLine) throws {}
    func finished(outcome: Outcome) throws {
        self.outcome = outcome
        ended.signal()
    }

    func wait() -> Outcome {
        ended.wait()
        return outcome
    }
}
