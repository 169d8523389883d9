import Observation
import PlinthBoundary

/// What views watch: the screen as it is now. Views send back the events that the screen offers.
@MainActor
@Observable
public final class PlinthModel {
    /// The screen, complete; none until the first is there.
    public private(set) var screen: Screen?
    /// Why the last event did nothing, or what went wrong.
    public private(set) var refused: String?
    private let plinth: Plinth

    public init(_ plinth: Plinth) {
        self.plinth = plinth
    }

    /// Sends an event and shows what comes of it.
    public func send(_ event: Event) async {
        await show {
            let update = try await self.plinth.send(event)
            return (update.screen, update.refused)
        }
    }

    /// Shows the screen of now.
    public func refresh() async {
        await show { (try await self.plinth.screen(), nil) }
    }

    private func show(_ call: () async throws -> (Screen, String?)) async {
        do {
            (screen, refused) = try await call()
        } catch {
            refused = PlinthModel.sentence(error)
        }
    }

    private static func sentence(_ error: any Error) -> String {
        switch error as? PlinthError {
        case .Input(_, let field, let problem, let remedy)?,
            .Store(_, let field, let problem, let remedy)?, .Defect(_, let field, let problem, let remedy)?:
            (field.map { "\($0): " } ?? "") + "\(problem); \(remedy)."
        case nil:
            "\(error)"
        }
    }
}
