package plinth.app

import android.content.Intent
import android.graphics.Rect
import android.view.KeyEvent
import android.view.View
import android.view.accessibility.AccessibilityNodeInfo
import android.widget.Button
import android.widget.TextView
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertNotNull
import org.junit.Assert.assertSame
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.RuntimeEnvironment
import org.robolectric.Shadows.shadowOf
import plinth.app.floor.ClockView
import plinth.app.floor.Figures
import plinth.app.floor.FloorView
import plinth.app.floor.SessionLineView
import plinth.app.look.Look
import plinth.core.Event

/** What a screen reader, a headset, a keyboard and the left hand meet. */
@RunWith(RealRunner::class)
class AccessTest {
    private fun lifter(run: Lifter.() -> Unit) = Lifter().use { it.run() }

    private fun Lifter.labelled(where: String) {
        assertTrue(where, buttons.isNotEmpty())
        for (button in buttons) {
            val node = AccessibilityNodeInfo.obtain().also(button::onInitializeAccessibilityNodeInfo)
            assertTrue("$where: ${button.text}", !node.contentDescription.isNullOrBlank())
            assertTrue("$where: \"${button.text}\" can be activated", node.isClickable && node.isEnabled)
        }
        // What is drawn and not written says itself.
        for (view in views().filter { it.importantForAccessibility == View.IMPORTANT_FOR_ACCESSIBILITY_YES }) {
            val node = AccessibilityNodeInfo.obtain().also(view::onInitializeAccessibilityNodeInfo)
            // But for the line that speaks at the marks alone, and is empty until one comes.
            val waits = view.accessibilityLiveRegion != View.ACCESSIBILITY_LIVE_REGION_NONE
            assertTrue("$where: $view", waits || !node.contentDescription.isNullOrBlank() || !node.text.isNullOrBlank())
        }
    }

    @Test
    fun `every control of every place has a label`() =
        lifter {
            opensWithWeek()
            labelled("before")
            for (place in listOf("Week", "Catalogue", "Findings", "Locker")) {
                touches("Contents")
                labelled("contents")
                touches(place)
                labelled(place)
            }
            touches("Contents").touches("Floor").begins(toTheFirstSet = false)
            labelled("the warm-up")
            warmsUp()
            labelled("lifting")
            doesASet()
            labelled("resting")
            touches("Something is wrong")
            labelled("something is wrong")
        }

    @Test
    fun `it reads from the top to the bottom, the wide action before the others`() =
        lifter {
            opensWithWeek().begins()
            val order = views().filter { it is Button || it is TextView }
            val wide = order.indexOfFirst { (it as? Button)?.text == floor.wide?.label }
            val name = order.indexOfFirst { (it as? TextView)?.text == floor.title }
            val first = order.indexOfFirst { (it as? Button)?.text == floor.actions.first().label }
            assertTrue("$name, $wide, $first", name in 0..<wide && wide < first)
        }

    @Test
    fun `nothing changes under the focus while only time passes, and the clock is silent between its marks`() =
        lifter {
            opensWithWeek().begins().doesASet()
            val before = buttons
            val clock = views().filterIsInstance<ClockView>().single()
            val live = views(clock).filter { it.accessibilityLiveRegion != View.ACCESSIBILITY_LIVE_REGION_NONE }
            assertEquals("one live region", 1, live.size)
            val said = mutableListOf<String>()
            repeat(
                app.phone.moments
                    .left(checkNotNull(floor.clock))
                    .toInt() / 1000 - 1,
            ) {
                waits(1)
                val now = (live.single() as TextView).text.toString()
                if (now.isNotEmpty() && said.lastOrNull() != now) said += now
                assertEquals("the same buttons", before, buttons)
            }
            assertTrue("$said", said.isNotEmpty() && said.all { it in setOf("1 minute left", "30 seconds left", "10 seconds left") })
            val figures = views(clock).single { it is Figures }
            val node = AccessibilityNodeInfo.obtain().also(figures::onInitializeAccessibilityNodeInfo)
            assertTrue("asked, it says how long: ${node.contentDescription}", "left" in node.contentDescription)
        }

