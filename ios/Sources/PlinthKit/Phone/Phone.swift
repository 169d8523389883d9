import Foundation

/// What only the device can do: one of each for the whole app. Apple's are in `PlinthPhone`; tests bring their own.
public struct Phone: Sendable {
    public let clock: any PlinthClock
    public let rest: any RestNotices
    public let haptics: any Haptics
    public let voice: any Voice
    public let display: any Display
    public let dialler: any Dialler
    public let vault: any Vault
    public let background: any BackgroundTime
    public let folders: any Folders
    public let servers: any Servers

    public init(
        clock: any PlinthClock, rest: any RestNotices, haptics: any Haptics, voice: any Voice, display: any Display,
        dialler: any Dialler, vault: any Vault, background: any BackgroundTime, folders: any Folders,
        servers: any Servers
    ) {
        self.clock = clock
        self.rest = rest
        self.haptics = haptics
        self.voice = voice
        self.display = display
        self.dialler = dialler
        self.vault = vault
        self.background = background
        self.folders = folders
        self.servers = servers
    }
}

/// Whether the platform shows the app's notices.
public enum NoticesAllowed: Sendable {
    /// The lifter was not asked yet.
    case notAsked
    case allowed
    case refused
}

/// The one notice that a rest is over. The system holds it, so that it comes though the app was ended.
@MainActor
public protocol RestNotices: AnyObject, Sendable {
    /// Sets it in place of an earlier one. `text` is all that a lock screen shows.
    func set(after left: Duration, text: String) async
    /// Takes it back, whether it waits or stands there already.
    func cancel() async
    func allowed() async -> NoticesAllowed
    /// Asks the lifter, once in the life of the app.
    func ask() async
}

/// What the hand feels.
@MainActor
public protocol Haptics: AnyObject, Sendable {
    /// A touch was taken.
    func touch()
    /// A rest is over and no notice says so: it sounds and is felt once.
    func restOver()
}

/// Says a line aloud. A new one takes the place of the one that is being said.
@MainActor
public protocol Voice: AnyObject, Sendable {
    func say(_ line: String, in language: Language)
    /// Has a screen reader say a line after what it says now; silent where none runs.
    func announce(_ line: String)
}

/// The display.
@MainActor
public protocol Display: AnyObject, Sendable {
    /// Keeps it awake, or lets it go.
    func keepAwake(_ on: Bool)
}

/// The dialler. The lifter places the call.
@MainActor
public protocol Dialler: AnyObject, Sendable {
    /// Opens it with a number; false where the device has none.
    func open(_ number: String) async -> Bool
}

/// Time that the system gives the app while it is not in front.
@MainActor
public protocol BackgroundTime: AnyObject, Sendable {
    /// Asks for some, not before `wait` is over; in place of an earlier asking.
    func ask(after wait: Duration)
    /// Asks for none any more.
    func cancel()
}

/// The lifter's own folder, which the app may come back to.
public protocol Folders: Sendable {
    /// What leads back to a folder that was picked, also after the device starts again.
    func bookmark(_ folder: URL) throws -> Data
    /// The folder again, and what leads back to it where that is to be kept anew.
    func folder(_ bookmark: Data) throws -> (folder: URL, renewed: Data?)
    /// Does something with a file or folder that was picked, for as long as the system allows it.
    func within<Value>(_ picked: URL, _ work: (URL) throws -> Value) throws -> Value
}

/// How a server is reached.
public protocol Servers: Sendable {
    /// A transport to a server. `metered`: also over a connection that costs by the byte.
    func transport(_ pairing: Pairing, metered: Bool) -> any TroubledTransport
}
