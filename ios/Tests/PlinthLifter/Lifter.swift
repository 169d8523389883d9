import Foundation
import PlinthEvening
import PlinthKit

@testable import PlinthScreens

/// An invented lifter with the app in hand: sees what the wall shows, touches what can be touched.
@MainActor
public final class Lifter {
    public let folder: URL
    public let wall: Wall
    public let phone: PhoneOfTests
    public var house: House { wall.house }

    /// The app on a device, its record in a folder.
    public init(
        _ folder: URL, clock: any PlinthClock, phone: PhoneOfTests = PhoneOfTests(), language: Language = .english
    ) {
        self.folder = folder
        self.phone = phone
        let house = House(folder: folder, phone: phone.phone(clock), language: language)
        wall = Wall(house, temporary: folder.appendingPathComponent("temporary"))
    }

    /// Opens the app.
    public func opens() async {
        await house.open().value
        wall.follow()
    }

    /// Opens the app, keeps a brief and takes on a programme.
    public func opens(brief: String, programme: String) async throws {
        await opens()
        try await house.ask {
            try await $0.tellBrief(brief)
            try await $0.takeOn(programme)
        }
        await does(.place(place: .floor))
    }

    public var floor: FloorScreen? { if case .floor(let floor) = house.shown.screen { floor } else { nil } }
    public var page: PageScreen? { if case .page(let page) = house.shown.screen { page } else { nil } }
    public var stage: String { floor?.stage ?? "" }
    public var scene: FloorScene? { if case .floor(let scene) = wall.standing { scene } else { nil } }
    public var refused: String? { if case .here(_, let refused) = house.shown { refused } else { nil } }

    /// Touches a button of the floor.
    public func touches(_ choice: Choice) async {
        await wall.press(choice).value
        wall.follow()
    }

    /// Touches a button of a page.
    public func touches(_ button: PageButton) async {
        await wall.press(button).value
        wall.follow()
    }

    /// Every button of the floor that is within reach, as the scene has them.
    public var choices: [Choice] {
        guard let scene else { return [] }
        let rows = scene.stays.flatMap { piece -> [Choice] in if case .row(let row) = piece { row.buttons } else { [] }
        }
        return (scene.wide.map { [$0] } ?? []) + rows + scene.custom
    }

    /// Touches the button that does something; false where there is none.
    public func touches(_ event: FloorEvent) async -> Bool {
        guard let choice = choices.first(where: { $0.event == event }) else { return false }
        await touches(choice)
        return true
    }

    /// Sends an event of a page.
    public func does(_ event: PageEvent) async {
        await house.send(.page(event)).value
        wall.follow()
    }

    /// Answers what is asked before a session, and begins.
    public func begins() async throws {
        for _ in 0..<20 {
            guard let row = floor?.before.first(where: { !$0.buttons.contains { $0.chosen } }),
                let first = row.buttons.first
            else { break }
            await touches(first)
        }
        guard let wide = floor?.wide, wide.event == .begin else { throw Unreadable.line("it cannot begin: \(stage)") }
        await touches(wide)
    }

    /// Closes the session, with the first answer to what is asked then.
    public func closes() async throws {
        if stage == "finished", let wide = floor?.wide { await touches(wide) } else { _ = await touches(.close) }
        for _ in 0..<5 where stage != "ended" {
            guard let answer = floor?.form?.rows.first?.buttons.first else { break }
            await touches(answer)
        }
        guard stage == "ended" else { throw Unreadable.line("it does not close: \(stage)") }
    }
}