    @Test
    fun `the wide action stays the same view from set to rest, so that a reader's focus stays on it`() =
        lifter {
            opensWithWeek().begins()

            fun wide() = buttons.single { it.text == floor.wide?.label }
            val before = wide()
            doesASet()
            assertSame(before, wide())
        }

    @Test
    fun `a headset's button does what the wide action does, once a press`() =
        lifter {
            opensWithWeek().begins()
            val down = KeyEvent(KeyEvent.ACTION_DOWN, KeyEvent.KEYCODE_HEADSETHOOK)
            assertTrue(activity.onKeyDown(KeyEvent.KEYCODE_HEADSETHOOK, down))
            settle()
            assertEquals("resting", floor.stage)
            val held = KeyEvent(0, 0, KeyEvent.ACTION_DOWN, KeyEvent.KEYCODE_HEADSETHOOK, 3)
            assertFalse("a button that is held down does it once", activity.onKeyDown(KeyEvent.KEYCODE_HEADSETHOOK, held))
            assertTrue(floor.spoken.isNotBlank())
        }

    @Test
    fun `the left hand finds the actions mirrored`() =
        lifter {
            opensWithWeek().begins()

            fun lay(mirrored: Boolean): List<Pair<CharSequence, Int>> {
                val view = FloorView(Look(activity), app.phone.moments, mirrored) { _: Event -> }
                view.show(floor)
                val size = { n: Int -> View.MeasureSpec.makeMeasureSpec(n, View.MeasureSpec.EXACTLY) }
                view.measure(size(root.width), size(root.height))
                view.layout(0, 0, root.width, root.height)
                return views(view).filterIsInstance<Button>().map { b ->
                    val x = generateSequence(b as View) { it.parent as? View }.takeWhile { it !== view }.sumOf { it.left }
                    b.text to x
                }
            }
            val (right, left) = lay(false).toMap() to lay(true).toMap()
            assertEquals(right.keys, left.keys)
            val undo = checkNotNull(floor.undo).label
            val more = checkNotNull(floor.more).label
            assertTrue(right.getValue(undo) < right.getValue(more) && left.getValue(undo) > left.getValue(more))
            val (a, b) = floor.actions.take(2).map { it.label }
            assertTrue(right.getValue(a) < right.getValue(b) && left.getValue(a) > left.getValue(b))
        }

    @Test
    fun `at twice the text's size the session line gives way, and the load, the clock and the action are seen whole`() {
        RuntimeEnvironment.setFontScale(2f)
        lifter {
            opensWithWeek().begins()
            assertNotNull(floor.line)
            assertTrue("the line gave way", views().none { it is SessionLineView })
            whole(views().single { it is Figures && it.text == floor.set?.load })
            whole(buttons.single { it.text == floor.wide?.label })
            sees(floor.cautionHead)
            doesASet()
            whole(views(views().single { it is ClockView }).single { it is Figures })
            whole(buttons.single { it.text == floor.wide?.label })
            sees("Something is wrong")
        }
    }

    private fun whole(view: View) {
        val seen = Rect()
        assertTrue("$view is seen", view.getGlobalVisibleRect(seen))
        assertEquals("$view is seen whole", view.width to view.height, seen.width() to seen.height())
    }

    @Test
    fun `the phone dials, or says that it cannot`() =
        lifter {
            opensWithWeek().begins()
            touches("Something is wrong").touches("I feel unwell")
            val flag =
                floor.form!!
                    .rows
                    .first()
                    .buttons
                    .first()
            touches(flag.label)
            touches(checkNotNull(floor.wide).label)
            val dial =
                listOfNotNull(floor.wide).plus(floor.actions).plus(floor.rows.flatMap { it.buttons }).first {
                    "emergency" in
                        it.label.lowercase()
                }
            touches(dial.label)
            val started = shadowOf(activity).nextStartedActivity
            assertEquals(Intent.ACTION_DIAL, started.action)
            assertTrue(floor.stage == "ended" || floor.stage == "flagged")
        }
}
