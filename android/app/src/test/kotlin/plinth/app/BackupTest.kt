package plinth.app

import android.content.Intent
import android.net.Uri
import android.view.View
import android.widget.EditText
import kotlinx.coroutines.runBlocking
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertNotEquals
import org.junit.Assert.assertNull
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import plinth.app.phone.Copies
import plinth.app.phone.SealedCopies
import plinth.boundary.PlinthException
import plinth.core.Block
import plinth.core.Spot
import java.io.File

/** Sealed copies in a folder of the lifter's, and the way back from one. */
@RunWith(RealRunner::class)
class BackupTest {
    private fun lifter(run: Lifter.(Drawer) -> Unit) =
        Lifter().use {
            val drawer = Drawer.open()
            it.run(drawer)
        }

    private fun Lifter.digest(): String = runBlocking { app.house.ask { it.digest() }.getOrThrow() }

    /** Makes the key and reads its words from the page. */
    private fun Lifter.makesKey(): String {
        opensPage(Spot.Backup)
        touches(if (buttons.any { it.text.startsWith("Make the key") }) "Make the key" else "Make another key")
        val block = page.blocks.filterIsInstance<Block.Words>().single()
        assertEquals(24, block.words.size)
        return block.words.joinToString(" ")
    }

    private fun Lifter.choosesFolder(tree: Uri) {
        opensPage(Spot.Backup)
        touches("Choose the folder for the sealed copies")
        picks(asksFor(Intent.ACTION_OPEN_DOCUMENT_TREE), tree)
    }

    /** Leaves the app for some hours and comes back. */
    private fun Lifter.comesBackAfter(hours: Long) {
        leaves()
        val wall = app.phone.moments.wall
        app.phone.moments.wall = { wall() + hours * 3_600_000 }
        returns()
    }

    private fun Lifter.copies() = app.files.copies.copies.value

    /** Whether these words open that copy, in another record. */
    private fun Lifter.opens(
        copy: File,
        words: String,
    ): Boolean =
        elsewhere {
            try {
                it.restore(copy.path, words).entries > 0uL
            } catch (_: PlinthException) {
                false
            }
        }

    @Test
    fun `a folder that is chosen gets a copy at once, and its words open it and no others do`() =
        lifter { drawer ->
            opensWithWeek()
            val others = makesKey()
            val words = makesKey()
            assertNotEquals(others, words)
            choosesFolder(drawer.tree)
            val name = drawer.names.single()
            assertTrue(name, Regex("plinth-sealed-[a-z]{4}-2026-03-02-\\d{6}\\.age").matches(name))
            assertTrue(opens(drawer.file(name), words))
            assertFalse(opens(drawer.file(name), others))
            assertFalse(
                "the record is not readable in it",
                drawer
                    .file(name)
                    .readBytes()
                    .decodeToString()
                    .contains("SQLite format"),
            )
            sees("Sealed copies go to kept. The last is of ")
            assertEquals(emptyList<String>(), File(app.cacheDir, "files").list().orEmpty().toList())
            assertTrue(app.contentResolver.persistedUriPermissions.any { it.uri == drawer.tree && it.isWritePermission })
        }

    @Test
    fun `there is a copy for each day that the app is opened, the last seven stay, and nobody else's is touched`() =
        lifter { drawer ->
            opensWithWeek()
            makesKey()
            val strange = listOf("letter.txt", "plinth-sealed-zzzz-2020-01-01-000000.age", "plinth-record-2020-01-01.json")
            strange.forEach { drawer.holds(it, byteArrayOf(1)) }
            choosesFolder(drawer.tree)
            val ours = { drawer.names - strange.toSet() }
            val first = ours().single()
            drawer.holds("$first.part", byteArrayOf(1))
            comesBackAfter(2)
            assertEquals("none is due yet", 2, ours().size)
            comesBackAfter(23)
            assertEquals("and what a killed process left is gone", 2, ours().size)
            repeat(8) { comesBackAfter(25) }
            assertEquals(SealedCopies.KEPT, ours().size)
            assertFalse(first in ours())
            assertTrue(drawer.names.containsAll(strange))
            assertTrue(ours().none { it.endsWith(".part") })
        }

    @Test
    fun `none is made during a session, and one that is due at its close`() =
        lifter { drawer ->
            opensWithWeek()
            makesKey()
            choosesFolder(drawer.tree)
            toTheFloor()
            begins()
            comesBackAfter(25)
            assertEquals("not during the session", 1, drawer.names.size)
            closesSession()
            assertEquals(2, drawer.names.size)
        }

    @Test
    fun `a right that was taken away is told, nothing else stops, and another folder mends it`() =
        lifter { drawer ->
            opensWithWeek()
            makesKey()
            choosesFolder(drawer.tree)
            Drawer.bars(app.contentResolver, drawer.tree)
            comesBackAfter(25)
            toTheFloor()
            assertEquals(Copies.Lost, copies())
            sees("Plinth is not allowed there any more")
            assertEquals(1, drawer.names.size)
            touches("Choose a folder")
            picks(asksFor(Intent.ACTION_OPEN_DOCUMENT_TREE), drawer.tree)
            assertEquals(2, drawer.names.size)
            assertFalse(words.any { "not allowed there" in it })
            begins()
            assertTrue("a session begins", floor.contents.isEmpty())
        }

