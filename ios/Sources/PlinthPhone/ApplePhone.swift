#if canImport(UIKit) && canImport(UserNotifications) && canImport(BackgroundTasks)
    import Foundation
    import PlinthKit
    import UIKit

    extension Phone {
        /// The device in the lifter's hand. `folder` is where the shell keeps what is its own.
        @MainActor
        public static func apple(folder: URL) -> Phone {
            Phone(
                clock: DeviceClock(), rest: AppleNotices(), haptics: AppleHaptics(), voice: AppleVoice(),
                display: AppleDisplay(), dialler: AppleDialler(),
                vault: AppleVault(mark: folder.appendingPathComponent("paired")), background: AppleBackground(),
                folders: AppleFolders(), servers: AppleServers())
        }
    }

    /// Where the record lies: among the files that no backup of the platform takes along, since a restored copy would
    /// pose as this device. It can be read from the first unlock after a start on, also while the screen is locked. Where
    /// the folder cannot be made, opening the record says so.
    public func recordFolder() -> URL {
        var folder = URL.applicationSupportDirectory.appendingPathComponent("Plinth", isDirectory: true)
        try? FileManager.default.createDirectory(
            at: folder, withIntermediateDirectories: true,
            attributes: [.protectionKey: FileProtectionType.completeUntilFirstUserAuthentication])
        var values = URLResourceValues()
        values.isExcludedFromBackup = true
        try? folder.setResourceValues(values)
        return folder
    }
#endif
