import Foundation

open class AVAudioSession: NSObject, @unchecked Sendable {
    public enum Category { case playback, ambient }
    public enum Mode { case `default`, spokenAudio }
    public struct CategoryOptions: OptionSet, Sendable {
        public let rawValue: Int
        public init(rawValue: Int) { self.rawValue = rawValue }
        public static let duckOthers = Self(rawValue: 1)
    }
    public struct SetActiveOptions: OptionSet, Sendable {
        public let rawValue: Int
        public init(rawValue: Int) { self.rawValue = rawValue }
        public static let notifyOthersOnDeactivation = Self(rawValue: 1)
    }
    public class func sharedInstance() -> AVAudioSession { fatalError() }
    open func setCategory(_ category: Category, mode: Mode, options: CategoryOptions = []) throws {}
    open func setActive(_ on: Bool, options: SetActiveOptions = []) throws {}
}
public protocol AVAudioPlayerDelegate: NSObjectProtocol {
    func audioPlayerDidFinishPlaying(_ player: AVAudioPlayer, successfully: Bool)
}
open class AVAudioPlayer: NSObject {
    public init(data: Data) throws { fatalError() }
    open weak var delegate: (any AVAudioPlayerDelegate)?
    @discardableResult open func play() -> Bool { fatalError() }
}
open class AVSpeechSynthesisVoice: NSObject { public init?(language: String?) { fatalError() } }
open class AVSpeechUtterance: NSObject {
    public init(string: String) { fatalError() }
    open var voice: AVSpeechSynthesisVoice?
}
public enum AVSpeechBoundary { case immediate, word }
public protocol AVSpeechSynthesizerDelegate: NSObjectProtocol {
    func speechSynthesizer(_ synthesizer: AVSpeechSynthesizer, didFinish utterance: AVSpeechUtterance)
}
open class AVSpeechSynthesizer: NSObject {
    public override init() { fatalError() }
    open weak var delegate: (any AVSpeechSynthesizerDelegate)?
    open func speak(_ utterance: AVSpeechUtterance) {}
    @discardableResult open func stopSpeaking(at boundary: AVSpeechBoundary) -> Bool { fatalError() }
}
