#if canImport(UIKit) && canImport(BackgroundTasks)
    import BackgroundTasks
    import Foundation
    import PlinthKit

    /// Time that the system gives the app while it is not in front.
    @MainActor
    public final class AppleBackground: BackgroundTime {
        /// As `Info.plist` names it.
        public static let name = "app.plinth.sync"

        public init() {}

        public func ask(after wait: Duration) {
            let request = BGAppRefreshTaskRequest(identifier: AppleBackground.name)
            request.earliestBeginDate = Date(timeIntervalSinceNow: Double(wait.components.seconds))
            // Where the lifter has switched it off, the next opening of the app syncs.
            try? BGTaskScheduler.shared.submit(request)
        }

        public func cancel() { BGTaskScheduler.shared.cancel(taskRequestWithIdentifier: AppleBackground.name) }
    }
#endif
