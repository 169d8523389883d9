import Foundation
import Testing

/// What can be read of the views and the app where they are not built.
private enum Source {
    static let ios = URL(fileURLWithPath: #filePath).appendingPathComponent("../../..").standardized

    static func text(_ path: String) throws -> String {
        try String(contentsOf: ios.appendingPathComponent(path), encoding: .utf8)
    }

    static func plist(_ path: String) throws -> [String: Any] {
        let read = try PropertyListSerialization.propertyList(
            from: Data(contentsOf: ios.appendingPathComponent(path)), format: nil)
        return read as? [String: Any] ?? [:]
    }

    /// The number that a constant of the look has.
    static func measure(_ name: String) throws -> Double {
        let found = try text("Sources/PlinthViews/Look/Look.swift")
            .firstMatch(of: try Regex<(Substring, Substring)>("static let \(name): CGFloat = ([0-9.]+)"))
        let figures = try #require(found).output.1
        return try #require(Double(figures))
    }

    /// The colours of the look by day and by night.
    static func inks() throws -> [String: (day: UInt32, night: UInt32)] {
        let source = try text("Sources/PlinthViews/Look/Look.swift")
        var inks: [String: (day: UInt32, night: UInt32)] = [:]
        let both = try Regex<(Substring, Substring, Substring, Substring)>(
            #"var (\w+): Color \{ dark \? Color\(hex: 0x(\w{6})\) : Color\(hex: 0x(\w{6})\) \}"#)
        for match in source.matches(of: both) {
            let (night, day) = (UInt32(match.output.2, radix: 16), UInt32(match.output.3, radix: 16))
            inks[String(match.output.1)] = (try #require(day), try #require(night))
        }
        let one = try Regex<(Substring, Substring, Substring)>(#"var (\w+): Color \{ Color\(hex: 0x(\w{6})\) \}"#)
        for match in source.matches(of: one) {
            let ink = try #require(UInt32(match.output.2, radix: 16))
            inks[String(match.output.1)] = (ink, ink)
        }
        return inks
    }

    /// The contrast of two colours (WCAG 2.2, relative luminance).
    static func contrast(_ a: UInt32, _ b: UInt32) -> Double {
        func luminance(_ colour: UInt32) -> Double {
            func part(_ shift: UInt32) -> Double {
                let value = Double(colour >> shift & 0xFF) / 255
                return value <= 0.04045 ? value / 12.92 : pow((value + 0.055) / 1.055, 2.4)
            }
            return 0.2126 * part(16) + 0.7152 * part(8) + 0.0722 * part(0)
        }
        let (one, other) = (luminance(a), luminance(b))
        return (max(one, other) + 0.05) / (min(one, other) + 0.05)
    }
}

extension Everything {
    @Test func everyInkIsSevenToOneOnItsGroundAndThatOfTheOtherShell() throws {
        let inks = try Source.inks()
        func ink(_ name: String, _ night: Bool) throws -> UInt32 {
            let both = try #require(inks[name], "\(name)")
            return night ? both.night : both.day
        }
        for night in [false, true] {
            for (letters, ground) in [
                // The panel is what a pressed button is filled with, and no soft letters stand on a button.
                ("ink", "ground"), ("soft", "ground"), ("ink", "panel"), ("ground", "ink"), ("onAct", "act"),
            ] {
                let contrast = Source.contrast(try ink(letters, night), try ink(ground, night))
                #expect(contrast >= 7, "\(letters) on \(ground), night \(night): \(contrast)")
            }
            let there = try Source.text(
                "../android/app/src/main/res/values\(night ? "-night" : "")/colours.xml")
            let colour = try Regex<(Substring, Substring, Substring)>(##"<color name="(\w+)">#(\w{6})</color>"##)
            for match in there.matches(of: colour) {
                let name = match.output.1 == "on_act" ? "onAct" : String(match.output.1)
                #expect(try ink(name, night) == UInt32(match.output.2, radix: 16), "\(name), night \(night)")
            }
        }
    }

    /// Heights by ISO 9241-303 (22 minutes of arc at two metres and at one, 16 at one), and the least of what is touched.
    @Test func figuresAndTargetsHaveTheirLeastSizes() throws {
        #expect(try Source.measure("clockMm") >= 12.8)
        #expect(try Source.measure("loadMm") >= 12.8)
        #expect(try Source.measure("amountMm") >= 6.4)
        #expect(try Source.measure("nameMm") >= 4.7)
        #expect(try Source.measure("floor") >= 64)
        #expect(try Source.measure("target") >= 44)
        // The floor's views ask for the floor's size wherever they make something to touch.
        let floor = try Source.text("Sources/PlinthViews/Floor/FloorView.swift")
        let touches = floor.matches(of: try Regex("TouchView\\(|Columns\\(|NoticeView\\(")).count
        let sizes = floor.matches(of: try Regex("least: Look\\.(floor|wide)")).count
        #expect(touches > 4 && touches == sizes, "\(touches) to touch, \(sizes) of a size")
    }

    @Test func theAppAsksForNoMoreThanItDoes() throws {
        let info = try Source.plist("App/Info.plist")
        let background = try Source.text("Sources/PlinthPhone/AppleBackground.swift")
        let names = try #require(info["BGTaskSchedulerPermittedIdentifiers"] as? [String])
        #expect(names.count == 1 && background.contains("\"\(names[0])\""))
        #expect(info["UIBackgroundModes"] as? [String] == ["fetch"])
        #expect(Set(info["CFBundleLocalizations"] as? [String] ?? []) == ["en", "de"])
        let security = info["NSAppTransportSecurity"] as? [String: Bool]
        #expect(security == ["NSAllowsLocalNetworking": true])

        let privacy = try Source.plist("App/PrivacyInfo.xcprivacy")
        #expect(privacy["NSPrivacyTracking"] as? Bool == false)
        for key in ["NSPrivacyTrackingDomains", "NSPrivacyCollectedDataTypes", "NSPrivacyAccessedAPITypes"] {
            #expect((privacy[key] as? [Any])?.isEmpty == true, "\(key)")
        }
        // What a reason would have to be given for is not used.
        for folder in [
            "Sources/PlinthKit", "Sources/PlinthScreens", "Sources/PlinthPhone", "Sources/PlinthViews", "App",
        ] {
            let files = FileManager.default.enumerator(
                at: Source.ios.appendingPathComponent(folder), includingPropertiesForKeys: nil)
            for case let file as URL in try #require(files) where file.pathExtension == "swift" {
                let text = try String(contentsOf: file, encoding: .utf8)
                for name in [
                    "UserDefaults", "AppStorage", "systemUptime", "mach_absolute_time", "creationDate",
                    "modificationDate", "volumeAvailableCapacity", "activeInputModes",
                ] {
                    #expect(!text.contains(name), "\(file.lastPathComponent) uses \(name)")
                }
            }
        }

        let rights = try Source.plist("App/Plinth.entitlements")
        #expect(rights["com.apple.developer.usernotifications.time-sensitive"] as? Bool == true)
        #expect(rights.count == 3)
    }
}
