// swift-tools-version: 6.0
import Foundation
import PackageDescription

// On Linux the library that `ffi/bindings` built; on Apple systems the XCFramework of `ios/xcframework`.
let here = URL(fileURLWithPath: #filePath).deletingLastPathComponent()
let library =
    ProcessInfo.processInfo.environment["PLINTH_LIBRARY"]
    ?? here.deletingLastPathComponent().appendingPathComponent("target/foreign").path

#if os(Linux)
    let native: [Target] = [
        .systemLibrary(name: "PlinthCoreFFI"),
        .systemLibrary(name: "PlinthBoundaryFFI"),
    ]
    let nativeNames: [Target.Dependency] = ["PlinthCoreFFI", "PlinthBoundaryFFI"]
    let link: [LinkerSetting] = [
        .unsafeFlags(["-L\(library)", "-Xlinker", "-rpath", "-Xlinker", library]),
        .linkedLibrary("plinth_ffi"),
    ]
#else
    let native: [Target] = [.binaryTarget(name: "PlinthFFI", path: "PlinthFFI.xcframework")]
    let nativeNames: [Target.Dependency] = ["PlinthFFI"]
    let link: [LinkerSetting] = []
#endif

let package = Package(
    name: "Plinth",
    defaultLocalization: "en",
    platforms: [.iOS(.v17), .macOS(.v14)],
    products: [
        .library(name: "PlinthKit", targets: ["PlinthKit"]),
        .library(name: "PlinthApp", targets: ["PlinthPhone", "PlinthViews"]),
    ],
    targets: native + [
        // Generated; its language mode is what the generator writes for.
        .target(
            name: "PlinthBoundary", dependencies: nativeNames,
            swiftSettings: [.swiftLanguageMode(.v5)], linkerSettings: link),
        .target(name: "PlinthKit", dependencies: ["PlinthBoundary"]),
        // What views need that is not drawing.
        .target(name: "PlinthScreens", dependencies: ["PlinthKit"], resources: [.process("Resources")]),
        // Apple's frameworks and SwiftUI: nothing is left of these two on Linux, where `checks/views` checks their types.
        .target(name: "PlinthPhone", dependencies: ["PlinthKit", "PlinthScreens"]),
        .target(name: "PlinthViews", dependencies: ["PlinthKit", "PlinthScreens"]),
        // What tests and benches share: the recorded evening of the vectors.
        .target(name: "PlinthEvening", dependencies: ["PlinthKit"], path: "Tests/PlinthEvening"),
        .testTarget(
            name: "PlinthKitTests", dependencies: ["PlinthKit", "PlinthScreens", "PlinthEvening", "PlinthLifter"]),
        // An invented lifter with a device that notes what it is asked to do.
        .target(
            name: "PlinthLifter", dependencies: ["PlinthScreens", "PlinthEvening"], path: "Tests/PlinthLifter"),
        // The process that a test kills in a rest.
        .executableTarget(name: "PlinthWalker", dependencies: ["PlinthLifter"], path: "Tests/PlinthWalker"),
        .executableTarget(
            name: "PlinthBench", dependencies: ["PlinthKit", "PlinthEvening"] + nativeNames,
            path: "Benches/PlinthBench"),
    ],
    swiftLanguageModes: [.v6]
)
