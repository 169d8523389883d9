package plinth.app

import android.graphics.Bitmap
import android.graphics.Color
import android.view.View
import android.widget.Button
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.RuntimeEnvironment
import plinth.app.floor.ClockView
import plinth.app.floor.Figures
import plinth.app.floor.FloorView
import plinth.app.look.Look
import kotlin.math.pow

/**
 * What can be read from where, and touched: measured on the pixels that are drawn. Heights follow ISO 9241-303's 22 and
 * 16 minutes of arc at two metres and at one (12.8, 6.4 and 4.7 mm), contrast WCAG 2.2's 7:1.
 */
@RunWith(RealRunner::class)
class MeasuresTest {
    private fun lifter(run: Lifter.() -> Unit) = Lifter().use { it.run() }

    private val density get() =
        RuntimeEnvironment
            .getApplication()
            .resources.displayMetrics.density

    private fun mm(pixels: Int) = pixels / density / 160f * 25.4f

    /** Rows from the first to the last that ink touches. */
    private fun inked(picture: Bitmap): Int {
        val ground = picture.getPixel(0, 0)
        val rows =
            (0 until picture.height).filter { y ->
                (0 until picture.width).any { x -> contrast(picture.getPixel(x, y), ground) > 3 }
            }
        return if (rows.isEmpty()) 0 else rows.last() - rows.first() + 1
    }

    private fun drawn(view: View): Bitmap {
        val look = Look(view.context)
        val picture = Bitmap.createBitmap(view.width, view.height, Bitmap.Config.ARGB_8888)
        picture.eraseColor(look.ground)
        view.draw(android.graphics.Canvas(picture))
        return picture
    }

    private fun floorOf(lifter: Lifter): FloorView = lifter.views().filterIsInstance<FloorView>().single()

    @Test
    fun `the load reads from two metres, repetitions and reserve from one`() = figures(1f)

    @Test
    fun `and so they do with large text`() = figures(2f)

    private fun figures(scale: Float) {
        RuntimeEnvironment.setFontScale(scale)
        lifter {
            opensWithWeek().begins()
            val set = checkNotNull(floor.set)
            val wide = set.copy(load = "137.5 kg", amount = "12 reps", reserve = "leave 2")
            floorOf(this).show(floor.copy(set = wide))
            settle()
            val figures = views().filterIsInstance<Figures>().associateBy { it.text }
            assertTrue("360 dp wide", root.width / density == 360f)
            for ((text, least) in mapOf("137.5 kg" to 12.8f, "12 reps" to 6.4f, "leave 2" to 6.4f)) {
                val view = checkNotNull(figures[text]) { "$text is not shown at $scale" }
                val height = mm(inked(figure(view)))
                assertTrue("$text is $height mm high at $scale, and should be $least", height >= least)
                assertTrue("$text is drawn within its width", view.right <= root.width && inkReaches(drawn(view)))
            }
        }
    }

    /** Only the figures of a line: letters with tails would make it higher than they are. */
    private fun figure(view: Figures): Bitmap {
        val other = Figures(Look(view.context), view.tall, view.words, view.medium).apply { text = "0" }
        other.measure(View.MeasureSpec.makeMeasureSpec(view.width, View.MeasureSpec.EXACTLY), View.MeasureSpec.UNSPECIFIED)
        other.layout(0, 0, other.measuredWidth, other.measuredHeight)
        return drawn(other)
    }

    /** The last column is free of ink: nothing was cut off. */
    private fun inkReaches(picture: Bitmap): Boolean {
        val ground = picture.getPixel(0, 0)
        return (0 until picture.height).all { y -> contrast(picture.getPixel(picture.width - 1, y), ground) < 3 }
    }

    @Test
    fun `the clock's figures read from two metres`() =
        lifter {
            opensWithWeek().begins().doesASet()
            val clock = views().filterIsInstance<ClockView>().single()
            val figures = views(clock).filterIsInstance<Figures>().single()
            val height = mm(inked(figure(figures)))
            assertTrue("$height mm", height >= 12.8f)
        }

    @Test
    fun `the movement's name and what comes next stand 4,7 mm high`() =
        lifter {
            opensWithWeek().begins()
            assertTrue(capital(floor.title) >= 4.7f)
            doesASet()
            val set = checkNotNull(floor.set)
            assertTrue(capital(set.movement) >= 4.7f)
            assertTrue(capital(listOfNotNull(set.load, set.amount, set.reserve).joinToString(", ")) >= 4.7f)
        }

    /** The height of a capital of the line that says so, in millimetres, drawn as it is. */
    private fun Lifter.capital(text: String): Float {
        val view = views().filterIsInstance<android.widget.TextView>().single { it.text.toString() == text }
        val box = android.graphics.Rect()
        view.paint.getTextBounds("H", 0, 1, box)
        return mm(box.height())
    }

