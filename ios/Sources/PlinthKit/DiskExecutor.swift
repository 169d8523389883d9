import Dispatch

/// Runs an actor's work on a queue of its own. Calls wait for the disk and for the record's lock: on the pool that all
/// tasks share they would hold up what has nothing to do with them. The queue is first in, first out, where the pool
/// goes by priority, so that events are taken in as they were sent.
final class DiskExecutor: SerialExecutor {
    private let queue = DispatchQueue(label: "plinth.disk", qos: .userInitiated)

    func enqueue(_ job: consuming ExecutorJob) {
        let job = UnownedJob(job)
        queue.async { job.runSynchronously(on: self.asUnownedSerialExecutor()) }
    }

    func asUnownedSerialExecutor() -> UnownedSerialExecutor { UnownedSerialExecutor(ordinary: self) }

    /// Runs something there before there is an actor.
    func run<Value: Sendable>(_ work: @escaping @Sendable () throws -> Value) async throws -> Value {
        try await withCheckedThrowingContinuation { waiting in
            queue.async { waiting.resume(with: Result(catching: work)) }
        }
    }
}
