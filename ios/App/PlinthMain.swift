import BackgroundTasks
import PlinthKit
import PlinthPhone
import PlinthScreens
import PlinthViews
import SwiftUI
import UIKit

/// The app. The record is opened beside the first frame, not before it.
@main
struct PlinthMain: App {
    @State private var wall: Wall
    @Environment(\.scenePhase) private var phase

    init() {
        let folder = recordFolder()
        let wall = Wall(House(folder: folder, phone: .apple(folder: folder)))
        wall.house.open()
        _wall = State(initialValue: wall)
    }

    var body: some Scene {
        WindowGroup {
            WallView(wall)
                .environment(\.openSettings) {
                    guard let url = URL(string: UIApplication.openSettingsURLString) else { return }
                    Task { await UIApplication.shared.open(url) }
                }
                .onOpenURL { wall.open($0) }
                .task { await clockChanges(.NSSystemClockDidChange) }
                .task { await clockChanges(.NSSystemTimeZoneDidChange) }
        }
        .onChange(of: phase) { _, new in
            switch new {
            case .active: wall.house.comesToFront()
            case .background: leave()
            default: break
            }
        }
        .backgroundTask(.appRefresh(AppleBackground.name)) { await wall.syncing.background() }
    }

    /// The system lets the app finish what it does before it is suspended: the file is let go until then.
    private func leave() {
        let house = wall.house
        let app = UIApplication.shared
        let time = app.beginBackgroundTask()
        Task {
            await house.leaves()
            app.endBackgroundTask(time)
        }
    }

    private func clockChanges(_ name: Notification.Name) async {
        for await _ in NotificationCenter.default.notifications(named: name).map({ _ in () }) {
            wall.house.clockChanged()
        }
    }
}