    @Test
    fun `whatever is touched on the floor is 64 dp high, elsewhere 48`() =
        lifter {
            opensWithWeek()
            val heads = setOf("Contents")
            every("before", 64) { it.text.toString() !in heads }
            begins(toTheFirstSet = false)
            every("the warm-up", 64)
            warmsUp()
            every("lifting", 64)
            touches("Not as written")
            every("not as written", 64)
            touches("Back")
            doesASet()
            every("resting", 64)
            touches("More")
            every("what is seldom wanted", 64)
            touches("More")
            closes()
            touches("Contents")
            every("contents", 48)
            for (place in listOf("Week", "Catalogue", "Findings", "Locker")) {
                touches(place)
                every(place, 48)
                touches("Contents")
            }
        }

    private fun Lifter.every(
        where: String,
        least: Int,
        wanted: (Button) -> Boolean = { true },
    ) {
        val all = buttons.filter(wanted)
        assertTrue("something can be touched: $where", all.isNotEmpty())
        for (button in all) {
            val (w, h) = button.width / density to button.height / density
            assertTrue("$where: \"${button.text}\" is $w x $h dp", h >= least && w >= least)
        }
    }

    @Test
    fun `text stands out 7 to 1 by day`() = contrasts("notnight")

    @Test
    fun `and by night`() = contrasts("night")

    private fun contrasts(light: String) {
        RuntimeEnvironment.setQualifiers("+$light")
        lifter {
            opensWithWeek()
            every("before, $light")
            begins(toTheFirstSet = false)
            every("the warm-up, $light")
            warmsUp()
            every("lifting, $light")
            doesASet()
            every("resting, $light")
        }
    }

    /** The darkest and the lightest of what a line of text covers: the ink of its strokes, and what they stand on. */
    private fun Lifter.every(where: String) {
        val picture = Golden.draw(root)
        val origin = IntArray(2).also(root::getLocationInWindow)
        var seen = 0
        for (view in views().filterIsInstance<android.widget.TextView>().filter { it.text.isNotBlank() && it.height > 4 }) {
            val at = IntArray(2).also(view::getLocationInWindow)
            val shown = android.graphics.Rect()
            // What is wholly in the window: an edge that fades is the sign that more follows.
            if (!view.getGlobalVisibleRect(shown) || shown.height() < view.height) continue
            val scroll = fading(view)
            if (scroll != null && at[1] + view.height > scroll) continue
            val colours = HashMap<Int, Int>()
            for (y in 0 until view.height) {
                for (x in 0 until view.width) {
                    val (px, py) = at[0] - origin[0] + x to at[1] - origin[1] + y
                    if (px !in 0 until picture.width || py !in 0 until picture.height) continue
                    colours.merge(picture.getPixel(px, py), 1, Int::plus)
                }
            }
            val ground = colours.maxBy { it.value }.key
            val best = colours.keys.maxOf { contrast(it, ground) }
            assertTrue("$where: \"${view.text}\" has $best to 1", best >= 7.0)
            seen++
        }
        assertTrue("$where: $seen lines were measured", seen >= 5)
    }

    /** Where the fading of the scroll that a view stands in begins. */
    private fun fading(view: View): Int? {
        var up = view.parent
        while (up is View) {
            if (up is android.widget.ScrollView && up.isVerticalFadingEdgeEnabled) {
                val at = IntArray(2).also(up::getLocationInWindow)
                return at[1] + up.height - up.verticalFadingEdgeLength
            }
            up = up.parent
        }
        return null
    }

    /** WCAG 2.2's contrast of two colours. */
    private fun contrast(
        one: Int,
        other: Int,
    ): Double {
        val (a, b) = listOf(luminance(one), luminance(other)).sortedDescending()
        return (a + 0.05) / (b + 0.05)
    }

    private fun luminance(colour: Int): Double {
        fun part(n: Int) = (n / 255.0).let { if (it <= 0.04045) it / 12.92 else ((it + 0.055) / 1.055).pow(2.4) }
        return 0.2126 * part(Color.red(colour)) + 0.7152 * part(Color.green(colour)) + 0.0722 * part(Color.blue(colour))
    }

    @Test
    fun `contrast is reckoned as the standard does`() {
        // WCAG 2.2: black on white is 21 to 1; #767676 on white is the grey that just passes 4.5 to 1 (W3C, understanding 1.4.3).
        assertTrue(contrast(Color.BLACK, Color.WHITE) == 21.0)
        assertTrue(contrast(Color.rgb(0x76, 0x76, 0x76), Color.WHITE) in 4.5..4.6)
    }
}
