import Foundation
import Observation
import PlinthKit

/// How the sealed copies in the lifter's folder stand.
public enum Copies: Sendable, Equatable {
    /// No folder was chosen. `offer`: nor was it put off.
    case noFolder(offer: Bool)
    /// They go to a folder; the last one's day and hour, none yet.
    case kept(folder: String, last: String?)
    /// The folder is gone, or may not be written to any more.
    case lost
    /// It has no room.
    case full
    /// Anything else.
    case failed(String)
}

/// Sealed copies of the record in a folder of the lifter's choice: one where one is due, the last seven of them.
@MainActor
@Observable
final class SealedCopies {
    private(set) var copies = Copies.noFolder(offer: false)
    @ObservationIgnored private let house: House
    private var memory: Memory { house.memory }

    /// Copies that stay (common practice, no source): a week of days.
    nonisolated static let kept = 7
    private static let bookmark = "copies_folder"
    private static let folderName = "copies_folder_name"
    private static let last = "copies_last"
    private static let owed = "copies_owed"
    private static let mark = "copies_mark"
    private static let off = "copies_put_off"

    init(_ house: House) {
        self.house = house
        copies = standing()
    }

    var hasFolder: Bool { memory[SealedCopies.bookmark] != nil }

    /// A copy that was sealed, or is just being sealed, is not yet in the folder: the core takes it for made. Kept before
    /// it is sealed, so that a killed process makes it again.
    private var owed: Bool {
        get { memory[SealedCopies.owed] != nil }
        set { memory[SealedCopies.owed] = newValue ? "yes" : nil }
    }

    /// Marks this app's copies, so that no other phone's or lifter's in the same folder is ever removed. Its letters are
    /// without those that are taken for others.
    private var mark: String {
        if let mark = memory[SealedCopies.mark] { return mark }
        let letters = "abcdefghjkmnpqrstuvwxyz"
        let new = String((0..<4).compactMap { _ in letters.randomElement() })
        memory[SealedCopies.mark] = new
        return new
    }

    /// Keeps a folder that was picked, also after the device starts again. The next copy is due at once.
    func choose(_ folder: URL) throws {
        memory[SealedCopies.bookmark] = try house.phone.folders.bookmark(folder).base64EncodedString()
        memory[SealedCopies.folderName] = folder.lastPathComponent
        memory[SealedCopies.last] = nil
        owed = true
        copies = standing()
    }

    /// The lifter does not want to be asked again.
    func putOff() {
        memory[SealedCopies.off] = "yes"
        copies = standing()
    }

    /// It could not be sealed; it is due again the next time.
    func failed(_ why: String) { copies = .failed(why) }

    /// Seals a copy where one is due, and puts it into the folder. Never throws what a folder can fail with.
    func copy(by way: URL) async throws {
        guard let bookmark = memory[SealedCopies.bookmark].flatMap({ Data(base64Encoded: $0) }) else { return }
        let folder: URL
        do {
            let (found, renewed) = try house.phone.folders.folder(bookmark)
            folder = found
            if let renewed { memory[SealedCopies.bookmark] = renewed.base64EncodedString() }
        } catch {
            copies = .lost
            return
        }
        let before = owed
        owed = true
        guard try await house.ask({ try await $0.sealBackup(to: way.path, now: before) }) else {
            owed = before
            return
        }
        let now = Date(timeIntervalSince1970: Double(house.phone.clock.now().wallMs) / 1_000)
        let (folders, mark) = (house.phone.folders, mark)
        let fault = await Task.detached { () -> (any Error)? in
            do {
                try folders.within(folder) { try SealedCopies.put(way, in: $0, mark: mark, at: now) }
                return nil
            } catch {
                return error
            }
        }.value
        if let fault {
            copies =
                Documents.full(fault)
                ? .full
                : Documents.barred(fault) || !there(folder)
                    ? .lost
                    : .failed(fault.localizedDescription)
        } else {
            owed = false
            memory[SealedCopies.last] = "\(Int64(now.timeIntervalSince1970))"
            copies = standing()
        }
    }

    private func there(_ folder: URL) -> Bool {
        (try? house.phone.folders.within(folder) { FileManager.default.fileExists(atPath: $0.path) }) ?? false
    }

    nonisolated private static func put(_ file: URL, in folder: URL, mark: String, at now: Date) throws {
        let form = DateFormatter()
        form.locale = Locale(identifier: "en_US_POSIX")
        form.dateFormat = "yyyy-MM-dd-HHmmss"
        let stem = "plinth-sealed-\(mark)-"
        let name = "\(stem)\(form.string(from: now)).age"
        try Documents.put(file, in: folder, as: name)
        // The oldest of this app's own go, and what a killed process left of one; another time where that fails.
        let ours = (try? FileManager.default.contentsOfDirectory(atPath: folder.path)) ?? []
        let mine = ours.filter { $0.hasPrefix(stem) && $0 != name }
        let whole = mine.filter { $0.hasSuffix(".age") }.sorted(by: >).dropFirst(kept - 1)
        for old in mine.filter({ $0.hasSuffix(".age.part") }) + whole {
            try? FileManager.default.removeItem(at: folder.appendingPathComponent(old))
        }
    }

    private func standing() -> Copies {
        guard hasFolder else { return .noFolder(offer: memory[SealedCopies.off] == nil) }
        let last = memory[SealedCopies.last].flatMap(Double.init).map(Date.init(timeIntervalSince1970:))
        return .kept(
            folder: memory[SealedCopies.folderName] ?? "", last: last.map { house.words.dayAndHour($0) })
    }
}
