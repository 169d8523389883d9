import Foundation

#if canImport(Glibc)
    import Glibc
    private let stream = Int32(SOCK_STREAM.rawValue)
    private let quiet = Int32(MSG_NOSIGNAL)
#else
    import Darwin
    private let stream = SOCK_STREAM
    private let quiet = MSG_NOSIGNAL
#endif

/// A server of HTTP on this machine's loopback that answers as a test says, with bytes of its own making.
final class ServerOfTests: @unchecked Sendable {
    /// What came.
    struct Came: Sendable {
        let line: String
        let headers: [String: String]
        let body: Data
    }
    /// What is done about it.
    enum Answer: Sendable {
        /// These bytes, and the end of the connection.
        case bytes(Data)
        /// The bytes in pieces, so long apart.
        case slowly([Data], every: TimeInterval)
        /// Nothing, and the connection stays open until the server ends.
        case silence
    }

    private let socket: Int32
    private let lock = NSLock()
    private var all: [Came] = []
    private var open: [Int32] = []
    let port: UInt16

    var came: [Came] { lock.withLock { all } }
    var address: String { "http://127.0.0.1:\(port)" }

    init(_ answer: @escaping @Sendable (Came) -> Answer) throws {
        #if canImport(Glibc)
            socket = Glibc.socket(AF_INET, stream, 0)
        #else
            socket = Darwin.socket(AF_INET, stream, 0)
        #endif
        var here = sockaddr_in()
        here.sin_family = sa_family_t(AF_INET)
        here.sin_addr.s_addr = UInt32(0x7F00_0001).bigEndian
        var length = socklen_t(MemoryLayout<sockaddr_in>.size)
        let listening = socket
        let bound = withUnsafeMutablePointer(to: &here) {
            $0.withMemoryRebound(to: sockaddr.self, capacity: 1) { pointer in
                bind(listening, pointer, length) == 0 && listen(listening, 16) == 0
                    && getsockname(listening, pointer, &length) == 0
            }
        }
        guard bound else { throw URLError(.cannotConnectToHost) }
        port = UInt16(bigEndian: here.sin_port)
        Thread.detachNewThread { [weak self] in
            while true {
                let connection = accept(listening, nil, nil)
                guard connection >= 0, let self else { return }
                Thread.detachNewThread { self.serve(connection, answer) }
            }
        }
    }

    func end() {
        shutdown(socket, Int32(SHUT_RDWR))
        close(socket)
        lock.withLock {
            for connection in open { close(connection) }
            open = []
        }
    }

    private func serve(_ connection: Int32, _ answer: (Came) -> Answer) {
        guard let request = ServerOfTests.read(connection) else {
            close(connection)
            return
        }
        lock.withLock { all.append(request) }
        switch answer(request) {
        case .bytes(let bytes): ServerOfTests.write(connection, bytes)
        case .slowly(let pieces, let pause):
            for piece in pieces {
                guard ServerOfTests.write(connection, piece) else { break }
                Thread.sleep(forTimeInterval: pause)
            }
        case .silence:
            lock.withLock { open.append(connection) }
            return
        }
        shutdown(connection, Int32(SHUT_RDWR))
        close(connection)
    }

    private static func read(_ connection: Int32) -> Came? {
        var bytes = Data()
        var piece = [UInt8](repeating: 0, count: 16_384)
        while true {
            if let head = bytes.range(of: Data("\r\n\r\n".utf8)) {
                let lines = String(decoding: bytes[..<head.lowerBound], as: UTF8.self).components(separatedBy: "\r\n")
                var headers: [String: String] = [:]
                for line in lines.dropFirst() {
                    let parts = line.split(separator: ":", maxSplits: 1).map { $0.trimmingCharacters(in: .whitespaces) }
                    if parts.count == 2 { headers[parts[0].lowercased()] = parts[1] }
                }
                let length = headers["content-length"].flatMap(Int.init) ?? 0
                if bytes.count >= head.upperBound + length {
                    return Came(line: lines[0], headers: headers, body: bytes[head.upperBound...])
                }
            }
            let count = recv(connection, &piece, piece.count, 0)
            guard count > 0 else { return nil }
            bytes.append(contentsOf: piece[..<count])
        }
    }

    @discardableResult
    private static func write(_ connection: Int32, _ bytes: Data) -> Bool {
        var sent = 0
        while sent < bytes.count {
            let count = bytes[(bytes.startIndex + sent)...].withUnsafeBytes {
                send(connection, $0.baseAddress, $0.count, quiet)
            }
            guard count > 0 else { return false }
            sent += count
        }
        return true
    }
}

/// An answer of HTTP in bytes.
func http(_ status: String, _ headers: [String] = [], _ body: Data = Data(), length: Int? = nil) -> Data {
    let head = ["HTTP/1.1 \(status)", "Content-Length: \(length ?? body.count)", "Connection: close"] + headers
    return Data((head.joined(separator: "\r\n") + "\r\n\r\n").utf8) + body
}
