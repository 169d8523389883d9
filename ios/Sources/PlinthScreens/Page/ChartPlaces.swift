import PlinthKit

/// Where the parts of a chart lie in a box to draw in. The core's places go from 0 to its field's side, from the left and
/// from the foot.
public struct ChartPlaces: Sendable {
    private let left: Double
    private let right: Double
    private let top: Double
    private let foot: Double

    /// How far a side of the core's field reaches.
    private static let field = 10_000.0

    public init(left: Double, right: Double, top: Double, foot: Double) {
        self.left = left
        self.right = right
        self.top = top
        self.foot = foot
    }

    public func across(_ place: Int32) -> Double { left + Double(place) / ChartPlaces.field * (right - left) }

    public func up(_ place: Int32) -> Double { foot - Double(place) / ChartPlaces.field * (foot - top) }

    /// Heights moved apart to at least a gap, in their order from the top down, as near to where they belong as the gap
    /// lets them.
    public static func apart(_ wanted: [Double], gap: Double) -> [Double] {
        var groups: [(sum: Double, count: Int)] = []
        for (n, place) in wanted.enumerated() {
            // Less its own part of the gaps, each group is the mean of what its members want.
            groups.append((place - gap * Double(n), 1))
            while groups.count > 1, let last = groups.last {
                let before = groups[groups.count - 2]
                guard before.sum / Double(before.count) > last.sum / Double(last.count) else { break }
                groups.removeLast(2)
                groups.append((before.sum + last.sum, before.count + last.count))
            }
        }
        return groups.flatMap { Array(repeating: $0.sum / Double($0.count), count: $0.count) }
            .enumerated().map { $1 + gap * Double($0) }
    }
}