    @Test
    fun `a full folder is told and owes its copy until there is room`() =
        lifter { drawer ->
            opensWithWeek()
            makesKey()
            drawer.full = true
            choosesFolder(drawer.tree)
            assertEquals(Copies.Full, copies())
            sees("The folder of the sealed copies has no room left.")
            assertEquals("nothing half stays", emptyList<String>(), drawer.names)
            drawer.full = false
            comesBackAfter(1)
            assertEquals("the core takes it for made; it was not", 1, drawer.names.size)
            comesBackAfter(1)
            assertEquals(1, drawer.names.size)
            toTheFloor()
            assertFalse(words.any { "sealed copies" in it })
        }

    @Test
    fun `a copy that reads otherwise than it was written is no copy`() =
        lifter { drawer ->
            opensWithWeek()
            makesKey()
            drawer.halves = true
            choosesFolder(drawer.tree)
            assertTrue(copies() is Copies.Failed)
            sees("No new sealed copy was made: ")
            assertEquals(emptyList<String>(), drawer.names)
        }

    @Test
    fun `a folder that is gone is told`() =
        lifter { drawer ->
            opensWithWeek()
            makesKey()
            choosesFolder(drawer.tree)
            drawer.loses()
            comesBackAfter(25)
            assertEquals(Copies.Lost, copies())
        }

    @Test
    fun `where a document keeps its name the copy is whole all the same`() =
        lifter { drawer ->
            opensWithWeek()
            val words = makesKey()
            drawer.keepsNames = true
            choosesFolder(drawer.tree)
            val name = drawer.names.single()
            assertTrue(name, name.endsWith(".age"))
            assertTrue(opens(drawer.file(name), words))
        }

    @Test
    fun `it is offered before the first session, and not again once it was put off`() {
        Lifter(offersFolder = true).use {
            it.opensWithWeek()
            it.sees("Keep a sealed copy of your record in a folder of yours")
            it.touches("To the sealed copies")
            assertEquals("Backup", it.page.title)
            it.toTheFloor()
            it.touches("Do not ask again")
            assertFalse(it.words.any { w -> "Keep a sealed copy" in w })
            it.comesBackAfter(48)
            assertFalse(it.words.any { w -> "Keep a sealed copy" in w })
        }
    }

    private fun Lifter.types(words: String) {
        views().filterIsInstance<EditText>().single().setText(words)
        settle()
    }

    @Test
    fun `a new phone has the record back with the words, and with no others`() =
        lifter { drawer ->
            opens()
            val empty = digest()
            val document = drawer.holds("copy.age", ByteArray(0))
            val (words, before) =
                elsewhere {
                    val key = it.makeBackupKey()
                    val digest = it.digest()
                    assertTrue(it.sealBackup(drawer.file("copy.age").path))
                    key to digest
                }
            opensPage(Spot.Backup)
            touches("Restore from a sealed copy")
            picks(asksFor(Intent.ACTION_OPEN_DOCUMENT), document)
            sees("The 24 words of the sealed copy")
            sees("copy.age")
            types("zebra zebra")
            touches("Restore")
            sees("Nothing was changed: The sealed backup does not open: there are 2 words and should be 24")
            assertEquals(empty, digest())
            val swapped = words.split(' ').let { (it.drop(1) + it.first()).joinToString(" ") }
            types(swapped)
            touches("Restore")
            sees("Nothing was changed: ")
            assertEquals(empty, digest())
            // A turned window keeps what was written.
            activity.onConfigurationChanged(activity.resources.configuration)
            settle()
            assertEquals(
                swapped,
                views()
                    .filterIsInstance<EditText>()
                    .single()
                    .text
                    .toString(),
            )
            types(words)
            touches("Restore")
            sees("The sealed copy is the record now: ")
            assertNull(app.files.asked.value)
            assertEquals("", app.files.typed)
            assertEquals(before, digest())
            assertTrue("it can be trained at once", floor.wide != null)
            assertEquals(emptyList<String>(), File(app.cacheDir, "files").list().orEmpty().toList())
        }

    @Test
    fun `what is no sealed copy is told`() =
        lifter { drawer ->
            opens()
            val words = makesKey()
            val before = digest()
            opensPage(Spot.Backup)
            touches("Restore from a sealed copy")
            picks(asksFor(Intent.ACTION_OPEN_DOCUMENT), drawer.holds("photo.jpg", ByteArray(4000) { it.toByte() }))
            types(words)
            touches("Restore")
            sees("Nothing was changed: ")
            touches("Leave it")
            assertEquals(before, digest())
        }

    @Test
    fun `the rule over a heading is a line on a short page too`() =
        lifter {
            opens()
            opensPage(Spot.Backup)
            val rules = views().filter { it.javaClass == View::class.java && it.width > root.width / 2 }
            val most = 3 * activity.resources.displayMetrics.density
            assertTrue("${rules.map { it.height }}", rules.isNotEmpty() && rules.all { it.height in 1..most.toInt() })
        }
}
