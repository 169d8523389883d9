package plinth.app

import org.junit.Assert.assertEquals
import org.junit.Test
import org.junit.runner.RunWith

/** Each form of the floor, as it is drawn on a phone of 360 x 740 dp. */
@RunWith(RealRunner::class)
class FloorPicturesTest {
    private fun lifter(run: Lifter.() -> Unit) = Lifter().use { it.run() }

    @Test
    fun `before, warm-up, lifting, resting`() =
        lifter {
            opensWithWeek()
            Golden.check("floor-before", root)
            begins(toTheFirstSet = false)
            Golden.check("floor-warm-up", root)
            warmsUp()
            Golden.check("floor-lifting", root)
            doesASet()
            assertEquals("resting", floor.stage)
            waits(12)
            Golden.check("floor-resting", root)
        }
}
