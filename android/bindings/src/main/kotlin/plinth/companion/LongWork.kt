package plinth.companion

import kotlinx.coroutines.suspendCancellableCoroutine
import plinth.boundary.Listener
import plinth.boundary.LogLine
import plinth.boundary.LongTask
import plinth.boundary.Outcome
import plinth.boundary.WorkProgress
import plinth.core.Effect
import kotlin.coroutines.resume

/**
 * Calls off the long work that it was given to, and lets the caller have its outcome: of a draft the best programme so
 * far. Cancelling the coroutine calls the work off too, but nobody has the outcome then.
 */
class CallOff {
    private var tasks: List<LongTask>? = emptyList()

    /** Calls off what runs, and what is still to be begun with it. */
    fun callOff() {
        val running =
            synchronized(this) {
                tasks.also { tasks = null }
            }
        running?.forEach { it.cancel() }
    }

    internal fun add(task: LongTask) {
        val late =
            synchronized(this) {
                tasks = tasks?.plus(task)
                tasks == null
            }
        if (late) task.cancel()
    }
}

/** Runs long work to its outcome; cancelling the coroutine calls it off. */
internal suspend fun longWork(
    ears: Ears,
    told: (WorkProgress) -> Unit,
    off: CallOff?,
    begin: (Listener) -> LongTask,
): Outcome =
    suspendCancellableCoroutine { waiting ->
        val listener =
            object : Listener {
                override fun effects(effects: List<Effect>) = ears.effects(effects)

                override fun progress(progress: WorkProgress) = told(progress)

                override fun finished(outcome: Outcome) = waiting.resume(outcome)

                override fun line(line: LogLine) = ears.line(line)
            }
        val own = CallOff()
        waiting.invokeOnCancellation { own.callOff() }
        val task = begin(listener)
        own.add(task)
        off?.add(task)
    }
