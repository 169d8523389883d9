import Foundation

#if canImport(FoundationNetworking)
    import FoundationNetworking
#endif

/// A transport that can say why it took no answer.
public protocol TroubledTransport: SyncTransport {
    /// What stood in the way of the last request, where it was more than a lost connection.
    var trouble: Trouble? { get }
}

/// What is done about the certificate that a server shows.
public enum Judgement {
    case take(URLCredential)
    case refuse(Trouble)
    /// As the platform itself would.
    case leave
}

/// Judges what a server shows, with what the platform can find out about it.
public protocol ChallengeJudge: Sendable {
    func judge(_ challenge: URLAuthenticationChallenge) -> Judgement
}

/// How long is waited (common practice, no source), and how much is read.
public struct Patience: Sendable {
    /// For the next bytes.
    let pause: Duration
    /// For the whole of an answer.
    let whole: Duration
    /// Bytes of an answer, unpacked; the core unpacks no more than that either.
    let longest: Int

    public init(pause: Duration = .seconds(30), whole: Duration = .seconds(180), longest: Int = 16 << 20) {
        self.pause = pause
        self.whole = whole
        self.longest = longest
    }
}

/// Sends requests to the paired server over the platform's own HTTP, and nowhere else: no redirect is followed, so that
/// the token goes to no other host. The platform unpacks what was packed by gzip.
public final class HTTPTransport: TroubledTransport, @unchecked Sendable {
    private let pairing: Pairing
    private let patience: Patience
    private let ears: Hearing
    private let session: URLSession

    /// `metered`: also over a connection that costs by the byte, where the platform tells them apart.
    public init(
        _ pairing: Pairing, metered: Bool = true, judge: any ChallengeJudge, patience: Patience = Patience()
    ) {
        self.pairing = pairing
        self.patience = patience
        ears = Hearing(judge: judge, longest: patience.longest)
        let configuration = URLSessionConfiguration.ephemeral
        configuration.timeoutIntervalForRequest = patience.pause.seconds
        configuration.urlCache = nil
        configuration.httpCookieStorage = nil
        configuration.httpShouldSetCookies = false
        #if canImport(Darwin)
            configuration.allowsExpensiveNetworkAccess = metered
            configuration.allowsConstrainedNetworkAccess = metered
        #endif
        session = URLSession(configuration: configuration, delegate: ears, delegateQueue: nil)
    }

    deinit { session.invalidateAndCancel() }

    public var trouble: Trouble? { ears.trouble }

    public func send(_ request: SyncRequest) async throws -> SyncAnswer {
        ears.forget()
        guard let url = HTTPTransport.address(pairing.address, path: request.path) else {
            ears.note(.address)
            throw Trouble.address
        }
        var sent = URLRequest(url: url, cachePolicy: .reloadIgnoringLocalCacheData)
        sent.timeoutInterval = patience.pause.seconds
        sent.httpMethod = "POST"
        sent.httpBody = request.body
        for header in request.headers { sent.setValue(header.value, forHTTPHeaderField: header.name) }
        let task = session.dataTask(with: sent)
        let (ears, whole) = (ears, patience.whole)
        return try await withThrowingTaskGroup(of: SyncAnswer.self) { race in
            race.addTask {
                try await withTaskCancellationHandler {
                    try await ears.hear(task)
                } onCancel: {
                    task.cancel()
                }
            }
            race.addTask {
                try await Task.sleep(for: whole)
                throw URLError(.timedOut)
            }
            defer { race.cancelAll() }
            guard let first = try await race.next() else { throw URLError(.cancelled) }
            return first
        }
    }

    /// The address of a path at the server; nothing where the record would go unsealed, or nowhere.
    static func address(_ base: String, path: String) -> URL? {
        guard let parts = URLComponents(string: base), let host = parts.host, !host.isEmpty,
            parts.user == nil, parts.password == nil, parts.query == nil, parts.fragment == nil,
            parts.path.isEmpty || parts.path == "/"
        else { return nil }
        let here = host == "localhost" || host == "127.0.0.1"
        guard parts.scheme?.lowercased() == "https" || (parts.scheme?.lowercased() == "http" && here) else {
            return nil
        }
        var whole = parts
        whole.path = path
        return whole.url
    }

