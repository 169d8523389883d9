package plinth.app

import android.content.ContentResolver
import android.content.Intent
import android.content.pm.ProviderInfo
import android.database.Cursor
import android.database.MatrixCursor
import android.net.Uri
import android.os.CancellationSignal
import android.os.ParcelFileDescriptor
import android.provider.DocumentsContract
import android.provider.DocumentsContract.Document
import android.provider.DocumentsProvider
import org.robolectric.RuntimeEnvironment
import org.robolectric.shadows.ShadowContentResolver
import java.io.File
import java.io.FileNotFoundException
import java.nio.file.Files

/** Somebody's documents: a keeper of the platform's kind over a folder of its own, which can refuse and be full. */
internal class Drawer : DocumentsProvider() {
    private val root: File = Files.createTempDirectory("drawer").toFile()

    /** No room: what is written goes to a device that is always full. */
    var full = false

    /** It gives no document another name. */
    var keepsNames = false

    /** What is written is cut to half without a word. */
    var halves = false

    /** The folder, as a picker of folders gives it. */
    val tree: Uri = DocumentsContract.buildTreeDocumentUri(AUTHORITY, FOLDER)

    private val shelf = File(root, FOLDER).apply { mkdirs() }

    /** What lies in the folder, in order. */
    val names: List<String> get() = shelf.list().orEmpty().sorted()

    fun file(name: String) = File(shelf, name)

    /** A document as a picker gives it. */
    fun document(name: String): Uri = DocumentsContract.buildDocumentUri(AUTHORITY, "$FOLDER/$name")

    /** A new one with something in it. */
    fun holds(
        name: String,
        content: ByteArray,
    ): Uri {
        file(name).writeBytes(content)
        return document(name)
    }

    /** The folder is gone. */
    fun loses() {
        shelf.deleteRecursively()
    }

    override fun onCreate() = true

    override fun isChildDocument(
        parent: String,
        child: String,
    ) = child.startsWith("$parent/")

    override fun createDocument(
        parent: String,
        type: String,
        name: String,
    ): String {
        val new = File(there(parent), name)
        if (!new.createNewFile()) throw FileNotFoundException("$name is there already")
        return "$parent/$name"
    }

    override fun renameDocument(
        id: String,
        name: String,
    ): String {
        if (keepsNames) throw UnsupportedOperationException("it keeps its name")
        val old = there(id)
        if (!old.renameTo(File(old.parentFile, name))) throw FileNotFoundException(id)
        return id.substringBeforeLast('/') + "/" + name
    }

    override fun deleteDocument(id: String) {
        there(id).delete()
    }

    override fun openDocument(
        id: String,
        mode: String,
        signal: CancellationSignal?,
    ): ParcelFileDescriptor {
        val file = there(id)
        if ('w' !in mode) return ParcelFileDescriptor.open(file, ParcelFileDescriptor.parseMode(mode))
        if (full) return ParcelFileDescriptor.open(File("/dev/full"), ParcelFileDescriptor.MODE_WRITE_ONLY)
        if (halves) {
            file.writeBytes(ByteArray(64))
            return ParcelFileDescriptor.open(File("/dev/null"), ParcelFileDescriptor.MODE_WRITE_ONLY)
        }
        return ParcelFileDescriptor.open(file, ParcelFileDescriptor.parseMode(mode))
    }

    override fun queryDocument(
        id: String,
        columns: Array<String>?,
    ): Cursor = rows(columns).also { it.row(id, there(id)) }

    override fun queryChildDocuments(
        id: String,
        columns: Array<String>?,
        order: String?,
    ): Cursor = rows(columns).also { rows -> there(id).listFiles().orEmpty().forEach { rows.row("$id/${it.name}", it) } }

    override fun queryRoots(columns: Array<String>?): Cursor = MatrixCursor(arrayOf(DocumentsContract.Root.COLUMN_ROOT_ID))

    private fun there(id: String): File = File(root, id).also { if (!it.exists()) throw FileNotFoundException("$id is not there") }

    private fun rows(columns: Array<String>?) = MatrixCursor(columns ?: arrayOf(Document.COLUMN_DOCUMENT_ID, Document.COLUMN_DISPLAY_NAME))

    private fun MatrixCursor.row(
        id: String,
        file: File,
    ) {
        val row = newRow()
        for (column in columnNames) {
            when (column) {
                Document.COLUMN_DOCUMENT_ID -> row.add(column, id)
                Document.COLUMN_DISPLAY_NAME -> row.add(column, file.name)
                Document.COLUMN_SIZE -> row.add(column, file.length())
            }
        }
    }

    companion object {
        const val AUTHORITY = "somebody.documents"
        private const val FOLDER = "kept"

        /** One that the platform knows of. */
        fun open(): Drawer {
            val info =
                ProviderInfo().apply {
                    authority = AUTHORITY
                    exported = true
                    grantUriPermissions = true
                    readPermission = android.Manifest.permission.MANAGE_DOCUMENTS
                    writePermission = android.Manifest.permission.MANAGE_DOCUMENTS
                }
            return Drawer().apply {
                attachInfo(RuntimeEnvironment.getApplication(), info)
                ShadowContentResolver.registerProviderInternal(AUTHORITY, this)
            }
        }

        /** What a picker of folders answers with. */
        fun picked(document: Uri): Intent = Intent().setData(document)

        /** The right to come back is taken away. */
        fun bars(
            resolver: ContentResolver,
            tree: Uri,
        ) = resolver.releasePersistableUriPermission(tree, Intent.FLAG_GRANT_READ_URI_PERMISSION or Intent.FLAG_GRANT_WRITE_URI_PERMISSION)
    }
}
