package plinth.companion

import plinth.boundary.FileForm
import plinth.boundary.Listener
import plinth.boundary.LogLine
import plinth.boundary.LongTask
import plinth.boundary.Outcome
import plinth.boundary.PlinthCompanion
import plinth.boundary.Rehearsal
import plinth.boundary.WorkProgress
import plinth.core.Effect
import plinth.core.Event
import plinth.core.FloorEvent
import plinth.core.FloorScreen
import plinth.core.Language
import plinth.core.Moment
import plinth.core.Screen
import plinth.core.Update
import java.nio.file.Files
import java.nio.file.Path
import java.util.concurrent.ConcurrentLinkedQueue
import java.util.concurrent.LinkedBlockingQueue
import java.util.concurrent.TimeUnit
import java.util.concurrent.atomic.AtomicLong
import kotlin.io.path.ExperimentalPathApi
import kotlin.io.path.deleteRecursively
import kotlin.io.path.readText

/** An invented lifter with a record in a folder of its own and a clock that the test moves. */
internal class Someone(
    listener: Listener? = null,
    rehearsal: Rehearsal? = null,
) : AutoCloseable,
    Clock {
    val folder: Path = Files.createTempDirectory("plinth-someone")
    val path: String = folder.resolve("record.db").toString()
    private val passed = AtomicLong()
    val companion: PlinthCompanion = PlinthCompanion.open(path, Language.ENGLISH, now(), listener, rehearsal)

    /** 2026-03-02 18:00 UTC, and a second more each time. */
    override fun now(): Moment {
        val ms = passed.addAndGet(1_500)
        return Moment(1_772_474_400_000 + ms, 0, (50_000_000 + ms).toULong(), "boot-1")
    }

    fun send(event: FloorEvent): Update = companion.dispatch(Event.Floor(event), now())

    fun floor(): FloorScreen = (companion.screen(now()) as Screen.Floor).v1

    /** Takes on a week of the brief and begins a session; its easy part is left out. */
    fun begin(): Someone {
        companion.tellBrief(brief, now())
        companion.takeOn(programme, "own", now())
        send(FloorEvent.Open)
        val floor = floor()
        for (row in floor.before.take(4)) send(row.buttons.first().event)
        send(checkNotNull(floor().wide).event)
        while (floor().stage == "warm_up") send(FloorEvent.WarmUpSkipped)
        return this
    }

    /** Does a set as written. */
    fun set(): Update = send(FloorEvent.Done)

    @OptIn(ExperimentalPathApi::class)
    override fun close() {
        try {
            companion.shutDown()
        } catch (_: IllegalStateException) {
            // The test closed it already.
        }
        companion.close()
        folder.deleteRecursively()
    }

    companion object {
        /** Whether the deep counts are asked for. */
        val deep = System.getProperty("plinth.deep") == "true"

        /** The brief of the main job, invented. */
        val brief: String by lazy { Path.of(System.getProperty("plinth.brief")).readText() }

        /** A week of it: solved once for all tests. */
        val programme: String by lazy {
            Someone().use { someone ->
                someone.companion.tellBrief(brief, someone.now())
                val ears = Waiting()
                someone.companion.draft(false, someone.now(), ears)
                (ears.outcome() as Outcome.Drafted).programme
            }
        }

        /** A file of sets that takes a while to import. */
        fun manySets(
            to: Path,
            rows: Int,
        ): Path {
            val lines = StringBuilder("movement,at,reps,load\n")
            Someone().use { someone ->
                someone.begin().set()
                val csv = someone.folder.resolve("sets.csv")
                someone.companion.export(csv.toString(), FileForm.CSV, someone.now())
                val (head, row) = csv.readText().split("\r\n", "\n")
                lines.clear()
                // Without an id each row is a new set; without stamps it fills what is empty.
                val cells = cells(row).toMutableList()
                val heads = head.split(",")
                for (name in listOf("id", "stamps")) heads.indexOf(name).takeIf { it >= 0 }?.let { cells[it] = "" }
                lines.append(head).append("\r\n")
                val line = cells.joinToString(",") { "\"${it.replace("\"", "\"\"")}\"" }
                repeat(rows) { lines.append(line).append("\r\n") }
            }
            Files.writeString(to, lines)
            return to
        }

        /** The cells of a row of RFC 4180. */
        private fun cells(row: String): List<String> {
            val out = mutableListOf(StringBuilder())
            var quoted = false
            var at = 0
            while (at < row.length) {
                val c = row[at]
                when {
                    quoted && c == '"' && row.getOrNull(at + 1) == '"' -> {
                        out.last().append('"')
                        at++
                    }

                    c == '"' -> {
                        quoted = !quoted
                    }

                    c == ',' && !quoted -> {
                        out += StringBuilder()
                    }

                    else -> {
                        out.last().append(c)
                    }
                }
                at++
            }
            return out.map { it.toString() }
        }
    }
}

/** Waits for the outcome of long work, and may do something at its first progress. */
internal class Waiting(
    private val first: (() -> Unit)? = null,
) : Listener {
    private val outcomes = LinkedBlockingQueue<Outcome>()
    val lines = ConcurrentLinkedQueue<LogLine>()
    val progress = ConcurrentLinkedQueue<WorkProgress>()
    val effects = ConcurrentLinkedQueue<Effect>()

    fun outcome(): Outcome = checkNotNull(outcomes.poll(120, TimeUnit.SECONDS)) { "no outcome came" }

    override fun effects(effects: List<Effect>) {
        this.effects += effects
    }

    override fun progress(progress: WorkProgress) {
        if (this.progress.isEmpty()) first?.invoke()
        this.progress += progress
    }

    override fun finished(outcome: Outcome) {
        outcomes += outcome
    }

    override fun line(line: LogLine) {
        lines += line
    }
}

/** Begins work, and calls it off at its first progress. */
internal fun calledOff(begin: (Listener) -> LongTask): Outcome {
    var task: LongTask? = null
    val lock = Object()
    val ears =
        Waiting(first = {
            synchronized(lock) { checkNotNull(task).cancel() }
        })
    synchronized(lock) { task = begin(ears) }
    return ears.outcome()
}
