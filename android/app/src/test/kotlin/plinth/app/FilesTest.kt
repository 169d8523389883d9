package plinth.app

import android.content.ContentResolver
import android.content.Intent
import android.net.Uri
import android.view.View
import kotlinx.coroutines.runBlocking
import org.junit.Assert.assertArrayEquals
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertNotEquals
import org.junit.Assert.assertNull
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.Shadows.shadowOf
import plinth.boundary.FileForm
import plinth.core.Event
import plinth.core.PageEvent
import plinth.core.Place
import plinth.core.Spot
import java.io.File
import java.io.IOException
import java.io.OutputStream

/** Files that go out and come in, by the platform's pickers and over the real library. */
@RunWith(RealRunner::class)
class FilesTest {
    private fun lifter(run: Lifter.(Drawer) -> Unit) =
        Lifter().use {
            val drawer = Drawer.open()
            it.run(drawer)
        }

    /** What the core itself writes. */
    private fun Lifter.export(form: FileForm?): ByteArray {
        val file = File.createTempFile("core", null)
        runBlocking {
            app.house.ask { if (form == null) it.exportProgramme(file.path) else it.export(file.path, form) }.getOrThrow()
        }
        return file.readBytes().also { file.delete() }
    }

    private fun Lifter.digest(): String = runBlocking { app.house.ask { it.digest() }.getOrThrow() }

    private fun Lifter.nothingIsLeft() =
        assertEquals(
            emptyList<String>(),
            File(app.cacheDir, "files").list().orEmpty().toList(),
        )

    @Test
    fun `what is exported is what the core exports, byte for byte`() =
        lifter { drawer ->
            opensWithWeek()
            opensPage(Spot.Record)
            for ((label, name, form) in listOf(
                Triple("Export the whole record", "plinth-record-2026-03-02.json", FileForm.JSON),
                Triple("Export the sets", "plinth-sets-2026-03-02.csv", FileForm.CSV),
                Triple("Export the programme", "plinth-programme-2026-03-02.json", null),
            )) {
                touches(label)
                val asked = asksFor(Intent.ACTION_CREATE_DOCUMENT)
                assertEquals(name, asked.intent.getStringExtra(Intent.EXTRA_TITLE))
                // A longer file of that name is there: nothing of it may stay.
                picks(asked, drawer.holds(name, ByteArray(5_000_000) { 'x'.code.toByte() }))
                sees("Written to $name.")
                assertArrayEquals(label, export(form), drawer.file(name).readBytes())
                assertTrue(drawer.file(name).length() > 0)
                nothingIsLeft()
            }
        }

    @Test
    fun `a picker that is left does nothing, and the line that was told goes with the next touch`() =
        lifter { drawer ->
            opens()
            opensPage(Spot.Record)
            touches("Export the whole record")
            picks(asksFor(Intent.ACTION_CREATE_DOCUMENT), null)
            assertEquals(emptyList<String>(), drawer.names)
            touches("Export the whole record")
            picks(asksFor(Intent.ACTION_CREATE_DOCUMENT), drawer.holds("a.json", ByteArray(0)))
            sees("Written to a.json.")
            touches("Check every entry")
            assertFalse(words.any { "Written" in it })
        }

    @Test
    fun `a full disk is told, and half a file does not stay`() =
        lifter { drawer ->
            opensWithWeek()
            opensPage(Spot.Record)
            drawer.full = true
            touches("Export the whole record")
            picks(asksFor(Intent.ACTION_CREATE_DOCUMENT), drawer.holds("record.json", ByteArray(0)))
            sees("The file could not be written: there is no room left.")
            assertEquals(emptyList<String>(), drawer.names)
            nothingIsLeft()
            // Any other fault is told in its own words.
            drawer.full = false
            val fails = drawer.holds("other.json", ByteArray(0))
            shadowOf(app.contentResolver).registerOutputStream(
                fails,
                object : OutputStream() {
                    override fun write(byte: Int) = throw IOException("the card was taken out")
                },
            )
            touches("Export the whole record")
            picks(asksFor(Intent.ACTION_CREATE_DOCUMENT), fails)
            sees("The file could not be written: the card was taken out")
            nothingIsLeft()
        }

    @Test
    fun `a record that was exported is imported into another`() =
        lifter { drawer ->
            opens()
            val (record, digest) =
                elsewhere {
                    val file = File.createTempFile("record", null)
                    it.export(file.path, FileForm.JSON)
                    drawer.holds("record.json", file.readBytes().also { file.delete() }) to it.digest()
                }
            assertNotEquals(digest, digest())
            opensPage(Spot.Record)
            touches("Import a record")
            val asked = asksFor(Intent.ACTION_OPEN_DOCUMENT)
            assertTrue("application/json" in asked.intent.getStringArrayExtra(Intent.EXTRA_MIME_TYPES)!!)
            picks(asked, record)
            until("it is imported") { words.any { "entries of the file are good" in it } }
            assertEquals(digest, digest())
            nothingIsLeft()
            toTheFloor()
            sees("Monday")
        }

