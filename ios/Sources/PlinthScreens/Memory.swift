import Foundation

/// What the shell remembers of itself: a small file beside the record. What cannot be written is forgotten.
@MainActor
final class Memory {
    private let file: URL
    private var kept: [String: String]

    init(_ file: URL) {
        self.file = file
        let data = try? Data(contentsOf: file)
        kept = data.flatMap { try? JSONDecoder().decode([String: String].self, from: $0) } ?? [:]
    }

    subscript(key: String) -> String? {
        get { kept[key] }
        set {
            guard kept[key] != newValue else { return }
            kept[key] = newValue
            let form = JSONEncoder()
            form.outputFormatting = .sortedKeys
            try? form.encode(kept).write(to: file, options: .atomic)
        }
    }
}
