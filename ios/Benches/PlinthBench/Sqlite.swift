import Foundation

/// What a bare durable insert costs: one row by plain SQLite with write-ahead log and full synchronising, committed by
/// itself. The system's library is loaded as it is, without headers: a bench needs six of its functions.
final class Sqlite {
    private typealias Open = @convention(c) (UnsafePointer<CChar>, UnsafeMutablePointer<OpaquePointer?>) -> Int32
    private typealias Exec =
        @convention(c) (OpaquePointer?, UnsafePointer<CChar>, OpaquePointer?, OpaquePointer?, OpaquePointer?) -> Int32
    private typealias Prepare =
        @convention(c) (
            OpaquePointer?, UnsafePointer<CChar>, Int32, UnsafeMutablePointer<OpaquePointer?>, OpaquePointer?
        )
        -> Int32
    private typealias Bind =
        @convention(c) (OpaquePointer?, Int32, UnsafeRawPointer?, Int32, OpaquePointer?) -> Int32
    private typealias Act = @convention(c) (OpaquePointer?) -> Int32
    private typealias Version = @convention(c) () -> UnsafePointer<CChar>

    struct Fault: Error { let what: String }

    private static let done: Int32 = 101
    private let insertion: OpaquePointer?
    private let bind: Bind
    private let step: Act
    private let reset: Act
    let version: String

    init(path: String) throws {
        let names = ["libsqlite3.so.0", "libsqlite3.so", "libsqlite3.dylib"]
        guard let library = names.lazy.compactMap({ dlopen($0, RTLD_NOW | RTLD_LOCAL) }).first else {
            throw Fault(what: "no SQLite: none of \(names.joined(separator: ", ")) is there")
        }
        func find<Function>(_ name: String, as _: Function.Type) throws -> Function {
            guard let symbol = dlsym(library, "sqlite3_\(name)") else { throw Fault(what: "sqlite3_\(name)") }
            return unsafeBitCast(symbol, to: Function.self)
        }
        let open = try find("open", as: Open.self)
        let exec = try find("exec", as: Exec.self)
        let prepare = try find("prepare_v2", as: Prepare.self)
        bind = try find("bind_blob", as: Bind.self)
        step = try find("step", as: Act.self)
        reset = try find("reset", as: Act.self)
        version = String(cString: try find("libversion", as: Version.self)())
        var connection: OpaquePointer?
        var insertion: OpaquePointer?
        guard open(path, &connection) == 0 else { throw Fault(what: "open \(path)") }
        for statement in [
            "PRAGMA journal_mode = WAL", "PRAGMA synchronous = FULL",
            "CREATE TABLE bare (number INTEGER PRIMARY KEY, body BLOB NOT NULL) STRICT",
        ] {
            guard exec(connection, statement, nil, nil, nil) == 0 else { throw Fault(what: statement) }
        }
        guard prepare(connection, "INSERT INTO bare (body) VALUES (?1)", -1, &insertion, nil) == 0 else {
            throw Fault(what: "prepare")
        }
        self.insertion = insertion
    }

    /// Inserts one row of these bytes; it is durable when this returns.
    func insert(_ body: [UInt8]) throws {
        let stepped = body.withUnsafeBytes { bytes in
            _ = bind(insertion, 1, bytes.baseAddress, Int32(bytes.count), nil)
            return step(insertion)
        }
        guard stepped == Sqlite.done, reset(insertion) == 0 else { throw Fault(what: "insert: \(stepped)") }
    }
}
