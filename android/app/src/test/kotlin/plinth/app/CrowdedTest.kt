package plinth.app

import android.graphics.Rect
import android.view.View
import android.widget.TextView
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.RuntimeEnvironment
import plinth.app.floor.ClockView
import plinth.app.floor.Figures
import plinth.app.floor.Name
import plinth.app.floor.SessionLineView
import plinth.app.look.Band
import plinth.app.look.Look
import plinth.app.look.Yielding
import plinth.app.look.Yielding.Keeps

/**
 * What is above the fold of a window of 360 x 740 dp: cues give way first, then the session line; the clock, the load,
 * the action and a caution never. A caution that is longer than what room there is begins above the fold.
 */
@RunWith(RealRunner::class)
class CrowdedTest {
    private fun lifter(run: Lifter.() -> Unit) = Lifter().use { it.run() }

    /** The floor's middle down to where its end begins to fade. */
    private fun Lifter.above(): Rect {
        val scroll = views().filterIsInstance<android.widget.ScrollView>().first { it.getChildAt(0) is Yielding }
        return place(scroll).apply { if (scroll.canScrollVertically(1)) bottom -= scroll.verticalFadingEdgeLength }
    }

    private fun place(view: View): Rect {
        val at = IntArray(2).also(view::getLocationInWindow)
        return Rect(at[0], at[1], at[0] + view.width, at[1] + view.height)
    }

    private fun Lifter.isAbove(
        what: String,
        view: View,
    ) = assertTrue("$what is above the fold: ${place(view)} in ${above()}", above().contains(place(view)))

    private fun Lifter.aboveTheFold(resting: Boolean) {
        val set = checkNotNull(floor.set)
        if (resting) {
            isAbove("the clock", views(views().single { it is ClockView }).single { it is Figures })
            val next = listOfNotNull(set.load, set.amount, set.reserve).joinToString(", ")
            for (words in listOf(next, set.movement)) {
                isAbove(words, views().filterIsInstance<Name>().single { it.text.toString() == words })
            }
        } else {
            isAbove("the load", views().filterIsInstance<Figures>().single { it.text == set.load })
            isAbove("the amount", views().filterIsInstance<Figures>().single { it.text == set.amount })
        }
        val band = views().filterIsInstance<Band>().single()
        isAbove("the caution's head", band.getChildAt(0))
        val first = band.getChildAt(1) as TextView
        val seen = (above().bottom - place(first).top) / first.lineHeight
        assertTrue("$seen lines of the caution are above the fold", seen >= minOf(first.lineCount, LEAST_LINES))
        val wide = place(buttons.single { it.text == floor.wide?.label })
        assertTrue("the action is seen whole: $wide", place(root).contains(wide))
    }

    @Test
    fun `at twice the text's size in German`() {
        RuntimeEnvironment.setQualifiers("+de-rDE-mdpi")
        RuntimeEnvironment.setFontScale(2f)
        lifter {
            opensWithWeek().begins()
            Golden.check("crowded-lifting", root)
            aboveTheFold(resting = false)
            doesASet()
            assertEquals("resting", floor.stage)
            Golden.check("crowded-resting", root)
            aboveTheFold(resting = true)
            assertTrue("the session line gave way", views().none { it is SessionLineView })
            val cue = floor.set?.cue?.let { cue -> views().filterIsInstance<TextView>().single { it.text.toString() == cue } }
            assertTrue("the cue gave way", cue == null || place(cue).bottom > above().bottom)
        }
    }

    @Test
    fun `at the platform's own size, with the way out of harm at hand`() =
        lifter {
            opensWithWeek().begins()
            aboveTheFold(resting = false)
            doesASet()
            aboveTheFold(resting = true)
            val wrong = place(buttons.single { it.text == "Something is wrong" })
            assertTrue("it is in the foot: $wrong", wrong.top >= above().bottom && place(root).contains(wrong))
        }

    @Test
    fun `what gives way does so in its order, and what stays never`() {
        val look = Look(RuntimeEnvironment.getApplication())
        val column = Yielding(look)
        for (keeps in Keeps.entries) column.add(Fixed(look), keeps = keeps)

        fun shown(room: Int): Set<Keeps> {
            column.room = room
            val exactly = View.MeasureSpec.makeMeasureSpec(300, View.MeasureSpec.EXACTLY)
            column.measure(exactly, View.MeasureSpec.UNSPECIFIED)
            return Keeps.entries.filterIndexed { i, _ -> column.getChildAt(i).visibility == View.VISIBLE }.toSet()
        }
        assertEquals(Keeps.entries.toSet(), shown(300))
        assertEquals(Keeps.entries.toSet() - Keeps.YIELDS, shown(299))
        assertEquals(Keeps.entries.toSet() - Keeps.YIELDS, shown(200))
        assertEquals(setOf(Keeps.STAYS, Keeps.FOLLOWS), shown(199))
        assertEquals(setOf(Keeps.STAYS, Keeps.FOLLOWS), shown(1))
    }

    /** A view of a hundred pixels, whatever is asked. */
    private class Fixed(
        look: Look,
    ) : View(look.context) {
        override fun onMeasure(
            widthSpec: Int,
            heightSpec: Int,
        ) = setMeasuredDimension(MeasureSpec.getSize(widthSpec), 100)
    }

    private companion object {
        /** Enough to see that it is a caution, and of what (tried on pictures; no source). */
        const val LEAST_LINES = 2
    }
}
