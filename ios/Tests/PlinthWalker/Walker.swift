import Foundation
import PlinthEvening
import PlinthKit
import PlinthLifter

/// What stands on the screen when the process is killed, a line of JSON.
struct Standing: Codable {
    let stage: String
    let sentence: String
    let stable: String
    let endsMonotonicMs: UInt64
}

/// Walks from the first opening into a rest, by the device's own clock, tells what stands there, and waits to be killed.
@main
struct Walker {
    static func main() async throws {
        let folder = URL(fileURLWithPath: CommandLine.arguments[1])
        let standing = try await walk(folder)
        print(String(decoding: try JSONEncoder().encode(standing), as: UTF8.self))
        fflush(nil)
        while true { try await Task.sleep(for: .seconds(60)) }
    }

    @MainActor
    static func walk(_ folder: URL) async throws -> Standing {
        let evening = try Evening()
        let lifter = Lifter(folder, clock: DeviceClock())
        try await lifter.opens(brief: evening.brief, programme: evening.programme)
        try await lifter.begins()
        for _ in 0..<60 where lifter.stage != "resting" {
            guard let wide = lifter.floor?.wide else { break }
            await lifter.touches(wide)
            try await Task.sleep(for: .milliseconds(1_100))  // a doubled touch is another matter
        }
        guard let floor = lifter.floor, let clock = floor.clock else {
            throw Unreadable.line("no rest: \(lifter.stage)")
        }
        return Standing(
            stage: floor.stage, sentence: floor.set?.sentence ?? "", stable: floor.stable,
            endsMonotonicMs: clock.endsMonotonicMs)
    }
}
