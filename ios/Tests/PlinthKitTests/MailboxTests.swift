import Testing

@testable import PlinthKit

extension Everything {
    @Test func aMailboxKeepsWhatACancelledReaderDidNotRead() async {
        let box = Mailbox<Int>()
        let (signs, sign) = AsyncStream.makeStream(of: Void.self)
        let first = Task {
            var read: [Int] = []
            for await number in box {
                read.append(number)
                if number == 2 { sign.yield() }
            }
            return read
        }
        box.put(1)
        box.put(2)
        for await _ in signs { break }
        first.cancel()
        let read = await first.value
        box.put(3)
        box.put(4)
        box.close()
        box.put(5)
        var rest: [Int] = []
        for await number in box { rest.append(number) }
        #expect(read == [1, 2])
        #expect(rest == [3, 4])
    }

    @Test func aLaterReaderTakesOver() async {
        let box = Mailbox<Int>()
        let earlier = box.makeAsyncIterator()
        let waiting = Task { await earlier.next() }
        let later = box.makeAsyncIterator()
        box.put(1)
        #expect(await later.next() == 1)
        #expect(await waiting.value == nil)
        box.put(2)
        #expect(await earlier.next() == nil, "it was taken over")
        #expect(await later.next() == 2)
    }

    @Test func aMailboxThatNobodyReadsDropsTheOldest() async {
        let box = Mailbox<Int>(keeps: 3)
        for number in 1...5 { box.put(number) }
        box.close()
        var read: [Int] = []
        for await number in box { read.append(number) }
        #expect(read == [3, 4, 5])
    }

    @Test func nothingIsLostOrDoubledWhenReadersComeAndGo() async {
        let box = Mailbox<Int>()
        let count = deep ? 100_000 : 10_000
        let writer = Task.detached {
            for number in 0..<count {
                box.put(number)
                if number % 16 == 0 { await Task.yield() }
            }
            box.close()
        }
        var read: [Int] = []
        var readers = 0
        while read.last != count - 1 {
            let most = readers % 7
            let reader = Task {
                var some: [Int] = []
                for await number in box {
                    some.append(number)
                    if some.count > most { break }
                }
                return some
            }
            if readers % 3 == 0 { reader.cancel() }
            read += await reader.value
            readers += 1
        }
        await writer.value
        #expect(read == Array(0..<count))
    }
}
