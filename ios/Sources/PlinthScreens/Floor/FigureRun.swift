/// A piece of a line: a number with its sign, point and colon, or the words between two numbers.
public struct FigureRun: Sendable, Equatable {
    public let text: String
    public let isFigure: Bool

    /// The pieces of a line, in order.
    public static func runs(_ line: String) -> [FigureRun] {
        var runs: [FigureRun] = []
        var figure = false
        var text = ""
        func end() { if !text.isEmpty { runs.append(FigureRun(text: text, isFigure: figure)) } }
        for letter in line {
            let digit = letter.isASCII && letter.isNumber
            let goesOn = figure && (digit || ".,:".contains(letter))
            if (digit && !figure) || (figure && !goesOn) {
                end()
                (text, figure) = ("", digit)
            }
            text.append(letter)
        }
        end()
        return runs
    }
}
