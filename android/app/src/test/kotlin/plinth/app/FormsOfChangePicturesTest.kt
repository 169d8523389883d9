package plinth.app

import org.junit.Assert.assertEquals
import org.junit.Test
import org.junit.runner.RunWith
import plinth.core.Block
import plinth.core.Event
import plinth.core.FloorEvent
import plinth.core.Keys
import plinth.core.PageEvent
import plinth.core.Spot

/** What is asked before, and what changes a session under way. */
@RunWith(RealRunner::class)
class FormsOfChangePicturesTest {
    private fun lifter(run: Lifter.() -> Unit) = Lifter().use { it.run() }

    @Test
    fun `several places`() = lifter { opensInGym(kits = 2).toTheEnd().pictures("form-places") }

    @Test
    fun `a minor's adult`() =
        lifter {
            opensInGym()
            opensPage(Spot.Profile)
            val born = page.blocks.filterIsInstance<Block.Entry>().first { it.keys == Keys.DATE }
            app.house.send(Event.Page(PageEvent.Choose(born.field, "2012-05-03")))
            settle()
            toTheFloor()
            toTheEnd().pictures("form-adult")
        }

    @Test
    fun `what is seldom wanted`() =
        lifter {
            opensInGym().begins(toTheFirstSet = false)
            touches(checkNotNull(floor.more).label).pictures("form-warm-up-more")
            touches(checkNotNull(floor.more).label)
            warmsUp()
            doesASet().touches(checkNotNull(floor.more).label).pictures("form-more")
        }

    @Test
    fun `a stand-in, kit that is taken, fewer minutes, another movement`() =
        lifter {
            opensInGym().begins()
            takes<FloorEvent.StandIns>().pictures("form-stand-ins")
            takes<FloorEvent.StandIn>().pictures("form-stood-in")
            takes<FloorEvent.Kit>().pictures("form-kit")
            takes<FloorEvent.Taken> { it.taken }.pictures("form-kit-taken")
            takes<FloorEvent.MinutesLeft>().pictures("form-minutes")
            takes<FloorEvent.Minutes> { it.minutes == 20u }.pictures("form-minutes-answer")
            takes<FloorEvent.TakeMinutes>().pictures("form-minutes-taken")
            takes<FloorEvent.Movements>().pictures("form-movements")
        }

    @Test
    fun `paused, forgotten, and closed at the last set`() =
        lifter {
            opensInGym().begins().doesASet()
            takes<FloorEvent.Pause>().pictures("form-paused")
            takes<FloorEvent.Resume>()
            passes(minutes = 61)
            pictures("form-forgotten")
            takes<FloorEvent.CloseForgotten>().pictures("form-closed-forgotten")
        }

    @Test
    fun `all is done, and the session is closed`() =
        lifter {
            opensInGym().beginsWith("plank")
            var left = 12
            while (floor.stage != "finished" && left-- > 0) doesASet()
            pictures("form-finished")
            takes<FloorEvent.Close>().pictures("form-closed")
            assertEquals("ended", floor.stage)
        }
}
