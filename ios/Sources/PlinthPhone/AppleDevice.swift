#if canImport(UIKit) && canImport(AVFoundation)
    import AVFoundation
    import PlinthKit
    import UIKit

    /// What the hand feels, and the bell where no notice sounds.
    @MainActor
    final class AppleHaptics: Haptics {
        private let light = UIImpactFeedbackGenerator(style: .light)
        private let over = UINotificationFeedbackGenerator()
        private var bell: AVAudioPlayer?

        func touch() { light.impactOccurred() }

        func restOver() {
            over.notificationOccurred(.success)
            try? AVAudioSession.sharedInstance().setCategory(.playback, mode: .default, options: [.duckOthers])
            bell = try? AVAudioPlayer(data: Chime.wave())
            bell?.play()
        }
    }

    /// Says lines aloud; music is lowered meanwhile, and comes back.
    @MainActor
    final class AppleVoice: NSObject, Voice, AVSpeechSynthesizerDelegate {
        private let speech = AVSpeechSynthesizer()

        override init() {
            super.init()
            speech.delegate = self
        }

        func say(_ line: String, in language: Language) {
            speech.stopSpeaking(at: .immediate)
            let audio = AVAudioSession.sharedInstance()
            try? audio.setCategory(.playback, mode: .spokenAudio, options: [.duckOthers])
            try? audio.setActive(true)
            let said = AVSpeechUtterance(string: line)
            said.voice = AVSpeechSynthesisVoice(language: language == .german ? "de-DE" : "en-GB")
            speech.speak(said)
        }

        func announce(_ line: String) {
            guard UIAccessibility.isVoiceOverRunning else { return }
            let queued = NSAttributedString(string: line, attributes: [.accessibilitySpeechQueueAnnouncement: true])
            UIAccessibility.post(notification: .announcement, argument: queued)
        }

        nonisolated func speechSynthesizer(_ speech: AVSpeechSynthesizer, didFinish said: AVSpeechUtterance) {
            try? AVAudioSession.sharedInstance().setActive(false, options: .notifyOthersOnDeactivation)
        }
    }

    /// The display.
    @MainActor
    final class AppleDisplay: Display {
        func keepAwake(_ on: Bool) { UIApplication.shared.isIdleTimerDisabled = on }
    }

    /// The dialler. The system asks before it places the call.
    @MainActor
    final class AppleDialler: Dialler {
        func open(_ number: String) async -> Bool {
            let digits = number.filter { "0123456789+*#".contains($0) }
            guard !digits.isEmpty, let url = URL(string: "tel:\(digits)") else { return false }
            return await UIApplication.shared.open(url)
        }
    }
#endif
