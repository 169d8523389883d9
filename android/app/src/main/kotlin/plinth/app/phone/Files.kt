package plinth.app.phone

import android.content.Context
import android.net.Uri
import kotlinx.coroutines.CoroutineDispatcher
import kotlinx.coroutines.CoroutineScope
import kotlinx.coroutines.flow.MutableStateFlow
import kotlinx.coroutines.flow.StateFlow
import kotlinx.coroutines.flow.asStateFlow
import kotlinx.coroutines.flow.first
import kotlinx.coroutines.launch
import kotlinx.coroutines.sync.Mutex
import kotlinx.coroutines.sync.withLock
import kotlinx.coroutines.withContext
import plinth.app.House
import plinth.app.R
import plinth.app.Shown
import plinth.app.sentences
import plinth.boundary.FileForm
import plinth.boundary.PlinthException
import plinth.companion.Plinth
import plinth.core.Event
import plinth.core.FileKind
import plinth.core.FloorEvent
import java.io.File
import java.io.IOException

/** What the lifter is asked before a file is taken in. */
internal sealed interface Asked {
    /** What its keeper calls it. */
    val name: String

    /** A copy of it, which goes away with the question. */
    val file: File

    /** Whether a programme is taken in. */
    data class Programme(
        override val name: String,
        override val file: File,
    ) : Asked

    /** The words of a sealed copy. [wrong]: why those that were written did not open it. */
    data class Words(
        override val name: String,
        override val file: File,
        val wrong: String? = null,
        val working: Boolean = false,
    ) : Asked
}

/**
 * Files that go out and come in. The core reads and writes them in the app's own folder; between that and where the
 * lifter has them they are copied away from the main thread, one after another. What came of it is told in words.
 */
