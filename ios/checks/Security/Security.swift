// The names are Apple's.
// swift-format-ignore-file
import Foundation
import FoundationNetworking

// Core Foundation's types pass for Foundation's own on Apple systems.
public typealias OSStatus = Int32
public typealias CFTypeRef = AnyObject
public typealias CFString = NSString
public typealias CFArray = NSArray
public typealias CFDictionary = NSDictionary
public typealias CFError = NSError
public typealias CFData = NSData

public final class SecTrust {}
public final class SecCertificate {}
public final class SecPolicy {}

public let errSecSuccess: OSStatus = 0
public let errSecItemNotFound: OSStatus = -25300
public let errSecInteractionNotAllowed: OSStatus = -25308
public let errSecInternalError: OSStatus = -26276
public let errSecHostNameMismatch: OSStatus = -67602
public let errSecCertificateExpired: OSStatus = -67818
public let errSecCertificateNotValidYet: OSStatus = -67819

nonisolated(unsafe) public let kSecClass = NSString()
nonisolated(unsafe) public let kSecClassGenericPassword = NSString()
nonisolated(unsafe) public let kSecAttrService = NSString()
nonisolated(unsafe) public let kSecAttrAccount = NSString()
nonisolated(unsafe) public let kSecReturnData = NSString()
nonisolated(unsafe) public let kSecMatchLimit = NSString()
nonisolated(unsafe) public let kSecMatchLimitOne = NSString()
nonisolated(unsafe) public let kSecValueData = NSString()
nonisolated(unsafe) public let kSecAttrAccessible = NSString()
nonisolated(unsafe) public let kSecAttrAccessibleAfterFirstUnlockThisDeviceOnly = NSString()

public func SecItemCopyMatching(_ query: CFDictionary, _ found: UnsafeMutablePointer<CFTypeRef?>?) -> OSStatus { 0 }
public func SecItemAdd(_ item: CFDictionary, _ found: UnsafeMutablePointer<CFTypeRef?>?) -> OSStatus { 0 }
public func SecItemUpdate(_ query: CFDictionary, _ values: CFDictionary) -> OSStatus { 0 }
@discardableResult public func SecItemDelete(_ query: CFDictionary) -> OSStatus { 0 }
public func SecTrustCopyCertificateChain(_ trust: SecTrust) -> CFArray? { nil }
public func SecTrustCreateWithCertificates(
    _ leaf: SecCertificate, _ policy: SecPolicy, _ trust: UnsafeMutablePointer<SecTrust?>
) -> OSStatus { 0 }
@discardableResult public func SecTrustSetAnchorCertificates(_ trust: SecTrust, _ anchors: CFArray?) -> OSStatus { 0 }
public func SecTrustEvaluateWithError(_ trust: SecTrust, _ error: UnsafeMutablePointer<CFError?>?) -> Bool { false }
public func SecPolicyCreateBasicX509() -> SecPolicy { fatalError() }
public func SecCertificateCopyData(_ certificate: SecCertificate) -> CFData { fatalError() }
public func CFErrorGetCode(_ error: CFError) -> Int { 0 }

public let NSURLAuthenticationMethodServerTrust = "server trust"
extension URLProtectionSpace { public var serverTrust: SecTrust? { nil } }
extension URLCredential { public convenience init(trust: SecTrust) { fatalError() } }
