package plinth.companion

import kotlinx.coroutines.suspendCancellableCoroutine
import plinth.boundary.Listener
import plinth.boundary.LogLine
import plinth.boundary.Outcome
import plinth.boundary.WorkProgress
import plinth.boundary.LongTask
import plinth.core.Effect
import java.util.concurrent.atomic.AtomicReference
import kotlin.coroutines.resume

/** Runs long work to its outcome; cancelling the coroutine calls it off. */
internal suspend fun longWork(
    ears: Ears,
    progress: (WorkProgress) -> Unit,
    begin: (Listener) -> LongTask,
): Outcome =
    suspendCancellableCoroutine { waiting ->
        val listener =
            object : Listener {
                override fun effects(effects: List<Effect>) = ears.effects(effects)

                override fun progress(progress: WorkProgress) = progress(progress)

                override fun finished(outcome: Outcome) {
                    if (waiting.isActive) waiting.resume(outcome)
                }

                override fun line(line: LogLine) = ears.line(line)
            }
        val task = AtomicReference<LongTask>()
        waiting.invokeOnCancellation { task.get()?.cancel() }
        task.set(begin(listener))
        // It may have been cancelled before there was a task to call off.
        if (waiting.isCancelled) task.get().cancel()
    }
