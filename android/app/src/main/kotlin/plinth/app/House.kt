package plinth.app

import android.content.Context
import kotlinx.coroutines.CoroutineDispatcher
import kotlinx.coroutines.CoroutineScope
import kotlinx.coroutines.channels.Channel
import kotlinx.coroutines.flow.Flow
import kotlinx.coroutines.flow.MutableStateFlow
import kotlinx.coroutines.flow.StateFlow
import kotlinx.coroutines.flow.asStateFlow
import kotlinx.coroutines.flow.first
import kotlinx.coroutines.flow.receiveAsFlow
import kotlinx.coroutines.launch
import plinth.app.phone.Phone
import plinth.app.rest.SessionService
import plinth.boundary.Opening
import plinth.boundary.PlinthException
import plinth.companion.Plinth
import plinth.companion.SyncEnd
import plinth.companion.Transport
import plinth.companion.fault
import plinth.core.Effect
import plinth.core.Event
import plinth.core.FloorEvent
import plinth.core.Screen
import java.io.File

/** What the shell shows. */
internal sealed interface Shown {
    /** The record is being opened. */
    data object Opening : Shown

    /** It cannot be opened. */
    data class Failed(
        val problem: String,
        val remedy: String,
    ) : Shown

    /** The core's screen, and why the last event did nothing. */
    data class Here(
        val screen: Screen,
        val refused: String? = null,
    ) : Shown
}

/**
 * The open record, for as long as the process lives. Events are taken in one after another, off the main thread, and
 * what the core asks of the platform is done here or, where it needs a window, handed to it.
 */
internal class House(
    private val context: Context,
    private val phone: Phone,
    private val scope: CoroutineScope,
    private val dispatcher: CoroutineDispatcher,
    private val server: (Effect) -> Unit,
) {
    private val state = MutableStateFlow<Shown>(Shown.Opening)
    private val events = Channel<Event>(Channel.UNLIMITED)
    private val forWindow = Channel<Effect>(Channel.UNLIMITED)
    private var plinth: Plinth? = null
    private var service = false

    /** What to show. */
    val shown: StateFlow<Shown> = state.asStateFlow()

    /** What a window is to do: the dialler, a file. */
    val windowEffects: Flow<Effect> = forWindow.receiveAsFlow()

    /** What opening had to do, once it is open. */
    var opening: Opening? = null
        private set

    /** What is done between sessions: when the record was opened, and after each session. */
    var betweenSessions: () -> Unit = {}

    /** Whether a window is in front. */
    var inFront = false
        set(value) {
            field = value
            if (value) phone.notices.clear()
        }

    /** Whether the display stays awake. */
    val awake = MutableStateFlow(false)

    /** Where the record lies: among the files that the platform's backup leaves out. */
    val record: File get() = File(context.noBackupFilesDir, "record.db")

    /** Opens the record, and begins to take in events. */
    fun open() {
        state.value = Shown.Opening
        scope.launch {
            try {
                val opened = Plinth.open(record.path, phone.platformLanguage(), phone.moments, dispatcher)
                plinth = opened
                opening = opened.opening
                phone.language = opened.language()
                launch { opened.effects.collect(::perform) }
                take(opened, Event.Floor(FloorEvent.Open))
                if (!service) betweenSessions()
                server(Effect.AskForSync)
                for (event in events) take(opened, event)
            } catch (e: PlinthException) {
                state.value = failed(e)
            }
        }
    }

    /** Sends an event that a screen offered. */
    fun send(event: Event) {
        events.trySend(event)
    }

    /** Time has passed. */
    fun tick() = send(Event.Floor(FloorEvent.Tick))

    /** What the wide action does, by another way than a touch: a headset's button, a reader's gesture. */
    fun wide(): Boolean {
        val floor = ((state.value as? Shown.Here)?.screen as? Screen.Floor)?.v1 ?: return false
        send(Event.Floor((floor.wide ?: return false).event))
        return true
    }

    /** The open record, for what a window asks of it. */
    suspend fun <T> ask(call: suspend (Plinth) -> T): Result<T> =
        plinth?.let {
            try {
                Result.success(call(it))
            } catch (e: PlinthException) {
                Result.failure(e)
            }
        } ?: Result.failure(IllegalStateException("the record is not open"))

    /** Brings the record together with the server's, once it is open, and lets the file go again where nobody looks at it. */
    suspend fun sync(
        token: String,
        transport: Transport,
    ): Result<SyncEnd> {
        state.first { it !is Shown.Opening }
        try {
            return ask { it.sync(token, transport) }
        } finally {
            if (inFront) tick() else leave()
        }
    }

    /** No window is in front any more: between sessions the file is let go. */
    fun leave() {
        inFront = false
        val here = state.value as? Shown.Here ?: return
        if (!sessionOpen(here.screen)) scope.launch { plinth?.pause() }
    }

    private suspend fun take(
        opened: Plinth,
        event: Event,
    ) {
        try {
            val update = opened.send(event)
            phone.language = opened.language()
            // Time alone takes no word back that nobody has read yet.
            val before = (state.value as? Shown.Here)?.refused.takeIf { event == Event.Floor(FloorEvent.Tick) }
            state.value = Shown.Here(update.screen, update.refused ?: before)
            serve(sessionOpen(update.screen))
        } catch (e: PlinthException) {
            // Nothing has happened in the record; the lifter is told, and can do it again.
            val here = state.value
            state.value = if (here is Shown.Here) here.copy(refused = sentences(e)) else failed(e)
        }
    }

    /** The lifter confirmed it by a second touch. What they keep in a folder of their own is theirs, and stays. */
    private fun eraseEverything() {
        scope.launch {
            phone.alarm.cancel()
            phone.notices.clear()
            ask { it.erase() }
            server(Effect.Unpair)
            tick()
        }
    }

    private fun serve(open: Boolean) {
        if (open == service) return
        service = open
        if (open) {
            SessionService.start(context)
        } else {
            SessionService.stop(context)
            betweenSessions()
        }
    }

    private fun perform(effect: Effect) {
        when (effect) {
            is Effect.RaiseAlarm -> {
                phone.alarm.raise(effect)
            }

            is Effect.CancelAlarm -> {
                phone.alarm.cancel()
            }

            is Effect.Vibrate -> {
                phone.chime.touch()
            }

            is Effect.Speak -> {
                phone.speaker.say(effect.text)
            }

            is Effect.KeepAwake -> {
                awake.value = effect.on
            }

            is Effect.OpenDialler, is Effect.GiveFile, is Effect.TakeFile, is Effect.ChooseFolder, is Effect.Restore -> {
                forWindow.trySend(
                    effect,
                )
            }

            is Effect.AskForSync, is Effect.AllowMetered, is Effect.Pair, is Effect.Unpair -> {
                server(effect)
            }

            is Effect.EraseEverything -> {
                eraseEverything()
            }
        }
    }

    companion object {
        /** No place can be reached while a session is open. */
        fun sessionOpen(screen: Screen) = screen is Screen.Floor && screen.v1.contents.isEmpty()

        private fun failed(e: PlinthException) = Shown.Failed(e.fault.problem, e.fault.remedy)
    }
}
