package plinth.app

import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import plinth.core.FloorEvent
import plinth.core.FormPage

/** The forms in which a set is told that was not done as written, late, or told wrongly. */
@RunWith(RealRunner::class)
class FormsOfASetPicturesTest {
    private fun lifter(run: Lifter.() -> Unit) = Lifter().use { it.run() }

    @Test
    fun `not as written, another load, another number, what was left`() =
        lifter {
            opensInGym().beginsWith("barbell_back_squat").ramps()
            takes<FloorEvent.NotAsWritten>().takes<FloorEvent.Missed> { it.missed }.pictures("form-not-as-written")
            toTheEnd().pictures("form-not-as-written-end")
            takes<FloorEvent.Turn> { it.page == FormPage.LOADS }.pictures("form-all-loads")
            takes<FloorEvent.Load>().pictures("form-all-amounts")
            takes<FloorEvent.AmountThen> { it.amount == 4u }.pictures("form-reserves")
            takes<FloorEvent.Reserve> { it.reserve == 0u }
            assertEquals("the set is recorded and the rest runs", "resting", floor.stage)
            takes<FloorEvent.SetsDone>().pictures("form-sets-done")
            takes<FloorEvent.Correct>().pictures("form-correct")
            takes<FloorEvent.Back>()
            takes<FloorEvent.Lines>().pictures("form-lines")
            takes<FloorEvent.Late>().pictures("form-late")
        }

    @Test
    fun `each side by itself`() =
        lifter {
            opensInGym().beginsWith("body_weight_split_squat")
            pictures("form-one-sided")
            takes<FloorEvent.NotAsWritten>().takes<FloorEvent.SidesApart> { it.apart }.pictures("form-sides-apart")
            takes<FloorEvent.Amount> { it.amount == 9u }
            assertTrue("the other side is asked: ${floor.form}", floor.form != null)
            pictures("form-other-side")
            takes<FloorEvent.Amount> { it.amount == 11u }
            assertEquals("resting", floor.stage)
        }

    @Test
    fun `a first load that is searched for, and one that is too much`() =
        lifter {
            opensInGym().beginsWith("barbell_hip_thrust")
            pictures("form-search")
            takes<FloorEvent.DoneWith> { it.formChanged }.ready()
            pictures("form-too-heavy")
        }
}
