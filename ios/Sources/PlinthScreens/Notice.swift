import PlinthKit

/// What the shell has to say besides the screen: a line, and what can be done about it.
public struct Notice: Sendable, Equatable {
    /// What can be done.
    public enum Deed: Sendable, Equatable { case settings, toCopies, putOffCopies, chooseFolder }
    public struct Choice: Sendable, Equatable {
        public let label: String
        public let deed: Deed
    }
    public let text: String
    public let choices: [Choice]

    init(_ text: String, _ choices: [(String, Deed)] = []) {
        self.text = text
        self.choices = choices.map { Choice(label: $0.0, deed: $0.1) }
    }
}
