import Foundation
import PlinthKit

/// Writes typed values as Rust writes them: fields in order, names in small letters, enums by their tags.
struct Json {
    /// The field that names the variant of an enum that carries something.
    static let tags: [String: String] = [
        "FloorEvent": "event", "PageEvent": "page", "Screen": "shows", "Block": "block", "Spot": "spot",
        "Deed": "deed", "Effect": "effect", "LogLine": "line", "Outcome": "outcome", "PlinthError": "kind",
        "SyncStep": "step",
    ]
    /// Enums whose words are not their names.
    static let words: [String: String] = ["Language.english": "en", "Language.german": "de"]

    /// Every variant of an enum that was written.
    var seen = Set<String>()

    mutating func write(_ value: Any) -> String {
        var out = ""
        put(value, &out)
        return out
    }

    private mutating func put(_ value: Any, _ out: inout String) {
        switch value {
        case let flag as Bool: out += flag ? "true" : "false"
        case let text as String: Json.quote(text, &out)
        case let bytes as Data: Json.quote(Json.textOrHex(bytes), &out)
        case let event as Event:
            switch event {
            case .floor(let inner):
                seen.insert("Event.floor")
                put(inner, &out)
            case .page(let inner):
                seen.insert("Event.page")
                put(inner, &out)
            }
        case let number as any FixedWidthInteger: out += "\(number)"
        default: putShape(value, &out)
        }
    }

    private mutating func putShape(_ value: Any, _ out: inout String) {
        let mirror = Mirror(reflecting: value)
        switch mirror.displayStyle {
        case .optional:
            if let some = mirror.children.first { put(some.value, &out) } else { out += "null" }
        case .collection:
            out += "["
            for (n, child) in mirror.children.enumerated() {
                if n > 0 { out += "," }
                put(child.value, &out)
            }
            out += "]"
        case .enum: putVariant(value, mirror, &out)
        default:
            out += "{"
            putFields(mirror, true, &out)
            out += "}"
        }
    }

    private mutating func putVariant(_ value: Any, _ mirror: Mirror, _ out: inout String) {
        let kind = "\(type(of: value))"
        let child = mirror.children.first
        let name = child?.label ?? "\(value)"
        seen.insert("\(kind).\(name)")
        let word = Json.words["\(kind).\(name)"] ?? Json.snake(name)
        guard let tag = Json.tags[kind] else {
            precondition(child == nil, "\(kind) carries something and has no tag")
            Json.quote(word, &out)
            return
        }
        out += "{\"\(tag)\":\"\(word)\""
        if let child, kind == "Screen" {
            // The screen of a place has its members beside the tag.
            putFields(Mirror(reflecting: child.value), false, &out)
        } else if let child {
            let fields = Mirror(reflecting: child.value)
            precondition(fields.displayStyle == .tuple, "\(kind).\(name) has no names")
            putFields(fields, false, &out)
        }
        out += "}"
    }

    private mutating func putFields(_ mirror: Mirror, _ first: Bool, _ out: inout String) {
        var first = first
        for child in mirror.children {
            if !first { out += "," }
            first = false
            Json.quote(Json.snake(child.label ?? ""), &out)
            out += ":"
            put(child.value, &out)
        }
    }

    /// The text that bytes are, or the bytes where they are none.
    static func textOrHex(_ bytes: Data) -> String {
        String(data: bytes, encoding: .utf8) ?? "hex:" + bytes.map { String(format: "%02x", $0) }.joined()
    }

    static func snake(_ name: String) -> String {
        var out = ""
        for letter in name {
            if letter.isUppercase, !out.isEmpty { out += "_" }
            out += letter.lowercased()
        }
        return out
    }

    static func quote(_ text: String, _ out: inout String) {
        out += "\""
        for scalar in text.unicodeScalars {
            switch scalar {
            case "\"": out += "\\\""
            case "\\": out += "\\\\"
            case "\n": out += "\\n"
            case "\r": out += "\\r"
            case "\t": out += "\\t"
            case "\u{8}": out += "\\b"
            case "\u{c}": out += "\\f"
            case "\u{0}"..."\u{1f}": out += String(format: "\\u%04x", scalar.value)
            default: out.unicodeScalars.append(scalar)
            }
        }
        out += "\""
    }
}
