import Dispatch

/// Times of one thing, in nanoseconds.
struct Times {
    private var all: [Double] = []

    /// Times one go. `of` is how many calls it makes.
    mutating func take<Value>(of calls: Int = 1, _ body: () throws -> Value) rethrows -> Value {
        let begin = DispatchTime.now().uptimeNanoseconds
        let value = try body()
        all.append(Double(DispatchTime.now().uptimeNanoseconds - begin) / Double(calls))
        return value
    }

    /// As `take`, across tasks.
    mutating func takeAcross<Value>(_ body: () async throws -> Value) async rethrows -> Value {
        let begin = DispatchTime.now().uptimeNanoseconds
        let value = try await body()
        all.append(Double(DispatchTime.now().uptimeNanoseconds - begin))
        return value
    }

    /// Forgets what was taken to warm up.
    mutating func forget() { all = [] }

    var count: Int { all.count }
    var median: Double {
        let sorted = all.sorted()
        return sorted.isEmpty ? 0 : sorted[sorted.count / 2]
    }
}
