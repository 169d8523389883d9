package plinth.app.phone

import android.content.Context
import android.text.format.DateFormat
import kotlinx.coroutines.CoroutineScope
import kotlinx.coroutines.Dispatchers
import kotlinx.coroutines.flow.MutableStateFlow
import kotlinx.coroutines.flow.StateFlow
import kotlinx.coroutines.flow.asStateFlow
import kotlinx.coroutines.launch
import kotlinx.coroutines.withContext
import plinth.app.House
import plinth.app.R
import plinth.app.sentences
import plinth.boundary.PlinthException
import plinth.boundary.SyncHeader
import plinth.boundary.SyncRequest
import plinth.companion.SyncEnd
import plinth.core.Effect
import java.io.IOException
import java.util.Date

/** When the record is brought together with the server's, and what is told of it. While nothing is paired it does nothing. */
internal class Syncing(
    private val context: Context,
    private val phone: Phone,
    private val house: House,
    private val scope: CoroutineScope,
) {
    private val kept = preferences(context)
    private val line = MutableStateFlow<String?>(null)

    /** What there is to say: that it is under way, when it was last done, or why it stopped and what to do. */
    val told: StateFlow<String?> = line.asStateFlow()

    /** Does what the core asks for that concerns the server. */
    fun perform(effect: Effect) {
        when (effect) {
            is Effect.AskForSync -> ask()
            is Effect.AllowMetered -> metered = effect.on
            is Effect.Pair -> scope.launch { pair(effect) }
            is Effect.Unpair -> unpair()
            else -> Unit
        }
    }

    /** Hands in the code. What the server answers is read by the core; the token goes into the vault alone. */
    private suspend fun pair(asked: Effect.Pair) {
        line.value = say(R.string.pairing)
        val through = HttpTransport(Pairing(asked.address, asked.certificate, token = ""))
        val request = SyncRequest(asked.path, listOf(SyncHeader("Content-Type", "application/json")), asked.body.encodeToByteArray())
        val answer =
            try {
                through.send(request)
            } catch (_: IOException) {
                line.value = through.trouble?.said(words()) ?: say(R.string.not_reached)
                return
            }
        house.ask { it.paired(asked.address, answer.status, answer.body) }.fold(
            { token ->
                if (pair(Pairing(asked.address, asked.certificate, token))) {
                    metered = false
                } else {
                    house.ask { it.unpair() }
                    line.value = say(R.string.no_key_store)
                }
            },
            { line.value = (it as? PlinthException)?.let(::sentences) },
        )
        house.tick()
    }

    /** The record has something to send, or the app was opened: as soon as there is a connection, and not before the server's wait is over. */
    fun ask() {
        if (!phone.vault.holds) return
        SyncJob.schedule(context, (kept.getLong(NOT_BEFORE, 0) - phone.moments.wall()).coerceIn(0, LONGEST_MS))
    }

    /** Whether a connection that costs by the byte is used too. What waits is set anew. */
    var metered: Boolean
        get() = metered(context)
        set(value) {
            kept.edit().putBoolean(METERED, value).apply()
            ask()
        }

    /** This device is paired from now on. False where the platform's key store does not serve: nothing has changed. */
    fun pair(pairing: Pairing): Boolean {
        if (!phone.vault.keep(pairing)) return false
        kept.edit().remove(NOT_BEFORE).apply()
        line.value = null
        ask()
        return true
    }

    /** This device is not paired any more, and nothing is sent. */
    fun unpair() {
        SyncJob.cancel(context)
        phone.vault.forget()
        kept.edit().remove(NOT_BEFORE).apply()
        line.value = null
    }

    /** Syncs now. Gives the milliseconds until the next time; null where only the lifter can help. */
    suspend fun run(): Long? =
        when (val vault = withContext(Dispatchers.IO) { phone.vault.read() }) {
            is Kept.Nothing -> null
            is Kept.Lost -> null.also { line.value = say(R.string.pairing_lost) }
            is Kept.Here -> run(vault.pairing)
        }

    private suspend fun run(pairing: Pairing): Long? {
        val before = line.value
        line.value = say(R.string.syncing)
        val through = HttpTransport(pairing)
        var over = false
        try {
            val end = house.sync(pairing.token, through)
            over = true
            return end.fold({ ended(it, through.trouble) }, { failed(it) })
        } finally {
            // Called off: what is not over is not told as over.
            if (!over) line.value = before
        }
    }

    private fun ended(
        end: SyncEnd,
        trouble: Trouble?,
    ): Long? =
        when (end) {
            is SyncEnd.Done -> {
                val aside = end.told.setAside.toInt()
                line.value =
                    if (aside > 0) {
                        words().resources.getQuantityString(R.plurals.set_aside, aside, aside)
                    } else {
                        words().getString(R.string.synced, DateFormat.getTimeFormat(words()).format(Date(phone.moments.wall())))
                    }
                kept.edit().remove(NOT_BEFORE).apply()
                REGULAR_MS
            }

            is SyncEnd.Stopped -> {
                line.value = trouble?.said(words()) ?: sentences(end.problem, end.remedy)
                val wait = end.waitMs?.coerceAtMost(LONGEST_MS.toULong())?.toLong()
                kept.edit().putLong(NOT_BEFORE, wait?.let { phone.moments.wall() + it } ?: 0).apply()
                wait
            }
        }

    private fun failed(why: Throwable): Long? {
        line.value = if (why is PlinthException) sentences(why) else null
        return null
    }

    private fun words() = phone.speaking(context)

    private fun say(id: Int) = words().getString(id)

    companion object {
        /** How often a device asks when nothing makes it, milliseconds: six hours [A]. */
        const val REGULAR_MS = 6L * 60 * 60 * 1000

        /** The longest wait, milliseconds, whatever a server says and however the clock was set: a day [A]. */
        const val LONGEST_MS = 24L * 60 * 60 * 1000

        private const val METERED = "metered"
        private const val NOT_BEFORE = "not_before"

        private fun preferences(context: Context) = context.getSharedPreferences("sync", Context.MODE_PRIVATE)

        /** Whether a connection that costs by the byte is used too; not, unless the lifter says so. */
        fun metered(context: Context): Boolean = preferences(context).getBoolean(METERED, false)
    }
}
