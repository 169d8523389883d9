import Foundation
import PlinthEvening
import PlinthKit
import Testing

/// All tests, one after the other: some count the living objects of the whole process.
@Suite(.serialized) struct Everything {}

/// The long counts instead of the quick ones.
let deep = ProcessInfo.processInfo.environment["PLINTH_DEEP"] == "1"

/// Keeps what it hears.
class Heard: Listener, @unchecked Sendable {
    private let lock = NSCondition()
    private var lines: [LogLine] = []
    private var ended: [Outcome] = []

    func effects(effects: [Effect]) throws {}
    func progress(progress: WorkProgress) throws {}
    func finished(outcome: Outcome) throws {
        lock.withLock {
            ended.append(outcome)
            lock.signal()
        }
    }
    func line(line: LogLine) throws { lock.withLock { lines.append(line) } }

    func takeLines() -> [LogLine] {
        lock.withLock {
            defer { lines = [] }
            return lines
        }
    }

    func waitForEnd() -> Outcome {
        lock.withLock {
            while ended.isEmpty { lock.wait() }
            return ended.removeFirst()
        }
    }
}

/// What went wrong, from any thread. A fault test tells their number in its summary line.
final class Failures: @unchecked Sendable {
    private let lock = NSLock()
    private var all: [String] = []

    func add(_ what: String) { lock.withLock { all.append(what) } }

    /// Notes where something is not so.
    func check(_ holds: Bool, _ what: @autoclosure () -> String) { if !holds { add(what()) } }

    /// Prints the line that the test command gathers, and fails the test where there were failures.
    func tell(_ what: String, sourceLocation: SourceLocation = #_sourceLocation) {
        let found = lock.withLock { all }
        print("F16: \(what), \(found.count) failures (Swift)")
        #expect(found.isEmpty, "\(found.prefix(5))", sourceLocation: sourceLocation)
    }
}

/// Runs a body on so many threads of their own at once, and waits for all. The pool that tasks share has fewer.
func onThreads(_ count: Int, _ body: @escaping @Sendable (Int) -> Void) {
    let group = DispatchGroup()
    for number in 0..<count {
        group.enter()
        let thread = Thread {
            body(number)
            group.leave()
        }
        thread.stackSize = 4 << 20
        thread.start()
    }
    group.wait()
}

/// Whether the living objects come back to a number. What runs on a thread of the library lets go a moment after it told
/// its end; a leak never comes back.
func livingObjectsComeBack(to before: UInt64) -> Bool {
    for _ in 0..<2_000 {
        if livingObjects() == before { return true }
        Thread.sleep(forTimeInterval: 0.005)
    }
    return false
}
