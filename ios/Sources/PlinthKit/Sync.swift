import Foundation

/// What a server answered.
public struct SyncAnswer: Sendable {
    /// The status of HTTP.
    public let status: UInt16
    /// The seconds of a header `Retry-After`, where it has them.
    public let retryAfterS: UInt32?
    /// The body as it came.
    public let body: Data

    public init(status: UInt16, retryAfterS: UInt32? = nil, body: Data) {
        self.status = status
        self.retryAfterS = retryAfterS
        self.body = body
    }
}

/// Sends a request of a sync as the platform does, by POST. It throws where the connection fails or no answer comes in
/// time; what was answered, with whatever status, it returns.
public protocol SyncTransport: Sendable {
    func send(_ request: SyncRequest) async throws -> SyncAnswer
}

/// How a sync ended.
public enum SyncEnd: Sendable, Equatable {
    /// Both sides were brought together.
    case told(SyncTold)
    /// It stopped; what came before is kept. `code` is for programs; `wait` is when trying again may help.
    case stopped(SyncStop, code: String, problem: String, remedy: String, wait: Duration?)
}

extension Plinth {
    /// Brings the record together with the server's, with the token that pairing gave. Other calls go on while a request
    /// is under way. Cancelling the task ends it between two requests with `CancellationError`; what came before is kept.
    public func sync(token: String, transport: any SyncTransport) async throws -> SyncEnd {
        try Task.checkCancellation()
        let session = try companion.beginSync(token: token, moment: clock.now())
        var step = try session.next(moment: clock.now())
        while true {
            switch step {
            case .done(let told):
                return .told(told)
            case .stopped(let stop, let code, let problem, let remedy, let waitMs):
                let wait = waitMs.map { Duration.milliseconds($0) }
                return .stopped(stop, code: code, problem: problem, remedy: remedy, wait: wait)
            case .send(let request):
                try Task.checkCancellation()
                let answer: SyncAnswer
                do {
                    answer = try await transport.send(request)
                } catch {
                    try Task.checkCancellation()  // what a cancelled transport throws says nothing of the server
                    step = try session.cut(moment: clock.now())
                    continue
                }
                step = try session.answer(
                    status: answer.status, retryAfterS: answer.retryAfterS, body: answer.body, moment: clock.now())
            }
        }
    }
}
