package plinth.app.phone

import android.content.Context
import android.content.Intent
import android.net.Uri
import kotlinx.coroutines.CoroutineDispatcher
import kotlinx.coroutines.flow.MutableStateFlow
import kotlinx.coroutines.flow.StateFlow
import kotlinx.coroutines.flow.asStateFlow
import kotlinx.coroutines.withContext
import plinth.companion.Plinth
import java.io.File
import java.io.IOException
import java.security.SecureRandom
import java.text.SimpleDateFormat
import java.util.Date
import java.util.Locale

/** How the sealed copies in the lifter's folder stand. */
internal sealed interface Copies {
    /** No folder was chosen. [offer]: nor was it put off. */
    data class NoFolder(
        val offer: Boolean,
    ) : Copies

    /** The last copy in the folder, milliseconds since 1970; none yet. */
    data class Kept(
        val folder: String,
        val last: Long?,
    ) : Copies

    /** The folder is gone, or may not be written to any more. */
    data object Lost : Copies

    /** It has no room. */
    data object Full : Copies

    /** Anything else. */
    data class Failed(
        val why: String,
    ) : Copies
}

/** Sealed copies of the record in a folder of the lifter's choice: one where one is due, the last [KEPT] of them. */
internal class SealedCopies(
    context: Context,
    private val documents: Documents,
    private val moments: Moments,
    private val disk: CoroutineDispatcher,
) {
    private val resolver = context.contentResolver
    private val memory = context.getSharedPreferences("sealed_copies", Context.MODE_PRIVATE)
    private val state = MutableStateFlow(standing())

    /** How they stand. */
    val copies: StateFlow<Copies> = state.asStateFlow()

    private val tree: Uri? get() = memory.getString(FOLDER, null)?.let(Uri::parse)

    /**
     * A copy that was sealed, or is just being sealed, is not yet in the folder: the core takes it for made. Kept before
     * it is sealed, so that a killed process makes it again.
     */
    private var owed: Boolean
        get() = memory.getBoolean(OWED, false)
        set(value) {
            memory.edit().putBoolean(OWED, value).commit()
        }

    /** Marks this app's copies, so that no other phone's or lifter's in the same folder is ever removed. */
    private val mark: String
        get() =
            memory.getString(MARK, null) ?: List(MARK_LENGTH) { LETTERS[SecureRandom().nextInt(LETTERS.length)] }
                .joinToString("")
                .also { memory.edit().putString(MARK, it).apply() }

    /** Keeps a folder that was picked, also after the phone starts again. The next copy is due at once. */
    suspend fun choose(folder: Uri) {
        resolver.takePersistableUriPermission(folder, BOTH)
        tree?.takeIf { it != folder }?.let(::release)
        val name = withContext(disk) { nameOf(folder) }
        memory
            .edit()
            .putString(FOLDER, folder.toString())
            .putString(FOLDER_NAME, name)
            .remove(LAST)
            .apply()
        owed = true
        state.value = standing()
    }

    /** The lifter does not want to be asked again. */
    fun putOff() {
        memory.edit().putBoolean(PUT_OFF, true).apply()
        state.value = standing()
    }

    /** It could not be sealed; it is due again the next time. */
    fun failed(why: String) {
        state.value = Copies.Failed(why)
    }

    /** Seals a copy to [sealed] where one is due, and puts it into the folder. Never throws what a folder can fail with. */
    suspend fun copy(
        sealed: File,
        plinth: suspend (suspend (Plinth) -> Boolean) -> Boolean,
    ) {
        val folder = tree ?: return
        if (!allowed(folder)) {
            state.value = Copies.Lost
            return
        }
        val before = owed
        owed = true
        if (!plinth { it.sealBackup(sealed.path, now = before) }) {
            owed = before
            return
        }
        state.value =
            try {
                withContext(disk) { put(folder, sealed) }
                owed = false
                memory.edit().putLong(LAST, moments.wall()).apply()
                standing()
            } catch (e: IOException) {
                when {
                    Documents.full(e) -> Copies.Full
                    Documents.barred(e) || !withContext(disk) { there(folder) } -> Copies.Lost
                    else -> Copies.Failed(e.message ?: e.javaClass.simpleName)
                }
            }
    }

    private fun put(
        folder: Uri,
        sealed: File,
    ) {
        val name = "$NAME$mark-${SimpleDateFormat("yyyy-MM-dd-HHmmss", Locale.ROOT).format(Date(moments.wall()))}$END"
        written(folder, name + PART, sealed) { part ->
            if (documents.rename(part, name) == null) {
                // Its keeper gives no other names: it is written anew under its own.
                written(folder, name, sealed) {}
                documents.remove(part)
            }
        }
        thin(folder, name)
    }

    /** Writes a document and reads it back; what is not whole is taken away again. */
    private fun written(
        folder: Uri,
        name: String,
        sealed: File,
        then: (Uri) -> Unit,
    ) {
        val document = documents.create(folder, name)
        try {
            documents.write(sealed, document)
            if (!documents.equal(document, sealed)) throw IOException("what was written there is not what is read there")
            then(document)
        } catch (e: IOException) {
            documents.remove(document)
            throw e
        }
    }

    /** Takes away the oldest of this app's own, and what a killed process left of one. */
    private fun thin(
        folder: Uri,
        newest: String,
    ) {
        val ours = Regex(Regex.escape(NAME + mark) + "-\\d{4}-\\d{2}-\\d{2}-\\d{6}" + Regex.escape(END) + "(" + Regex.escape(PART) + ")?")
        try {
            val (parts, whole) =
                documents
                    .list(
                        folder,
                    ).filter { ours.matches(it.first) && it.first != newest }
                    .partition { it.first.endsWith(PART) }
            (parts + whole.sortedByDescending { it.first }.drop(KEPT - 1)).forEach { documents.remove(it.second) }
        } catch (_: IOException) {
            // The copy is there; the old ones go the next time.
        }
    }

    private fun standing(): Copies {
        val folder = tree ?: return Copies.NoFolder(offer = !memory.getBoolean(PUT_OFF, false))
        if (!allowed(folder)) return Copies.Lost
        return Copies.Kept(memory.getString(FOLDER_NAME, null).orEmpty(), memory.getLong(LAST, 0).takeIf { it > 0 })
    }

    private fun nameOf(folder: Uri): String =
        try {
            documents.name(documents.folder(folder))
        } catch (_: IOException) {
            null
        } ?: folder.lastPathSegment.orEmpty()

    private fun there(folder: Uri): Boolean =
        try {
            documents.name(documents.folder(folder)) != null
        } catch (_: IOException) {
            false
        }

    private fun allowed(folder: Uri) =
        resolver.persistedUriPermissions.any {
            it.uri == folder && it.isWritePermission &&
                it.isReadPermission
        }

    private fun release(folder: Uri) {
        try {
            resolver.releasePersistableUriPermission(folder, BOTH)
        } catch (_: SecurityException) {
            // It was taken away before.
        }
    }

    companion object {
        /** Copies that stay (common practice, no source): a week of days. */
        const val KEPT = 7
        private const val BOTH = Intent.FLAG_GRANT_READ_URI_PERMISSION or Intent.FLAG_GRANT_WRITE_URI_PERMISSION
        private const val NAME = "plinth-sealed-"
        private const val END = ".age"
        private const val PART = ".part"
        private const val FOLDER = "folder"
        private const val FOLDER_NAME = "folder_name"
        private const val OWED = "owed"
        private const val MARK = "mark"
        private const val LAST = "last"
        private const val PUT_OFF = "put_off"
        private const val MARK_LENGTH = 4

        /** Without those that are taken for others. */
        private const val LETTERS = "abcdefghjkmnpqrstuvwxyz"
    }
}
