package plinth.companion

import kotlinx.serialization.json.JsonObject
import kotlinx.serialization.json.contentOrNull
import kotlinx.serialization.json.int
import kotlinx.serialization.json.jsonObject
import kotlinx.serialization.json.jsonPrimitive
import kotlinx.serialization.json.long
import plinth.boundary.FileForm
import plinth.boundary.Listener
import plinth.boundary.LogLine
import plinth.boundary.LongTask
import plinth.boundary.Outcome
import plinth.boundary.PlinthCompanion
import plinth.boundary.PlinthException
import plinth.boundary.Rehearsal
import plinth.boundary.SyncSession
import plinth.boundary.WorkProgress
import plinth.boundary.readEvent
import plinth.core.Effect
import plinth.core.Language
import plinth.core.Moment
import java.nio.file.Files
import java.nio.file.Path
import java.util.concurrent.ConcurrentLinkedQueue
import java.util.concurrent.LinkedBlockingQueue
import kotlin.io.path.ExperimentalPathApi
import kotlin.io.path.deleteRecursively
import kotlin.io.path.extension
import kotlin.io.path.name
import kotlin.io.path.readLines
import kotlin.io.path.readText
import kotlin.io.path.writeText
import kotlinx.serialization.json.Json as Reader

/** Makes the calls of one file of vectors, and writes each line anew from the typed values. */
class Vectors(
    private val json: Json,
) : AutoCloseable {
    private var folder: Path = Files.createTempDirectory("plinth-vectors")
    private var companion: PlinthCompanion? = null
    private var sync: SyncSession? = null
    private val ears = Heard()

    /** The line that the typed values make. */
    fun line(call: JsonObject): String {
        val name = call.text("call")
        val (parts, gives) = made(name, call)
        val shown = parts.joinToString("") { (key, value) -> ",\"$key\":$value" }
        return "{\"do\":{\"call\":\"$name\"$shown},\"gives\":$gives}"
    }

    private fun made(
        name: String,
        call: JsonObject,
    ): Pair<List<Pair<String, String>>, String> {
        val parts = mutableListOf<Pair<String, String>>()

        fun at() = moment(call.getValue("at").jsonObject).also { parts += "at" to json.write(it) }

        fun text(key: String) = call.text(key).also { parts += key to json.write(it) }

        val gives =
            try {
                when (name) {
                    "open" -> {
                        val at = at()
                        val language = if (call.text("language") == "de") Language.GERMAN else Language.ENGLISH
                        parts += "language" to json.write(language)
                        val seed =
                            call
                                .getValue("seed")
                                .jsonPrimitive.content
                                .toULong()
                        parts += "seed" to json.write(seed)
                        val file = text("file")
                        val defect =
                            call
                                .getValue("defect_after")
                                .jsonPrimitive.contentOrNull
                                ?.toUInt()
                        parts += "defect_after" to json.write(defect)
                        close() // each record has a folder of its own
                        folder = Files.createTempDirectory("plinth-vectors")
                        val path = folder.resolve(file).toString()
                        val open = PlinthCompanion.open(path, language, at, ears, Rehearsal(seed, defect))
                        companion = open
                        "{\"opening\":${json.write(open.opening())}}"
                    }

                    "tell_brief" -> {
                        val at = at()
                        it().tellBrief(text("document"), at)
                        NOTHING
                    }

                    "take_on" -> {
                        val at = at()
                        val document = text("document")
                        it().takeOn(document, text("from"), at)
                        NOTHING
                    }

                    "receive" -> {
                        val at = at()
                        "{\"update\":${json.write(it().receive(text("document"), at))}}"
                    }

                    "dispatch" -> {
                        val at = at()
                        val event = readEvent(call.getValue("event").toString())
                        parts += "event" to json.write(event)
                        "{\"update\":${json.write(it().dispatch(event, at))}}"
                    }

                    "screen" -> {
                        "{\"screen\":${json.write(it().screen(at()))}}"
                    }

                    "findings" -> {
                        "{\"findings\":${json.write(it().findings(at()))}}"
                    }

                    "digest" -> {
                        "{\"digest\":${json.write(it().digest(at()))}}"
                    }

                    "import" -> {
                        val at = at()
                        val from = folder.resolve("import").also { it.writeText(text("document")) }
                        val form = form(call, parts)
                        outcome { it().import(from.toString(), form, at, ears) }
                    }

                    "draft" -> {
                        val at = at()
                        outcome { it().draft(false, at, ears) }
                    }

                    "backup" -> {
                        val at = at()
                        outcome { it().backup(folder.resolve("backup").toString(), at, ears) }
                    }

                    "export" -> {
                        val at = at()
                        val form = form(call, parts)
                        val to = folder.resolve("export")
                        it().export(to.toString(), form, at)
                        "{\"file\":${json.write(to.readText())}}"
                    }

                    "sync" -> {
                        val at = at()
                        val sync = it().beginSync(text("token"), at).also { sync = it }
                        "{\"sync\":${json.write(sync.next(at))}}"
                    }

                    "sync_next" -> {
                        "{\"sync\":${json.write(underWay().next(at()))}}"
                    }

                    "sync_answer" -> {
                        val at = at()
                        val status =
                            call
                                .getValue("status")
                                .jsonPrimitive.content
                                .toUShort()
                        parts += "status" to json.write(status)
                        val later =
                            call
                                .getValue("retry_after_s")
                                .jsonPrimitive.contentOrNull
                                ?.toUInt()
                        parts += "retry_after_s" to json.write(later)
                        val body = text("body").encodeToByteArray()
                        "{\"sync\":${json.write(underWay().answer(status, later, body, at))}}"
                    }

                    "sync_cut" -> {
                        "{\"sync\":${json.write(underWay().cut(at()))}}"
                    }

                    "paired" -> {
                        val at = at()
                        val address = text("address")
                        val status =
                            call
                                .getValue("status")
                                .jsonPrimitive.content
                                .toUShort()
                        parts += "status" to json.write(status)
                        "{\"token\":${json.write(it().paired(address, status, text("body").encodeToByteArray(), at))}}"
                    }

                    "unpair" -> {
                        it().unpair(at())
                        NOTHING
                    }

                    "log" -> {
                        "{\"log\":${json.write(ears.lines.toList().also { ears.lines.clear() })}}"
                    }

                    "pause" -> {
                        it().pause()
                        NOTHING
                    }

                    "shut_down" -> {
                        it().shutDown()
                        NOTHING
                    }

                    "read_event" -> {
                        "{\"event\":${json.write(readEvent(text("text")))}}"
                    }

                    else -> {
                        error("no call $name")
                    }
                }
            } catch (fault: PlinthException) {
                "{\"error\":${json.write(fault)}}"
            }
        return parts to gives
    }

    private fun outcome(begin: () -> LongTask): String {
        begin().use { return "{\"outcome\":${json.write(ears.ended.take())}}" }
    }

    private fun form(
        call: JsonObject,
        parts: MutableList<Pair<String, String>>,
    ): FileForm {
        val form = if (call.text("form") == "csv") FileForm.CSV else FileForm.JSON
        parts += "form" to json.write(form)
        return form
    }

    private fun underWay() = checkNotNull(sync) { "no sync was begun" }

    private fun it() = checkNotNull(companion) { "nothing was opened" }

    @OptIn(ExperimentalPathApi::class)
    override fun close() {
        companion?.shutDown()
        companion?.close()
        companion = null
        folder.deleteRecursively()
    }

    /** Keeps what it hears. */
    private class Heard : Listener {
        val lines = ConcurrentLinkedQueue<LogLine>()
        val ended = LinkedBlockingQueue<Outcome>()

        override fun effects(effects: List<Effect>) = Unit

        override fun progress(progress: WorkProgress) = Unit

        override fun finished(outcome: Outcome) = ended.put(outcome)

        override fun line(line: LogLine) {
            lines += line
        }
    }

    companion object {
        /** Gives [each] line of every file with the one that was made anew and where it stands; says how many there were. */
        fun through(
            json: Json,
            each: (kept: String, made: String, where: String) -> Unit,
        ): Int {
            val all = Files.list(Path.of(System.getProperty("plinth.vectors"))).use { it.sorted().toList() }
            return all.filter { it.extension == "jsonl" }.sumOf { file ->
                Vectors(json).use { vectors ->
                    val lines = file.readLines()
                    lines.forEachIndexed { n, line ->
                        val call =
                            Reader
                                .parseToJsonElement(line)
                                .jsonObject
                                .getValue("do")
                                .jsonObject
                        each(line, vectors.line(call), "${file.name} line ${n + 1}")
                    }
                    lines.size
                }
            }
        }

        private const val NOTHING = "\"nothing\""

        private fun JsonObject.text(key: String) = getValue(key).jsonPrimitive.content

        fun moment(o: JsonObject) =
            Moment(
                o.getValue("wall_ms").jsonPrimitive.long,
                o.getValue("offset_min").jsonPrimitive.int,
                o.text("monotonic_ms").toULong(),
                o.text("boot"),
            )
    }
}
