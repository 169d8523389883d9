package plinth.app.phone

import android.app.Activity
import android.content.ActivityNotFoundException
import android.content.ContentResolver
import android.content.Intent
import android.net.Uri
import android.os.Build
import android.text.format.DateUtils
import plinth.app.R
import plinth.app.floor.Notice
import plinth.app.look.Touch
import plinth.core.Block
import plinth.core.Deed
import plinth.core.Effect
import plinth.core.Event
import plinth.core.FileKind
import plinth.core.PageEvent
import plinth.core.Place
import plinth.core.Screen
import plinth.core.Spot

/** What files need of a window: the platform's pickers, files that are handed to the app, and notices. */
internal class FileWindow(
    private val window: Activity,
    private val files: Files,
    private val phone: Phone,
    private val send: (Event) -> Unit,
) {
    /** Does what the core asks, where it is about files. */
    fun perform(effect: Effect) {
        when (effect) {
            is Effect.GiveFile -> pick(creating(effect), GIVE + effect.kind.ordinal)
            is Effect.TakeFile -> pick(opening(types(effect.kind)), TAKE + effect.kind.ordinal)
            is Effect.ChooseFolder -> pick(Intent(Intent.ACTION_OPEN_DOCUMENT_TREE).addFlags(KEEPING), FOLDER)
            is Effect.Restore -> pick(opening(emptyArray()), SEALED)
            else -> Unit
        }
    }

    /** What a picker gave, nothing where it was left. The request says what it was for, also to a process made anew. */
    fun picked(
        request: Int,
        result: Int,
        data: Intent?,
    ) {
        val document = data?.data?.takeIf { result == Activity.RESULT_OK } ?: return
        when (request) {
            in GIVE until TAKE -> kind(request - GIVE)?.let { files.give(it, document) }
            in TAKE until FOLDER -> kind(request - TAKE)?.let { files.take(it, document) }
            FOLDER -> files.choose(document)
            SEALED -> files.open(document)
        }
    }

    /** A programme that was opened with the app, or shared to it; or an invitation to pair. */
    fun meet(intent: Intent) {
        if (intent.flags and Intent.FLAG_ACTIVITY_LAUNCHED_FROM_HISTORY != 0) return
        val document =
            when (intent.action) {
                Intent.ACTION_VIEW -> intent.data
                Intent.ACTION_SEND -> shared(intent)
                else -> null
            }
        // What a phone's camera read, or a message held: the core reads it and asks before it pairs.
        if (intent.action == Intent.ACTION_VIEW && document?.scheme == INVITATION) {
            send(Event.Page(PageEvent.Place(Place.LOCKER)))
            send(Event.Page(PageEvent.Open(Spot.Pairing)))
            send(Event.Page(PageEvent.Choose("invitation", document.toString())))
            return
        }
        // A path could name a file of the app's own.
        document?.takeIf { it.scheme == ContentResolver.SCHEME_CONTENT }?.let(files::meet)
    }

    /** What there is to say of files beside a screen. */
    fun notices(screen: Screen): List<Notice> {
        val told = files.told.value.map { Notice(it) }
        return when (screen) {
            is Screen.Floor -> told + listOfNotNull(copies())
            is Screen.Page -> told + listOfNotNull(standing().takeIf { screen.v1.blocks.any(::choosesFolder) })
        }
    }

    private fun choosesFolder(block: Block) = block is Block.Action && block.button.event == PageEvent.Do(Deed.ChooseFolder)

    /** Before a session: what is offered once, or what went wrong. */
    private fun copies(): Notice? =
        when (val copies = files.copies.copies.value) {
            is Copies.NoFolder -> {
                Notice(
                    word(R.string.offer_copies),
                    listOf(
                        Touch(word(R.string.to_copies)) { send(Event.Page(PageEvent.Open(Spot.Backup))) },
                        Touch(word(R.string.not_now), files.copies::putOff),
                    ),
                ).takeIf { copies.offer }
            }

            is Copies.Kept -> {
                null
            }

            is Copies.Lost, is Copies.Full, is Copies.Failed -> {
                standing()
            }
        }

    /** How the sealed copies stand. */
    private fun standing(): Notice? {
        val again = listOf(Touch(word(R.string.other_folder)) { perform(Effect.ChooseFolder) })
        return when (val copies = files.copies.copies.value) {
            is Copies.NoFolder -> {
                null
            }

            is Copies.Kept -> {
                Notice(copies.last?.let { word(R.string.copies_kept, copies.folder, day(it)) } ?: word(R.string.copies_none, copies.folder))
            }

            is Copies.Lost -> {
                Notice(word(R.string.copies_lost), again)
            }

            is Copies.Full -> {
                Notice(word(R.string.copies_full), again)
            }

            is Copies.Failed -> {
                Notice(word(R.string.copies_failed, copies.why), again)
            }
        }
    }

    private fun day(ms: Long) =
        DateUtils.formatDateTime(
            phone.speaking(window),
            ms,
            DateUtils.FORMAT_SHOW_DATE or DateUtils.FORMAT_SHOW_TIME,
        )

    private fun creating(effect: Effect.GiveFile): Intent =
        Intent(Intent.ACTION_CREATE_DOCUMENT)
            .addCategory(Intent.CATEGORY_OPENABLE)
            .setType(if (effect.kind == FileKind.SETS) CSV else JSON)
            .putExtra(Intent.EXTRA_TITLE, effect.name)

    private fun opening(types: Array<String>): Intent =
        Intent(Intent.ACTION_OPEN_DOCUMENT)
            .addCategory(Intent.CATEGORY_OPENABLE)
            .setType("*/*")
            .apply { if (types.isNotEmpty()) putExtra(Intent.EXTRA_MIME_TYPES, types) }

    /** What keepers of files take such a file for. */
    private fun types(kind: FileKind): Array<String> =
        when (kind) {
            FileKind.RECORD, FileKind.PROGRAMME -> arrayOf(JSON, "text/*", "application/octet-stream")
            FileKind.SETS -> arrayOf("text/*", "application/csv", "application/vnd.ms-excel", "application/octet-stream")
        }

    private fun pick(
        intent: Intent,
        request: Int,
    ) {
        try {
            window.startActivityForResult(intent, request)
        } catch (_: ActivityNotFoundException) {
            files.say(R.string.no_picker)
        }
    }

    private fun shared(intent: Intent): Uri? =
        if (Build.VERSION.SDK_INT >= Build.VERSION_CODES.TIRAMISU) {
            intent.getParcelableExtra(Intent.EXTRA_STREAM, Uri::class.java)
        } else {
            @Suppress("DEPRECATION")
            intent.getParcelableExtra(Intent.EXTRA_STREAM)
        }

    private fun kind(ordinal: Int) = FileKind.entries.getOrNull(ordinal)

    private fun word(
        id: Int,
        vararg with: Any,
    ): String = phone.speaking(window).getString(id, *with)

    internal companion object {
        const val GIVE = 100
        const val TAKE = 200
        const val FOLDER = 300
        const val SEALED = 301
        private const val INVITATION = "plinth"
        private const val JSON = "application/json"
        private const val CSV = "text/csv"
        private const val KEEPING =
            Intent.FLAG_GRANT_READ_URI_PERMISSION or Intent.FLAG_GRANT_WRITE_URI_PERMISSION or
                Intent.FLAG_GRANT_PERSISTABLE_URI_PERMISSION
    }
}
