package plinth.app

import android.os.Looper
import android.os.SystemClock
import android.provider.Settings
import android.view.View
import android.view.ViewGroup
import android.widget.Button
import android.widget.TextView
import kotlinx.coroutines.runBlocking
import org.junit.Assert.assertTrue
import org.junit.Assert.fail
import org.robolectric.Robolectric
import org.robolectric.RuntimeEnvironment
import org.robolectric.Shadows.shadowOf
import org.robolectric.android.controller.ActivityController
import org.robolectric.shadows.ShadowAlarmManager
import org.robolectric.shadows.ShadowSystemClock
import plinth.boundary.Outcome
import plinth.core.Block
import plinth.core.FloorScreen
import plinth.core.PageScreen
import plinth.core.Screen
import java.nio.file.Path
import java.time.Duration
import java.util.TimeZone
import kotlin.io.path.readText

/** An invented lifter with the app in hand: sees what is in the window, touches what can be touched. */
internal class Lifter : AutoCloseable {
    val app = RuntimeEnvironment.getApplication() as PlinthApp
    private var window: ActivityController<MainActivity>? = null

    init {
        TimeZone.setDefault(TimeZone.getTimeZone("UTC"))
        Settings.Global.putInt(app.contentResolver, Settings.Global.BOOT_COUNT, 7)
        ShadowAlarmManager.setCanScheduleExactAlarms(true)
        app.phone.moments.wall = { EVENING + SystemClock.elapsedRealtime() }
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

    /** Everything that was posted is done. */
    fun settle() = shadowOf(Looper.getMainLooper()).idle()

    /** Time passes, a second at a time, as it does. */
    fun waits(seconds: Long) {
        repeat(seconds.toInt()) {
            ShadowSystemClock.advanceBy(Duration.ofSeconds(1))
            settle()
        }
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

    fun sees(part: String) = assertTrue("\"$part\" is not among $words", words.any { part in it })

    /** Touches the button whose label begins so, and lets a second and a half pass: a doubled touch is another matter. */
    fun touches(label: String): Lifter {
        val button = buttons.firstOrNull { it.text.startsWith(label) }
        if (button == null) fail("no button \"$label\" among ${buttons.map { it.text }}")
        assertTrue("\"$label\" can be touched", button!!.isEnabled && button.performClick())
        settle()
        ShadowSystemClock.advanceBy(Duration.ofMillis(1500))
        settle()
        return this
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
        floor.form?.rows?.firstOrNull()?.buttons?.firstOrNull()?.let { touches(it.label) }
        return this
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

        /** The brief of the main job, invented. */
        val brief: String by lazy { Path.of(System.getProperty("plinth.brief")).readText() }
        private var made: String? = null

        /** A week of it, solved once. */
        suspend fun programme(plinth: plinth.companion.Plinth): String =
            made ?: (plinth.draft() as Outcome.Drafted).programme.also { made = it }
    }
}
