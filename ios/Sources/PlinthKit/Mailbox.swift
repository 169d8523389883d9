import Foundation

/// What was told without having been asked for, in order, each once. It has one reader: a later one takes over, and the
/// earlier one's loop ends. What nobody has read stays, also when the reader is cancelled, so that a view which goes and
/// comes back loses nothing; an `AsyncStream` would end for good with its first reader.
public final class Mailbox<Element: Sendable>: AsyncSequence, @unchecked Sendable {
    private let lock = NSLock()
    private let keeps: Int
    // Under the lock:
    private var unread: [Element] = []
    private var waiting: CheckedContinuation<Element?, Never>?
    private var reader: UInt64 = 0
    private var left = false
    private var closed = false

    /// Keeps the newest so many while nobody reads; all of them when none is given.
    init(keeps: Int = .max) {
        self.keeps = keeps
    }

    /// Reads until the mailbox is closed, the reading task is cancelled, or another reader takes over.
    public struct Iterator: AsyncIteratorProtocol, Sendable {
        fileprivate let mailbox: Mailbox
        fileprivate let reader: UInt64

        /// The next, or nothing where there will be none for this reader.
        public func next() async -> Element? {
            await withTaskCancellationHandler {
                await withCheckedContinuation { mailbox.wait($0, reader) }
            } onCancel: {
                mailbox.leave(reader)
            }
        }
    }

    public func makeAsyncIterator() -> Iterator {
        let (earlier, own) = lock.withLock {
            defer { waiting = nil }
            reader += 1
            left = false
            return (waiting, reader)
        }
        earlier?.resume(returning: nil)
        return Iterator(mailbox: self, reader: own)
    }

    /// Puts one in. After the closing it is dropped.
    func put(_ element: Element) {
        let taker: CheckedContinuation<Element?, Never>? = lock.withLock {
            guard !closed else { return nil }
            if let taker = waiting {
                waiting = nil
                return taker
            }
            if unread.count >= keeps { unread.removeFirst() }
            unread.append(element)
            return nil
        }
        taker?.resume(returning: element)
    }

    /// Nothing more comes; what was put in can still be read.
    func close() {
        let taker = lock.withLock {
            defer { waiting = nil }
            closed = true
            return waiting
        }
        taker?.resume(returning: nil)
    }

    private func wait(_ continuation: CheckedContinuation<Element?, Never>, _ own: UInt64) {
        let (now, next): (Bool, Element?) = lock.withLock {
            guard own == reader, !left, waiting == nil else { return (true, nil) }
            if !unread.isEmpty { return (true, unread.removeFirst()) }
            if closed { return (true, nil) }
            waiting = continuation
            return (false, nil)
        }
        if now { continuation.resume(returning: next) }
    }

    private func leave(_ own: UInt64) {
        let taker: CheckedContinuation<Element?, Never>? = lock.withLock {
            guard own == reader else { return nil }
            defer { waiting = nil }
            left = true
            return waiting
        }
        taker?.resume(returning: nil)
    }
}
