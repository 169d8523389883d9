package plinth.app

import org.json.JSONArray
import org.json.JSONObject
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import plinth.app.floor.HoldView
import plinth.core.FloorEvent

/** What is done otherwise than in repetitions with one's own bar, each in turn with nothing. */
@RunWith(RealRunner::class)
class FormsOfKindsPicturesTest {
    private fun lifter(run: Lifter.() -> Unit) = Lifter().use { it.run() }

    @Test
    fun `a hold, and one that is counted`() =
        lifter {
            opensInGym().beginsWith("plank")
            pictures("form-hold")
            takes<FloorEvent.HoldBegun>()
            waits(20)
            pictures("form-hold-counted")
            val seconds = Regex("\\d+").find(checkNotNull(floor.wide).label)!!.value.toInt()
            assertEquals("0:%02d".format(seconds), shownFigures())
            assertTrue("the wide action says what it would record: $words", stands(checkNotNull(floor.wide)))
            doesASet()
            assertTrue("it counts no more", views().none { it is HoldView })
        }

    private fun Lifter.shownFigures() = views(views().single { it is HoldView }).filterIsInstance<plinth.app.floor.Figures>().single().text

    @Test
    fun `a carry`() = lifter { opensInGym().beginsWith("two_hand_carry").pictures("form-carry") }

    @Test
    fun `a bar that a partner shares, and the discs between`() =
        lifter {
            opensInGym().beginsWith("barbell_back_squat")
            doesASet()
            ready().pictures("form-ramp-with-discs")
            ramps()
            takes<FloorEvent.Sharing>().pictures("form-sharing")
            takes<FloorEvent.Partner> { it.load.toString().startsWith("60") }
            pictures("form-partner")
            doesASet().pictures("form-partner-resting")
        }

    @Test
    fun `tempo, and two movements in turn`() =
        lifter {
            opensInGym {
                val day = getJSONArray("days").getJSONObject(0)
                val lines = day.getJSONArray("lines")
                val (first, second) = lines.length() - 2 to lines.length() - 1
                lines.getJSONObject(first).put("tempo", JSONObject(mapOf("lower_s" to 3, "turn_s" to 1, "raise_s" to 1)))
                day.put("in_turn", JSONArray(listOf(JSONObject(mapOf("first" to first, "second" to second, "sets" to 2)))))
            }
            begins()
            takes<FloorEvent.Lines>()
            val goTo = floor.choices().filter { it.event is FloorEvent.GoTo }
            touchesExactly(written(goTo[goTo.size - 2])).ready()
            // The other one's first load is found on the way.
            ramps().doesASet().pictures("form-in-turn-resting")
            assertTrue("${floor.set?.notes}", checkNotNull(floor.set).notes.size == 2)
            ready().pictures("form-in-turn")
        }
}
