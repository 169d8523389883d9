import Foundation
import PlinthBoundary

/// Hears what no call returned.
final class Ears: Listener {
    let effects = Mailbox<Effect>()
    let lines = Mailbox<LogLine>(keeps: 64)

    func effects(effects: [Effect]) throws { for effect in effects { self.effects.put(effect) } }
    func progress(progress: WorkProgress) throws {}
    func finished(outcome: Outcome) throws {}
    func line(line: LogLine) throws { lines.put(line) }
}

/// Hears one piece of long work to its end.
private final class WorkEars: Listener, @unchecked Sendable {
    private let ears: Ears
    private let told: @Sendable (WorkProgress) -> Void
    private let lock = NSLock()
    private var waiting: CheckedContinuation<Outcome, any Error>?
    private var task: LongTask?
    private var calledOff = false

    init(_ ears: Ears, _ told: @escaping @Sendable (WorkProgress) -> Void) {
        self.ears = ears
        self.told = told
    }

    func begin(_ waiting: CheckedContinuation<Outcome, any Error>, _ work: (any Listener) throws -> LongTask) {
        lock.withLock { self.waiting = waiting }
        do {
            let task = try work(self)
            let late = lock.withLock {
                self.task = task
                return calledOff
            }
            if late { task.cancel() }
        } catch {
            end { $0.resume(throwing: error) }
        }
    }

    func callOff() {
        let task = lock.withLock {
            calledOff = true
            return self.task
        }
        task?.cancel()
    }

    private func end(_ resume: (CheckedContinuation<Outcome, any Error>) -> Void) {
        let waiting = lock.withLock {
            defer { self.waiting = nil }
            return self.waiting
        }
        waiting.map(resume)
    }

    func effects(effects: [Effect]) throws { try ears.effects(effects: effects) }
    func progress(progress: WorkProgress) throws { told(progress) }
    func finished(outcome: Outcome) throws { end { $0.resume(returning: outcome) } }
    func line(line: LogLine) throws { try ears.line(line: line) }
}

/// Runs long work to its outcome; cancelling the Swift task calls it off.
func longWork(
    _ ears: Ears, _ progress: @escaping @Sendable (WorkProgress) -> Void,
    _ begin: @escaping @Sendable (any Listener) throws -> LongTask
) async throws -> Outcome {
    let own = WorkEars(ears, progress)
    return try await withTaskCancellationHandler {
        try await withCheckedThrowingContinuation { own.begin($0, begin) }
    } onCancel: {
        own.callOff()
    }
}
