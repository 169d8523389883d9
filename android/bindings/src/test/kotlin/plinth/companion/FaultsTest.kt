package plinth.companion

import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertInstanceOf
import org.junit.jupiter.api.Assertions.assertNotEquals
import org.junit.jupiter.api.Assertions.assertThrows
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import plinth.boundary.Listener
import plinth.boundary.ListenerFault
import plinth.boundary.LogLine
import plinth.boundary.Outcome
import plinth.boundary.PlinthCompanion
import plinth.boundary.PlinthException
import plinth.boundary.Rehearsal
import plinth.boundary.WorkProgress
import plinth.boundary.livingObjects
import plinth.core.Effect
import plinth.core.Event
import plinth.core.FloorEvent
import java.util.concurrent.CountDownLatch
import java.util.concurrent.atomic.AtomicInteger
import kotlin.concurrent.thread

/** What the boundary must survive in Kotlin. Each prints what it did; the deep counts are ten times the quick ones. */
class FaultsTest {
    @Test
    fun `a panic inside a call is an error and the next call works`() {
        val rounds = if (Someone.deep) 1_000 else 100
        var defects = 0
        for (round in 0 until rounds) {
            val ears = Waiting()
            // Opening draws the record's identities; later draws are those of what is recorded.
            val after = (4 + round % 14).toUInt()
            val someone = runCatching { Someone(ears, Rehearsal(round.toULong(), after)) }.getOrNull() ?: continue
            someone.use {
                var thrown: PlinthException? = null
                try {
                    it.begin()
                    repeat(60) { _ -> it.set() }
                } catch (e: PlinthException) {
                    thrown = e
                }
                if (thrown == null) return@use
                assertInstanceOf(PlinthException.Defect::class.java, thrown)
                assertTrue(ears.lines.any { line -> line is LogLine.Defect }, "the log says so")
                val before = it.companion.digest(it.now())
                it.send(FloorEvent.Tick)
                assertEquals(before, it.companion.digest(it.now()), "what was recorded is there")
                defects++
            }
        }
        assertTrue(defects > rounds / 2, "only $defects of $rounds rounds came to a defect")
        println("F16: $defects panics inside a call, each an error, the next call well (Kotlin)")
    }

    @Test
    fun `after the shut-down a call says so, and after close it is Kotlin's own error`() {
        val rounds = if (Someone.deep) 1_000 else 100
        repeat(rounds) {
            val someone = Someone()
            someone.companion.shutDown()
            someone.companion.shutDown()
            val calls =
                listOf<(PlinthCompanion) -> Any?>(
                    { c -> c.screen(someone.now()) },
                    { c -> c.dispatch(Event.Floor(FloorEvent.Open), someone.now()) },
                    { c -> c.digest(someone.now()) },
                    { c -> c.beginSync("token", someone.now()) },
                )
            for (call in calls) {
                val e = assertThrows(PlinthException.Input::class.java) { call(someone.companion) }
                assertEquals("shut_down", e.code)
            }
            someone.companion.close()
            for (call in calls) assertThrows(IllegalStateException::class.java) { call(someone.companion) }
            someone.close()
        }
        println("F16: $rounds objects used after the shut-down and after close, each use an error (Kotlin)")
    }

    @Test
    fun `closing during calls is an error and not a crash`() {
        val races = if (Someone.deep) 1_000 else 100
        val errors = AtomicInteger()
        val done = AtomicInteger()
        repeat(races) { n ->
            Someone().use { someone ->
                val together = CountDownLatch(3)
                val callers =
                    (0 until 2).map { k ->
                        thread {
                            together.countDown()
                            together.await()
                            repeat(20) {
                                try {
                                    if (k == 0) someone.companion.screen(someone.now()) else someone.send(FloorEvent.Open)
                                    done.incrementAndGet()
                                } catch (_: PlinthException.Input) {
                                    errors.incrementAndGet()
                                } catch (_: IllegalStateException) {
                                    errors.incrementAndGet()
                                }
                            }
                        }
                    }
                together.countDown()
                together.await()
                if (n % 2 == 0) someone.companion.close() else someone.companion.shutDown()
                callers.forEach { it.join() }
            }
        }
        assertEquals(races * 40, done.get() + errors.get(), "every call came back")
        assertTrue(errors.get() > 0, "no call met the close")
        println("F16: $races closes during calls, ${done.get()} calls done, ${errors.get()} refused, 0 crashes (Kotlin)")
    }

