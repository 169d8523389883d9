import Observation
import PlinthBoundary

/// What views watch: the screen as it is now. Views send back the events that the screen offers.
@MainActor
@Observable
public final class PlinthModel {
    /// The screen, complete; none until the first is there.
    public private(set) var screen: Screen?
    /// Why the last call did nothing, or what went wrong.
    public private(set) var refused: String?
    @ObservationIgnored private let plinth: Plinth
    @ObservationIgnored private var turn: UInt64 = 0

    public init(_ plinth: Plinth) {
        self.plinth = plinth
    }

    /// Sends an event and shows what comes of it.
    public func send(_ event: Event) async {
        await show { try await self.plinth.send(event) }
    }

    /// Shows the screen of now.
    public func refresh() async {
        await show { try await self.plinth.look() }
    }

    /// Does what may change the record behind the screen (an import, a sync, a programme taken on), and shows the screen
    /// after it. Nothing is returned where it failed: `refused` says why.
    @discardableResult
    public func perform<Value: Sendable>(_ work: @Sendable (Plinth) async throws -> Value) async -> Value? {
        do {
            let value = try await work(plinth)
            await refresh()
            return value
        } catch {
            await refresh()
            refused = PlinthModel.sentence(error)
            return nil
        }
    }

    private func show(_ call: () async throws -> Shown) async {
        do {
            let shown = try await call()
            // Answers may reach the main actor in another order than the record gave them.
            if shown.turn > turn { (screen, turn) = (shown.screen, shown.turn) }
            refused = shown.refused
        } catch {
            refused = PlinthModel.sentence(error)
        }
    }

    private static func sentence(_ error: any Error) -> String? {
        switch error {
        case is CancellationError: nil
        case let fault as PlinthError: fault.sentence
        default: "\(error)"
        }
    }
}

extension PlinthError {
    /// What is wrong and what to do, in one sentence.
    public var sentence: String {
        switch self {
        case .Input(_, let field, let problem, let remedy), .Store(_, let field, let problem, let remedy),
            .Defect(_, let field, let problem, let remedy):
            (field.map { "\($0): " } ?? "") + "\(problem); \(remedy)."
        }
    }
}
