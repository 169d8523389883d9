import Foundation
import PlinthEvening
import PlinthKit

/// Makes the calls of one file of vectors, and writes each line anew from the typed values.
final class Vectors {
    var json: Json
    private var folder: URL
    private var companion: PlinthCompanion?
    private var sync: SyncSession?
    private let ears = Heard()

    init(_ json: Json) throws {
        self.json = json
        folder = try scratchFolder()
    }

    /// Lets go of the record and removes its folder.
    func end() throws {
        companion?.shutDown()
        companion = nil
        sync = nil
        try FileManager.default.removeItem(at: folder)
    }

    /// The line that the typed values make.
    func line(_ call: [String: Any]) throws -> String {
        let name = try text(call, "call")
        var parts = ""
        let gives: String
        do {
            gives = try make(name, call, &parts)
        } catch let fault as PlinthError {
            gives = "{\"error\":\(json.write(fault))}"
        }
        return "{\"do\":{\"call\":\"\(name)\"\(parts)},\"gives\":\(gives)}"
    }

    private func make(_ name: String, _ call: [String: Any], _ parts: inout String) throws -> String {
        func add(_ key: String, _ value: Any) { parts += ",\"\(key)\":\(json.write(value))" }
        func given(_ key: String) throws -> String {
            let text = try text(call, key)
            add(key, text)
            return text
        }
        func given(form key: String) throws -> FileForm {
            let form: FileForm = try text(call, key) == "csv" ? .csv : .json
            add(key, form)
            return form
        }
        func underWay() throws -> SyncSession {
            guard let sync else { throw Unreadable.line("no sync was begun") }
            return sync
        }
        func at() throws -> Moment {
            let moment = try Moment(read: call["at"])
            add("at", moment)
            return moment
        }
        func it() throws -> PlinthCompanion {
            guard let companion else { throw Unreadable.line("nothing was opened") }
            return companion
        }
        let nothing = "\"nothing\""
        switch name {
        case "open":
            let moment = try at()
            let language: Language = try text(call, "language") == "de" ? .german : .english
            add("language", language)
            guard let seed = (call["seed"] as? NSNumber)?.uint64Value else { throw Unreadable.line("seed") }
            add("seed", seed)
            let file = try given("file")
            let defect = (call["defect_after"] as? NSNumber)?.uint32Value
            add("defect_after", defect as Any)
            try end()
            folder = try scratchFolder()  // each record has one of its own
            let opened = try PlinthCompanion.open(
                path: folder.appendingPathComponent(file).path, language: language, moment: moment,
                listener: ears, rehearsal: Rehearsal(seed: seed, defectAfter: defect))
            companion = opened
            return "{\"opening\":\(json.write(opened.opening()))}"
        case "tell_brief":
            let moment = try at()
            try it().tellBrief(document: given("document"), moment: moment)
            return nothing
        case "take_on":
            let moment = try at()
            let document = try given("document")
            try it().takeOn(document: document, from: given("from"), moment: moment)
            return nothing
        case "receive":
            let moment = try at()
            return "{\"update\":\(json.write(try it().receive(document: given("document"), moment: moment)))}"
        case "dispatch":
            let moment = try at()
            let written = try JSONSerialization.data(withJSONObject: call["event"] ?? [:])
            let event = try readEvent(text: String(decoding: written, as: UTF8.self))
            add("event", event)
            return "{\"update\":\(json.write(try it().dispatch(event: event, moment: moment)))}"
        case "screen": return "{\"screen\":\(json.write(try it().screen(moment: at())))}"
        case "findings": return "{\"findings\":\(json.write(try it().findings(moment: at())))}"
        case "digest": return "{\"digest\":\(json.write(try it().digest(moment: at())))}"
        case "import":
            let moment = try at()
            let from = folder.appendingPathComponent("import")
            try given("document").write(to: from, atomically: false, encoding: .utf8)
            let form = try given(form: "form")
            return try outcome(
                try it().`import`(from: from.path, form: form, moment: moment, listener: ears))
        case "draft":
            let moment = try at()
            return try outcome(try it().draft(thorough: false, moment: moment, listener: ears))
        case "backup":
            let moment = try at()
            let to = folder.appendingPathComponent("backup").path
            return try outcome(try it().backup(to: to, moment: moment, listener: ears))
        case "export":
            let moment = try at()
            let form = try given(form: "form")
            let to = folder.appendingPathComponent("export")
            _ = try it().export(to: to.path, form: form, moment: moment)
            return "{\"file\":\(json.write(try String(contentsOf: to, encoding: .utf8)))}"
        case "sync":
            let moment = try at()
            let begun = try it().beginSync(token: given("token"), moment: moment)
            sync = begun
            return "{\"sync\":\(json.write(try begun.next(moment: moment)))}"
        case "sync_next": return "{\"sync\":\(json.write(try underWay().next(moment: at())))}"
        case "sync_answer":
            let moment = try at()
            guard let status = (call["status"] as? NSNumber)?.uint16Value else { throw Unreadable.line("status") }
            add("status", status)
            let later = (call["retry_after_s"] as? NSNumber)?.uint32Value
            add("retry_after_s", later as Any)
            let step = try underWay().answer(
                status: status, retryAfterS: later, body: Data(given("body").utf8), moment: moment)
            return "{\"sync\":\(json.write(step))}"
        case "sync_cut": return "{\"sync\":\(json.write(try underWay().cut(moment: at())))}"
        case "paired":
            let moment = try at()
            let address = try given("address")
            guard let status = (call["status"] as? NSNumber)?.uint16Value else { throw Unreadable.line("status") }
            add("status", status)
            let token = try it().paired(
                address: address, status: status, body: Data(given("body").utf8), moment: moment)
            return "{\"token\":\(json.write(token))}"
        case "unpair":
            try it().unpair(moment: at())
            return nothing
        case "log": return "{\"log\":\(json.write(ears.takeLines()))}"
        case "pause":
            try it().pause()
            return nothing
        case "shut_down":
            try it().shutDown()
            return nothing
        case "read_event": return "{\"event\":\(json.write(try readEvent(text: given("text"))))}"
        default: throw Unreadable.line("no call \(name)")
        }
    }

    private func outcome(_ begun: LongTask) throws -> String {
        withExtendedLifetime(begun) { "{\"outcome\":\(json.write(ears.waitForEnd()))}" }
    }

    private func text(_ call: [String: Any], _ key: String) throws -> String {
        guard let text = call[key] as? String else { throw Unreadable.line(key) }
        return text
    }
}
