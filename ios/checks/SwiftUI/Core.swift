// Declarations of the part of SwiftUI that the views use, so that their types can be checked where there is no SwiftUI.
// Written for this; nothing is drawn, and nothing of it is shipped. Bodies exist only for the compiler.
@_exported import Foundation
@_exported import Observation

func stub() -> Never { fatalError("this is checked and never run") }

@MainActor @preconcurrency public protocol View {
    associatedtype Body: View
    @ViewBuilder @MainActor @preconcurrency var body: Body { get }
}

extension Never: View { public var body: Never { stub() } }

/// A view of this stub: it has no body.
public protocol Leaf: View where Body == Never {}
extension Leaf { public var body: Never { stub() } }

public struct EmptyView: Leaf { public init() {} }
public struct TupleView<each V: View>: Leaf {}
public struct Modified: Leaf {}
extension Optional: View where Wrapped: View { public var body: Never { stub() } }
public struct Either<A: View, B: View>: Leaf {}

@resultBuilder public struct ViewBuilder {
    public static func buildExpression<V: View>(_ v: V) -> V { v }
    public static func buildBlock() -> EmptyView { stub() }
    public static func buildBlock<V: View>(_ v: V) -> V { v }
    public static func buildBlock<each V: View>(_ v: repeat each V) -> TupleView<repeat each V> { stub() }
    public static func buildIf<V: View>(_ v: V?) -> V? { v }
    public static func buildEither<A: View, B: View>(first: A) -> Either<A, B> { stub() }
    public static func buildEither<A: View, B: View>(second: B) -> Either<A, B> { stub() }
}

@MainActor @preconcurrency public protocol ViewModifier {
    associatedtype Body: View
    typealias Content = Modified
    @ViewBuilder @MainActor @preconcurrency func body(content: Content) -> Body
}

// What flows

@propertyWrapper public struct State<Value> {
    public init(wrappedValue: Value) {}
    public init(initialValue: Value) {}
    public var wrappedValue: Value {
        get { stub() }
        nonmutating set {}
    }
    public var projectedValue: Binding<Value> { stub() }
}

@propertyWrapper @dynamicMemberLookup public struct Binding<Value> {
    @preconcurrency public init(
        get: @escaping @isolated(any) @Sendable () -> Value, set: @escaping @isolated(any) @Sendable (Value) -> Void
    ) {}
    public var wrappedValue: Value {
        get { stub() }
        nonmutating set {}
    }
    public var projectedValue: Binding { self }
    public subscript<T>(dynamicMember path: WritableKeyPath<Value, T>) -> Binding<T> { stub() }
}

@propertyWrapper @dynamicMemberLookup public struct Bindable<Value: AnyObject & Observable> {
    public init(wrappedValue: Value) { self.wrappedValue = wrappedValue }
    public var wrappedValue: Value
    public var projectedValue: Bindable { self }
    public subscript<T>(dynamicMember path: ReferenceWritableKeyPath<Value, T>) -> Binding<T> { stub() }
}

public protocol EnvironmentKey {
    associatedtype Value
    static var defaultValue: Value { get }
}
public enum ScenePhase: Comparable, Sendable { case background, inactive, active }
public enum ColorScheme: Sendable { case light, dark }
public enum DynamicTypeSize: Comparable, Sendable {
    case xSmall, small, medium, large, xLarge, xxLarge, xxxLarge
    case accessibility1, accessibility2, accessibility3, accessibility4, accessibility5
    public var isAccessibilitySize: Bool { self >= .accessibility1 }
}
public struct EnvironmentValues {
    public var scenePhase: ScenePhase { stub() }
    public var colorScheme: ColorScheme { stub() }
    public var dynamicTypeSize: DynamicTypeSize { stub() }
    public var locale: Locale {
        get { stub() }
        set {}
    }
    public subscript<K: EnvironmentKey>(key: K.Type) -> K.Value {
        get { stub() }
        set {}
    }
}
@propertyWrapper public struct Environment<Value> {
    public init(_ path: KeyPath<EnvironmentValues, Value>) {}
    public var wrappedValue: Value { stub() }
}
@propertyWrapper public struct ScaledMetric<Value: BinaryFloatingPoint> {
    public init(wrappedValue: Value, relativeTo style: Font.TextStyle) {}
    public var wrappedValue: Value { stub() }
}

// The app

@MainActor @preconcurrency public protocol Scene {
    associatedtype Body: Scene
    @SceneBuilder @MainActor @preconcurrency var body: Body { get }
}
extension Never: Scene {}
@resultBuilder public struct SceneBuilder { public static func buildBlock<S: Scene>(_ s: S) -> S { s } }
public struct ModifiedScene: Scene { public var body: Never { stub() } }
public struct WindowGroup<C: View>: Scene {
    public init(@ViewBuilder content: () -> C) {}
    public var body: Never { stub() }
}
public struct BackgroundTask<Request, Response> {
    public static func appRefresh(_ name: String) -> BackgroundTask<Void, Void>
    where Request == Void, Response == Void { stub() }
}
extension Scene {
    public func onChange<V: Equatable>(of v: V, initial: Bool = false, _ action: @escaping (V, V) -> Void) -> some Scene
    {
        ModifiedScene()
    }
    public func backgroundTask<D: Sendable, R: Sendable>(
        _ task: BackgroundTask<D, R>, action: @escaping @Sendable (D) async -> R
    ) -> some Scene { ModifiedScene() }
}
@MainActor @preconcurrency public protocol App {
    associatedtype Body: Scene
    @SceneBuilder @MainActor @preconcurrency var body: Body { get }
    @MainActor @preconcurrency init()
}
extension App { @MainActor public static func main() { stub() } }
