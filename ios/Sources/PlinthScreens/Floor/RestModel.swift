import Foundation
import Observation
import PlinthKit

/// The rest clock: counts down to an end that the core set, and says once that it is there.
@MainActor
@Observable
public final class RestModel {
    /// The figures; nothing while no rest runs.
    public private(set) var face: String?
    /// The time left in words, for a reader that asks.
    public private(set) var spoken = ""

    @ObservationIgnored private let house: House
    @ObservationIgnored private var clock: ClockScreen?
    @ObservationIgnored private var told = false
    @ObservationIgnored private var marked: Int64?

    /// Seconds at which the time left is said: common practice, no source.
    private static let marks: Set<Int64> = [60, 30, 10]

    public init(_ house: House) { self.house = house }

    /// Shows a clock, or none.
    public func show(_ new: ClockScreen?) {
        if new != clock {
            (clock, told, marked) = (new, false, nil)
        }
        beat()
    }

    /// Runs until it is cancelled, from second to second.
    public func run() async {
        while let pause = beat() {
            do { try await Task.sleep(for: pause) } catch { return }
        }
    }

    /// Shows what is left now. Gives how long until the figures change; nothing where the rest is over.
    @discardableResult
    func beat() -> Duration? {
        guard let clock else {
            face = nil
            return nil
        }
        let left = house.phone.clock.now().left(of: clock)
        let ms = max(0, left.components.seconds * 1_000 + left.components.attoseconds / 1_000_000_000_000_000)
        let seconds = (ms + 999) / 1_000  // what is left of one is one
        let figures = "\(seconds / 60):\(seconds % 60 < 10 ? "0" : "")\(seconds % 60)"
        if face != figures { face = figures }
        spoken = words(seconds)
        if RestModel.marks.contains(seconds), marked != seconds {
            marked = seconds
            house.phone.voice.announce(spoken)
        }
        guard ms > 0 else {
            if !told {
                told = true
                house.restIsOver()
            }
            return nil
        }
        return .milliseconds((ms - 1) % 1_000 + 1)
    }

    private func words(_ seconds: Int64) -> String {
        seconds >= 60 && seconds % 60 == 0
            ? house.words.counted(.minutesLeft, seconds / 60) : house.words.counted(.secondsLeft, seconds)
    }
}
