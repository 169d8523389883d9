package plinth.app

import org.junit.Test
import org.junit.runner.RunWith
import plinth.core.Deed
import plinth.core.Event
import plinth.core.PageEvent
import plinth.core.Spot

/** Each place, as it is drawn on a phone of 360 x 740 dp. */
@RunWith(RealRunner::class)
class PlacesPicturesTest {
    private fun lifter(run: Lifter.() -> Unit) = Lifter().use { it.run() }

    private fun Lifter.goes(place: String) = touches("Contents").touches(place)

    @Test
    fun `the contents and the week`() =
        lifter {
            opensWithWeek()
            touches("Contents")
            Golden.check("contents", root)
            touches("Week")
            Golden.check("week", root)
            touches(page.blocks.firstLine())
            Golden.check("week-line", root)
        }

    @Test
    fun `a first week, made in one touch`() =
        lifter {
            opens().goes("Week")
            Golden.check("week-none", root)
            touches("Make a week")
            sees("Monday")
        }

    @Test
    fun `the catalogue and a movement`() =
        lifter {
            opensWithWeek().goes("Catalogue")
            Golden.check("catalogue", root)
            touches("By pattern")
            Golden.check("catalogue-patterns", root)
            touches(page.blocks.firstLine())
            touches(page.blocks.firstLine())
            Golden.check("catalogue-movement", root)
        }

    @Test
    fun `the findings after a session`() =
        lifter {
            opensWithWeek().begins()
            repeat(6) { if (floor.stage != "finished") doesASet() }
            closes()
            goes("Findings")
            Golden.check("findings", root)
        }

    @Test
    fun `the locker and its pages`() =
        lifter {
            opensWithWeek().goes("Locker")
            Golden.check("locker", root)
            touches("Settings")
            Golden.check("locker-settings", root)
        }

    @Test
    fun `what the locker asks`() =
        lifter {
            opensWithWeek()
            for ((name, spot) in mapOf(
                "brief" to Spot.Brief,
                "screening" to Spot.Screening,
                "profile" to Spot.Profile,
                "kits" to Spot.Kits,
                "backup" to Spot.Backup,
            )) {
                opensPage(spot)
                Golden.check("locker-$name", root)
            }
        }

    @Test
    fun `whom the record is opened to, in either language`() =
        lifter {
            opensWithWeek()
            opensPage(Spot.NewGrant)
            for ((field, value) in listOf("to" to "mara", "log" to "yes", "programmes" to "yes", "until" to "2099-06-30")) {
                does(PageEvent.Choose(field, value))
            }
            does(PageEvent.Do(Deed.Keep))
            Golden.check("locker-grants", root)
            opensPage(Spot.Settings)
            touches("Deutsch")
            opensPage(Spot.Grant("mara"))
            Golden.check("locker-grant-de", root)
        }

    private fun Lifter.does(event: PageEvent) {
        app.house.send(Event.Page(event))
        settle()
    }
}