    @Test
    fun `good rows of a table are taken, and each bad one is told with its line, its field and its reason`() =
        lifter { drawer ->
            opens()
            val head =
                export(FileForm.CSV)
                    .decodeToString()
                    .lines()
                    .first()
                    .trim()
            val columns = head.split(',')

            fun row(vararg cells: Pair<String, String>): String = columns.joinToString(",") { c -> cells.toMap()[c].orEmpty() }
            val good =
                arrayOf(
                    "movement" to "barbell_back_squat",
                    "load" to "bar 80 kg",
                    "amount" to "5",
                    "ended_at" to "2026-02-27T18:00:00+01:00",
                )
            val bad =
                arrayOf(
                    "movement" to "barbell_back_squat",
                    "load" to "bar 80 kg",
                    "amount" to "many",
                    "ended_at" to "2026-02-27T18:05:00+01:00",
                )
            val table = listOf(head, row(*good), row(*bad), row(*good)).joinToString("\n", postfix = "\n")
            opensPage(Spot.Record)
            touches("Import sets from a table")
            picks(asksFor(Intent.ACTION_OPEN_DOCUMENT), drawer.holds("sets.csv", table.encodeToByteArray()))
            until("it is imported") { words.any { "good" in it } }
            sees("2 entries of the file are good.")
            sees("1 was not taken:")
            sees("Line 3, amount: ")
            assertEquals(
                "two rows and a head",
                3,
                export(FileForm.CSV)
                    .decodeToString()
                    .trim()
                    .lines()
                    .size,
            )
            // A file that is no table at all.
            val before = digest()
            touches("Import sets from a table")
            picks(asksFor(Intent.ACTION_OPEN_DOCUMENT), drawer.holds("other.csv", byteArrayOf(0, 1, 2, 3)))
            until("it is refused") { words.any { "could not be taken in" in it } }
            assertEquals(before, digest())
            nothingIsLeft()
        }

    @Test
    fun `a file that is gone is told`() =
        lifter { drawer ->
            opens()
            opensPage(Spot.Record)
            touches("Import a record")
            picks(asksFor(Intent.ACTION_OPEN_DOCUMENT), drawer.document("nothing.json"))
            sees("The file could not be taken in: ")
            nothingIsLeft()
        }

    @Test
    fun `a programme that comes as a file is asked about first, and runs once it is taken on`() =
        lifter { drawer ->
            opensWithWeek()
            val programme = export(null)
            val before = digest()
            val document = drawer.holds("from-anna.json", programme)
            val view = Intent(Intent.ACTION_VIEW).setDataAndType(document, "application/json")
            meets(view)
            sees("Look at this programme?")
            sees("from-anna.json")
            touches("Leave it")
            assertFalse(words.any { "Look at this programme" in it })
            assertEquals("nothing is taken on unasked", before, digest())
            nothingIsLeft()
            meets(Intent(Intent.ACTION_SEND).setType("application/json").putExtra(Intent.EXTRA_STREAM, document))
            touches("Look at it")
            sees("Nothing: it fits as it is.")
            touches("Take it on")
            sees("Taken on from 2 March.")
            assertNotEquals(before, digest())
            assertArrayEquals(programme, export(null))
            nothingIsLeft()
        }

    @Test
    fun `a file that is no programme is asked about and refused, and a path is not read`() =
        lifter { drawer ->
            opens()
            val before = digest()
            meets(Intent(Intent.ACTION_VIEW).setDataAndType(drawer.holds("no.json", "{}".encodeToByteArray()), "application/json"))
            touches("Look at it")
            sees("The programme was not taken in: ")
            assertEquals(before, digest())
            meets(Intent(Intent.ACTION_VIEW).setDataAndType(Uri.fromFile(app.house.record), "application/json"))
            assertNull(app.files.asked.value)
            nothingIsLeft()
        }

    @Test
    fun `a programme does not ask over a session`() =
        lifter { drawer ->
            opensWithWeek()
            val document = drawer.holds("from-anna.json", export(null))
            begins()
            meets(Intent(Intent.ACTION_VIEW).setDataAndType(document, "application/json"))
            assertFalse(words.any { "Look at this programme" in it })
            assertTrue("the floor is there", floor.wide != null && buttons.any { it.text.startsWith(floor.wide!!.label) })
            activity.onBackPressed()
            settle()
            closesSession()
            sees("Look at this programme?")
        }

    @Test
    fun `the buttons of a question can be hit`() =
        lifter { drawer ->
            opens()
            meets(Intent(Intent.ACTION_VIEW).setDataAndType(drawer.holds("p.json", "{}".encodeToByteArray()), "application/json"))
            root.measure(
                View.MeasureSpec.makeMeasureSpec(root.width, View.MeasureSpec.EXACTLY),
                View.MeasureSpec.makeMeasureSpec(root.height, View.MeasureSpec.EXACTLY),
            )
            val least = 48 * activity.resources.displayMetrics.density
            assertTrue(buttons.isNotEmpty() && buttons.all { it.measuredHeight >= least })
            activity.onBackPressed()
            settle()
            assertNull("back leaves it", app.files.asked.value)
        }

    @Test
    fun `without a picker on the device that is told`() =
        lifter {
            opens()
            opensPage(Spot.Record)
            shadowOf(app).checkActivities(true)
            touches("Import a record")
            sees("This device has nothing to choose a file or folder with.")
        }

    @Test
    fun `German says it in German`() =
        lifter { drawer ->
            opens()
            opensPage(Spot.Settings)
            touches("Deutsch")
            opensPage(Spot.Record)
            touches("Die ganze Aufzeichnung ausgeben")
            picks(asksFor(Intent.ACTION_CREATE_DOCUMENT), drawer.holds("a.json", ByteArray(0)))
            sees("Geschrieben: a.json.")
            assertEquals(ContentResolver.SCHEME_CONTENT, drawer.tree.scheme)
            app.house.send(Event.Page(PageEvent.Place(Place.FLOOR)))
            settle()
        }
}
