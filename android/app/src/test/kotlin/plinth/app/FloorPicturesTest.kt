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
            pictures("floor-before")
            begins(toTheFirstSet = false)
            pictures("floor-warm-up")
            warmsUp()
            pictures("floor-lifting")
            doesASet()
            assertEquals("resting", floor.stage)
            waits(12)
            pictures("floor-resting")
        }
}
