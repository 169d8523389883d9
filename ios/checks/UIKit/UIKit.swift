// The part of UIKit, and of Foundation on Apple systems alone, that the app uses.
@_exported import Foundation

public enum UIKeyboardType: Int, Sendable { case `default`, phonePad, decimalPad, numbersAndPunctuation }
public struct UIBackgroundTaskIdentifier: Hashable, Sendable {}

@MainActor open class UIApplication {
    public static var shared: UIApplication { fatalError() }
    public static let openSettingsURLString = ""
    open var isIdleTimerDisabled = false
    public func open(_ url: URL) async -> Bool { fatalError() }
    public func beginBackgroundTask(expirationHandler: (@MainActor @Sendable () -> Void)? = nil)
        -> UIBackgroundTaskIdentifier
    { fatalError() }
    public func endBackgroundTask(_ identifier: UIBackgroundTaskIdentifier) {}
}
@MainActor open class UIImpactFeedbackGenerator {
    public enum FeedbackStyle { case light, medium, heavy }
    public init(style: FeedbackStyle) {}
    open func impactOccurred() {}
}
@MainActor open class UINotificationFeedbackGenerator {
    public enum FeedbackType { case success, warning, error }
    public init() {}
    open func notificationOccurred(_ type: FeedbackType) {}
}
@MainActor public enum UIAccessibility {
    public struct Notification: Sendable { public static let announcement = Notification() }
    public static var isVoiceOverRunning: Bool { fatalError() }
    public static func post(notification: Notification, argument: Any?) {}
}
extension NSAttributedString.Key {
    public static let accessibilitySpeechQueueAnnouncement = NSAttributedString.Key("queue")
}

// Of Foundation

extension Foundation.Notification.Name {
    // swift-format-ignore: AlwaysUseLowerCamelCase
    public static let NSSystemClockDidChange = Notification.Name("clock")
}
extension NotificationCenter {
    public struct Notifications: AsyncSequence {
        public struct AsyncIterator: AsyncIteratorProtocol {
            public mutating func next() async -> Notification? { fatalError() }
        }
        public func makeAsyncIterator() -> AsyncIterator { fatalError() }
    }
    public func notifications(named name: Notification.Name) -> Notifications { fatalError() }
}
public struct BookmarkCreationOptions: OptionSet, Sendable {
    public let rawValue: Int
    public init(rawValue: Int) { self.rawValue = rawValue }
    public static let minimalBookmark = Self(rawValue: 1)
}
extension URL {
    public static var applicationSupportDirectory: URL { fatalError() }
    public func bookmarkData(options: BookmarkCreationOptions) throws -> Data { fatalError() }
    public init(resolvingBookmarkData data: Data, bookmarkDataIsStale: inout Bool) throws { fatalError() }
    public func startAccessingSecurityScopedResource() -> Bool { fatalError() }
    public func stopAccessingSecurityScopedResource() {}
}
public final class NSFileCoordinator {
    public struct WritingOptions: OptionSet, Sendable {
        public let rawValue: Int
        public init(rawValue: Int) { self.rawValue = rawValue }
        public static let forMerging = Self(rawValue: 1)
    }
    public init() {}
    public func coordinate(
        writingItemAt url: URL, options: WritingOptions = [], error: inout NSError?, byAccessor writer: (URL) -> Void
    ) {}
}
