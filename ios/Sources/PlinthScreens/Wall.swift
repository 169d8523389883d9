import Foundation
import Observation
import PlinthKit

/// What stands in the window: the house, and what is the window's own, such as whether the contents are open.
@MainActor
@Observable
public final class Wall {
    /// What stands there.
    public enum Standing: Equatable {
        case opening
        case failed(problem: String, remedy: String)
        /// What is asked before a file is taken in.
        case asked(Asked)
        /// The five places.
        case contents([PageButton])
        case floor(FloorScene)
        case page(PageScreen, told: [String], notices: [Notice])
    }

    public let house: House
    public let files: Files
    public let syncing: Syncing
    public let rest: RestModel
    public let page: PageModel
    /// Whether the list of contents is open.
    public private(set) var contentsOpen = false
    /// Whether the actions that are seldom wanted are open.
    public private(set) var moreOpen = false
    @ObservationIgnored private var stable: String?

    public init(_ house: House, temporary: URL = FileManager.default.temporaryDirectory) {
        self.house = house
        files = Files(house, temporary: temporary)
        syncing = Syncing(house)
        rest = RestModel(house)
        page = PageModel(house)
        house.forFiles = { [weak files] in files?.perform($0) }
        house.betweenSessions = { [weak files] in files?.copyWhereDue() }
        house.askForSync = { [weak syncing] in syncing?.ask() }
        house.forPairing = { [weak syncing] in syncing?.perform($0) }
    }

    public var words: Words { house.words }

    /// What stands there now. What is asked waits until no session is open.
    public var standing: Standing {
        switch house.shown {
        case .opening: .opening
        case .failed(let problem, let remedy): .failed(problem: problem, remedy: remedy)
        case .here(let screen, let refused): standing(screen, refused)
        }
    }

    private func standing(_ screen: Screen, _ refused: String?) -> Standing {
        if let asked = files.asked, !house.shown.sessionOpen { return .asked(asked) }
        if contentsOpen, !places.isEmpty { return .contents(places) }
        switch screen {
        case .floor(let floor): return .floor(FloorScene(floor, refused: refused, notices: notices(floor)))
        case .page(let page):
            return .page(page, told: (refused.map { [$0] } ?? []) + page.told, notices: notices(page))
        }
    }

    /// The places, in words; none while a session is open.
    public var places: [PageButton] {
        switch house.shown.screen {
        case .floor(let floor): floor.contents
        case .page(let page): page.contents
        case nil: []
        }
    }

    /// Back to the page before.
    public var back: PageButton? {
        guard !contentsOpen, case .page(let page) = house.shown.screen else { return nil }
        return page.back
    }

    /// Whether things lie for the left hand.
    public var mirrored: Bool {
        switch house.shown.screen {
        case .floor(let floor): floor.mirrored
        case .page(let page): page.mirrored
        case nil: false
        }
    }

    /// Something was opened with the app: an invitation to pair, which the core reads, or a programme.
    public func open(_ url: URL) {
        guard url.scheme == "plinth" else { return files.meet(url) }
        house.send(.page(.open(spot: .pairing)))
        house.send(.page(.choose(field: "invitation", value: url.absoluteString)))
    }

    /// Whether the head stands over what is shown: nothing does in a session, or while something is asked.
    public var hasHead: Bool { files.asked == nil && !places.isEmpty }

    /// The window shows what the house does: called when that has changed.
    public func follow() {
        switch house.shown.screen {
        case .floor(let floor):
            if floor.stable != stable { moreOpen = false }
            stable = floor.stable
            rest.show(floor.clock)
            page.show(nil)
        case .page(let screen):
            rest.show(nil)
            page.show(screen)
        case nil: break
        }
        if places.isEmpty { contentsOpen = false }
    }

    public func flipContents() { contentsOpen.toggle() }

    public func flipMore() { moreOpen.toggle() }

    /// Sends what was touched; what was told of a file before is over then.
    @discardableResult
    public func press(_ choice: Choice) -> Task<Void, Never> {
        moreOpen = false
        files.forget()
        return house.send(.floor(choice.event))
    }

    @discardableResult
    public func press(_ button: PageButton) -> Task<Void, Never> {
        contentsOpen = false
        files.forget()
        // What the lifter asks for does not wait for what a server asked.
        if button.event == .do(deed: .sync) { syncing.forgetWait() }
        return house.send(.page(button.event))
    }

    /// Does what a notice offers. The device's own settings are opened by whoever calls.
    public func `do`(_ deed: Notice.Deed) {
        switch deed {
        case .settings: break
        case .toCopies: house.send(.page(.open(spot: .backup)))
        case .putOffCopies: files.copies.putOff()
        case .chooseFolder: files.perform(.chooseFolder)
        }
    }

    // What the shell has to say, before a session and not over its clock

    private func notices(_ floor: FloorScreen) -> [Notice] {
        guard !floor.contents.isEmpty else { return [] }
        var all = said + (syncing.told.map { [Notice($0)] } ?? [])
        if let opening = house.opening, opening.damagedAside != nil {
            all.append(Notice(words.counted(.recovered, opening.lost)))
        }
        if house.notices == .refused {
            all.append(Notice(words(.noNotices), [(words(.allowNotices), .settings)]))
        }
        switch files.standing {
        case .noFolder(true):
            all.append(
                Notice(words(.offerCopies), [(words(.toCopies), .toCopies), (words(.notNow), .putOffCopies)]))
        case .lost, .full, .failed: all += copies
        case .noFolder(false), .kept: break
        }
        return all
    }

    private func notices(_ page: PageScreen) -> [Notice] {
        said + (page.offers(.chooseFolder) ? copies : [])
            + (page.offers(.pair) || page.offers(.sync) ? syncing.told.map { [Notice($0)] } ?? [] : [])
    }

    private var said: [Notice] {
        (house.said.map { [Notice(words($0))] } ?? []) + files.told.map { Notice($0) }
    }

    private var copies: [Notice] {
        let again = [(words(.otherFolder), Notice.Deed.chooseFolder)]
        return switch files.standing {
        case .noFolder: []
        case .kept(let folder, nil): [Notice(words(.copiesNone, folder))]
        case .kept(let folder, let last?): [Notice(words(.copiesKept, folder, last))]
        case .lost: [Notice(words(.copiesLost), again)]
        case .full: [Notice(words(.copiesFull), again)]
        case .failed(let why): [Notice(words(.copiesFailed, why), again)]
        }
    }
}
