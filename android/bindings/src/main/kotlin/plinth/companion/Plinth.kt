package plinth.companion

import kotlinx.coroutines.CoroutineDispatcher
import kotlinx.coroutines.Dispatchers
import kotlinx.coroutines.channels.BufferOverflow
import kotlinx.coroutines.channels.Channel
import kotlinx.coroutines.flow.Flow
import kotlinx.coroutines.flow.MutableStateFlow
import kotlinx.coroutines.flow.StateFlow
import kotlinx.coroutines.flow.asStateFlow
import kotlinx.coroutines.flow.receiveAsFlow
import kotlinx.coroutines.withContext
import plinth.boundary.FileForm
import plinth.boundary.Listener
import plinth.boundary.LogLine
import plinth.boundary.Opening
import plinth.boundary.Outcome
import plinth.boundary.PlinthCompanion
import plinth.boundary.Rehearsal
import plinth.boundary.Restored
import plinth.boundary.SyncStep
import plinth.boundary.WorkProgress
import plinth.core.Effect
import plinth.core.Event
import plinth.core.FindingsPage
import plinth.core.Language
import plinth.core.Screen
import plinth.core.Update
import java.io.IOException

/**
 * The companion of one record, for coroutines. Screens show [screen] and [send] back the events that it offers;
 * whatever only the platform can do comes through [effects], each once.
 *
 * Every call may come from any thread. Calls throw [plinth.boundary.PlinthException].
 */
