public struct UTType: Sendable, Hashable {
    public static var folder: UTType { fatalError() }
    public static var json: UTType { fatalError() }
    public static var data: UTType { fatalError() }
    public static var plainText: UTType { fatalError() }
    public static var commaSeparatedText: UTType { fatalError() }
}
