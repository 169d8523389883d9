package plinth.app

import android.app.Activity
import android.content.Intent
import android.net.Uri
import android.os.Looper
import android.os.SystemClock
import android.provider.Settings
import android.view.View
import android.view.ViewGroup
import android.widget.Button
import android.widget.TextView
import kotlinx.coroutines.runBlocking
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Assert.fail
import org.robolectric.Robolectric
import org.robolectric.RuntimeEnvironment
import org.robolectric.Shadows.shadowOf
import org.robolectric.android.controller.ActivityController
import org.robolectric.shadows.ShadowActivity
import org.robolectric.shadows.ShadowAlarmManager
import org.robolectric.shadows.ShadowSystemClock
import plinth.boundary.Outcome
import plinth.companion.Plinth
import plinth.core.Block
import plinth.core.Event
import plinth.core.FloorEvent
import plinth.core.FloorScreen
import plinth.core.Language
import plinth.core.PageEvent
import plinth.core.PageScreen
import plinth.core.Place
import plinth.core.Screen
import plinth.core.Spot
import java.nio.file.Files
import java.nio.file.Path
import java.time.Duration
import java.util.TimeZone
import kotlin.io.path.readText

/** An invented lifter with the app in hand: sees what is in the window, touches what can be touched. */
internal class Lifter(
    offersFolder: Boolean = false,
) : AutoCloseable {
    val app = RuntimeEnvironment.getApplication() as PlinthApp
    private var window: ActivityController<MainActivity>? = null

    init {
        TimeZone.setDefault(TimeZone.getTimeZone("UTC"))
        Settings.Global.putInt(app.contentResolver, Settings.Global.BOOT_COUNT, 7)
        ShadowAlarmManager.setCanScheduleExactAlarms(true)
        app.phone.moments.wall = { EVENING + SystemClock.elapsedRealtime() }
        if (!offersFolder) app.files.copies.putOff()
    }

    val activity: MainActivity get() = checkNotNull(window).get()
    val root: View get() = checkNotNull(activity.findViewById<View>(android.R.id.content))
    val shown: Shown get() = app.house.shown.value
    val screen: Screen get() = (shown as Shown.Here).screen
    val floor: FloorScreen get() = (screen as Screen.Floor).v1
    val page: PageScreen get() = (screen as Screen.Page).v1

    /** Opens the app. */
    fun opens(): Lifter {
        app.house.open()
        window = Robolectric.buildActivity(MainActivity::class.java).setup()
        settle()
        return this
    }

    /** Opens the app with the brief of the main job kept and a week of it taken on. */
    fun opensWithWeek(): Lifter {
        opens()
        runBlocking {
            app.house.ask { it.tellBrief(brief) }.getOrThrow()
            app.house.ask { it.takeOn(programme(it)) }.getOrThrow()
        }
        app.house.tick()
        settle()
        return this
    }

    /** Waits for what other threads do, such as an import. */
    fun until(
        what: String,
        holds: () -> Boolean,
    ) {
        val end = System.nanoTime() + PATIENCE_NS
        while (!holds()) {
            assertTrue("in time: $what; there is $words", System.nanoTime() < end)
            Thread.sleep(10)
            settle()
        }
    }

    /** Everything that was posted is done. */
    fun settle() = shadowOf(Looper.getMainLooper()).idle()

    /** Time passes, a second at a time, as it does. */
    fun waits(seconds: Long) {
        repeat(seconds.toInt()) {
            ShadowSystemClock.advanceBy(Duration.ofSeconds(1))
            settle()
        }
    }

    /** Much time passes at once, with the phone away from the hand. */
    fun passes(minutes: Long) {
        leaves()
        ShadowSystemClock.advanceBy(Duration.ofMinutes(minutes))
        returns()
    }

    /** Scrolls the floor's middle to its end. */
    fun toTheEnd(): Lifter {
        val scroll = views().filterIsInstance<android.widget.ScrollView>().first()
        scroll.scrollTo(0, scroll.getChildAt(0).height)
        settle()
        return this
    }

    /** Opens a page. */
    fun opensPage(spot: Spot) {
        app.house.send(Event.Page(PageEvent.Open(spot)))
        settle()
        assertTrue("a page is shown", screen is Screen.Page)
    }

    /** What the app asks another one for, so that it can be answered by [picks]. */
    fun asksFor(action: String): ShadowActivity.IntentForResult {
        val asked = shadowOf(activity).nextStartedActivityForResult
        assertEquals(action, asked?.intent?.action)
        return asked
    }

    /** Answers it: the document that was picked, or none where the picker was left. */
    fun picks(
        asked: ShadowActivity.IntentForResult,
        document: Uri?,
    ) {
        val (result, data) = if (document == null) Activity.RESULT_CANCELED to null else Activity.RESULT_OK to Intent().setData(document)
        shadowOf(activity).receiveResult(asked.intent, result, data)
        settle()
    }

    /** Another app hands something to this one. */
    fun meets(intent: Intent) {
        checkNotNull(window).newIntent(intent)
        settle()
    }

    /** Goes to the floor. */
    fun toTheFloor() {
        app.house.send(Event.Page(PageEvent.Place(Place.FLOOR)))
        settle()
    }

    /** Puts the phone away. */
    fun leaves() {
        checkNotNull(window).pause().stop()
        settle()
    }

    /** Takes it up again. */
    fun returns() {
        checkNotNull(window).restart().start().resume()
        settle()
    }

    /** Closes the session, and leaves it for the screen before the next. */
    fun closesSession() {
        app.house.send(Event.Floor(FloorEvent.Close))
        settle()
        assertTrue("the session is closed", floor.contents.isNotEmpty())
    }

    /** Everything in the window that is visible. */
    fun views(from: View = root): List<View> =
        if (from.visibility != View.VISIBLE) {
            emptyList()
        } else {
            listOf(from) + ((from as? ViewGroup)?.let { g -> (0 until g.childCount).flatMap { views(g.getChildAt(it)) } } ?: emptyList())
        }

    val buttons: List<Button> get() = views().filterIsInstance<Button>()

    /** The words that stand there. */
    val words: List<String> get() = views().filterIsInstance<TextView>().map { it.text.toString() }.filter { it.isNotBlank() }

    /** What comes from a thread of the library's own may take a moment. */
    fun sees(part: String) {
        val until = System.nanoTime() + PATIENCE_NS
        while (words.none { part in it } && System.nanoTime() < until) {
            Thread.sleep(20)
            settle()
        }
        assertTrue("\"$part\" is not among $words", words.any { part in it })
    }

    /** Touches the button whose label begins so, and lets a second and a half pass: a doubled touch is another matter. */
    fun touches(label: String): Lifter {
        touch(label, buttons.firstOrNull { it.text.startsWith(label) })
        return this
    }

    /** Touches the button on which this and nothing else stands. */
    fun touchesExactly(words: String): Lifter {
        touch(words, buttons.firstOrNull { it.text.toString() == words })
        return this
    }

    private fun touch(
        label: String,
        button: Button?,
    ) {
        if (button == null) fail("no button \"$label\" among ${buttons.map { it.text }}")
        assertTrue("\"$label\" can be touched", button!!.isEnabled && button.performClick())
        settle()
        ShadowSystemClock.advanceBy(Duration.ofMillis(1500))
        settle()
    }

    /** Answers what is asked before, and begins; the easy part is left out. */
    fun begins(toTheFirstSet: Boolean = true): Lifter {
        for (row in floor.before.filter { it.buttons.none { b -> b.chosen } }) touches(row.buttons.first().label)
        touches(checkNotNull(floor.wide).label)
        if (toTheFirstSet) warmsUp()
        return this
    }

    /** Does the warm-up piece by piece. */
    fun warmsUp() {
        var left = 30
        while (floor.stage == "warm_up" && left-- > 0) touches(checkNotNull(floor.wide).label)
        assertTrue("the warm-up has an end", left > 0)
    }

    /** Does the set at hand as written. */
    fun doesASet() = touches(checkNotNull(floor.wide).label)

    /** Closes the session. */
    fun closes(): Lifter {
        touches("Close session")
        floor.form
            ?.rows
            ?.firstOrNull()
            ?.buttons
            ?.firstOrNull()
            ?.let { touches(it.label) }
        return this
    }

    /** Another record than the app's, with a week taken on. */
    fun <T> elsewhere(run: suspend (Plinth) -> T): T {
        val folder = Files.createTempDirectory("elsewhere").toFile()
        return runBlocking {
            val plinth = Plinth.open(folder.resolve("record.db").path, Language.ENGLISH, app.phone.moments)
            try {
                plinth.tellBrief(brief)
                plinth.takeOn(programme(plinth))
                run(plinth)
            } finally {
                plinth.close()
                folder.deleteRecursively()
            }
        }
    }

    override fun close() {
        window?.pause()?.stop()?.destroy()
        settle()
        runBlocking { app.house.ask { it.close() } }
    }

    /** The label of the first line that opens something. */
    fun List<Block>.firstLine() = filterIsInstance<Block.Line>().first().button.label

    companion object {
        /** 2026-03-02, a Monday, 18:00 UTC. */
        const val EVENING = 1_772_474_400_000L
        private const val PATIENCE_NS = 60_000_000_000L

        /** The brief of the main job, invented. */
        val brief: String by lazy { Path.of(System.getProperty("plinth.brief")).readText() }
        private var made: String? = null

        /** A week of it, solved once. */
        suspend fun programme(plinth: Plinth): String = made ?: (plinth.draft() as Outcome.Drafted).programme.also { made = it }
    }
}
