import Foundation
import PlinthKit

/// What only the shell can say; `Resources` has each in every language.
public enum Word: String, CaseIterable, Sendable {
    case contents, chosen, opening, written, restore, syncing, synced, taken, changed, refused, restored, recovered
    case closedContents = "closed_contents"
    case cannotOpen = "cannot_open"
    case tryAgain = "try_again"
    case noNotices = "no_notices"
    case allowNotices = "allow_notices"
    case noDialler = "no_dialler"
    case noNumber = "no_number"
    case sessionLine = "session_line"
    case noFile = "no_file"
    case notRead = "not_read"
    case noProgramme = "no_programme"
    case noRoom = "no_room"
    case notAllowed = "not_allowed"
    case calledOff = "called_off"
    case refusedLine = "refused_line"
    case refusedField = "refused_field"
    case refusedMore = "refused_more"
    case askProgramme = "ask_programme"
    case askProgrammeWhat = "ask_programme_what"
    case takeIn = "take_in"
    case notTakenIn = "not_taken_in"
    case leaveIt = "leave_it"
    case askWords = "ask_words"
    case askWordsWhat = "ask_words_what"
    case wordsHere = "words_here"
    case notRestored = "not_restored"
    case offerCopies = "offer_copies"
    case toCopies = "to_copies"
    case notNow = "not_now"
    case noFolder = "no_folder"
    case copiesKept = "copies_kept"
    case copiesNone = "copies_none"
    case copiesLost = "copies_lost"
    case copiesFull = "copies_full"
    case copiesFailed = "copies_failed"
    case otherFolder = "other_folder"
    case secondsLeft = "seconds_left"
    case minutesLeft = "minutes_left"
    case pairingLost = "pairing_lost"
    case notReached = "not_reached"
    case notKept = "pairing_not_kept"
    case expired = "certificate_expired"
    case expiredRemedy = "certificate_expired_remedy"
    case early = "certificate_early"
    case earlyRemedy = "certificate_early_remedy"
    case otherHost = "certificate_other_host"
    case checkAddress = "check_address"
    case notThePaired = "certificate_not_paired"
    case notThePairedRemedy = "certificate_not_paired_remedy"
    case untrusted = "certificate_untrusted"
    case untrustedRemedy = "certificate_untrusted_remedy"
    case addressRefused = "address_refused"
    case addressRefusedRemedy = "address_refused_remedy"
    case tooLong = "answer_too_long"
    case tooLongRemedy = "answer_too_long_remedy"
    case setAside = "set_aside"

    /// Those that count something: one and other.
    static let counting: Set<Word> = [
        .taken, .changed, .refused, .refusedMore, .restored, .recovered, .secondsLeft, .minutesLeft, .setAside,
    ]

    /// The keys that a language's file has for it.
    var keys: [String] { Word.counting.contains(self) ? ["\(rawValue).one", "\(rawValue).other"] : [rawValue] }
}

/// The shell's words in one language: that of the record, which need not be the device's.
public struct Words: Sendable {
    public let language: Language
    private let lines: [String: String]

    /// One file for each language, read once.
    private static let english = read("en")
    private static let german = read("de")

    public init(_ language: Language) {
        self.language = language
        lines = language == .german ? Words.german : Words.english
    }

    public func callAsFunction(_ word: Word, _ with: String...) -> String { filled(word.rawValue, with) }

    /// With a count, in figures and in the number of the noun.
    func counted(_ word: Word, _ count: some BinaryInteger) -> String {
        filled("\(word.rawValue).\(count == 1 ? "one" : "other")", ["\(count)"])
    }

    private func filled(_ key: String, _ with: [String]) -> String {
        var line = lines[key] ?? key
        for (n, value) in with.enumerated() { line = line.replacingOccurrences(of: "%\(n + 1)$@", with: value) }
        return line
    }

    /// The lines of a language by their keys.
    static func read(_ language: String) -> [String: String] {
        let file = Bundle.module.url(
            forResource: "Localizable", withExtension: "strings", subdirectory: nil, localization: language)
        guard let file, let data = try? Data(contentsOf: file),
            let read = try? PropertyListSerialization.propertyList(from: data, format: nil)
        else { return [:] }
        return read as? [String: String] ?? [:]
    }

    /// The language that the device is set to, where it is one of ours.
    public static var ofTheDevice: Language {
        Locale.preferredLanguages.first?.hasPrefix("de") == true ? .german : .english
    }

    /// A moment's day and hour, as the language writes them.
    func dayAndHour(_ date: Date) -> String { written(date, .medium) }

    /// A moment's hour.
    func hour(_ date: Date) -> String { written(date, .none) }

    private func written(_ date: Date, _ day: DateFormatter.Style) -> String {
        let form = DateFormatter()
        form.locale = Locale(identifier: language == .german ? "de" : "en_GB")
        form.dateStyle = day
        form.timeStyle = .short
        return form.string(from: date)
    }

    /// The core's two parts of a fault, which begin small and have no full stop.
    static func sentences(_ parts: String...) -> String {
        parts.map { $0.trimmingCharacters(in: .whitespaces) }.filter { !$0.isEmpty }
            .map { ($0.hasSuffix(".") ? String($0.dropLast()) : $0) + "." }
            .map { $0.prefix(1).uppercased() + $0.dropFirst() }.joined(separator: " ")
    }
}
