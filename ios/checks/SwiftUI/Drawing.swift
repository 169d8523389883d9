public protocol ShapeStyle: Sendable {}
public struct Color: ShapeStyle, Leaf, Hashable {
    nonisolated public init(red: Double, green: Double, blue: Double, opacity: Double = 1) {}
    nonisolated public static var clear: Color { stub() }
}
public struct Font: Sendable {
    public enum TextStyle: Sendable { case body, title, headline, footnote, caption }
    public struct Weight: Sendable { public static let regular = Weight(), medium = Weight(), semibold = Weight() }
    public struct Width: Sendable {
        public static let standard = Width(), condensed = Width(), compressed = Width()
    }
    public static func system(size: CGFloat, weight: Weight? = nil) -> Font { stub() }
    public func monospacedDigit() -> Font { self }
}
public struct UnitPoint: Sendable {
    public static let topLeading = UnitPoint(), center = UnitPoint(), leading = UnitPoint(), trailing = UnitPoint()
}
public struct Alignment: Sendable {
    public static let top = Alignment(), bottom = Alignment(), leading = Alignment(), center = Alignment()
    public static let topLeading = Alignment(), trailing = Alignment()
}
public enum HorizontalAlignment: Sendable { case leading, center, trailing }
public enum VerticalAlignment: Sendable { case top, center, bottom, firstTextBaseline }
public enum TextAlignment: Sendable { case leading, center, trailing }
public enum Axis: Sendable {
    case horizontal, vertical
    public struct Set: OptionSet, Sendable {
        public let rawValue: Int
        public init(rawValue: Int) { self.rawValue = rawValue }
        public static let horizontal = Set(rawValue: 1)
        public static let vertical = Set(rawValue: 2)
    }
}
public enum Edge: Sendable {
    public struct Set: OptionSet, Sendable {
        public let rawValue: Int
        public init(rawValue: Int) { self.rawValue = rawValue }
        public static let top = Set(rawValue: 1)
        public static let bottom = Set(rawValue: 2)
        public static let horizontal = Set(rawValue: 12)
        public static let vertical = Set(rawValue: 3)
        public static let all = Set(rawValue: 15)
    }
}

public struct Path: Sendable {
    public init() {}
    public init(_ rect: CGRect) {}
    public mutating func move(to point: CGPoint) {}
    public mutating func addLine(to point: CGPoint) {}
    public mutating func closeSubpath() {}
}
public protocol Shape: Sendable, View where Body == Never {
    nonisolated func path(in rect: CGRect) -> Path
}
extension Shape {
    public var body: Never { stub() }
    public func fill<S: ShapeStyle>(_ s: S) -> some View { Modified() }
    public func stroke<S: ShapeStyle>(_ s: S, lineWidth: CGFloat = 1) -> some View { Modified() }
}
public struct Rectangle: Shape {
    nonisolated public init() {}
    nonisolated public func path(in rect: CGRect) -> Path { stub() }
    public func strokeBorder<S: ShapeStyle>(_ s: S, lineWidth: CGFloat = 1) -> some View { Modified() }
}
public struct GraphicsContext {
    public struct Shading { public static func color(_ color: Color) -> Shading { stub() } }
    public struct ResolvedText { public func measure(in size: CGSize) -> CGSize { stub() } }
    public func fill(_ path: Path, with shading: Shading) {}
    public func stroke(_ path: Path, with shading: Shading, lineWidth: CGFloat = 1) {}
    public mutating func clip(to path: Path) {}
    public func resolve(_ text: Text) -> ResolvedText { stub() }
    public func draw(_ text: ResolvedText, at point: CGPoint, anchor: UnitPoint = .center) {}
}
public struct Canvas: Leaf {
    public init(renderer: @escaping (inout GraphicsContext, CGSize) -> Void) {}
}

// How views are laid out

public struct ProposedViewSize: Sendable {
    public var width: CGFloat?
    public var height: CGFloat?
    public static let zero = ProposedViewSize(width: 0, height: 0)
    public static let unspecified = ProposedViewSize(width: nil, height: nil)
    public init(width: CGFloat?, height: CGFloat?) {}
}
public struct LayoutSubview {
    public func sizeThatFits(_ proposal: ProposedViewSize) -> CGSize { stub() }
    public func place(at point: CGPoint, anchor: UnitPoint = .topLeading, proposal: ProposedViewSize) {}
}
public struct LayoutSubviews: RandomAccessCollection {
    public var startIndex: Int { 0 }
    public var endIndex: Int { 0 }
    public subscript(index: Int) -> LayoutSubview { stub() }
}
public protocol Layout {
    associatedtype Cache = Void
    typealias Subviews = LayoutSubviews
    func sizeThatFits(proposal: ProposedViewSize, subviews: Subviews, cache: inout Cache) -> CGSize
    func placeSubviews(in bounds: CGRect, proposal: ProposedViewSize, subviews: Subviews, cache: inout Cache)
}
extension Layout {
    @MainActor public func callAsFunction<V: View>(@ViewBuilder _ content: () -> V) -> some View { Modified() }
}
public struct GeometryProxy: Sendable { public var size: CGSize { stub() } }
