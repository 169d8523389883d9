import Foundation

/// What pairing gave: which server, how it is known, and the token of this device.
public struct Pairing: Sendable, Equatable, Codable, CustomStringConvertible {
    /// Where the server is: `https://host:port`; `http` on this device only.
    public let address: String
    /// SHA-256 of the server's certificate in 64 hexadecimal digits; none where the platform's trust is enough.
    public let fingerprint: String?
    /// The token, which belongs in no log.
    public let token: String

    public init(address: String, fingerprint: String?, token: String) {
        self.address = address
        self.fingerprint = fingerprint
        self.token = token
    }

    public var description: String { "Pairing(\(address))" }
}

/// Whether this device is paired.
public enum KeptPairing: Sendable, Equatable {
    /// It never was, or was unpaired.
    case nothing
    /// It was, and what it needs cannot be read any more: the lifter pairs it again.
    case lost
    /// It is.
    case here(Pairing)
}

/// Keeps the pairing on this device alone: it goes to no other with a backup, so that a restored phone cannot pose as
/// this one. It can be read from the first unlock after a start on.
public protocol Vault: Sendable {
    func read() -> KeptPairing
    /// Keeps a pairing in place of any other. False where the platform's store does not serve: nothing has changed.
    func keep(_ pairing: Pairing) -> Bool
    func forget()
}
