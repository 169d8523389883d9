import Foundation
import PlinthEvening
import PlinthKit
import Testing

extension Everything {
    @Test func everyVectorIsRebuiltByteForByteFromTypedValues() throws {
        let files = try FileManager.default.contentsOfDirectory(at: vectorsFolder, includingPropertiesForKeys: nil)
            .filter { $0.pathExtension == "jsonl" }.sorted { $0.path < $1.path }
        var json = Json()
        var checked = 0
        for file in files {
            let vectors = try Vectors(json)
            let lines = try String(contentsOf: file, encoding: .utf8).split(separator: "\n")
            for (n, line) in lines.enumerated() {
                let read = try JSONSerialization.jsonObject(with: Data(line.utf8)) as? [String: Any]
                let call = try #require(read?["do"] as? [String: Any], "\(file.lastPathComponent) line \(n + 1)")
                let made = try vectors.line(call)
                try #require(made == line, "\(file.lastPathComponent) line \(n + 1)")
                checked += 1
            }
            json = vectors.json
            try vectors.end()
        }
        #expect(checked >= 300, "\(checked) vectors are too few")
        print("conformance (Swift): \(checked) checked, 0 failed")
    }
}
