/// What gives way on the floor where the lifter's text leaves too little room: the cues lie past the edge first, then the
/// session line goes; the clock, the load, the action and a caution never.
public enum GivingWay {
    /// What is measured.
    public static let line = "line"
    public static let stays = "stays"

    /// Whether the session line stays in a room of so many points, once both were measured. Its height is remembered
    /// while it is away, so that it does not come back only to go again.
    public static func lineStays(_ heights: [String: Double], room: Double) -> Bool {
        guard let line = heights[line], let stays = heights[stays] else { return true }
        return line + stays <= room
    }
}
