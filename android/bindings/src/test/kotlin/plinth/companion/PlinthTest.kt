package plinth.companion

import kotlinx.coroutines.flow.first
import kotlinx.coroutines.flow.take
import kotlinx.coroutines.flow.toList
import kotlinx.coroutines.runBlocking
import kotlinx.coroutines.withTimeout
import kotlinx.coroutines.withTimeoutOrNull
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertInstanceOf
import org.junit.jupiter.api.Assertions.assertNull
import org.junit.jupiter.api.Assertions.assertThrows
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import plinth.boundary.PlinthException
import plinth.boundary.SyncRequest
import plinth.boundary.SyncStop
import plinth.core.Effect
import plinth.core.Event
import plinth.core.FloorEvent
import plinth.core.Language
import plinth.core.PageEvent
import plinth.core.Place
import plinth.core.Screen
import java.io.IOException

/** The layer that a shell knows. */
class PlinthTest {
    private fun <T> with(body: suspend (Plinth, Someone) -> T): T =
        Someone().use { someone ->
            someone.companion.pause()
            runBlocking {
                Plinth.open(someone.path, Language.ENGLISH, someone).use { body(it, someone) }
            }
        }

    private fun FloorEvent.event() = Event.Floor(this)

    /** Begins a session; gives the effects of it. */
    private suspend fun begin(plinth: Plinth): List<Effect> {
        val effects = mutableListOf<Effect>()

        suspend fun send(event: FloorEvent) {
            effects += plinth.send(event.event()).effects
        }
        plinth.tellBrief(Someone.brief)
        plinth.takeOn(Someone.programme)
        send(FloorEvent.Open)
        val rows = (plinth.screen.value as Screen.Floor).v1.before.take(4)
        for (row in rows) send(row.buttons.first().event)
        send(FloorEvent.Begin)
        while ((plinth.screen.value as Screen.Floor).v1.stage == "warm_up") send(FloorEvent.WarmUpSkipped)
        return effects
    }

    @Test
    fun `the screen follows what is sent`() =
        with { plinth, _ ->
            assertEquals("before", (plinth.screen.value as Screen.Floor).v1.stage)
            plinth.send(Event.Page(PageEvent.Place(Place.WEEK)))
            assertInstanceOf(Screen.Page::class.java, plinth.screen.value)
            plinth.send(Event.Page(PageEvent.Place(Place.FLOOR)))
            begin(plinth)
            assertEquals("lifting", (plinth.screen.value as Screen.Floor).v1.stage)
            val update = plinth.send(FloorEvent.Done.event())
            assertEquals(update.screen, plinth.screen.value)
            assertEquals("resting", (plinth.screen.value as Screen.Floor).v1.stage)
        }

    @Test
    fun `effects come once and in order`() =
        with { plinth, _ ->
            val wanted = begin(plinth).toMutableList()
            wanted += plinth.send(FloorEvent.Done.event()).effects
            wanted += plinth.send(FloorEvent.Speak.event()).effects
            wanted += plinth.send(FloorEvent.Undo.event()).effects
            assertTrue(wanted.any { it is Effect.RaiseAlarm } && wanted.any { it is Effect.Speak })
            assertEquals(wanted, withTimeout(10_000) { plinth.effects.take(wanted.size).toList() })
            assertNull(withTimeoutOrNull(200) { plinth.effects.first() }, "none comes twice")
        }

    @Test
    fun `it is released for the system and opens again`() =
        with { plinth, _ ->
            begin(plinth)
            plinth.send(FloorEvent.Done.event())
            val before = plinth.digest()
            plinth.pause()
            plinth.pause()
            assertEquals(before, plinth.digest())
            assertEquals("resting", (plinth.refresh() as Screen.Floor).v1.stage)
        }

    @Test
    fun `closing it once more does nothing, and a call says so`() =
        with { plinth, _ ->
            plinth.close()
            plinth.close()
            val e = assertThrows(PlinthException.Input::class.java) { runBlocking { plinth.refresh() } }
            assertEquals("shut_down", e.code)
        }

    @Test
    fun `a sync asks with the token and says how it ended`() =
        with { plinth, _ ->
            val asked = mutableListOf<SyncRequest>()

            fun says(
                status: Int,
                retryAfterS: Int? = null,
            ) = Transport {
                asked += it
                Answer(status, ByteArray(0), retryAfterS)
            }
            val again = assertInstanceOf(SyncEnd.Stopped::class.java, plinth.sync("a-token", says(401)))
            assertEquals(SyncStop.PAIR_AGAIN, again.stop)
            assertTrue(asked.first().headers.any { it.name == "Authorization" && "a-token" in it.value })
            val later = assertInstanceOf(SyncEnd.Stopped::class.java, plinth.sync("a-token", says(503, 7)))
            assertEquals(SyncStop.LATER, later.stop)
            assertTrue(checkNotNull(later.waitMs) >= 7_000uL, "it waits as long as was asked: ${later.waitMs}")
            val cut = assertInstanceOf(SyncEnd.Stopped::class.java, plinth.sync("a-token", { throw IOException("cut") }))
            assertEquals(SyncStop.LATER, cut.stop)
            val stranger = assertInstanceOf(SyncEnd.Stopped::class.java, plinth.sync("a-token", says(200)))
            assertEquals(SyncStop.TELL_HOST, stranger.stop)
        }
}
