#if os(Linux) || os(macOS)
    import Foundation
    import PlinthEvening
    import PlinthKit
    import PlinthLifter
    import Testing

    @testable import PlinthScreens

    /// As the walker tells it.
    private struct Standing: Codable {
        let stage: String
        let sentence: String
        let stable: String
        let endsMonotonicMs: UInt64
    }

    extension Everything {
        /// A process of its own walks into a rest and is killed there. Opened again, the very screen stands there, and the
        /// notice is set to what is left.
        @Test @MainActor func killedInARestItComesBackToTheVeryScreenAndTheNoticeIsSetAnew() async throws {
            let folder = try scratchFolder()
            let walker = Process()
            walker.executableURL = try KilledTests.walker()
            walker.arguments = [folder.path]
            let told = Pipe()
            walker.standardOutput = told
            try walker.run()
            let line = await Task.detached { () -> Data in
                var line = Data()
                while let byte = try? told.fileHandleForReading.read(upToCount: 1), let one = byte.first, one != 10 {
                    line.append(one)
                }
                return line
            }.value
            let standing = try JSONDecoder().decode(Standing.self, from: line)
            kill(walker.processIdentifier, SIGKILL)
            walker.waitUntilExit()
            #expect(walker.terminationReason == .uncaughtSignal && walker.terminationStatus == SIGKILL)

            let clock = DeviceClock()
            let lifter = Lifter(folder, clock: clock)
            await lifter.opens()
            let floor = try #require(lifter.floor)
            #expect(floor.stage == "resting" && standing.stage == "resting")
            #expect(floor.set?.sentence == standing.sentence && floor.stable == standing.stable)
            #expect(floor.clock?.endsMonotonicMs == standing.endsMonotonicMs)
            let left = clock.now().left(of: try #require(floor.clock))
            try await until { lifter.phone.waiting != nil }
            let waiting = try #require(lifter.phone.waiting)
            #expect(waiting.text == floor.clock?.over)
            #expect(waiting.left >= left && waiting.left < left + .seconds(10))
            // It goes on from there.
            #expect(await lifter.touches(.ready))
            #expect(lifter.stage == "lifting" && lifter.refused == nil)
            try lifter.end()
        }
    }

    private enum KilledTests {
        /// Beside the tests, where the package was built.
        static func walker() throws -> URL {
            var folder = URL(fileURLWithPath: CommandLine.arguments[0]).deletingLastPathComponent()
            for _ in 0..<5 {
                let file = folder.appendingPathComponent("PlinthWalker")
                if FileManager.default.isExecutableFile(atPath: file.path) { return file }
                folder = folder.deletingLastPathComponent()
            }
            throw Unreadable.line("PlinthWalker was not built")
        }
    }
#endif
