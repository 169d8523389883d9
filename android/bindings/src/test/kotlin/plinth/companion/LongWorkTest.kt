package plinth.companion

import kotlinx.coroutines.CancellationException
import kotlinx.coroutines.CompletableDeferred
import kotlinx.coroutines.async
import kotlinx.coroutines.cancelAndJoin
import kotlinx.coroutines.launch
import kotlinx.coroutines.runBlocking
import kotlinx.coroutines.withTimeout
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertInstanceOf
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import plinth.boundary.FileForm
import plinth.boundary.Outcome
import plinth.core.Language
import java.io.File

/** Work that takes a while, called off in its midst. */
class LongWorkTest {
    private val rounds = if (Someone.deep) 20 else 2

    @Test
    fun `an import that is called off changes nothing`() {
        Someone().use { someone ->
            val file = Someone.manySets(someone.folder.resolve("many.csv"), 30_000)
            val before = someone.companion.digest(someone.now())
            repeat(rounds) {
                val outcome = calledOff { someone.companion.import(file.toString(), FileForm.CSV, someone.now(), it) }
                assertEquals(Outcome.CalledOff, outcome)
                assertEquals(before, someone.companion.digest(someone.now()))
            }
        }
        println("F16: $rounds imports called off in their midst, nothing changed (Kotlin)")
    }

    @Test
    fun `a backup that is called off leaves no file, and a whole one is a copy`() {
        Someone().use { someone ->
            val file = Someone.manySets(someone.folder.resolve("many.csv"), 20_000)
            val ears = Waiting()
            someone.companion.import(file.toString(), FileForm.CSV, someone.now(), ears)
            val imported = assertInstanceOf(Outcome.Imported::class.java, ears.outcome())
            assertEquals(20_000uL, imported.imported.taken)
            val copy = someone.folder.resolve("copy.db").toFile()
            var off = 0
            repeat(rounds * 10) {
                val waiting = Waiting()
                val task = someone.companion.backup(copy.path, someone.now(), waiting)
                task.cancel()
                when (val outcome = waiting.outcome()) {
                    Outcome.CalledOff -> {
                        off++
                        assertFalse(copy.exists(), "a part of a copy was left")
                    }

                    // It may have been faster.
                    Outcome.BackedUp -> {
                        copy.delete()
                    }

                    else -> {
                        error("$outcome")
                    }
                }
            }
            assertTrue(off > 0, "no backup was called off")
            val waiting = Waiting()
            someone.companion.backup(copy.path, someone.now(), waiting)
            assertEquals(Outcome.BackedUp, waiting.outcome())
            assertTrue(copy.length() > 0)
            println("F16: $off backups called off, no file left (Kotlin)")
        }
    }

    @Test
    fun `a draft that is called off gives the best week so far`() {
        Someone().use { someone ->
            someone.companion.tellBrief(Someone.brief, someone.now())
            repeat(rounds) {
                val outcome = calledOff { someone.companion.draft(true, someone.now(), it) }
                val drafted = assertInstanceOf(Outcome.Drafted::class.java, outcome)
                assertTrue(drafted.calledOff)
                someone.companion.takeOn(drafted.programme, "own", someone.now())
            }
        }
        println("F16: $rounds drafts called off, each with a week that can be taken on (Kotlin)")
    }

    @Test
    fun `cancelling the coroutine calls the work off`() =
        runBlocking {
            Someone().use { someone ->
                someone.companion.pause()
                val plinth = Plinth.open(someone.path, Language.ENGLISH, someone)
                plinth.tellBrief(Someone.brief)
                val begun = CompletableDeferred<Unit>()
                val work = launch { plinth.draft(thorough = true) { begun.complete(Unit) } }
                withTimeout(60_000) { begun.await() }
                work.cancelAndJoin()
                assertTrue(work.isCancelled)
                // With the other way the outcome is had.
                val off = CallOff()
                val went = CompletableDeferred<Unit>()
                val drafting = async { plinth.draft(thorough = true, off = off) { went.complete(Unit) } }
                withTimeout(60_000) { went.await() }
                off.callOff()
                val outcome = withTimeout(60_000) { drafting.await() }
                assertTrue((outcome as Outcome.Drafted).calledOff)
                // What is begun with one that was called off already ends at once.
                val late = plinth.backup(File(someone.folder.toFile(), "late.db").path, off)
                assertTrue(late == Outcome.CalledOff || late == Outcome.BackedUp)
                plinth.close()
                val refused = runCatching { plinth.draft() }.exceptionOrNull()
                assertFalse(refused is CancellationException)
            }
        }
}
