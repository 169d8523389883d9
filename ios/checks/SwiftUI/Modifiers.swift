import UIKit
import UniformTypeIdentifiers

public struct Animation: Sendable {}
public struct Transaction { public var animation: Animation? }
public struct AccessibilityActionKind: Sendable {
    public static let magicTap = Self(), escape = Self(), `default` = Self()
}
public struct AccessibilityTraits: SetAlgebra, OptionSet, Sendable {
    public let rawValue: Int
    public init(rawValue: Int) { self.rawValue = rawValue }
    public static let isHeader = Self(rawValue: 1)
    public static let isSelected = Self(rawValue: 2)
}
public struct AccessibilityChildBehavior: Sendable {
    public static let combine = Self(), contain = Self(), ignore = Self()
}
public struct KeyEquivalent: Sendable { public static let escape = Self(), `return` = Self() }
public struct KeyboardShortcut: Sendable { public static let defaultAction = Self(), cancelAction = Self() }
public struct EventModifiers: OptionSet, Sendable {
    public let rawValue: Int
    public init(rawValue: Int) { self.rawValue = rawValue }
    public static let command = Self(rawValue: 1)
}
public enum ScrollIndicatorVisibility: Sendable { case automatic, visible, hidden, never }
public struct ScrollDismissesKeyboardMode: Sendable { public static let interactively = Self(), immediately = Self() }
public struct TextInputAutocapitalization: Sendable { public static var never: Self { stub() } }
public struct SubmitLabel: Sendable { public static var done: Self { stub() } }

extension View {
    public func modifier<M: ViewModifier>(_ m: M) -> some View { Modified() }
    public func font(_ font: Font?) -> some View { Modified() }
    public func fontWidth(_ width: Font.Width?) -> some View { Modified() }
    public func foregroundStyle<S: ShapeStyle>(_ s: S) -> some View { Modified() }
    public func background<S: ShapeStyle>(_ s: S) -> some View { Modified() }
    public func background<V: View>(_ v: V, alignment: Alignment = .center) -> some View { Modified() }
    public func overlay<V: View>(alignment: Alignment = .center, @ViewBuilder content: () -> V) -> some View {
        Modified()
    }
    public func ignoresSafeArea() -> some View { Modified() }
    public func padding(_ length: CGFloat) -> some View { Modified() }
    public func padding(_ edges: Edge.Set = .all, _ length: CGFloat? = nil) -> some View { Modified() }
    public func frame(width: CGFloat? = nil, height: CGFloat? = nil, alignment: Alignment = .center) -> some View {
        Modified()
    }
    public func frame(
        minWidth: CGFloat? = nil, idealWidth: CGFloat? = nil, maxWidth: CGFloat? = nil, minHeight: CGFloat? = nil,
        idealHeight: CGFloat? = nil, maxHeight: CGFloat? = nil, alignment: Alignment = .center
    ) -> some View { Modified() }
    public func fixedSize() -> some View { Modified() }
    public func fixedSize(horizontal: Bool, vertical: Bool) -> some View { Modified() }
    public func lineLimit(_ number: Int?) -> some View { Modified() }
    public func lineLimit(_ limit: ClosedRange<Int>) -> some View { Modified() }
    public func multilineTextAlignment(_ a: TextAlignment) -> some View { Modified() }
    public func hidden() -> some View { Modified() }
    public func clipped() -> some View { Modified() }
    public func contentShape<S: Shape>(_ s: S) -> some View { Modified() }
    public func id<I: Hashable>(_ id: I) -> some View { Modified() }
    public func disabled(_ b: Bool) -> some View { Modified() }
    public func buttonStyle<S: ButtonStyle>(_ s: S) -> some View { Modified() }
    public func keyboardShortcut(_ key: KeyEquivalent, modifiers: EventModifiers = .command) -> some View { Modified() }
    public func keyboardShortcut(_ shortcut: KeyboardShortcut) -> some View { Modified() }
    public func scrollIndicators(_ v: ScrollIndicatorVisibility) -> some View { Modified() }
    public func scrollDismissesKeyboard(_ m: ScrollDismissesKeyboardMode) -> some View { Modified() }
    public func privacySensitive(_ b: Bool = true) -> some View { Modified() }
    public func autocorrectionDisabled(_ b: Bool = true) -> some View { Modified() }
    public func textInputAutocapitalization(_ a: TextInputAutocapitalization?) -> some View { Modified() }
    public func keyboardType(_ t: UIKeyboardType) -> some View { Modified() }
    public func submitLabel(_ l: SubmitLabel) -> some View { Modified() }
    public func onSubmit(_ action: @escaping (() -> Void)) -> some View { Modified() }
    public func transaction(_ change: @escaping (inout Transaction) -> Void) -> some View { Modified() }
    public func environment<V>(_ path: WritableKeyPath<EnvironmentValues, V>, _ value: V) -> some View { Modified() }
    public func onChange<V: Equatable>(
        of v: V, initial: Bool = false, _ action: @escaping (V, V) -> Void
    ) -> some View { Modified() }
    public func onGeometryChange<T: Equatable & Sendable>(
        for type: T.Type, of transform: @escaping @Sendable (GeometryProxy) -> T, action: @escaping (T) -> Void
    ) -> some View { Modified() }
    public func task(@_inheritActorContext _ action: sending @escaping @isolated(any) () async -> Void) -> some View {
        Modified()
    }
    public func task<I: Equatable>(
        id: I, @_inheritActorContext _ action: sending @escaping @isolated(any) () async -> Void
    ) -> some View { Modified() }
    public func onOpenURL(perform: @escaping (URL) -> Void) -> some View { Modified() }
    public func fileImporter(
        isPresented: Binding<Bool>, allowedContentTypes: [UTType],
        onCompletion: @escaping (Result<URL, any Error>) -> Void
    ) -> some View { Modified() }
    public func fileMover(
        isPresented: Binding<Bool>, file: URL?, onCompletion: @escaping (Result<URL, any Error>) -> Void
    ) -> some View { Modified() }

    public func accessibilityLabel(_ t: Text) -> some View { Modified() }
    public func accessibilityValue(_ t: Text) -> some View { Modified() }
    public func accessibilityHidden(_ b: Bool) -> some View { Modified() }
    public func accessibilityElement(children: AccessibilityChildBehavior = .ignore) -> some View { Modified() }
    public func accessibilityAddTraits(_ t: AccessibilityTraits) -> some View { Modified() }
    public func accessibilityAction(
        _ kind: AccessibilityActionKind = .default, _ handler: @escaping () -> Void
    ) -> some View { Modified() }
    public func accessibilityActions<C: View>(@ViewBuilder _ content: () -> C) -> some View { Modified() }
}
