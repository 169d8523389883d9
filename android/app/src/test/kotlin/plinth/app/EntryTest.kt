package plinth.app

import android.view.inputmethod.EditorInfo
import android.widget.EditText
import org.junit.Assert.assertEquals
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import plinth.app.page.EntryView
import plinth.core.Block
import plinth.core.Keys
import plinth.core.Spot

/** A line to write in: what is written, refused, kept. */
@RunWith(RealRunner::class)
class EntryTest {
    private fun lifter(run: Lifter.() -> Unit) = Lifter().use { it.run() }

    private fun Lifter.entry(keys: Keys): Block.Entry = page.blocks.filterIsInstance<Block.Entry>().first { it.keys == keys }

    private fun Lifter.line(entry: Block.Entry): EditText =
        views().filterIsInstance<EntryView>().flatMap { views(it) }.filterIsInstance<EditText>().single {
            it.contentDescription ==
                entry.label
        }

    @Test
    fun `what is refused stays written with the reason, and what is kept stands on the page`() =
        lifter {
            opensWithWeek()
            opensPage(Spot.Profile)
            val day = entry(Keys.DATE)
            line(day).setText("2190-01-01")
            line(day).onEditorAction(EditorInfo.IME_ACTION_DONE)
            settle()
            assertTrue("a day to come is refused: $words", (shown as Shown.Here).refused != null)
            assertEquals("2190-01-01", line(entry(Keys.DATE)).text.toString())
            assertEquals("nothing was kept", day.value, entry(Keys.DATE).value)
            line(day).setText("1990-05-03")
            line(day).onEditorAction(EditorInfo.IME_ACTION_DONE)
            settle()
            assertEquals(null, (shown as Shown.Here).refused)
            assertTrue("it was kept: ${entry(Keys.DATE).value}", entry(Keys.DATE).value.isNotEmpty())
            assertEquals(entry(Keys.DATE).value, line(entry(Keys.DATE)).text.toString())
        }

    @Test
    fun `half-written words outlive a screen that comes again`() =
        lifter {
            opensWithWeek()
            opensPage(Spot.Profile)
            val any = page.blocks.filterIsInstance<Block.Entry>().first()
            line(any).setText("12")
            app.house.tick()
            settle()
            assertEquals("12", line(any).text.toString())
        }
}
