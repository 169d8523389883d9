import Foundation

/// What this device knows of now: the wall clock and zone, the clock that counts sleep, and which start of the device.
public struct DeviceClock: PlinthClock {
    private let boot: String

    public init() { boot = DeviceClock.bootName() }

    public func now() -> Moment {
        let now = Date()
        let zone = TimeZone.autoupdatingCurrent.secondsFromGMT(for: now) / 60
        return Moment(
            wallMs: Int64(now.timeIntervalSince1970 * 1_000), offsetMin: Int32(zone),
            monotonicMs: DeviceClock.monotonicMs(), boot: boot)
    }

    private static func monotonicMs() -> UInt64 {
        #if canImport(Darwin)
            clock_gettime_nsec_np(CLOCK_MONOTONIC_RAW) / 1_000_000
        #else
            // The other clocks of Linux stand still while the machine sleeps.
            let boottime: clockid_t = 7
            var time = timespec()
            clock_gettime(boottime, &time)
            return UInt64(time.tv_sec) * 1_000 + UInt64(time.tv_nsec) / 1_000_000
        #endif
    }

    /// A name that changes with each start of the device. Where the platform tells none, this process has one of its
    /// own: the wall clock then bridges what another process began.
    private static func bootName() -> String {
        #if canImport(Darwin)
            var size = 0
            if sysctlbyname("kern.bootsessionuuid", nil, &size, nil, 0) == 0, size > 1 {
                var name = [UInt8](repeating: 0, count: size)
                if sysctlbyname("kern.bootsessionuuid", &name, &size, nil, 0) == 0 {
                    return String(decoding: name.prefix { $0 != 0 }, as: UTF8.self)
                }
            }
        #else
            if let id = try? String(contentsOfFile: "/proc/sys/kernel/random/boot_id", encoding: .utf8) {
                return id.trimmingCharacters(in: .whitespacesAndNewlines)
            }
        #endif
        return UUID().uuidString
    }
}

extension Moment {
    /// How long until an end that was set: by the clock that counts sleep, and after another start of the device by the
    /// wall clock. Below nothing where it is over.
    public func left(untilMonotonicMs end: UInt64, wallMs wall: Int64, boot: String) -> Duration {
        boot == self.boot
            ? .milliseconds(Int64(clamping: end) - Int64(clamping: monotonicMs)) : .milliseconds(wall - wallMs)
    }

    /// How long the rest is still to run.
    public func left(of clock: ClockScreen) -> Duration {
        left(untilMonotonicMs: clock.endsMonotonicMs, wallMs: clock.endsWallMs, boot: clock.boot)
    }
}
