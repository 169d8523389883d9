import Observation
import PlinthKit

/// A page of a place, with what was written on it and not yet kept.
@MainActor
@Observable
public final class PageModel {
    public private(set) var page: PageScreen?
    private var typed: [String: String] = [:]
    @ObservationIgnored private let house: House

    public init(_ house: House) { self.house = house }

    /// Shows a page, or none. What was written on another one is forgotten, and so is what was kept.
    public func show(_ new: PageScreen?) {
        guard new != page else { return }
        if new?.title != page?.title {
            typed = [:]
        } else {
            let (before, after) = (PageModel.values(page), PageModel.values(new))
            for (field, value) in after where before[field] != value { typed[field] = nil }
        }
        page = new
    }

    /// What stands in a line to write in. Only what the kind of line takes can be written; the core judges it.
    public subscript(field: String) -> String {
        get { typed[field] ?? PageModel.values(page)[field] ?? "" }
        set { typed[field] = newValue.filter { keys(field).takes($0) } }
    }

    /// Sends what was written; the core judges it.
    @discardableResult
    public func save(_ field: String) -> Task<Void, Never> {
        house.send(.page(.choose(field: field, value: self[field])))
    }

    private func keys(_ id: String) -> Keys {
        for case .entry(id, _, _, _, let keys, _) in page?.blocks ?? [] { return keys }
        return .words
    }

    private static func values(_ page: PageScreen?) -> [String: String] {
        var values: [String: String] = [:]
        for case .entry(let field, _, _, let value, _, _) in page?.blocks ?? [] { values[field] = value }
        return values
    }
}

extension Keys {
    /// Whether a letter can be written there.
    func takes(_ letter: Character) -> Bool {
        switch self {
        case .words: true
        case .whole: "0123456789+- ".contains(letter)
        case .decimal: "0123456789.,".contains(letter)
        case .date: "0123456789-./ ".contains(letter)
        }
    }
}

extension PageScreen {
    /// Whether something can be done here.
    func offers(_ deed: Deed) -> Bool {
        blocks.contains { block in
            if case .action(let button, _) = block { button.event == .do(deed: deed) } else { false }
        }
    }
}