    @Test
    fun `eight threads make ten thousand calls each`() {
        val calls = 10_000
        val wrong = AtomicInteger()
        val recorded = AtomicInteger()
        Someone().use { someone ->
            someone.begin()
            (0 until 8)
                .map { k ->
                    thread {
                        repeat(calls) { n ->
                            try {
                                when {
                                    // A part of them records; each waits for the disk.
                                    n % 500 == k * 7 -> {
                                        someone.companion.dispatch(Event.Floor(FloorEvent.Note("thread $k, call $n")), someone.now())
                                        recorded.incrementAndGet()
                                    }

                                    n % (if (Someone.deep) 2 else 20) == 0 -> {
                                        val screen = someone.floor()
                                        if (screen.stage == "before" || screen.caption().isEmpty()) wrong.incrementAndGet()
                                    }

                                    else -> {
                                        if (livingObjects() < 1uL) wrong.incrementAndGet()
                                    }
                                }
                            } catch (_: PlinthException) {
                                wrong.incrementAndGet()
                            }
                        }
                    }
                }.forEach { it.join() }
        }
        assertEquals(0, wrong.get())
        assertEquals(8 * calls / 500, recorded.get())
        println("F16: 8 threads x $calls calls, ${recorded.get()} of them recorded, 0 failures (Kotlin)")
    }

    private fun plinth.core.FloorScreen.caption() = title + cautionHead

    @Test
    fun `a hundred thousand objects leave nothing behind`() {
        val before = settled()
        Someone().use { someone ->
            repeat(90_000) { someone.companion.beginSync("token", someone.now()).close() }
            assertEquals(before + 1uL, livingObjects(), "those that were closed")
            // The others are left to the collector, as a careless shell would.
            repeat(10_000) { someone.companion.beginSync("token", someone.now()) }
            settled(atMost = before + 1uL)
            assertEquals(before + 1uL, livingObjects(), "those that were forgotten")
        }
        assertEquals(before, livingObjects())
        println("F16: 100000 objects made and let go, 0 left (Kotlin)")
    }

    /** How many objects live once the collector has had its turns: until no more go, or there are [atMost]. */
    private fun settled(atMost: ULong = 0uL): ULong {
        var quiet = 0
        var last = livingObjects()
        val until = System.nanoTime() + 60_000_000_000L
        while (last > atMost && quiet < 20 && System.nanoTime() < until) {
            System.gc()
            Thread.sleep(50)
            val now = livingObjects()
            quiet = if (now == last) quiet + 1 else 0
            last = now
        }
        return last
    }

    @Test
    fun `a listener that throws is told again and the core lives`() {
        val told = AtomicInteger()
        val over = CountDownLatch(2)
        val bad =
            object : Listener {
                override fun effects(effects: List<Effect>) = throwing()

                override fun progress(progress: WorkProgress) = throwing()

                override fun finished(outcome: Outcome) {
                    over.countDown()
                    throwing()
                }

                override fun line(line: LogLine) = throwing()

                private fun throwing() {
                    // One that the trait knows, and one that it does not.
                    if (told.incrementAndGet() % 2 == 0) throw ListenerFault.Threw() else error("a mistake of the shell")
                }
            }
        Someone(bad).use { someone ->
            val rounds = if (Someone.deep) 1_000 else 100
            repeat(rounds) {
                someone.companion.pause()
                someone.companion.screen(someone.now())
            }
            assertTrue(told.get() >= 2 * rounds, "told ${told.get()} times")
            repeat(2) { someone.companion.backup(someone.folder.resolve("copy-$it").toString(), someone.now(), bad) }
            assertTrue(over.await(60, java.util.concurrent.TimeUnit.SECONDS), "it was told of both ends")
            assertNotEquals("", someone.companion.digest(someone.now()))
            println("F16: a listener threw ${told.get()} times, told again each time (Kotlin)")
        }
    }

    @Test
    fun `a listener may call the companion`() {
        var seen = ""
        lateinit var someone: Someone
        val ears =
            object : Listener {
                override fun effects(effects: List<Effect>) = Unit

                override fun progress(progress: WorkProgress) = Unit

                override fun finished(outcome: Outcome) = Unit

                override fun line(line: LogLine) {
                    if (line is LogLine.Paused) seen = someone.companion.digest(someone.now())
                }
            }
        someone = Someone(ears)
        someone.use {
            val digest = it.companion.digest(it.now())
            it.companion.pause()
            assertEquals(digest, seen, "no lock was held")
        }
        println("F16: a listener called the companion from inside a call (Kotlin)")
    }
}