    /// Seconds, or the date after which to come again (RFC 9110, 10.2.3).
    static func retryAfterS(_ response: HTTPURLResponse, now: Date = Date()) -> UInt32? {
        guard let said = response.value(forHTTPHeaderField: "Retry-After")?.trimmingCharacters(in: .whitespaces) else {
            return nil
        }
        if let seconds = Int64(said) { return UInt32(clamping: seconds) }
        guard let at = date(said) else { return nil }
        let theirs = response.value(forHTTPHeaderField: "Date").flatMap(date) ?? now
        return UInt32(clamping: Int64(at.timeIntervalSince(theirs).rounded(.up)))
    }

    /// A date as HTTP writes it (RFC 9110, 5.6.7).
    private static func date(_ said: String) -> Date? {
        let form = DateFormatter()
        form.locale = Locale(identifier: "en_US_POSIX")
        form.timeZone = TimeZone(secondsFromGMT: 0)
        form.dateFormat = "EEE, dd MMM yyyy HH:mm:ss 'GMT'"
        return form.date(from: said)
    }
}

extension Duration {
    fileprivate var seconds: TimeInterval {
        TimeInterval(components.seconds) + TimeInterval(components.attoseconds) / 1e18
    }
}

/// Hears the answers of one session.
private final class Hearing: NSObject, URLSessionDataDelegate, @unchecked Sendable {
    private struct Exchange {
        let waiting: CheckedContinuation<SyncAnswer, any Error>
        var body = Data()
    }

    private let judge: any ChallengeJudge
    private let longest: Int
    private let lock = NSLock()
    private var exchanges: [Int: Exchange] = [:]
    private var noted: Trouble?

    init(judge: any ChallengeJudge, longest: Int) {
        self.judge = judge
        self.longest = longest
    }

    var trouble: Trouble? { lock.withLock { noted } }

    func forget() { lock.withLock { noted = nil } }

    func note(_ trouble: Trouble) { lock.withLock { noted = noted ?? trouble } }

    func hear(_ task: URLSessionDataTask) async throws -> SyncAnswer {
        try await withCheckedThrowingContinuation { waiting in
            lock.withLock { exchanges[task.taskIdentifier] = Exchange(waiting: waiting) }
            task.resume()
        }
    }

    func urlSession(
        _ session: URLSession, didReceive challenge: URLAuthenticationChallenge,
        completionHandler: @escaping @Sendable (URLSession.AuthChallengeDisposition, URLCredential?) -> Void
    ) {
        switch judge.judge(challenge) {
        case .take(let credential): completionHandler(.useCredential, credential)
        case .leave: completionHandler(.performDefaultHandling, nil)
        case .refuse(let trouble):
            note(trouble)
            completionHandler(.cancelAuthenticationChallenge, nil)
        }
    }

    func urlSession(
        _ session: URLSession, task: URLSessionTask, willPerformHTTPRedirection response: HTTPURLResponse,
        newRequest request: URLRequest, completionHandler: @escaping @Sendable (URLRequest?) -> Void
    ) {
        completionHandler(nil)
    }

    func urlSession(_ session: URLSession, dataTask: URLSessionDataTask, didReceive data: Data) {
        let tooLong = lock.withLock {
            exchanges[dataTask.taskIdentifier]?.body.append(data)
            return exchanges[dataTask.taskIdentifier]?.body.count ?? 0 > longest
        }
        if tooLong {
            note(.tooLong)
            dataTask.cancel()
        }
    }

    func urlSession(_ session: URLSession, task: URLSessionTask, didCompleteWithError error: (any Error)?) {
        guard let exchange = lock.withLock({ exchanges.removeValue(forKey: task.taskIdentifier) }) else { return }
        exchange.waiting.resume(with: Result { try answer(task, exchange.body, error) })
    }

    private func answer(_ task: URLSessionTask, _ body: Data, _ error: (any Error)?) throws -> SyncAnswer {
        if let trouble { throw trouble }
        if let error { throw error }
        guard let response = task.response as? HTTPURLResponse, let status = UInt16(exactly: response.statusCode) else {
            throw URLError(.badServerResponse)
        }
        // Not every platform tells that the connection ended before the answer did.
        let whole = response.value(forHTTPHeaderField: "Content-Length").flatMap(Int.init)
        if let whole, response.value(forHTTPHeaderField: "Content-Encoding") == nil, body.count < whole {
            throw URLError(.networkConnectionLost)
        }
        return SyncAnswer(status: status, retryAfterS: HTTPTransport.retryAfterS(response), body: body)
    }
}
