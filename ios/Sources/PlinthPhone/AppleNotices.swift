#if canImport(UserNotifications)
    import Foundation
    import PlinthKit
    @preconcurrency import UserNotifications

    /// The notice that a rest is over. The system counts its seconds by a clock of its own, also over a change of the
    /// wall clock; in front it sounds and shows nothing, since nothing floats over the rest clock.
    @MainActor
    final class AppleNotices: NSObject, RestNotices, UNUserNotificationCenterDelegate {
        private let center = UNUserNotificationCenter.current()
        private static let rest = "rest"

        override init() {
            super.init()
            center.delegate = self
        }

        func set(after left: Duration, text: String) async {
            await cancel()
            let content = UNMutableNotificationContent()
            content.title = text
            content.sound = .default
            content.interruptionLevel = .timeSensitive
            let seconds = Double(left.components.seconds) + Double(left.components.attoseconds) / 1e18
            let trigger = UNTimeIntervalNotificationTrigger(timeInterval: max(seconds, 0.1), repeats: false)
            try? await center.add(
                UNNotificationRequest(identifier: AppleNotices.rest, content: content, trigger: trigger))
        }

        func cancel() async {
            center.removePendingNotificationRequests(withIdentifiers: [AppleNotices.rest])
            center.removeDeliveredNotifications(withIdentifiers: [AppleNotices.rest])
        }

        func allowed() async -> NoticesAllowed {
            switch await center.notificationSettings().authorizationStatus {
            case .notDetermined: .notAsked
            case .denied: .refused
            default: .allowed
            }
        }

        func ask() async { _ = try? await center.requestAuthorization(options: [.alert, .sound]) }

        nonisolated func userNotificationCenter(
            _ center: UNUserNotificationCenter, willPresent notification: UNNotification
        ) async -> UNNotificationPresentationOptions {
            [.sound]
        }
    }
#endif