class Plinth private constructor(
    private val companion: PlinthCompanion,
    private val clock: Clock,
    private val dispatcher: CoroutineDispatcher,
    private val ears: Ears,
    first: Screen,
) : AutoCloseable {
    private val shown = MutableStateFlow(first)

    /** The screen, complete. */
    val screen: StateFlow<Screen> = shown.asStateFlow()

    /** What the platform is to do, in order, each for one collector. */
    val effects: Flow<Effect> = ears.effects.receiveAsFlow()

    /** Lines for a log, without anything that the record holds; the oldest are dropped when nobody reads. */
    val log: Flow<LogLine> = ears.lines.receiveAsFlow()

    /** What opening had to do. */
    val opening: Opening = companion.opening()

    /** Takes in an event; what it records is durable when this returns. */
    suspend fun send(event: Event): Update =
        onRecord {
            val update = companion.dispatch(event, clock.now())
            update.effects.forEach { ears.effects.trySend(it) }
            shown.value = update.screen
            update
        }

    /** Shows the screen of now. */
    suspend fun refresh(): Screen = onRecord { companion.screen(clock.now()).also { shown.value = it } }

    /** What the log adds up to. */
    suspend fun findings(): FindingsPage = onRecord { companion.findings(clock.now()) }

    /** Keeps a brief. */
    suspend fun tellBrief(document: String) = changing { companion.tellBrief(document, clock.now()) }

    /** Takes on a programme from today. */
    suspend fun takeOn(
        document: String,
        from: String = "own",
    ) = changing { companion.takeOn(document, from, clock.now()) }

    /** Takes in a programme that came as a file. It waits in the record, and its page says what it would become. */
    suspend fun receive(document: String): Update = onRecord { companion.receive(document, clock.now()).also { shown.value = it.screen } }

    /** Leaves an ended session for the screen before the next. */
    suspend fun leaveEnded() = changing { companion.leaveEnded(clock.now()) }

    /** The language that is spoken. */
    suspend fun language(): Language = onRecord { companion.language(clock.now()) }

    /** Makes the key of the automatic backups: 24 words, shown once. */
    suspend fun makeBackupKey(): String = onRecord { companion.makeBackupKey(clock.now()) }

    /** Writes the record to a file and says how many entries. */
    suspend fun export(
        to: String,
        form: FileForm = FileForm.JSON,
    ): ULong = onRecord { companion.export(to, form, clock.now()) }

    /** Writes the programme that runs to a file that [receive] reads; `false` where none runs. */
    suspend fun exportProgramme(to: String): Boolean = onRecord { companion.exportProgramme(to, clock.now()) }

    /** Whether a key for sealed backups was made. */
    suspend fun hasBackupKey(): Boolean = onRecord { companion.hasBackupKey(clock.now()) }

    /** Writes the sealed backup where one is due, or [now] in any case; `false` where none was written. */
    suspend fun sealBackup(
        to: String,
        now: Boolean = false,
    ): Boolean = onRecord { companion.sealBackup(to, now, clock.now()) }

    /** Opens a sealed backup with its 24 words and puts it in the record's place; where that fails, all is as it was. */
    suspend fun restore(
        from: String,
        words: String,
    ): Restored =
        onRecord {
            companion.restore(from, words, clock.now()).also { shown.value = companion.screen(clock.now()) }
        }

    /** Erases the record for good; a new and empty one is begun. */
    suspend fun erase() = changing { companion.erase(clock.now()) }

    /**
     * Reads the answer of the server at [address] to what [Effect.Pair] had the platform send, and remembers the
     * pairing. Gives the token, for the platform's key store and nothing else; where that fails, call [unpair].
     */
    suspend fun paired(
        address: String,
        status: Int,
        body: ByteArray,
    ): String =
        onRecord {
            companion.paired(address, status.toUShort(), body, clock.now()).also { shown.value = companion.screen(clock.now()) }
        }

    /** This device is paired with no server any more. */
    suspend fun unpair() = changing { companion.unpair(clock.now()) }

    /** SHA-256 of the record in hexadecimal digits. */
    suspend fun digest(): String = onRecord { companion.digest(clock.now()) }

    /** Imports a file. Cancelling the coroutine calls it off, and nothing is changed. */
    suspend fun import(
        from: String,
        form: FileForm = FileForm.JSON,
        off: CallOff? = null,
        progress: (WorkProgress) -> Unit = {},
    ): Outcome =
        longWork(ears, progress, off) { listener -> companion.import(from, form, clock.now(), listener) }
            .also { refresh() }

    /** Drafts the next block. Called off by [off] it gives the best programme so far. */
    suspend fun draft(
        thorough: Boolean = false,
        off: CallOff? = null,
        progress: (WorkProgress) -> Unit = {},
    ): Outcome = longWork(ears, progress, off) { listener -> companion.draft(thorough, clock.now(), listener) }

    /** Copies the record to a file that is whole or not there. */
    suspend fun backup(
        to: String,
        off: CallOff? = null,
        progress: (WorkProgress) -> Unit = {},
    ): Outcome = longWork(ears, progress, off) { listener -> companion.backup(to, clock.now(), listener) }

    /**
     * Brings the record together with the server's, with the token that pairing gave. It may be cancelled between
     * requests; what was answered until then is kept.
     */
    suspend fun sync(
        token: String,
        transport: Transport,
    ): SyncEnd =
        onRecord { companion.beginSync(token, clock.now()) }.use { session ->
            var step = onRecord { session.next(clock.now()) }
            while (step is SyncStep.Send) {
                val answer =
                    try {
                        transport.send(step.request)
                    } catch (_: IOException) {
                        null
                    }
                step =
                    onRecord {
                        if (answer == null) {
                            session.cut(clock.now())
                        } else {
                            session.answer(answer.status.toUShort(), answer.retryAfterS?.toUInt(), answer.body, clock.now())
                        }
                    }
            }
            refresh()
            when (step) {
                is SyncStep.Done -> SyncEnd.Done(step.told)
                is SyncStep.Stopped -> SyncEnd.Stopped(step.stop, step.code, step.problem, step.remedy, step.waitMs)
                is SyncStep.Send -> error("it goes on")
            }
        }

    /** Calls off long work and lets go of the file, before the system suspends the app. The next call opens it. */
    suspend fun pause() = withContext(Dispatchers.IO) { companion.pause() } // not behind a call that waits for long work

    /** Ends it: later calls throw. Once more does nothing. */
    override fun close() {
        // The generated object stays valid, so that a call under way ends with an error and not with a crash.
        companion.shutDown()
        ears.close()
    }

    private suspend fun <T> onRecord(call: () -> T): T = withContext(dispatcher) { call() }

    private suspend fun changing(call: () -> Unit) =
        onRecord {
            call()
            shown.value = companion.screen(clock.now())
        }

    companion object {
        /** Opens the record at [path], or makes one. [rehearsal] is for replays and tests. */
        suspend fun open(
            path: String,
            language: Language,
            clock: Clock,
            dispatcher: CoroutineDispatcher = Dispatchers.IO.limitedParallelism(1),
            rehearsal: Rehearsal? = null,
        ): Plinth =
            withContext(dispatcher) {
                val ears = Ears()
                val companion = PlinthCompanion.open(path, language, clock.now(), ears, rehearsal)
                Plinth(companion, clock, dispatcher, ears, companion.screen(clock.now()))
            }
    }
}

/** Hears what no call returned. */
internal class Ears : Listener {
    val effects = Channel<Effect>(Channel.UNLIMITED)
    val lines = Channel<LogLine>(64, BufferOverflow.DROP_OLDEST)

    override fun effects(effects: List<Effect>) = effects.forEach { this.effects.trySend(it) }

    override fun progress(progress: WorkProgress) = Unit

    override fun finished(outcome: Outcome) = Unit

    override fun line(line: LogLine) {
        lines.trySend(line)
    }

    fun close() {
        effects.close()
        lines.close()
    }
}
