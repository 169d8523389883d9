import Foundation

/// Why no answer of the server's was taken, where that is more than a lost connection.
public enum Trouble: Error, Sendable, Equatable, CaseIterable {
    /// The certificate's time is over, by this device's clock.
    case expired
    /// The certificate's time has not begun, by this device's clock.
    case clockWrong
    /// The certificate is good, for another host.
    case otherHost
    /// It is not the server that this device was paired with.
    case notThePaired
    /// Nobody whom the platform trusts has signed the certificate, and pairing brought none.
    case untrusted
    /// The address is none, or one to which the record would travel for all to read.
    case address
    /// The answer is longer than any that the protocol has.
    case tooLong
}

/// What a platform has found out about a certificate that a server showed.
public struct SeenCertificate: Sendable, Equatable {
    /// Whether the device's clock is within its time.
    public enum Time: Sendable { case within, over, notBegun }
    /// SHA-256 of the certificate in hexadecimal digits.
    public let fingerprint: String
    public let time: Time
    /// Whether the platform trusts whoever signed it.
    public let trusted: Bool
    /// Whether it names the host that was asked for.
    public let namesHost: Bool

    public init(fingerprint: String, time: Time, trusted: Bool, namesHost: Bool) {
        self.fingerprint = fingerprint
        self.time = time
        self.trusted = trusted
        self.namesHost = namesHost
    }
}

/// Takes the one certificate whose fingerprint came with the pairing, whatever host it names, and besides it what the
/// platform trusts. A server in a basement has no public certificate; one that later gets such a certificate stays
/// reachable.
public struct Trust: Sendable {
    private let fingerprint: String?

    public init(fingerprint: String?) { self.fingerprint = fingerprint == "" ? nil : fingerprint?.lowercased() }

    /// Why a certificate is not taken; nothing where it is.
    public func refusal(_ seen: SeenCertificate) -> Trouble? {
        if let fingerprint, fingerprint == seen.fingerprint.lowercased() {
            return Trust.outOfTime(seen)
        }
        if seen.trusted, seen.time == .within { return seen.namesHost ? nil : .otherHost }
        return fingerprint == nil ? Trust.outOfTime(seen) ?? .untrusted : .notThePaired
    }

    private static func outOfTime(_ seen: SeenCertificate) -> Trouble? {
        switch seen.time {
        case .within: nil
        case .over: .expired
        case .notBegun: .clockWrong
        }
    }
}
