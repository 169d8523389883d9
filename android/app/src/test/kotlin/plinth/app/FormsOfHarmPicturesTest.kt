package plinth.app

import org.junit.Assert.assertEquals
import org.junit.Test
import org.junit.runner.RunWith
import plinth.core.FloorEvent
import plinth.core.Nature
import plinth.core.Severity
import plinth.core.Spot

/** Something is wrong: it hurts, or a sign that ends the session or takes a region out of it. */
@RunWith(RealRunner::class)
class FormsOfHarmPicturesTest {
    private fun lifter(run: Lifter.() -> Unit) = Lifter().use { it.run() }

    @Test
    fun `it hurts`() =
        lifter {
            opensInGym().beginsWith("barbell_back_squat")
            takes<FloorEvent.Wrong>().pictures("form-wrong")
            takes<FloorEvent.Hurts>().pictures("form-where")
            takes<FloorEvent.HurtsWhere> { it.region == "knee" }.pictures("form-how")
            takes<FloorEvent.HurtsHow> { it.nature == Nature.NEW_OR_WORSE }.pictures("form-how-much")
            takes<FloorEvent.HurtsMuch> { it.severity == Severity.MODERATE }.pictures("form-hurt-told")
            takes<FloorEvent.Lines>().pictures("form-lines-after-hurt")
        }

    @Test
    fun `a sign that ends the session, and what comes after`() =
        lifter {
            opensInGym().begins().doesASet()
            takes<FloorEvent.Wrong>().takes<FloorEvent.Unwell>().pictures("form-unwell")
            takes<FloorEvent.Flag> { it.flag == "chest_pressure" }.pictures("form-confirm")
            takes<FloorEvent.ConfirmFlag>().pictures("form-ended-by-flag")
            assertEquals("ended", floor.stage)
            opensPage(Spot.Return)
            Golden.check("form-return", root)
        }

    @Test
    fun `a sign of a region takes it out of the session`() =
        lifter {
            opensInGym().beginsWith("barbell_back_squat", "plank")
            takes<FloorEvent.Wrong>().takes<FloorEvent.Unwell>()
            takes<FloorEvent.Flag> { it.flag == "locking" }.pictures("form-flag-where")
            takes<FloorEvent.FlagWhere> { it.region == "knee" }.pictures("form-confirm-where")
            takes<FloorEvent.ConfirmFlag>().pictures("form-region-out")
        }
}
