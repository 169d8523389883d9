public struct Text: Leaf {
    nonisolated public init(verbatim text: String) {}
    nonisolated public func font(_ font: Font?) -> Text { self }
    nonisolated public func fontWidth(_ width: Font.Width?) -> Text { self }
    nonisolated public func foregroundStyle<S: ShapeStyle>(_ style: S) -> Text { self }
    nonisolated public static func + (a: Text, b: Text) -> Text { a }
}
public struct Spacer: Leaf { public init() {} }
public struct VStack<C: View>: Leaf {
    public init(alignment: HorizontalAlignment = .center, spacing: CGFloat? = nil, @ViewBuilder content: () -> C) {}
}
public struct HStack<C: View>: Leaf {
    public init(alignment: VerticalAlignment = .center, spacing: CGFloat? = nil, @ViewBuilder content: () -> C) {}
}
public struct ScrollView<C: View>: Leaf { public init(@ViewBuilder content: () -> C) {} }
public struct GeometryReader<C: View>: Leaf { public init(@ViewBuilder content: @escaping (GeometryProxy) -> C) {} }
public struct ViewThatFits<C: View>: Leaf { public init(in axes: Axis.Set, @ViewBuilder content: () -> C) {} }
public struct Grid<C: View>: Leaf {
    public init(
        alignment: Alignment = .center, horizontalSpacing: CGFloat? = nil, verticalSpacing: CGFloat? = nil,
        @ViewBuilder content: () -> C
    ) {}
}
public struct GridRow<C: View>: Leaf { public init(@ViewBuilder content: () -> C) {} }
public struct GridItem: Sendable {
    public enum Size: Sendable {
        case flexible(minimum: CGFloat = 10, maximum: CGFloat = .infinity)
    }
    public init(_ size: Size, alignment: Alignment? = nil) {}
}
public struct LazyVGrid<C: View>: Leaf {
    public init(
        columns: [GridItem], alignment: HorizontalAlignment = .center, spacing: CGFloat? = nil,
        @ViewBuilder content: () -> C
    ) {}
}
public struct ForEach<D: RandomAccessCollection, ID: Hashable, C: View>: Leaf {
    public init(_ data: D, id: KeyPath<D.Element, ID>, @ViewBuilder content: @escaping (D.Element) -> C) {}
}
public struct Button<L: View>: Leaf {
    public init(action: @escaping @MainActor () -> Void, @ViewBuilder label: () -> L) {}
}
@MainActor @preconcurrency public protocol ButtonStyle {
    associatedtype Body: View
    typealias Configuration = ButtonStyleConfiguration
    @ViewBuilder @MainActor @preconcurrency func makeBody(configuration: Configuration) -> Body
}
public struct ButtonStyleConfiguration {
    public let label: Modified
    public let isPressed: Bool
}
public struct TextField<L: View>: Leaf {
    public init(text: Binding<String>, prompt: Text? = nil, axis: Axis, @ViewBuilder label: () -> L) {}
    public init(text: Binding<String>, prompt: Text? = nil, @ViewBuilder label: () -> L) {}
}
