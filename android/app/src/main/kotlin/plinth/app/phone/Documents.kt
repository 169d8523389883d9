package plinth.app.phone

import android.content.ContentResolver
import android.database.Cursor
import android.net.Uri
import android.provider.DocumentsContract
import android.provider.DocumentsContract.Document
import android.provider.OpenableColumns
import android.system.ErrnoException
import android.system.OsConstants
import java.io.File
import java.io.FileNotFoundException
import java.io.FileOutputStream
import java.io.IOException
import java.io.InputStream
import java.io.OutputStream
import java.io.SyncFailedException

/**
 * The lifter's documents, by the platform's own pickers. Whoever keeps them may fail in any way; here it is always an
 * [IOException].
 */
internal class Documents(
    private val resolver: ContentResolver,
) {
    /** The name that its keeper gives it. */
    fun name(of: Uri): String? =
        guarded {
            resolver.query(of, arrayOf(OpenableColumns.DISPLAY_NAME), null, null)?.use { if (it.moveToFirst()) it.getString(0) else null }
        }

    /** Copies a document to a file. */
    fun read(
        from: Uri,
        to: File,
    ) = guarded {
        input(from).use { source -> to.outputStream().use { source.copyTo(it) } }
        Unit
    }

    /** Copies a file to a document, whatever was there before. */
    fun write(
        from: File,
        to: Uri,
    ) = guarded {
        output(to).use { sink ->
            from.inputStream().use { it.copyTo(sink) }
            sink.flush()
            settle(sink)
        }
    }

    /** Removes a document; what cannot be removed stays. */
    fun remove(document: Uri) {
        try {
            guarded { DocumentsContract.deleteDocument(resolver, document) }
        } catch (_: IOException) {
            // It was on the way to a fault that is told.
        }
    }

    /** Whether a document holds what a file does. */
    fun equal(
        document: Uri,
        file: File,
    ): Boolean =
        guarded {
            input(document).use { one -> file.inputStream().use { other -> sameBytes(one.buffered(), other.buffered()) } }
        }

    /** Puts a document under a name into a folder, given by its tree. */
    fun create(
        tree: Uri,
        name: String,
    ): Uri =
        guarded {
            DocumentsContract.createDocument(resolver, folder(tree), "application/octet-stream", name)
        } ?: throw FileNotFoundException("no document was made")

    /** Gives a document another name; none where its keeper cannot. */
    fun rename(
        document: Uri,
        name: String,
    ): Uri? =
        try {
            guarded { DocumentsContract.renameDocument(resolver, document, name) }
        } catch (_: IOException) {
            null
        }

    /** What lies in a folder, by name. */
    fun list(tree: Uri): List<Pair<String, Uri>> =
        guarded {
            val children = DocumentsContract.buildChildDocumentsUriUsingTree(tree, DocumentsContract.getTreeDocumentId(tree))
            resolver
                .query(children, arrayOf(Document.COLUMN_DOCUMENT_ID, Document.COLUMN_DISPLAY_NAME), null, null)
                ?.use { rows -> rows.all { getString(1).orEmpty() to DocumentsContract.buildDocumentUriUsingTree(tree, getString(0)) } }
                .orEmpty()
        }

    /** The folder's own document. */
    fun folder(tree: Uri): Uri = DocumentsContract.buildDocumentUriUsingTree(tree, DocumentsContract.getTreeDocumentId(tree))

    private fun input(from: Uri): InputStream = resolver.openInputStream(from) ?: throw FileNotFoundException("it cannot be read")

    private fun output(to: Uri): OutputStream = resolver.openOutputStream(to, "wt") ?: throw FileNotFoundException("it cannot be written")

    /** Waits until it is on the disk, where it is a file there. */
    private fun settle(sink: OutputStream) {
        try {
            (sink as? FileOutputStream)?.fd?.sync()
        } catch (_: SyncFailedException) {
            // A pipe to another program, which has its own disk.
        }
    }

    private fun sameBytes(
        one: InputStream,
        other: InputStream,
    ): Boolean {
        while (true) {
            val byte = one.read()
            if (byte != other.read()) return false
            if (byte < 0) return true
        }
    }

    private fun <T> Cursor.all(row: Cursor.() -> T): List<T> =
        buildList {
            while (moveToNext()) add(row())
        }

    private fun <T> guarded(call: () -> T): T =
        try {
            call()
        } catch (e: RuntimeException) {
            throw IOException(e.message, e)
        }

    companion object {
        /** Whether there was no room. */
        fun full(e: Throwable): Boolean =
            generateSequence(e) { it.cause }.any {
                (it is ErrnoException && (it.errno == OsConstants.ENOSPC || it.errno == OsConstants.EDQUOT)) ||
                    // What comes from another process has only the system's sentence left.
                    NO_SPACE in it.message.orEmpty()
            }

        private const val NO_SPACE = "No space left on device"

        /** Whether it was not allowed. */
        fun barred(e: Throwable): Boolean = generateSequence(e) { it.cause }.any { it is SecurityException }
    }
}
