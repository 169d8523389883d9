package plinth.companion

import kotlinx.coroutines.runBlocking
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Test
import plinth.boundary.FileForm
import plinth.boundary.Outcome
import plinth.boundary.PlinthCompanion
import plinth.boundary.livingObjects
import plinth.core.Event
import plinth.core.FloorEvent
import plinth.core.Language
import plinth.core.Screen
import plinth.core.Update
import java.io.File
import java.nio.file.Path
import java.sql.DriverManager
import kotlin.io.path.writeText

/**
 * What crossing the boundary costs, as ratios to the empty call, in one run. All is warmed up first, medians are told,
 * and what is compared takes turns, so that a slower minute of the machine falls on both. `android/bench` runs it.
 */
class Bench {
    private class Times {
        private val ns = mutableListOf<Double>()

        fun <T> take(
            calls: Int = 1,
            work: () -> T,
        ): T {
            val began = System.nanoTime()
            val done = work()
            ns += (System.nanoTime() - began) / calls.toDouble()
            return done
        }

        fun forget() = ns.clear()

        val median get() = ns.sorted()[ns.size / 2]
        val count get() = ns.size
    }

    private val rows = mutableListOf<Triple<String, Times, String>>()

    private fun times(
        name: String,
        bar: String = "",
    ) = Times().also { rows += Triple(name, it, bar) }

    private val empty = times("empty call")
    private val small = times("smallest call that takes the lock and a moment")
    private val tick = times("event that records nothing, with its screen", "bar 30")
    private val layer = times("the same through the layer, a coroutine and a flow")
    private val form = times("a form opened, a form closed, each with its screen")
    private val bare = times("bare durable insert")
    private val done = times("event that records a set, with its screen", "bar bare insert + 30")
    private val opening = times("opening a record of a thousand sets")

    @Test
    fun run() {
        Someone().use { someone ->
            fill(someone)
            someone.begin()
            onTheFloor(someone)
            throughTheLayer(someone)
            openings(someone)
            tell()
        }
    }

    /** A record of a thousand sets and more. */
    private fun fill(someone: Someone) {
        val sets = someone.folder.resolve("thousand.csv")
        Someone.manySets(sets, 1_000)
        val ears = Waiting()
        val task = someone.companion.import(sets.toString(), FileForm.CSV, someone.now(), ears)
        check(ears.outcome() is Outcome.Imported) { "the import" }
        task.close()
    }

    private fun onTheFloor(someone: Someone) {
        val companion = someone.companion
        assertEquals("lifting", someone.floor().stage)
        DriverManager.getConnection("jdbc:sqlite:${someone.folder.resolve("bare.sqlite")}").use { database ->
            database.createStatement().use {
                it.execute("PRAGMA journal_mode = WAL")
                it.execute("PRAGMA synchronous = FULL")
                it.execute("CREATE TABLE entry (id INTEGER PRIMARY KEY, body BLOB NOT NULL) STRICT")
            }
            val insert = database.prepareStatement("INSERT INTO entry (body) VALUES (?)")
            val row = ByteArray(ROW) { 'x'.code.toByte() }
            for (round in 0 until WARM_UP + ROUNDS) {
                if (round == WARM_UP) rows.forEach { it.second.forget() }
                empty.take(1_000) { repeat(1_000) { livingObjects() } }
                small.take(10) { repeat(10) { companion.language(someone.now()) } }
                stands("lifting", tick.take { someone.send(FloorEvent.Tick) })
                stands("lifting", form.take { someone.send(FloorEvent.Lines) })
                stands("lifting", form.take { someone.send(FloorEvent.Back) })
                bare.take {
                    insert.setBytes(1, row)
                    insert.executeUpdate()
                }
                stands("resting", done.take { someone.send(FloorEvent.Done) })
                // Taken back, so that the next is the same set again.
                stands("lifting", someone.send(FloorEvent.Undo))
            }
        }
    }

    private fun throughTheLayer(someone: Someone) =
        runBlocking {
            someone.companion.shutDown()
            Plinth.open(someone.path, Language.ENGLISH, someone).use { plinth ->
                for (round in 0 until WARM_UP + ROUNDS) {
                    if (round == WARM_UP) layer.forget()
                    layer.take { runBlocking { plinth.send(Event.Floor(FloorEvent.Tick)) } }
                }
            }
        }

    private fun openings(someone: Someone) =
        repeat(WARM_UP + 25) { round ->
            if (round == WARM_UP) opening.forget()
            val companion = opening.take { PlinthCompanion.open(someone.path, Language.ENGLISH, someone.now(), null, null) }
            companion.shutDown()
            companion.close()
        }

    private fun stands(
        stage: String,
        update: Update,
    ) {
        check(update.refused == null) { "refused: ${update.refused}" }
        check((update.screen as Screen.Floor).v1.stage == stage) { "not $stage" }
    }

    private fun tell() {
        val unit = empty.median
        val text =
            buildString {
                appendLine("empty call: ${unit.toInt()} ns")
                appendLine("%-56s %12s %8s".format("", "empty calls", "samples"))
                for ((name, times, bar) in rows) {
                    appendLine(
                        "%-56s %12.1f %8d %s".format(name, times.median / unit, times.count, bar).trimEnd(),
                    )
                }
                appendLine("a recorded set beside the bare insert: %.2f times".format(done.median / bare.median))
                appendLine("a recorded set less the bare insert: %.1f empty calls".format((done.median - bare.median) / unit))
            }
        Path.of("target", "bench.txt").also { File("target").mkdirs() }.writeText(text)
    }

    private companion object {
        const val WARM_UP = 200
        const val ROUNDS = 400

        /** About what a set is as an entry, bytes. */
        const val ROW = 400
    }
}
