package plinth.app

import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.RuntimeEnvironment
import plinth.core.Event
import plinth.core.PageEvent
import plinth.core.Place
import plinth.core.Spot

/** Phone or tablet, light or dark, text at 100 or 200 %, English or German, upright or on its side: eight that hold all pairs. */
@RunWith(RealRunner::class)
class CombinationsTest {
    private class Combination(
        val tablet: Boolean,
        val dark: Boolean,
        val large: Boolean,
        val german: Boolean,
        val side: Boolean,
    ) {
        val name =
            listOf(
                if (tablet) "tablet" else "phone",
                if (dark) "dark" else "light",
                if (large) "200" else "100",
                if (german) "de" else "en",
                if (side) "side" else "upright",
            ).joinToString("-")
    }

    private val all =
        listOf("-----", "ttt--", "t--tt", "--ttt", "-t-t-", "tt--t", "t-t--", "-ttt-").map { row ->
            fun on(at: Int) = row[at] == 't'
            Combination(on(0), on(1), on(2), on(3), on(4))
        }

    @Test
    fun `the eight hold every pair`() {
        val values = all.map { listOf(it.tablet, it.dark, it.large, it.german, it.side) }
        for (a in 0..3) {
            for (b in a + 1..3) assertEquals("$a and $b", 4, values.map { it[a] to it[b] }.distinct().size)
        }
        assertTrue(values.any { it[4] && it[0] } && values.any { it[4] && !it[0] })
    }

    // A method each: the app of a test is opened once.

    @Test fun `the first`() = draw(all[0])

    @Test fun `the second`() = draw(all[1])

    @Test fun `the third`() = draw(all[2])

    @Test fun `the fourth`() = draw(all[3])

    @Test fun `the fifth`() = draw(all[4])

    @Test fun `the sixth`() = draw(all[5])

    @Test fun `the seventh`() = draw(all[6])

    @Test fun `the eighth`() = draw(all[7])

    private fun draw(one: Combination) {
        val (w, h) = if (one.tablet) 800 to 1280 else 360 to 740
        val (width, height) = if (one.side) h to w else w to h
        val language = if (one.german) "de-rDE" else "en-rUS"
        val shape = if (one.side) "land" else "port"
        val light = if (one.dark) "night" else "notnight"
        val density = if (one.tablet) "mdpi" else "xhdpi"
        RuntimeEnvironment.setQualifiers("$language-w${width}dp-h${height}dp-$shape-$light-$density")
        RuntimeEnvironment.setFontScale(if (one.large) 2f else 1f)
        Lifter().use { lifter ->
            lifter.opensWithWeek()
            lifter.goes(Spot.Week)
            Golden.check("combination-week-${one.name}", lifter.root)
            lifter.app.house.send(Event.Page(PageEvent.Place(Place.FLOOR)))
            lifter.settle()
            lifter.begins().doesASet()
            Golden.check("combination-resting-${one.name}", lifter.root)
        }
    }

    private fun Lifter.goes(spot: Spot) {
        app.house.send(Event.Page(PageEvent.Open(spot)))
        settle()
    }
}
