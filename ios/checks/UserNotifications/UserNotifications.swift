import Foundation

public enum UNAuthorizationStatus { case notDetermined, denied, authorized, provisional, ephemeral }
public struct UNAuthorizationOptions: OptionSet, Sendable {
    public let rawValue: Int
    public init(rawValue: Int) { self.rawValue = rawValue }
    public static let alert = Self(rawValue: 1)
    public static let sound = Self(rawValue: 2)
}
public struct UNNotificationPresentationOptions: OptionSet, Sendable {
    public let rawValue: Int
    public init(rawValue: Int) { self.rawValue = rawValue }
    public static let sound = Self(rawValue: 1)
    public static let banner = Self(rawValue: 2)
}
public enum UNNotificationInterruptionLevel { case passive, active, timeSensitive, critical }
open class UNNotificationSound: NSObject { public class var `default`: UNNotificationSound { fatalError() } }
open class UNNotificationContent: NSObject {}
open class UNMutableNotificationContent: UNNotificationContent {
    open var title = ""
    open var sound: UNNotificationSound?
    open var interruptionLevel = UNNotificationInterruptionLevel.active
}
open class UNNotificationTrigger: NSObject {}
open class UNTimeIntervalNotificationTrigger: UNNotificationTrigger {
    public convenience init(timeInterval: TimeInterval, repeats: Bool) { fatalError() }
}
open class UNNotificationRequest: NSObject {
    public convenience init(
        identifier: String, content: UNNotificationContent, trigger: UNNotificationTrigger?
    ) { fatalError() }
}
open class UNNotification: NSObject {}
open class UNNotificationSettings: NSObject, @unchecked Sendable {
    open var authorizationStatus: UNAuthorizationStatus { fatalError() }
}
public protocol UNUserNotificationCenterDelegate: NSObjectProtocol {
    func userNotificationCenter(
        _ center: UNUserNotificationCenter, willPresent notification: UNNotification
    ) async -> UNNotificationPresentationOptions
}
open class UNUserNotificationCenter: NSObject, @unchecked Sendable {
    public class func current() -> UNUserNotificationCenter { fatalError() }
    open weak var delegate: (any UNUserNotificationCenterDelegate)?
    open func add(_ request: UNNotificationRequest) async throws {}
    open func removePendingNotificationRequests(withIdentifiers names: [String]) {}
    open func removeDeliveredNotifications(withIdentifiers names: [String]) {}
    open func notificationSettings() async -> UNNotificationSettings { fatalError() }
    open func requestAuthorization(options: UNAuthorizationOptions = []) async throws -> Bool { fatalError() }
}
