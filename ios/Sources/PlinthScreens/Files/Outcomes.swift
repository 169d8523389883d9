import PlinthKit

extension Words {
    /// How many of those that were not taken are told one by one: more than that is read at a desk.
    private static let mostTold = 20

    /// What an import did, a line each.
    func told(_ outcome: Outcome) -> [String] {
        switch outcome {
        case .imported(let imported):
            var lines = [counted(.taken, imported.taken), counted(.changed, imported.changed)]
            let refused = imported.notTaken
            if !refused.isEmpty { lines.append(counted(.refused, refused.count)) }
            lines += refused.prefix(Words.mostTold).map { one in
                one.field.map { self(.refusedField, "\(one.line)", $0, one.reason, one.remedy) }
                    ?? self(.refusedLine, "\(one.line)", one.reason, one.remedy)
            }
            if refused.count > Words.mostTold {
                lines.append(counted(.refusedMore, refused.count - Words.mostTold))
            }
            return lines
        case .calledOff: return [self(.calledOff)]
        case .failed(let error): return [self(.notRead, error.sentence)]
        case .backedUp, .drafted: return []
        }
    }
}
