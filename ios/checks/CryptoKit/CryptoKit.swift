import Foundation

public struct SHA256Digest: Sequence, Sendable {
    public func makeIterator() -> Array<UInt8>.Iterator { fatalError() }
}
public enum SHA256 { public static func hash<D: DataProtocol>(data: D) -> SHA256Digest { fatalError() } }
