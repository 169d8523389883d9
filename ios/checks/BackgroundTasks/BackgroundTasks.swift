import Foundation

open class BGTaskRequest: NSObject { open var earliestBeginDate: Date? }
open class BGAppRefreshTaskRequest: BGTaskRequest { public init(identifier: String) { fatalError() } }
open class BGTaskScheduler: NSObject, @unchecked Sendable {
    public class var shared: BGTaskScheduler { fatalError() }
    open func submit(_ request: BGTaskRequest) throws {}
    open func cancel(taskRequestWithIdentifier name: String) {}
}