internal class Files(
    private val context: Context,
    private val house: House,
    phone: Phone,
    private val scope: CoroutineScope,
    private val disk: CoroutineDispatcher,
) {
    private val documents = Documents(context.contentResolver)
    private val folder = File(context.cacheDir, "files")
    private val one = Mutex()
    private val said = MutableStateFlow<List<String>>(emptyList())
    private val question = MutableStateFlow<Asked?>(null)
    private val speaking = { phone.speaking(context) }
    private var count = 0

    /** The lines that are told of the last file. */
    val told: StateFlow<List<String>> = said.asStateFlow()

    /** What is asked; never over a session. */
    val asked: StateFlow<Asked?> = question.asStateFlow()

    /** The words that are being written: in memory alone, so that a turned window keeps them. */
    var typed = ""

    /** The copies in the lifter's folder. */
    val copies = SealedCopies(context, documents, phone.moments, disk)

    init {
        // What a killed process left: plain copies of the record among it.
        folder.deleteRecursively()
    }

    /** The lifter has gone on. */
    fun forget() {
        said.value = emptyList()
    }

    /** Says a line of the shell's own. */
    fun say(line: Int) = tell(words(line))

    /** Writes a file where the lifter wants it. */
    fun give(
        kind: FileKind,
        to: Uri,
    ) = work(R.string.no_file) {
        val file = temporary()
        try {
            val made =
                ask {
                    when (kind) {
                        FileKind.RECORD -> true.also { _ -> it.export(file.path, FileForm.JSON) }
                        FileKind.SETS -> true.also { _ -> it.export(file.path, FileForm.CSV) }
                        FileKind.PROGRAMME -> it.exportProgramme(file.path)
                    }
                }
            if (!made) {
                withContext(disk) { documents.remove(to) }
                return@work tell(words(R.string.no_programme))
            }
            val name =
                withContext(disk) {
                    try {
                        documents.write(file, to)
                    } catch (e: IOException) {
                        // Half a file would pass for a whole one.
                        documents.remove(to)
                        throw e
                    }
                    nameOf(to)
                }
            tell(words(R.string.written, name))
        } finally {
            file.delete()
        }
    }

    /** Takes in a file that the lifter picked. */
    fun take(
        kind: FileKind,
        from: Uri,
    ) = when (kind) {
        FileKind.RECORD -> import(from, FileForm.JSON)
        FileKind.SETS -> import(from, FileForm.CSV)
        FileKind.PROGRAMME -> meet(from)
    }

    private fun import(
        from: Uri,
        form: FileForm,
    ) = work(R.string.not_read) {
        val file = fetched(from)
        try {
            val outcome = ask { it.import(file.path, form) }
            tell(*outcomeLines(speaking(), outcome).toTypedArray())
            house.tick()
        } finally {
            file.delete()
        }
    }

    /** A programme came as a file: the lifter is asked first. */
    fun meet(programme: Uri) =
        work(R.string.not_read) {
            val file = fetched(programme)
            put(Asked.Programme(withContext(disk) { nameOf(programme) }, file))
            said.value = emptyList()
        }

    /** Takes in the programme that was asked about; its page says what it would become. */
    fun takeIn() =
        work(R.string.not_taken_in) {
            val asked = question.value as? Asked.Programme ?: return@work
            try {
                val document = withContext(disk) { asked.file.readText() }
                val update = ask { it.receive(document) }
                update.refused?.let { tell(it) }
                house.tick()
            } finally {
                leave()
            }
        }

    /** A sealed copy was picked: its words are asked for. */
    fun open(sealed: Uri) =
        work(R.string.not_read) {
            val file = fetched(sealed)
            put(Asked.Words(withContext(disk) { nameOf(sealed) }, file))
            said.value = emptyList()
        }

    /** Opens the sealed copy with the words that were written, and puts it in the record's place. */
    fun restore() {
        val asked = question.value as? Asked.Words ?: return
        if (asked.working) return
        question.value = asked.copy(wrong = null, working = true)
        work(R.string.not_read) {
            try {
                val restored = ask { it.restore(asked.file.path, typed) }
                leave()
                tell(plural(R.plurals.restored, restored.entries))
                house.send(Event.Floor(FloorEvent.Open))
            } catch (e: PlinthException) {
                question.value = asked.copy(wrong = words(R.string.not_restored, sentences(e)))
                said.value = emptyList()
            }
        }
    }

    /** Leaves what was asked. */
    fun leave() {
        question.value?.file?.delete()
        question.value = null
        typed = ""
    }

    /** Keeps the folder that was picked, and puts a first copy there. */
    fun choose(tree: Uri) =
        work(R.string.no_folder) {
            try {
                copies.choose(tree)
            } catch (_: SecurityException) {
                return@work tell(words(R.string.folder_not_kept))
            }
            said.value = emptyList()
            sealed()
        }

    /** Puts a sealed copy into the lifter's folder where one is due: between sessions only. */
    fun copyWhereDue() {
        val here = house.shown.value as? Shown.Here ?: return
        if (House.sessionOpen(here.screen) || copies.copies.value is Copies.NoFolder) return
        scope.launch { one.withLock { sealed() } }
    }

    private suspend fun sealed() {
        val file = temporary()
        try {
            copies.copy(file) { ask(it) }
        } catch (e: PlinthException) {
            copies.failed(sentences(e))
        } catch (e: IOException) {
            copies.failed(reason(e))
        } finally {
            file.delete()
        }
    }

    private fun put(new: Asked) {
        leave()
        question.value = new
    }

    /** A copy of a document among the app's own files; the caller takes it away. */
    private suspend fun fetched(from: Uri): File {
        val file = temporary()
        try {
            withContext(disk) { documents.read(from, file) }
        } catch (e: IOException) {
            file.delete()
            throw e
        }
        return file
    }

    private fun temporary(): File {
        folder.mkdirs()
        return File(folder, "file-${count++}")
    }

    private fun nameOf(document: Uri): String =
        try {
            documents.name(document)
        } catch (_: IOException) {
            null
        } ?: document.lastPathSegment.orEmpty()

    /** Asks the record, once it is open. */
    private suspend fun <T> ask(call: suspend (Plinth) -> T): T {
        if (house.shown.first { it !is Shown.Opening } is Shown.Failed) throw IOException(words(R.string.cannot_open))
        return house.ask(call).getOrThrow()
    }

    /** Does one thing after another, and tells in words where it fails. */
    private fun work(
        failed: Int,
        call: suspend () -> Unit,
    ) {
        scope.launch {
            one.withLock {
                tell(words(R.string.opening))
                try {
                    call()
                } catch (e: PlinthException) {
                    tell(words(failed, sentences(e)))
                } catch (e: IOException) {
                    tell(words(failed, reason(e)))
                }
            }
        }
    }

    private fun reason(e: IOException): String =
        when {
            Documents.full(e) -> words(R.string.no_room)
            Documents.barred(e) -> words(R.string.not_allowed)
            else -> e.message ?: e.javaClass.simpleName
        }

    private fun tell(vararg lines: String) {
        said.value = lines.toList()
    }

    private fun words(
        id: Int,
        vararg with: Any,
    ): String = speaking().getString(id, *with)

    private fun plural(
        id: Int,
        n: ULong,
    ): String = speaking().resources.getQuantityString(id, n.toInt(), n.toInt())
}
