import PlinthKit

/// The session at hand, as it stands in the window: what never gives way, what follows it, and what is at the foot. What
/// the core says is put in order here and not changed.
public struct FloorScene: Sendable, Equatable {
    /// A piece of the middle.
    public enum Piece: Sendable, Equatable {
        /// The rest clock.
        case clock(ClockScreen)
        /// A name or what comes next, in large type; what a reader says of it.
        case name(String, spoken: String)
        case text(String, Tone)
        /// The load, in the largest figures.
        case load(String)
        /// Repetitions, and those to leave.
        case reps(String, leave: String?)
        case rule
        /// One end of the bar, drawn; the words before it say the same.
        case sleeve([DiscScreen])
        /// The hatched band.
        case caution(head: String, lines: [String])
        /// Buttons under what they ask.
        case row(ChoiceRow)
        case notice(Notice)
    }

    /// How a line stands out.
    public enum Tone: Sendable, Equatable { case plain, strong, soft, large }

    /// Changes only when something under a reader's focus may change.
    public let stable: String
    /// The session line, which gives way after the cues.
    public let line: LineScreen?
    /// What never gives way, in order of reading.
    public let stays: [Piece]
    /// The drawing, the reasons and the cue: where room is short they lie past the edge, and the middle scrolls.
    public let follows: [Piece]
    /// The wide action.
    public let wide: Choice?
    /// The other actions that are to hand.
    public let actions: [Choice]
    /// Those that are seldom wanted, behind one touch more.
    public let more: ChoiceRow?
    /// Undo, which says what it will take back.
    public let undo: Choice?
    /// The rest clock that runs, also where a form stands over its place.
    public let clock: ClockScreen?
    /// What a reader can do besides, in the order of the foot.
    public var custom: [Choice] { actions + (more?.buttons ?? []) + (undo.map { [$0] } ?? []) }

    init(_ screen: FloorScreen, refused: String? = nil, notices: [Notice] = []) {
        var making = Making(screen)
        making.fill(refused, notices)
        stable = screen.stable
        line = screen.line
        stays = making.stays
        follows = making.follows
        wide = screen.wide
        actions = screen.actions
        more = screen.more
        undo = screen.undo
        clock = screen.clock
    }
}

/// Puts a screen in order.
private struct Making {
    let screen: FloorScreen
    var stays: [FloorScene.Piece] = []
    var follows: [FloorScene.Piece] = []

    init(_ screen: FloorScreen) { self.screen = screen }

    mutating func fill(_ refused: String?, _ notices: [Notice]) {
        let resting = screen.clock != nil
        if let form = screen.form {
            stays.append(.name(form.title, spoken: form.title))
            stays += form.lines.map { .text($0, .large) }
            stays += form.rows.map { .row($0) }
        } else if let clock = screen.clock {
            stays.append(.clock(clock))
        } else {
            stays.append(.name(screen.title, spoken: screen.title))
        }
        if let refused { stays.append(.text(refused, .strong)) }
        stays += screen.told.map { .text($0, .plain) }
        guard screen.form == nil else { return }
        if let set = screen.set { resting ? next(set) : atHand(set) }
        if let then = screen.then, !resting { stays.append(.text(then, .soft)) }
        stays += screen.before.map { .row($0) }
        stays += screen.rows.map { .row($0) }
        // Nothing of the shell's own stands in a session.
        if !screen.contents.isEmpty { stays += notices.map { .notice($0) } }
    }

    private mutating func atHand(_ set: SetScreen) {
        stays.append(.text(set.count, .soft))
        stays += set.notes.map { .text($0, .plain) }
        if let load = set.load { stays.append(.load(load)) }
        stays.append(.reps(set.amount, leave: set.reserve))
        under(set)
    }

    private mutating func next(_ set: SetScreen) {
        stays.append(.rule)
        if let then = screen.then { stays.append(.text(then, .soft)) }
        stays.append(.text(set.count, .soft))
        let short = [set.load, set.amount, set.reserve].compactMap { $0 }.joined(separator: ", ")
        stays.append(.name(short, spoken: set.sentence))
        stays.append(.name(set.movement, spoken: set.movement))
        stays += set.notes.map { .text($0, .plain) }
        under(set)
    }

    /// What goes on the bar, what can hurt, why this load, and the cue.
    private mutating func under(_ set: SetScreen) {
        if let discs = set.discs {
            stays.append(.rule)
            stays.append(.text("\(discs.bar). \(discs.words)", .large))
        }
        let cautions = set.cautions + (set.bailOut.map { [$0] } ?? [])
        if !cautions.isEmpty { stays.append(.caution(head: screen.cautionHead, lines: cautions)) }
        if let discs = set.discs {
            stays += discs.notes.map { .text($0, .plain) }
            if !discs.drawn.isEmpty { follows.append(.sleeve(discs.drawn)) }
            follows += discs.moves.map { .text($0, .plain) }
        }
        if let made = set.made { stays.append(.text(made, .plain)) }
        if let because = set.because { follows.append(.text(because, .soft)) }
        if let cue = set.cue { follows.append(.text(cue, .plain)) }
    }
}
